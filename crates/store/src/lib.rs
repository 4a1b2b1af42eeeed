//! The store of headproof: heads, jobs, evaluations, plans, profiles, batches, tasks and artifacts; keys, people,
//! certificates, sign-offs and the audit trail; receivers of events and what they are told.
//!
//! It keeps opaque bytes and knows no document format, no HTTP and no PDF. Behind one small interface, [`Store`], stand
//! an embedded SQLite database and plain files in one data directory, which several processes may open at once; or a
//! PostgreSQL server and a bucket (S3), which several machines may. What it does is the same, and so are its statements.
//!
//! What it promises:
//!
//! - A submitted job is committed and synced to disk before the call returns, together with its
//!   evaluation, its plan if it has one, and its task. A request of the same key makes nothing again ([`Once`]).
//! - A task is handed out under a lease. Its attempt number is counted when it is claimed and is the
//!   fencing token: whoever lost the lease can neither finish nor fail the task, nor replace a file.
//! - A task fails for good only by its own doing: an attempt that failed because the store did can be
//!   given back without being one less ([`Retry::Uncounted`]).
//! - An artifact becomes visible exactly once.
//! - What was submitted, made and signed stands in the audit trail in the same transaction, and so does what receivers
//!   are to be told of it. A sign-off, a certificate and an entry of the trail are never changed or removed.
//! - A reader of one shop cannot tell another shop's id from an unknown one.

mod artifacts;
mod batches;
mod certificates;
mod clock;
mod copy;
mod db;
mod deliveries;
mod disposal;
mod error;
mod files;
mod jobs;
mod keys;
mod migrations;
mod objects;
mod observations;
mod open;
mod origin;
mod page;
mod people;
mod profiles;
mod queue;
mod receivers;
mod repeated;
mod shop;
mod sign_offs;
mod sql;
mod trail;

pub use artifacts::{ArtifactKind, ArtifactRecord};
pub use batches::{BatchRecord, BatchRefused, Line, LineContent, NewBatch, OpenBatch, Progress, RefusedLine};
pub use certificates::{CertificateRecord, NewCertificate};
pub use clock::Clock;
pub use copy::Copied;
pub(crate) use deliveries::Telling;
pub use deliveries::{DeliveryClaim, DeliveryRecord, DeliveryState, Failure, Message};
pub use disposal::DisposalRecord;
pub use error::{Error, Result};
pub use jobs::{JobContent, JobDocuments, JobRecord, JobsOf, NewEvaluation, NewJob, Plan};
pub use keys::{KeyRecord, NewKey};
pub use objects::Bucket;
pub use observations::{Observations, ObservationsOf, ObservationsRecord};
pub use open::{Artifacts, Location, Options, Records, Server, Store};
pub use origin::{Origin, Priority};
pub use page::{Page, Place};
pub use people::{NewPerson, PersonRecord};
pub use profiles::{NewProfile, ProfileRecord, ProfileSummary, PutProfile};
pub use queue::{Backlog, Claim, Retry, TaskState, TaskStatus};
pub use receivers::{NewReceiver, ReceiverRecord, ReceiverState};
pub use repeated::{Made, Once};
pub use shop::ShopId;
pub use sign_offs::{NewSignOff, SignOffRecord, Signing, SigningContext};
pub use trail::{By, Checkpoint, Event, Happening, Who};
