//! Requests that may be sent again: `Idempotency-Key` (IETF draft-ietf-httpapi-idempotency-key-header-07).

use actix_web::{HttpMessage, HttpRequest};
use headproof_store::Once;

use crate::{ApiError, ProblemKind};

/// The header.
pub(crate) const HEADER: &str = "Idempotency-Key";
/// The longest key.
const LONGEST: usize = 255;

/// The digest of the body of a request, kept with it by whoever read it.
#[derive(Clone)]
pub(crate) struct BodyDigest(pub(crate) String);

/// By what a request is known when it is sent again, if it names a key. The fingerprint is over path and body: the same
/// key with anything else is a mistake of the client.
///
/// # Errors
/// [`ProblemKind::BadRequest`] when the header is no key.
pub(crate) fn once(http: &HttpRequest, operation: &'static str) -> Result<Option<Once>, ApiError> {
    let mut all = http.headers().get_all(HEADER);
    let Some(value) = all.next() else { return Ok(None) };
    let key = value.to_str().ok().and_then(read).filter(|_| all.next().is_none());
    let key = key.ok_or_else(|| {
        let detail = format!("{HEADER} must be one string of 1 to {LONGEST} printable ASCII characters");
        ApiError::because(ProblemKind::BadRequest, detail)
    })?;
    let body = http.extensions().get::<BodyDigest>().map(|digest| digest.0.clone()).unwrap_or_default();
    let fingerprint = headproof_seal::digest(format!("{}\n{body}", http.path()).as_bytes());
    Ok(Some(Once { operation, key, fingerprint }))
}

/// A string of RFC 9651, 3.3.3, or a bare one.
fn read(value: &str) -> Option<String> {
    let value = value.trim();
    let key = match value.strip_prefix('"') {
        None => value.to_owned(),
        Some(rest) => unquoted(rest.strip_suffix('"')?)?,
    };
    let printable = key.bytes().all(|byte| (0x20..0x7F).contains(&byte));
    ((1..=LONGEST).contains(&key.len()) && printable).then_some(key)
}

/// What stands between the quotes, with `\"` and `\\` as what they stand for.
fn unquoted(inner: &str) -> Option<String> {
    let mut key = String::with_capacity(inner.len());
    let mut characters = inner.chars();
    while let Some(character) = characters.next() {
        key.push(match character {
            '\\' => characters.next().filter(|next| matches!(next, '"' | '\\'))?,
            '"' => return None,
            other => other,
        });
    }
    Some(key)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The first is the example of the draft, 2.1.
    #[test]
    fn a_key_is_a_quoted_string_or_a_bare_one() {
        let example = "8e03978e-40d5-43dd-bc93-6894a57f9324";
        assert_eq!(read(&format!("\"{example}\"")).as_deref(), Some(example));
        assert_eq!(read(example).as_deref(), Some(example));
        assert_eq!(read(r#""a\"b\\c""#).as_deref(), Some(r#"a"b\c"#));
        let long = "k".repeat(256);
        for bad in ["", "\"\"", "\"a", "\"a\"b\"", r#""a\n""#, "ä", &long] {
            assert_eq!(read(bad), None, "{bad}");
        }
    }
}
