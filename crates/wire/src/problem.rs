//! Problem details (RFC 9457) and the faults of a document.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

/// What went wrong, as `application/problem+json` (RFC 9457).
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Problem {
    /// Stable name of the kind of problem, a URI reference.
    #[serde(rename = "type")]
    pub kind: String,
    /// The kind in a few words.
    pub title: String,
    /// The HTTP status.
    pub status: u16,
    /// What happened this time.
    pub detail: Option<String>,
    /// Every fault of the document.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub errors: Vec<Fault>,
}

/// One fault of a document.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Fault {
    /// Where: a JSON Pointer (RFC 6901) into the request body; overlong names in it are shortened.
    pub pointer: String,
    /// What is wrong there.
    pub detail: String,
    /// The offending value, left out when it is long.
    #[schema(value_type = Option<serde_json::Value>)]
    pub value: Option<serde_json::Value>,
}

/// Most faults reported at once: a client learns nothing from the ten-thousandth.
pub const MOST_FAULTS: usize = 1000;

/// Longest detail in characters: some quote what was posted.
const LONGEST_DETAIL: usize = 300;

/// Longest value in bytes of JSON.
const LONGEST_VALUE: usize = 200;

impl Fault {
    /// A fault; a long value is left out, a long detail cut.
    #[must_use]
    pub fn new(pointer: String, mut detail: String, value: Option<serde_json::Value>) -> Self {
        if let Some((end, _)) = detail.char_indices().nth(LONGEST_DETAIL) {
            detail.truncate(end);
            detail.push('…');
        }
        Self { pointer, detail, value: value.filter(is_short) }
    }

    /// A fault of a value that may be long: it is copied only when it is shown.
    pub(crate) fn of(pointer: String, detail: String, value: &serde_json::Value) -> Self {
        Self::new(pointer, detail, is_short(value).then(|| value.clone()))
    }
}

/// Keeps a fault unless there are [`MOST_FAULTS`] already; then it is not even made.
pub(crate) fn record(faults: &mut Vec<Fault>, fault: impl FnOnce() -> Fault) {
    if faults.len() < MOST_FAULTS {
        faults.push(fault());
    }
}

/// Can a value be shown? Stops at the first byte too many, however long the value is.
fn is_short(value: &serde_json::Value) -> bool {
    serde_json::to_writer([0; LONGEST_VALUE].as_mut_slice(), value).is_ok()
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn what_is_long_is_left_out_or_cut() {
        // Two quotation marks belong to the JSON of a text.
        let value = |length: usize| Fault::of(String::new(), String::new(), &json!("x".repeat(length))).value;
        assert_eq!(value(LONGEST_VALUE - 2), Some(json!("x".repeat(LONGEST_VALUE - 2))));
        assert_eq!(value(LONGEST_VALUE - 1), None);
        let detail = |length: usize| Fault::new(String::new(), "ü".repeat(length), None).detail;
        assert_eq!(detail(LONGEST_DETAIL), "ü".repeat(LONGEST_DETAIL));
        assert_eq!(detail(LONGEST_DETAIL + 1), "ü".repeat(LONGEST_DETAIL) + "…");
    }

    #[test]
    fn beyond_the_most_no_fault_is_made() {
        let mut faults = Vec::new();
        for _ in 0..MOST_FAULTS {
            record(&mut faults, || Fault::new(String::new(), "one".into(), None));
        }
        record(&mut faults, || panic!("one too many was made"));
        assert_eq!(faults.len(), MOST_FAULTS);
    }
}
