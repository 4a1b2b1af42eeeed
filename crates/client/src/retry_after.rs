//! When whoever was asked wants to be asked again.

use std::time::Duration;

use reqwest::header::{HeaderMap, RETRY_AFTER};

/// A year, in seconds: nobody waits longer.
const LONGEST: u64 = 365 * 24 * 3600;

/// The header `Retry-After` (RFC 9110, 10.2.3), where it is a count of seconds; a date is passed over.
pub(crate) fn retry_after(headers: &HeaderMap) -> Option<Duration> {
    let text = headers.get(RETRY_AFTER)?.to_str().ok()?.trim();
    let is_count = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    // A count that is too large to be one is a very long time.
    is_count.then(|| Duration::from_secs(text.parse().unwrap_or(LONGEST).min(LONGEST)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn seconds_are_understood_and_nothing_else() {
        let of = |text: &str| retry_after(&[(RETRY_AFTER, text.parse().unwrap())].into_iter().collect());
        assert_eq!(of("0"), Some(Duration::ZERO));
        assert_eq!(of(" 120 "), Some(Duration::from_secs(120)));
        assert_eq!(of("99999999999999999999999"), Some(Duration::from_secs(LONGEST)));
        for other in ["", "-1", "+1", "1.5", "soon", "Fri, 31 Dec 1999 23:59:59 GMT"] {
            assert_eq!(of(other), None, "{other}");
        }
        assert_eq!(retry_after(&HeaderMap::new()), None);
    }
}
