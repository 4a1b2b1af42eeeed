//! The worker: takes tasks from the store, has what they ask for rendered, signs it where that is asked for, and hands
//! it back.
//!
//! Work is done at least once and becomes visible exactly once: the store fences off whoever lost a lease.
//! An attempt that came to nothing because the store failed is given back and does not count.

mod alarm;
mod deliver;
mod error;
mod housekeeping;
mod message;
mod refusal;
mod render;
mod renderer;
mod run;
mod signing;
mod together;
#[cfg(test)]
mod trial;
#[cfg(test)]
mod trial_batches;
mod work;

pub use deliver::DeliveryOptions;
pub use housekeeping::Retention;
pub use renderer::{Bounds, RendererCommand, render_until_end_of_input};
pub use run::{Duties, Nudge, WorkerOptions, run};
pub use signing::SigningOptions;
