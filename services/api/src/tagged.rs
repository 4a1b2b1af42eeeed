//! Answers with a tag of their bytes, and requests that ask under a condition (RFC 9110, 13).

use actix_web::http::header::{ETAG, HeaderMap, HeaderName, IF_MATCH, IF_NONE_MATCH};
use actix_web::web::Bytes;
use actix_web::{HttpRequest, HttpResponse};

use crate::accept::takes;
use crate::{ApiError, ProblemKind};

/// A body with its SHA-256 digest as its tag; 304 when the client has it.
///
/// Nothing here says when it was modified, and parts are not sent, so of the conditions these two are left (13.2.2).
///
/// # Errors
/// [`ProblemKind::NotAcceptable`] when the client does not take the media type, [`ProblemKind::PreconditionFailed`] when it
/// wants another one.
pub(crate) fn tagged(
    http: &HttpRequest,
    digest: &str,
    media_type: &'static str,
    bytes: impl Into<Bytes>,
) -> Result<HttpResponse, ApiError> {
    if !takes(http.headers(), media_type) {
        return Err(ApiError::because(ProblemKind::NotAcceptable, format!("it is {media_type}")));
    }
    let is_wanted = condition(http.headers(), &IF_MATCH).is_none_or(|wanted| wanted.names(digest, false));
    if !is_wanted {
        return Err(ApiError::new(ProblemKind::PreconditionFailed));
    }
    let has_it = condition(http.headers(), &IF_NONE_MATCH).is_some_and(|known| known.names(digest, true));
    let mut response = if has_it { HttpResponse::NotModified() } else { HttpResponse::Ok() };
    response.insert_header((ETAG, format!("\"{digest}\"")));
    Ok(if has_it { response.finish() } else { response.content_type(media_type).body(bytes.into()) })
}

/// The same for bytes whose digest nobody has kept.
///
/// # Errors
/// As [`tagged`].
pub(crate) fn digested(
    http: &HttpRequest,
    media_type: &'static str,
    bytes: impl Into<Bytes>,
) -> Result<HttpResponse, ApiError> {
    let bytes = bytes.into();
    tagged(http, &headproof_seal::digest(&bytes), media_type, bytes)
}

/// What a condition names.
#[derive(Debug, PartialEq, Eq)]
enum Condition {
    /// Whatever there is.
    Any,
    /// Tags without their quotes, and whether each is weak.
    Tags(Vec<(bool, Vec<u8>)>),
}

impl Condition {
    /// Does it name these bytes? Weak tags do so only where that is enough (8.8.3.2).
    fn names(&self, digest: &str, weak_is_enough: bool) -> bool {
        match self {
            Self::Any => true,
            Self::Tags(tags) => {
                tags.iter().any(|(weak, tag)| (weak_is_enough || !weak) && tag == digest.as_bytes())
            }
        }
    }
}

/// What a header says, in however many lines (5.3); none where it is not there.
fn condition(headers: &HeaderMap, name: &HeaderName) -> Option<Condition> {
    let lines: Vec<&[u8]> = headers.get_all(name).map(|line| line.as_bytes().trim_ascii()).collect();
    match lines[..] {
        [] => None,
        [b"*"] => Some(Condition::Any),
        _ => Some(Condition::Tags(lines.into_iter().flat_map(tags).collect())),
    }
}

/// The tags of a line, up to what is none (8.8.3: a tag may hold commas).
fn tags(mut line: &[u8]) -> Vec<(bool, Vec<u8>)> {
    let mut found = Vec::new();
    loop {
        while let [b' ' | b'\t' | b',', rest @ ..] = line {
            line = rest;
        }
        let (weak, quoted) = line.strip_prefix(b"W/").map_or((false, line), |quoted| (true, quoted));
        let [b'"', rest @ ..] = quoted else { return found };
        let Some(end) = rest.iter().position(|byte| *byte == b'"') else { return found };
        found.push((weak, rest[..end].to_vec()));
        line = &rest[end + 1..];
    }
}

#[cfg(test)]
mod tests {
    use actix_web::ResponseError;
    use actix_web::http::header::IF_MODIFIED_SINCE;
    use actix_web::test::TestRequest;

    use super::*;

    /// The status that is answered for bytes with the tag `"a"`.
    fn answered(headers: &[(HeaderName, &str)]) -> u16 {
        let add = |request: TestRequest, (name, value): &(HeaderName, &str)| {
            request.append_header((name.clone(), *value))
        };
        let request = headers.iter().fold(TestRequest::get(), add).to_http_request();
        let answer = tagged(&request, "a", "text/plain", "body");
        answer.unwrap_or_else(|error| error.error_response()).status().as_u16()
    }

    #[test]
    fn what_the_client_has_is_not_sent_again() {
        for (value, status) in [
            ("\"a\"", 304),
            ("W/\"a\"", 304),
            ("*", 304),
            ("\"b\",\"a\"", 304),
            ("\"b\" ,, W/\"c\",\t\"a\"", 304),
            ("\"b\"", 200),
            ("\"b,\"a\"", 200),
            ("\"b, \"a\"\"", 200),
            ("a", 200),
            ("w/\"a\"", 200),
            ("\"*\"", 200),
            ("\"b\", *", 200),
            ("", 200),
        ] {
            assert_eq!(answered(&[(IF_NONE_MATCH, value)]), status, "{value}");
        }
        assert_eq!(answered(&[(IF_NONE_MATCH, "\"b\""), (IF_NONE_MATCH, "\"a\"")]), 304);
        assert_eq!(answered(&[]), 200);
    }

    /// 13.2.2: first whether it is the one, then whether the client has it; times do not count here.
    #[test]
    fn conditions_are_looked_at_in_their_order() {
        for (value, status) in
            [("\"a\"", 200), ("*", 200), ("\"b\"", 412), ("W/\"a\"", 412), ("nonsense", 412)]
        {
            assert_eq!(answered(&[(IF_MATCH, value)]), status, "{value}");
        }
        assert_eq!(answered(&[(IF_MATCH, "\"b\""), (IF_NONE_MATCH, "\"a\"")]), 412);
        assert_eq!(answered(&[(IF_MATCH, "\"a\""), (IF_NONE_MATCH, "\"a\"")]), 304);
        let late = "Fri, 31 Dec 2049 23:59:59 GMT";
        assert_eq!(answered(&[(IF_MODIFIED_SINCE, late)]), 200);
        assert_eq!(answered(&[(IF_MODIFIED_SINCE, late), (IF_NONE_MATCH, "\"b\"")]), 200);
    }
}
