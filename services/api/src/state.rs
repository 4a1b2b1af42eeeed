//! What handlers share.

use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use headproof_client::ClientError;
use headproof_seal::{Certificate, Secret};
use headproof_store::{By, Store, Who};
use tokio::sync::Semaphore;

use crate::access::{Access, Gate, Quotas};
use crate::backlog::Backlog;
use crate::batch::Spool;
use crate::webhooks::{Checks, Webhooks};

/// How large a request may be, and how many there may be.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// Bytes of one document, after decompression.
    pub document_bytes: usize,
    /// Bytes of one batch, after decompression.
    pub batch_bytes: usize,
    /// Bytes of one file that is to be verified.
    pub file_bytes: usize,
    /// Lines of one batch.
    pub batch_lines: usize,
    /// Tasks of one shop that may wait.
    pub open_tasks: u32,
    /// Requests with a body that are answered at once.
    pub in_flight: usize,
    /// Requests of one caller in each window; 0 is without a limit.
    pub requests: u32,
    /// The window, in whole seconds.
    pub window: Duration,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            document_bytes: 4 << 20,
            batch_bytes: 1 << 30,
            file_bytes: 16 << 20,
            batch_lines: 20_000,
            open_tasks: 100_000,
            in_flight: 64,
            requests: 12_000,
            window: Duration::from_secs(60),
        }
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
    pub(crate) quotas: Arc<Quotas>,
    pub(crate) room: Arc<Semaphore>,
    pub(crate) wake: Wake,
    pub(crate) signatures: Signatures,
    pub(crate) spool: Spool,
    pub(crate) backlog: Backlog,
    pub(crate) webhooks: Checks,
}

/// What is asked of every release in this installation, whatever the profile asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ReleaseRules {
    /// Another person has to have signed as inspected before.
    pub two_persons: bool,
    /// A head that does not conform may be released by a concession.
    pub concessions: bool,
    /// The head has to have been judged by a stored profile.
    pub stored_profiles: bool,
}

impl Default for ReleaseRules {
    fn default() -> Self {
        Self { two_persons: false, concessions: true, stored_profiles: false }
    }
}

/// What signatures are made and looked at with.
#[derive(Debug, Clone)]
pub struct Signatures {
    /// What locks the keys of people.
    pub secret: Arc<Secret>,
    /// What is asked of a release.
    pub rules: ReleaseRules,
    /// Those whose timestamps are believed.
    pub timestamp_authorities: Arc<[Certificate]>,
}

impl ApiState {
    /// `store` is where all is kept, `access` says who is let in, and `wake` is called after work was accepted; `spool` is
    /// a directory where batches are laid down while they come in.
    ///
    /// # Errors
    /// When nothing could be asked of the identity provider, because the certificates of the system cannot be read.
    pub fn new(
        store: Store,
        access: Access,
        limits: Limits,
        wake: Wake,
        signatures: Signatures,
        webhooks: Webhooks,
        spool: PathBuf,
    ) -> Result<Self, ClientError> {
        let webhooks = Checks::new(webhooks)?;
        let (gate, backlog) = (Gate::new(access, store.clone())?, Backlog::of(limits.open_tasks));
        let quotas = Arc::new(Quotas::new(limits.requests, limits.window));
        let room = Arc::new(Semaphore::new(limits.in_flight));
        let spool = Spool::new(spool);
        Ok(Self { gate, store, limits, quotas, room, wake, signatures, spool, backlog, webhooks })
    }
}

/// Whoever works at the machine itself, to the audit trail.
#[must_use]
pub fn operator() -> By {
    let who = Who { kind: "operator".to_owned(), id: String::new(), name: "at the machine".to_owned() };
    By { who, request: None }
}
