//! What makes a repeated request the same request.

use std::fmt;
use std::str::FromStr;

use reqwest::header::HeaderValue;
use uuid::Uuid;

/// The longest key in characters.
const LONGEST: usize = 200;

/// A key that a client thinks of for something it wants made. The same key with the same content gives the thing that was
/// made the first time; with other content it is refused.
///
/// Source: draft-ietf-httpapi-idempotency-key-header, where the header `Idempotency-Key` is a String of RFC 8941, 3.3.3.
///
/// ```
/// use headproof_client::IdempotencyKey;
///
/// assert!("order 4711, head 2".parse::<IdempotencyKey>().is_ok());
/// assert!("Zylinderköpfe".parse::<IdempotencyKey>().is_err() && "".parse::<IdempotencyKey>().is_err());
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct IdempotencyKey(String);

impl IdempotencyKey {
    /// A new one (UUID version 7, RFC 9562).
    #[must_use]
    pub fn new() -> Self {
        Self(Uuid::now_v7().to_string())
    }

    /// The value of the header.
    pub(crate) fn header(&self) -> HeaderValue {
        let escaped = self.0.replace('\\', r"\\").replace('"', r#"\""#);
        HeaderValue::from_str(&format!("\"{escaped}\""))
            .unwrap_or_else(|_| unreachable!("printable ASCII can stand in a header"))
    }
}

impl Default for IdempotencyKey {
    fn default() -> Self {
        Self::new()
    }
}

impl FromStr for IdempotencyKey {
    type Err = &'static str;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let fits =
            (1..=LONGEST).contains(&text.len()) && text.bytes().all(|byte| matches!(byte, b' '..=b'~'));
        if fits { Ok(Self(text.to_owned())) } else { Err("1 to 200 printable characters of ASCII") }
    }
}

impl fmt::Display for IdempotencyKey {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_is_written_as_a_string_of_structured_fields() {
        let header = |text: &str| text.parse::<IdempotencyKey>().unwrap().header();
        assert_eq!(header("order 7"), r#""order 7""#);
        assert_eq!(header(r#"a "b" \c"#), r#""a \"b\" \\c""#);
        assert_ne!(IdempotencyKey::new(), IdempotencyKey::new());
        assert_eq!(IdempotencyKey::new().header().len(), 38);
        for wrong in ["", "a\nb", "\t", "ü", "\u{7f}", &"x".repeat(201)] {
            assert!(wrong.parse::<IdempotencyKey>().is_err(), "{wrong:?}");
        }
    }
}
