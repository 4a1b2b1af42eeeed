//! What the fuzzer does with a document: hold what the service makes of it against what may be expected of
//! any answer, and make other documents out of it.
//!
//! libFuzzer keeps every document that reaches something new in the service, and calls [`mutate`] and
//! [`cross`] to make the next ones from those.

mod check;
mod dice;
mod grow;
mod mutate;
mod numbers;
mod outline;
mod planned;
mod pointer;
mod promises;
mod shape;

pub use check::check;
pub use mutate::{cross, mutate};

// Brings what the instrumented code calls.
#[cfg(test)]
use libfuzzer_sys as _;
