//! The worker: takes tasks from the store, renders what they ask for, and hands it back.
//!
//! Work is done at least once and becomes visible exactly once: the store fences off whoever lost a lease.
//! An attempt that came to nothing because the store failed is given back and does not count.

mod error;
mod render;
mod run;
#[cfg(test)]
mod trial;
mod work;

pub use run::{Nudge, WorkerOptions, run};
