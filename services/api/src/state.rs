//! What handlers share.

use std::sync::Arc;

use headproof_store::{ShopId, Store};

/// How large a request may be.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// Bytes of one document, after decompression.
    pub document_bytes: usize,
    /// Bytes of one batch, after decompression.
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
    /// Where jobs are kept.
    pub store: Store,
    /// The shop every request belongs to.
    pub shop: ShopId,
    /// How large a request may be.
    pub limits: Limits,
    /// Called after work was accepted.
    pub wake: Wake,
}
