//! The second pass: the whole document as a value, with what a typed pass cannot see.

use std::collections::HashSet;
use std::fmt;

use serde::Deserialize;
use serde::de::{MapAccess, Visitor};
use serde_json::Value;
use serde_json::value::RawValue;

use super::{MOST_DIGITS, ReadError};
use crate::Fault;
use crate::pointer::At;
use crate::problem::record;

/// No document of ours is nested this deep.
const DEEPEST: usize = 32;

/// The members of an object in order, repeated keys included.
struct Members<'a>(Vec<(String, &'a RawValue)>);

impl<'de: 'a, 'a> Deserialize<'de> for Members<'a> {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct MembersVisitor;
        impl<'de> Visitor<'de> for MembersVisitor {
            type Value = Members<'de>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("an object")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Members<'de>, A::Error> {
                let mut members = Vec::new();
                while let Some(member) = map.next_entry()? {
                    members.push(member);
                }
                Ok(Members(members))
            }
        }
        deserializer.deserialize_map(MembersVisitor)
    }
}

/// The document as a value, and the faults of its text: repeated keys, long numbers, too deep nesting.
pub(super) fn audit(bytes: &[u8]) -> Result<(Value, Vec<Fault>), ReadError> {
    let not_json = |error: serde_json::Error| ReadError::NotJson(error.to_string());
    let raw: &RawValue = serde_json::from_slice(bytes).map_err(not_json)?;
    let mut faults = Vec::new();
    let value = walk(raw, &At::Root, DEEPEST, &mut faults).map_err(not_json)?;
    Ok((value, faults))
}

fn walk(
    raw: &RawValue,
    at: &At<'_>,
    depth: usize,
    faults: &mut Vec<Fault>,
) -> Result<Value, serde_json::Error> {
    let text = raw.get();
    let first = text.as_bytes().first().copied().unwrap_or(b' ');
    if depth == 0 && matches!(first, b'{' | b'[') {
        record(faults, || Fault::new(at.pointer(), "is nested too deep".into(), None));
        return Ok(Value::Null);
    }
    match first {
        b'{' => object(text, at, depth, faults),
        b'[' => {
            let elements: Vec<&RawValue> = serde_json::from_str(text)?;
            let values = elements
                .iter()
                .enumerate()
                .map(|(index, raw)| walk(raw, &at.element(index), depth - 1, faults));
            values.collect::<Result<Vec<_>, _>>().map(Value::Array)
        }
        b'-' | b'0'..=b'9' => Ok(number(text, at, faults)),
        b'"' => Ok(serde_json::from_str(text).unwrap_or_else(|_| unpaired(at, faults))),
        _ => serde_json::from_str(text),
    }
}

/// The only thing that JSON allows in a text and no text can hold. Source: RFC 8259, clause 8.2.
fn unpaired(at: &At<'_>, faults: &mut Vec<Fault>) -> Value {
    record(faults, || Fault::new(at.pointer(), "holds half of a surrogate pair".into(), None));
    Value::String(char::REPLACEMENT_CHARACTER.into())
}

fn object(
    text: &str,
    at: &At<'_>,
    depth: usize,
    faults: &mut Vec<Fault>,
) -> Result<Value, serde_json::Error> {
    let Members(members) = serde_json::from_str(text)?;
    let mut seen = HashSet::with_capacity(members.len());
    let mut object = serde_json::Map::new();
    for (key, raw) in &members {
        let at = at.member(key);
        if !seen.insert(key.as_str()) {
            record(faults, || Fault::new(at.pointer(), "stands more than once".into(), None));
        }
        object.insert(key.clone(), walk(raw, &at, depth - 1, faults)?);
    }
    Ok(Value::Object(object))
}

fn number(text: &str, at: &At<'_>, faults: &mut Vec<Fault>) -> Value {
    let mut fault = |detail: String| {
        record(faults, || {
            let shown: String = text.chars().take(60).collect();
            Fault::new(at.pointer(), detail, Some(Value::String(shown)))
        });
    };
    let mantissa = text.split(['e', 'E']).next().unwrap_or(text);
    let digits = mantissa.chars().filter(char::is_ascii_digit).collect::<String>();
    let significant = digits.trim_start_matches('0');
    let significant = if mantissa.contains('.') { significant } else { significant.trim_end_matches('0') };
    if significant.len() > MOST_DIGITS {
        fault(format!("has more than {MOST_DIGITS} significant digits"));
    }
    match serde_json::from_str::<Value>(text) {
        Ok(value) if value.as_f64() == Some(0.0) && !significant.is_empty() => {
            fault("is too small to be told from zero".into());
            value
        }
        Ok(value) => value,
        Err(_) => {
            fault("is out of the range of numbers".into());
            Value::from(0)
        }
    }
}
