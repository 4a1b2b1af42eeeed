//! Languages.

/// A language with a complete catalogue.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Language {
    /// English.
    #[default]
    English,
    /// German.
    German,
}

impl Language {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::English, Self::German];

    /// Its code in BCP 47.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::German => "de",
        }
    }

    /// The sign between the whole and the fraction of a number (Unicode CLDR, `decimal`).
    #[must_use]
    pub const fn decimal_sign(self) -> char {
        match self {
            Self::English => '.',
            Self::German => ',',
        }
    }
}
