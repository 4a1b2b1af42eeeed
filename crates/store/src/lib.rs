//! The store of headproof: heads, jobs, evaluations, plans, profiles, batches, tasks and artifacts; keys, people,
//! certificates, sign-offs and the audit trail.
//!
//! It keeps opaque bytes and knows no document format, no HTTP and no PDF. Behind one small
//! interface, [`Store`], stand an embedded SQLite database and plain files in one data directory;
//! several processes may open the same directory at once.
//!
//! What it promises:
//!
//! - A submitted job is committed and synced to disk before the call returns, together with its
//!   evaluation, its plan if it has one, and its task.
//! - A task is handed out under a lease. Its attempt number is counted when it is claimed and is the
//!   fencing token: whoever lost the lease can neither finish nor fail the task, nor replace a file.
//! - A task fails for good only by its own doing: an attempt that failed because the store did can be
//!   given back without being one less ([`Retry::Uncounted`]).
//! - An artifact becomes visible exactly once.
//! - What was submitted, made and signed stands in the audit trail in the same transaction. A sign-off, a
//!   certificate and an entry of the trail are never changed or removed.
//! - A reader of one shop cannot tell another shop's id from an unknown one.

mod artifacts;
mod batches;
mod certificates;
mod clock;
mod error;
mod files;
mod jobs;
mod keys;
mod open;
mod people;
mod profiles;
mod queue;
mod shop;
mod sign_offs;
mod sql;
mod trail;

pub use artifacts::{ArtifactKind, ArtifactRecord};
pub use batches::{BatchRecord, NewBatch};
pub use certificates::{CertificateRecord, NewCertificate};
pub use clock::Clock;
pub use error::{Error, Result};
pub use jobs::{JobContent, JobDocuments, JobRecord, NewEvaluation, NewJob, Plan};
pub use keys::{KeyRecord, NewKey};
pub use open::{Options, Store};
pub use people::{NewPerson, PersonRecord};
pub use profiles::{NewProfile, ProfileRecord, ProfileSummary, PutProfile};
pub use queue::{Claim, Retry, TaskState, TaskStatus};
pub use shop::ShopId;
pub use sign_offs::{NewSignOff, SignOffRecord, Signing, SigningContext};
pub use trail::{By, Checkpoint, Event, Happening, Who};
