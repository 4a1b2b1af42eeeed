//! What many heads say together: a summary with what fails most, what the process can do, and its charts.

mod amounts;
mod axis;
mod block;
mod capability;
mod chart;
mod codes;
mod figures;
mod histogram;
mod pareto;
mod plot;
mod report;
mod signs;
mod summary;
mod words;

use std::fmt::{self, Write};

use headproof_wire::statistics::Statistics;
use sha2::{Digest, Sha256};

use crate::flow::Flow;

pub use report::statistics_report;

/// Draws all of it from where the page in work has come to.
pub(crate) fn draw(flow: &mut Flow, statistics: &Statistics) {
    summary::draw(flow, statistics);
    pareto::draw(flow, statistics);
    capability::draw(flow, statistics);
    figures::draw(flow, statistics);
}

/// Names statistics among what a file is made from: SHA-256, in hex, of how they are written for debugging, which
/// has every field; two that differ anywhere have two names.
pub(crate) fn digest(statistics: &Statistics) -> String {
    struct Hashed(Sha256);
    impl Write for Hashed {
        fn write_str(&mut self, text: &str) -> fmt::Result {
            self.0.update(text);
            Ok(())
        }
    }
    let mut hashed = Hashed(Sha256::new());
    // Hashing does not fail, and neither does what is derived.
    let written = write!(hashed, "{statistics:?}");
    debug_assert!(written.is_ok());
    hashed.0.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}
