//! Which trace a piece of work belongs to: W3C Trace Context (Recommendation of 23 November 2021), whether or not
//! traces are sent anywhere.

mod parent;
mod span;

pub use parent::TraceParent;
pub use span::join;
