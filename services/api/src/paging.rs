//! Long lists, page by page: `limit` and `cursor`, and a `Link` to the next page (RFC 8288).

use actix_web::http::header::LINK;
use actix_web::{HttpRequest, HttpResponse, web};
use data_encoding::BASE64URL_NOPAD;
use headproof_store::{Page, Place};
use serde::Serialize;
use time::OffsetDateTime;
use uuid::Uuid;

use crate::{ApiError, ProblemKind};

/// Members of a page, where nothing is said.
const USUAL: u32 = 100;
/// At most.
const MOST: u32 = 1000;

/// The page that a request asks for.
///
/// # Errors
/// [`ProblemKind::BadRequest`] for a limit or cursor that is none.
pub(crate) fn page(http: &HttpRequest) -> Result<Page, ApiError> {
    let (limit, cursor) = (parameter(http, "limit")?, parameter(http, "cursor")?);
    let bad = |detail: String| ApiError::because(ProblemKind::BadRequest, detail);
    let most = match limit {
        None => USUAL,
        Some(text) => text
            .parse()
            .ok()
            .filter(|limit| (1..=MOST).contains(limit))
            .ok_or_else(|| bad(format!("limit must be a number from 1 to {MOST}")))?,
    };
    let after = cursor
        .map(|text| place(&text).ok_or_else(|| bad("cursor is none that was given out".to_owned())))
        .transpose()?;
    Ok(Page { after, most })
}

/// A parameter of the query.
///
/// # Errors
/// [`ProblemKind::BadRequest`] when the query is none.
pub(crate) fn parameter(http: &HttpRequest, name: &str) -> Result<Option<String>, ApiError> {
    let pairs = web::Query::<Vec<(String, String)>>::from_query(http.query_string());
    let pairs = pairs.map_err(|_| ApiError::because(ProblemKind::BadRequest, "the query makes no sense"))?;
    Ok(pairs.into_inner().into_iter().find(|(key, _)| key == name).map(|(_, value)| value))
}

/// A page as an answer; full ones say where the next is.
pub(crate) fn answer<T: Serialize>(
    http: &HttpRequest,
    page: Page,
    items: Vec<T>,
    last: Option<Place>,
) -> HttpResponse {
    let mut response = HttpResponse::Ok();
    if items.len() == page.most as usize
        && let Some(last) = last
    {
        response.insert_header((LINK, format!("<{}>; rel=\"next\"", next(http, last))));
    }
    response.json(items)
}

/// The address of the request, with another cursor.
fn next(http: &HttpRequest, last: Place) -> String {
    let others =
        http.query_string().split('&').filter(|pair| !pair.is_empty() && !pair.starts_with("cursor="));
    let cursor = format!("cursor={}", cursor(last));
    let query: Vec<&str> = others.chain([cursor.as_str()]).collect();
    format!("{}?{}", http.path(), query.join("&"))
}

/// A place as a word that clients give back unchanged.
fn cursor(Place { at, id }: Place) -> String {
    let ms = i64::try_from(at.unix_timestamp_nanos() / 1_000_000).unwrap_or_default();
    let mut bytes = ms.to_be_bytes().to_vec();
    bytes.extend(id.as_bytes());
    BASE64URL_NOPAD.encode(&bytes)
}

fn place(cursor: &str) -> Option<Place> {
    let bytes = BASE64URL_NOPAD.decode(cursor.as_bytes()).ok()?;
    let (ms, id) = bytes.split_first_chunk::<8>()?;
    let nanoseconds = i128::from(i64::from_be_bytes(*ms)) * 1_000_000;
    let at = OffsetDateTime::from_unix_timestamp_nanos(nanoseconds).ok()?;
    Some(Place { at, id: Uuid::from_slice(id).ok()? })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cursor_leads_back_to_its_place_and_other_words_lead_nowhere()
    -> Result<(), time::error::ComponentRange> {
        let at = OffsetDateTime::from_unix_timestamp(1_780_000_000)? + time::Duration::milliseconds(123);
        let there = Place { at, id: Uuid::from_u128(7) };
        assert_eq!(place(&cursor(there)), Some(there));
        for word in ["", "a", "AAAA", "!", &cursor(there)[1..]] {
            assert_eq!(place(word), None, "{word}");
        }
        Ok(())
    }
}
