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

    /// The language of a code, if there is a catalogue for it.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|language| language.code() == code)
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
