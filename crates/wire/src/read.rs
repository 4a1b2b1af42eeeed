//! Reading a posted document: one typed pass, and a second one that collects every fault when it fails.

mod audit;
mod explain;
mod forms;
pub(crate) mod lists;
mod patch;
mod prune;

use serde::de::DeserializeOwned;

use crate::Fault;
use crate::problem::{MOST_FAULTS, record};
use crate::schema::{Document, definition};

/// Why a document was refused.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ReadError {
    /// Not JSON at all.
    #[error("not JSON: {0}")]
    NotJson(String),
    /// JSON, but not such a document.
    #[error("{} faults", .0.len())]
    Faults(Vec<Fault>),
}

/// Digits beyond which shortest double, canonical JSON and exact decimal no longer agree.
const MOST_DIGITS: usize = 15;

/// Reads a document.
///
/// # Errors
/// [`ReadError::NotJson`] for what is no JSON; [`ReadError::Faults`] with every fault and its JSON Pointer
/// otherwise: unknown or missing fields, wrong types, repeated keys, numbers of more than 15 digits. There are
/// at most a thousand of them, and none is longer than a kilobyte.
pub fn read<T: DeserializeOwned + Document>(bytes: &[u8]) -> Result<T, ReadError> {
    if !may_hold_long_number(bytes)
        && !may_hold_tiny_number(bytes)
        && !lists::may_hold_misplaced_list(bytes, T::list_names())
        && let Ok(document) = serde_json::from_slice(bytes)
    {
        return Ok(document);
    }
    let (mut value, mut faults) = audit::audit(bytes)?;
    if let Some(schema) = definition(T::ROOT) {
        prune::prune(&mut value, schema);
    }
    explain::schema_faults(T::validator(), &value, &mut faults);
    if faults.is_empty() {
        match serde_json::from_slice(bytes) {
            Ok(document) => return Ok(document),
            Err(error) => record(&mut faults, || Fault::new(String::new(), error.to_string(), None)),
        }
    }
    if faults.len() < MOST_FAULTS {
        for fault in patch::content_faults::<T>(value, &faults) {
            record(&mut faults, || fault);
        }
    }
    Err(ReadError::Faults(faults))
}

/// Could there be a number of more than [`MOST_DIGITS`] digits? Quick: any run that long covers one
/// whole aligned block of eight bytes.
fn may_hold_long_number(bytes: &[u8]) -> bool {
    let digit = |byte: u8| (b'.'..=b'9').contains(&byte);
    let long_around = |start: usize| {
        let before = bytes[..start].iter().rev().take_while(|byte| digit(**byte)).count();
        let after = bytes[start..].iter().take_while(|byte| digit(**byte)).count();
        before + after > MOST_DIGITS
    };
    let blocks = bytes.chunks_exact(8).enumerate();
    blocks.filter(|(_, block)| block.iter().all(|byte| digit(*byte))).any(|(index, _)| long_around(index * 8))
}

/// Could there be a number too small for a double to tell from zero? Such a one has an exponent of at
/// least three digits below zero.
fn may_hold_tiny_number(bytes: &[u8]) -> bool {
    let is_tiny = |minus: usize| {
        let (before, after) = (&bytes[..minus], &bytes[minus + 1..]);
        matches!(before, [.., b'0'..=b'9', b'e' | b'E'])
            && after.len() >= 3
            && after[..3].iter().all(u8::is_ascii_digit)
    };
    memchr::memchr_iter(b'-', bytes).any(is_tiny)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tiny_numbers_are_seen_wherever_they_stand() {
        for shift in 0..130 {
            let spaces = " ".repeat(shift);
            assert!(may_hold_tiny_number(format!("{spaces}1e-400").as_bytes()), "{shift}");
            assert!(may_hold_tiny_number(format!("{spaces}0.5E-333 ").as_bytes()), "{shift}");
            for harmless in ["0.5, engine", "1e-15", "\"1E-12\"", "1E1"] {
                assert!(
                    !may_hold_tiny_number(format!("{spaces}{harmless}").as_bytes()),
                    "{shift} {harmless}"
                );
            }
        }
    }

    #[test]
    fn long_runs_of_digits_are_seen_wherever_they_begin() {
        for shift in 0..20 {
            let spaces = " ".repeat(shift);
            assert!(may_hold_long_number(format!("{spaces}0.0508000000000001 ").as_bytes()), "{shift}");
            assert!(!may_hold_long_number(format!("{spaces}0.1234567890123 x").as_bytes()), "{shift}");
        }
    }
}
