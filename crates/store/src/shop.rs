//! Whose data it is.

use std::fmt;

/// The name of a shop. Every row belongs to one, and every read on behalf of a client names it.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct ShopId(String);

impl ShopId {
    /// Takes the name as it is.
    pub fn new(id: impl Into<String>) -> Self {
        Self(id.into())
    }

    /// Takes a name that came from outside: up to 64 letters, digits, hyphens, dots and underscores. So long may the
    /// organisation in a certificate be (RFC 5280, A.1).
    pub fn named(text: &str) -> Option<Self> {
        let is_good = |byte: u8| byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'.' | b'_');
        let good = (1..=64).contains(&text.len()) && text.bytes().all(is_good);
        good.then(|| Self::new(text))
    }

    /// The name.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for ShopId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}
