//! The gauges.

use headproof_head as head;
use headproof_judge::COVERAGE_FACTOR;
use headproof_quantity::{Kind, Unit};

use super::Writer;
use crate::{Instrument, Measures};

impl Writer<'_> {
    /// A gauge; `None` for one of a dimension that no gauge of a document measures. Readings made with such
    /// a one state their uncertainty themselves.
    pub(super) fn instrument(self, instrument: &head::Instrument) -> Option<Instrument> {
        let head::Instrument {
            id,
            description,
            measures: kind,
            standard_uncertainty,
            correlation,
            resolution,
            calibration_due,
        } = instrument;
        Some(Instrument {
            id: id.clone(),
            description: description.clone(),
            measures: measures(*kind)?,
            expanded_uncertainty: self.expanded(*kind, *standard_uncertainty),
            coverage_factor: COVERAGE_FACTOR,
            correlation: (*correlation > 0.0).then(|| Unit::One.number_near(*correlation)),
            resolution: resolution.map(|resolution| self.units.unit(*kind).number_near(resolution)),
            // A date shows itself as YYYY-MM-DD.
            calibration_due: calibration_due.map(|date| date.to_string()),
        })
    }
}

/// The word for what a gauge measures.
pub(super) const fn measures(kind: Kind) -> Option<Measures> {
    Some(match kind {
        Kind::Length => Measures::Length,
        Kind::Angle => Measures::Angle,
        Kind::Force => Measures::Force,
        Kind::Volume => Measures::Volume,
        Kind::Pressure => Measures::Pressure,
        Kind::Roughness => Measures::Roughness,
        Kind::Temperature => Measures::Temperature,
        Kind::Time => Measures::Time,
        Kind::Ratio | Kind::Flow | Kind::SpringRate | Kind::Frequency | Kind::TemperatureDifference => {
            return None;
        }
    })
}
