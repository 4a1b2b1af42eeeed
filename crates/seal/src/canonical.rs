//! The identity of a record: its canonical form and the digest of it.

use serde::Serialize;
use sha2::{Digest as _, Sha256};

use crate::hex;

/// A document has no canonical form.
#[derive(Debug, thiserror::Error)]
#[error("no canonical form: {0}")]
pub struct SealError(String);

/// The canonical form of a document.
///
/// Source: RFC 8785. Numbers are written as ECMAScript writes doubles, which is exact because no number
/// on the wire has more than 15 significant digits.
///
/// # Errors
/// [`SealError`] when the value cannot be written as JSON.
///
/// ```
/// let value = serde_json::json!({"b": 1.0, "a": "\u{20ac}"});
/// assert_eq!(headproof_seal::canonical(&value).unwrap(), "{\"a\":\"€\",\"b\":1}".as_bytes());
/// ```
pub fn canonical(document: &impl Serialize) -> Result<Vec<u8>, SealError> {
    serde_jcs::to_vec(document).map_err(|error| SealError(error.to_string()))
}

/// SHA-256 in lower-case hex.
///
/// Source: FIPS 180-4.
///
/// ```
/// let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
/// assert_eq!(headproof_seal::digest(b"abc"), abc);
/// ```
#[must_use]
pub fn digest(bytes: &[u8]) -> String {
    hex::encode(&Sha256::digest(bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers: RFC 8785, Appendix B (from memory); key order by UTF-16 code units: clause 3.2.3.
    #[test]
    fn canonical_numbers_and_keys_are_those_of_the_standard() {
        let value: serde_json::Value = serde_json::from_str(
            r#"{"\ufb33":1,"\ud83d\ude00":2,"numbers":[333333333.33333329,1E30,4.50,2e-3,0.000000000000000000000000001]}"#,
        )
        .unwrap();
        let expected =
            "{\"numbers\":[333333333.3333333,1e+30,4.5,0.002,1e-27],\"\u{1f600}\":2,\"\u{fb33}\":1}";
        assert_eq!(String::from_utf8(canonical(&value).unwrap()).unwrap(), expected);
    }

    #[test]
    fn a_record_read_back_has_the_same_digest() {
        let once = canonical(&serde_json::json!({"measured": 0.0508, "deviation": -0.0002})).unwrap();
        let value: serde_json::Value = serde_json::from_slice(&once).unwrap();
        assert_eq!(digest(&canonical(&value).unwrap()), digest(&once));
    }
}
