//! How many faults are told.

use headproof_wire::{Fault, MOST_FAULTS};

/// Keeps a fault unless there are [`MOST_FAULTS`] already; then it is not even made.
pub(crate) fn record(faults: &mut Vec<Fault>, fault: impl FnOnce() -> Fault) {
    if faults.len() < MOST_FAULTS {
        faults.push(fault());
    }
}
