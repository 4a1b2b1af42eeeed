//! The secret that private keys at rest are locked with.

use std::fmt;

use zeroize::{Zeroize, ZeroizeOnDrop, Zeroizing};

use crate::{Error, Result, hex};

/// 32 random bytes; as text 64 hex digits.
///
/// It is overwritten when it is dropped, and [`Debug`](fmt::Debug) does not show it.
///
/// ```
/// let secret = headproof_seal::Secret::from_text(&"0f".repeat(32)).unwrap();
/// assert_eq!(secret.to_text().as_str(), "0f".repeat(32));
/// assert_eq!(format!("{secret:?}"), "Secret(..)");
/// ```
#[derive(Clone, PartialEq, Eq, Zeroize, ZeroizeOnDrop)]
pub struct Secret([u8; 32]);

impl Secret {
    /// A new one.
    ///
    /// # Errors
    /// [`Error::Random`] when the system gives no random bytes.
    pub fn random() -> Result<Self> {
        let mut secret = Self([0; 32]);
        getrandom::fill(&mut secret.0).map_err(|_| Error::Random)?;
        Ok(secret)
    }

    /// One that was written as text; white space around it, as at the end of a file, does not count.
    ///
    /// # Errors
    /// [`Error::Secret`] for anything but 64 hex digits.
    pub fn from_text(text: &str) -> Result<Self> {
        let bytes = Zeroizing::new(hex::decode(text.trim().as_bytes()).ok_or(Error::Secret)?);
        Ok(Self(bytes.as_slice().try_into().map_err(|_| Error::Secret)?))
    }

    /// The text of it, one line without its end.
    #[must_use]
    pub fn to_text(&self) -> Zeroizing<String> {
        Zeroizing::new(hex::encode(&self.0))
    }

    /// The bytes themselves, for whatever is derived from them.
    pub(crate) const fn bytes(&self) -> &[u8] {
        &self.0
    }
}

impl fmt::Debug for Secret {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("Secret(..)")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_secret_comes_back_from_its_text() {
        let secret = Secret::random().unwrap();
        assert_eq!(Secret::from_text(&format!("{}\n", *secret.to_text())).unwrap(), secret);
        assert!(Secret::random().unwrap() != secret);
        for wrong in ["", "0f", &"0g".repeat(32), &"0f".repeat(33)] {
            assert_eq!(Secret::from_text(wrong).unwrap_err(), Error::Secret);
        }
    }
}
