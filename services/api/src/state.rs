//! What handlers share.

use std::sync::Arc;

use headproof_client::ClientError;
use headproof_seal::Secret;
use headproof_store::{Store, Who};

use crate::access::{Access, Gate};

/// How large a request may be.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// Bytes of one document, after decompression.
    pub document_bytes: usize,
    /// Bytes of one batch, or of one file to be verified, after decompression.
    pub batch_bytes: usize,
    /// Lines of one batch.
    pub batch_lines: usize,
}

impl Default for Limits {
    fn default() -> Self {
        Self { document_bytes: 4 << 20, batch_bytes: 64 << 20, batch_lines: 1000 }
    }
}

/// Called when there may be new work: a hint to a worker in the same process.
pub type Wake = Arc<dyn Fn() + Send + Sync>;

/// What handlers share.
#[derive(Clone)]
pub struct ApiState {
    pub(crate) store: Store,
    pub(crate) gate: Gate,
    pub(crate) limits: Limits,
    pub(crate) wake: Wake,
    pub(crate) secret: Arc<Secret>,
}

impl ApiState {
    /// `store` is where all is kept, `access` says who is let in, `wake` is called after work was accepted, and
    /// `secret` locks the keys of people.
    ///
    /// # Errors
    /// When nothing could be asked of the identity provider, because the certificates of the system cannot be read.
    pub fn new(
        store: Store,
        access: Access,
        limits: Limits,
        wake: Wake,
        secret: Arc<Secret>,
    ) -> Result<Self, ClientError> {
        Ok(Self { gate: Gate::new(access, store.clone())?, store, limits, wake, secret })
    }
}

/// Whoever works at the machine itself, to the audit trail.
#[must_use]
pub fn operator() -> Who {
    Who { kind: "operator".to_owned(), id: String::new(), name: "at the machine".to_owned() }
}
