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
    /// Where: a JSON Pointer (RFC 6901) into the request body.
    pub pointer: String,
    /// What is wrong there.
    pub detail: String,
    /// The offending value, shortened when it is long.
    #[schema(value_type = Option<Object>)]
    pub value: Option<serde_json::Value>,
}

impl Fault {
    /// A fault; a long value is left out.
    #[must_use]
    pub fn new(pointer: String, detail: String, value: Option<serde_json::Value>) -> Self {
        const LONGEST: usize = 200;
        let value = value.filter(|value| value.to_string().len() <= LONGEST);
        Self { pointer, detail, value }
    }
}
