//! The shipped examples as documents.

use std::error::Error;

use headproof_wire::examples::{Example, WORKSHOP};
use headproof_wire::gauge_study::GaugeStudyRequest;
use headproof_wire::{MeasurementSet, TargetProfile, Workshop, read};

/// A shipped set.
pub(crate) fn set(shipped: Example) -> Result<MeasurementSet, Box<dyn Error>> {
    read(shipped.text.as_bytes()).map_err(|error| format!("{}: {error}", shipped.name).into())
}

/// A shipped profile.
pub(crate) fn profile(shipped: Example) -> Result<TargetProfile, Box<dyn Error>> {
    read(shipped.text.as_bytes()).map_err(|error| format!("{}: {error}", shipped.name).into())
}

/// The shipped workshop: invented, as the names of its cutters say.
pub(crate) fn workshop() -> Result<Workshop, Box<dyn Error>> {
    read(WORKSHOP.text.as_bytes()).map_err(|error| format!("{}: {error}", WORKSHOP.name).into())
}

/// A shipped study of a gauge.
pub(crate) fn gauge_study(shipped: Example) -> Result<GaugeStudyRequest, Box<dyn Error>> {
    read(shipped.text.as_bytes()).map_err(|error| format!("{}: {error}", shipped.name).into())
}
