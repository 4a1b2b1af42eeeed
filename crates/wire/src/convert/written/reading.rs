//! Numbers and readings, in the units of the document.

use headproof_head::{self as head, Instrument};
use headproof_judge::COVERAGE_FACTOR;
use headproof_quantity::{Dimension, Kind, Quantity, StandardUncertainty};

use super::Writer;
use super::instrument::measures;
use crate::{Reading, ReadingDetail};

impl<'s> Writer<'s> {
    /// A quantity as a number.
    pub(super) fn number<D: Dimension>(self, quantity: Quantity<D>) -> f64 {
        self.units.unit(D::KIND).number_of(quantity.exact())
    }

    /// A standard uncertainty in the base unit, expanded, as a number.
    pub(super) fn expanded(self, kind: Kind, standard: f64) -> f64 {
        self.units.unit(kind).number_near(COVERAGE_FACTOR * standard)
    }

    /// A reading: bare when neither an uncertainty nor an instrument is known.
    pub(super) fn reading<D: Dimension>(self, reading: head::Reading<D>) -> Reading {
        let value = self.number(reading.value());
        let Some(uncertainty) = reading.uncertainty() else {
            // On the wire whoever names an instrument has its uncertainty, and this reading has none.
            return Reading::Plain(value);
        };
        let instrument = self.instrument_of(reading);
        let stated = self.stated(uncertainty, instrument);
        Reading::Detailed(Box::new(ReadingDetail {
            value: Some(value),
            repeats: None,
            instrument: instrument.map(|instrument| instrument.id.clone()),
            expanded_uncertainty: stated,
            coverage_factor: stated.map(|_| COVERAGE_FACTOR),
        }))
    }

    /// A reading that may be missing.
    pub(super) fn optional<D: Dimension>(self, reading: Option<head::Reading<D>>) -> Option<Reading> {
        reading.map(|reading| self.reading(reading))
    }

    /// A list of readings.
    pub(super) fn list<D: Dimension>(self, readings: &[head::Reading<D>]) -> Vec<Reading> {
        readings.iter().map(|reading| self.reading(*reading)).collect()
    }

    /// The instrument of a reading, when a document can name it there.
    fn instrument_of<D: Dimension>(self, reading: head::Reading<D>) -> Option<&'s Instrument> {
        let instrument = self.instruments.get(reading.instrument()?)?;
        (instrument.measures == D::KIND && measures(D::KIND).is_some()).then_some(instrument)
    }

    /// The expanded uncertainty, where the instrument alone would not give the same number.
    fn stated<D: Dimension>(
        self,
        uncertainty: StandardUncertainty<D>,
        instrument: Option<&Instrument>,
    ) -> Option<f64> {
        let expanded = self.expanded(D::KIND, uncertainty.get());
        let of_the_instrument =
            instrument.map(|instrument| self.expanded(D::KIND, instrument.standard_uncertainty));
        (of_the_instrument.map(f64::to_bits) != Some(expanded.to_bits())).then_some(expanded)
    }
}
