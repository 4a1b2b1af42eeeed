//! Statistics over many judged heads: one pass, mergeable, without clock, database or wire.

mod gauge;
mod process;
mod special;
mod summary;

pub use gauge::*;
pub use process::*;
pub use summary::*;
