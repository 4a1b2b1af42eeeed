//! What the client takes (RFC 9110, 12.5.1).

use actix_web::http::header::{ACCEPT, HeaderMap};

/// Does the client take this media type? Whoever does not say takes everything; a range that cannot be read says nothing.
pub(crate) fn takes(headers: &HeaderMap, media_type: &str) -> bool {
    weight(headers, media_type) > 0
}

/// The media type that the client likes best, of those it takes; of those it likes alike, the first.
pub(crate) fn preferred<'a>(headers: &HeaderMap, media_types: &[&'a str]) -> Option<&'a str> {
    let weighted = media_types.iter().map(|media_type| (weight(headers, media_type), *media_type));
    weighted.filter(|(weight, _)| *weight > 0).rev().max_by_key(|(weight, _)| *weight).map(|(_, best)| best)
}

/// How much the client likes a media type, 0 to 1000 thousandths.
fn weight(headers: &HeaderMap, media_type: &str) -> u16 {
    let said: Vec<_> = headers.get_all(ACCEPT).filter_map(|line| line.to_str().ok()).collect();
    let ranges = said.iter().flat_map(|line| line.split(',')).filter_map(range);
    let mut any = false;
    let ranges = ranges.inspect(|_| any = true);
    // The closest range counts; of equal ones, the one that lets it through best.
    let best = ranges.filter_map(|(range, weight)| Some((closeness(range, media_type)?, weight))).max();
    best.map_or(if any { 0 } else { 1000 }, |(_, weight)| weight)
}

/// A range of media types, and its weight in thousandths; one that cannot be read is 0.
fn range(text: &str) -> Option<(&str, u16)> {
    let mut parts = text.split(';').map(str::trim);
    let range = parts.next().filter(|range| range.contains('/'))?;
    let weight = parts.find_map(|part| part.strip_prefix("q=").or_else(|| part.strip_prefix("Q=")));
    let thousandths = |weight: &str| {
        let weight = weight.parse::<f32>().ok().filter(|weight| *weight > 0.0)?;
        Some(((weight * 1000.0) as u16).clamp(1, 1000))
    };
    Some((range, weight.map_or(1000, |weight| thousandths(weight).unwrap_or(0))))
}

/// How closely a range describes a media type; none when it does not. JSON by its general name is good enough for
/// whatever is written in it (RFC 6839, 3.1).
fn closeness(range: &str, media_type: &str) -> Option<u8> {
    let (kind, name) = media_type.split_once('/')?;
    let (wished_kind, wished) = range.split_once('/')?;
    if (wished_kind, wished) == ("*", "*") {
        return Some(0);
    }
    if !wished_kind.eq_ignore_ascii_case(kind) {
        return None;
    }
    match wished {
        "*" => Some(1),
        _ if wished.eq_ignore_ascii_case("json") && name.ends_with("+json") => Some(2),
        _ => wished.eq_ignore_ascii_case(name).then_some(3),
    }
}

#[cfg(test)]
mod tests {
    use actix_web::http::header::HeaderValue;

    use super::*;

    #[track_caller]
    fn check(accept: &[&str], media_type: &str, expected: bool) {
        let named = |value: &&str| (ACCEPT, HeaderValue::from_str(value).unwrap());
        let headers: HeaderMap = accept.iter().map(named).collect();
        assert_eq!(takes(&headers, media_type), expected, "{accept:?} {media_type}");
    }

    #[test]
    fn the_closest_range_says_what_is_taken() {
        for (accept, taken) in [
            ("*/*", true),
            ("application/*", true),
            ("application/json", true),
            ("Application/JSON; charset=utf-8", true),
            ("text/html, application/json;q=0.1", true),
            ("text/html,*/*;q=0.5", true),
            ("application/pdf", false),
            ("text/*, image/png", false),
            ("application/json;q=0", false),
            ("*/*, application/json;q=0", false),
            ("*/*, application/*; q=0.000", false),
            ("*/*;q=0, application/json", true),
            ("application/*;q=0, */*, application/json;q=0.3", true),
            ("application/schema+json", false),
            ("", true),
            ("nonsense", true),
        ] {
            check(&[accept], "application/json", taken);
        }
        check(&[], "application/pdf", true);
        check(&["text/html", "application/pdf"], "application/pdf", true);
        check(&["text/html", "image/*"], "application/pdf", false);
        check(&["application/json"], "application/schema+json", true);
        check(&["application/json, application/schema+json;q=0"], "application/schema+json", false);
    }
}
