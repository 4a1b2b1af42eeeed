//! Certificates as text: RFC 7468, 5.

use super::Certificate;
use crate::identity::read_pem;
use crate::{Error, Result};

impl Certificate {
    /// All certificates of a text, in its order; other blocks, and what stands between them, are passed over.
    ///
    /// # Errors
    /// [`Error::Certificate`] when there is none, or one cannot be read.
    pub fn from_pem(text: &[u8]) -> Result<Vec<Self>> {
        let found = read_pem(text, None)?.certificates;
        if found.is_empty() {
            return Err(Error::Certificate("there is none in the file".to_owned()));
        }
        found.iter().map(|der| Self::from_der(der)).collect()
    }
}
