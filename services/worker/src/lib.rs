//! The worker: takes tasks from the store, renders what they ask for, and hands it back.
//!
//! Work is done at least once and becomes visible exactly once: the store fences off whoever lost a lease.

mod render;
mod run;
mod work;

pub use run::{Nudge, WorkerOptions, run};
