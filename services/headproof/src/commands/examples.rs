//! The shipped examples as documents.

use std::error::Error;

use headproof_wire::examples::Example;
use headproof_wire::{MeasurementSet, TargetProfile, read};

/// A shipped set.
pub(crate) fn set(shipped: Example) -> Result<MeasurementSet, Box<dyn Error>> {
    read(shipped.text.as_bytes()).map_err(|error| format!("{}: {error}", shipped.name).into())
}

/// A shipped profile.
pub(crate) fn profile(shipped: Example) -> Result<TargetProfile, Box<dyn Error>> {
    read(shipped.text.as_bytes()).map_err(|error| format!("{}: {error}", shipped.name).into())
}
