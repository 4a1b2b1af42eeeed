//! A typed client of the service's HTTP interface, as a shop system would use it, and requests to other services.
//!
//! - [`Client`]: every call that may be made again is made again when the service or the way to it fails ([`Retries`]). What
//!   makes something shows an [`IdempotencyKey`], so that it is made once however often it was asked for.
//! - [`outgoing`]: requests to addresses that an operator has configured.
//! - [`GuardedClient`]: requests to addresses that clients have given.

mod batches;
mod call;
mod client;
mod download;
mod error;
mod guarded;
mod idempotency;
mod jobs;
mod outgoing;
mod pages;
mod retry;
mod retry_after;
mod shop;
mod statistics;
mod upload;

pub use batches::BatchesAsked;
pub use client::Client;
pub use error::ClientError;
pub use guarded::{Answer, DeliveryError, Found, Guard, GuardedClient, Lookup, SystemLookup};
pub use idempotency::IdempotencyKey;
pub use jobs::JobsAsked;
pub use outgoing::{body_up_to, is_address, is_safe_address, outgoing};
pub use pages::Page;
pub use retry::Retries;
pub use statistics::{ReportAsked, StatisticsAsked};
pub use upload::{BatchFormat, Upload};
