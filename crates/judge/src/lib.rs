//! The judgement: a measurement set held against a target profile.
//!
//! One table lists every characteristic with its formula, source and uncertainty model; the sums
//! themselves are in `metrology`. A value is rounded once, here, to the grid of its dimension, and
//! compared with its limits on that grid.

mod budget;
mod candidate;
mod characteristic;
mod context;
mod evaluate;
mod findings;
mod lines;
mod row;
mod sums;
mod table;
mod verdict;

pub use characteristic::{Characteristic, Measure, Scope, Shown};
pub use evaluate::{COVERAGE_FACTOR, JudgeBy, evaluate, evaluate_explained};
pub use table::{characteristic, high_side, table};
