//! Signatures in files: ISO 32000-2, 12.8, and PAdES, ETSI EN 319 142-1.

mod inspect;
mod locate;
mod placeholder;
mod sign;

pub use inspect::{Integrity, SignedPdf, inspect_pdf};
pub use sign::{PdfToSign, Signature, room_for};
