//! The audit trail: who did what, each entry bound to the one before it by its digest.
//!
//! An entry is one line of canonical JSON (RFC 8785) that holds the SHA-256 of the line before it. Whoever has noted
//! how far a trail reached ([`Checkpoint`]) can tell later whether anything up to there was changed, taken out or
//! put in. What came after the newest noted checkpoint can be cut off, or written anew, without a trace: a chain
//! alone does not show where it ends. Source of the method: common practice, no source.

mod entry;
mod verify;

pub use entry::{Entry, Event, Happening, Who};
pub use verify::{Break, Chain, Checkpoint, verify};

/// What the first entry names as the digest of the one before it.
pub const BEGINNING: &str = "0000000000000000000000000000000000000000000000000000000000000000";

/// SHA-256 of a line, in hex (FIPS 180-4): what the next line names.
///
/// ```
/// let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
/// assert_eq!(headproof_trail::digest(b"abc"), abc);
/// ```
#[must_use]
pub fn digest(line: &[u8]) -> String {
    use std::fmt::Write;

    use sha2::{Digest as _, Sha256};
    Sha256::digest(line).iter().fold(String::with_capacity(64), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}
