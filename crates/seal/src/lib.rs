//! What makes a record stand: its canonical form and digest, and signatures on the file that shows it.
//!
//! - [`canonical`] and [`digest`]: two documents that say the same have the same canonical form (RFC 8785,
//!   JSON Canonicalization Scheme), so that a digest names what was said and not how it was spelled.
//! - [`Certificate`] and [`Identity`]: who signs. A shop may be its own authority or bring what it was given
//!   by another; a private key at rest is locked with a [`Secret`].
//! - [`PdfToSign`] and [`Signature`]: a PAdES baseline signature (ETSI EN 319 142-1) in the place that the
//!   writer of a file left for it, with or without a timestamp (RFC 3161).
//! - [`inspect_pdf`]: what a signature in a file is worth.
//! - [`WebhookSecret`], [`sign_webhook`] and [`verify_webhook`]: signatures of messages to other systems.
//! - [`Secret::wrap`] and [`Secret::unwrap`]: small secrets at rest.
//!
//! The crate knows no HTTP, no database, no page and no clock.

mod algorithm;
mod asn1;
mod canonical;
mod certificate;
mod cms;
mod error;
mod hex;
mod identity;
mod key;
mod pdf;
mod pkcs12;
mod secret;
mod timestamp;
mod trust;
mod webhook;
mod wrap;

pub use canonical::{SealError, canonical, digest};
pub use certificate::Certificate;
pub use error::{Error, Result};
pub use identity::{Identity, Locked};
pub use pdf::{Integrity, PdfToSign, Signature, SignedPdf, inspect_pdf, room_for};
pub use secret::Secret;
pub use timestamp::Timestamp;
pub use trust::Trust;
pub use webhook::{
    WebhookMessage, WebhookRefusal, WebhookSecret, sign_webhook, verify_webhook, webhook_purpose,
};
