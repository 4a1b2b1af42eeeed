//! The client against a service that fails in every way it can be asked to.

#![expect(clippy::unwrap_used, reason = "tests")]

mod batches;
mod downloads;
mod lists;
mod retries;
mod service;
