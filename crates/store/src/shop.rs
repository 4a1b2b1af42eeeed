//! Whose data it is.

use std::fmt;

/// The name of a shop. Every row belongs to one, and every read on behalf of a client names it.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct ShopId(String);

impl ShopId {
    /// Takes the name as it is; what a well-formed name is, the caller decides.
    pub fn new(id: impl Into<String>) -> Self {
        Self(id.into())
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
