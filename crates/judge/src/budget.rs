//! The uncertainty budget of one derived value.

use headproof_head::{Contribution, InstrumentIndex, Instruments, Reading};
use headproof_metrology::Combination;
use headproof_quantity::{Dimension, Kind};

use crate::context::{Context, KnownAngle};

/// Sums up the contributions of the readings a value depends on, each with the value's sensitivity to it.
///
/// Readings of an instrument that states a correlation are correlated so far; all others are independent.
/// The scatter of repeats and the steps of a scale always are.
///
/// Source: JCGM 100:2008, 5.1.2 and 5.2.2 (clause numbers from memory).
#[derive(Debug, Clone)]
pub(crate) struct Budget<'a> {
    instruments: &'a Instruments,
    combination: Combination,
    known: bool,
    /// The gauge of the greatest contribution so far, and how great that is.
    gauge: Option<(f64, InstrumentIndex)>,
    /// Kept only where somebody asked for it.
    lines: Option<Vec<Contribution>>,
}

/// The name of a reading: what it is, and its place in a series of them from 1.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Input(pub(crate) &'static str, pub(crate) Option<u16>);

impl From<&'static str> for Input {
    fn from(name: &'static str) -> Self {
        Self(name, None)
    }
}

/// The `index`-th of a series, from 0.
pub(crate) fn nth(name: &'static str, index: usize) -> Input {
    Input(name, u16::try_from(index + 1).ok())
}

impl<'a> Budget<'a> {
    pub(crate) fn new(context: &Context<'a>) -> Self {
        Self {
            instruments: &context.set.instruments,
            combination: Combination::default(),
            known: true,
            gauge: None,
            lines: context.explain.then(Vec::new),
        }
    }

    /// One reading. One of unknown uncertainty makes that of the value unknown too, unless the value does
    /// not depend on it.
    pub(crate) fn reading<D: Dimension>(
        &mut self,
        input: impl Into<Input>,
        sensitivity: f64,
        reading: &Reading<D>,
    ) {
        let uncertainty = reading.uncertainty().map(|u| u.get());
        let instrument = reading.instrument();
        match (uncertainty, reading.uncertainty_of_the_gauge()) {
            (Some(all), Some(of_the_gauge)) => {
                self.add(sensitivity, all, of_the_gauge.get(), instrument);
            }
            _ => self.known &= sensitivity == 0.0,
        }
        self.note(input, D::KIND, sensitivity, uncertainty, instrument);
    }

    /// An angle, measured or taken from the profile.
    pub(crate) fn angle(&mut self, input: &'static str, sensitivity: f64, angle: &KnownAngle<'_>) {
        match angle {
            KnownAngle::Measured(reading) => self.reading(input, sensitivity, reading),
            KnownAngle::Nominal { uncertainty, .. } => {
                self.constant(input, Kind::Angle, sensitivity, *uncertainty);
            }
        }
    }

    /// Something that is known without a reading, as well as it is known.
    pub(crate) fn constant(
        &mut self,
        input: &'static str,
        kind: Kind,
        sensitivity: f64,
        uncertainty: Option<f64>,
    ) {
        match uncertainty {
            Some(u) => self.combination.independent(sensitivity * u),
            None => self.known &= sensitivity == 0.0,
        }
        self.note(input, kind, sensitivity, uncertainty, None);
    }

    fn add(&mut self, sensitivity: f64, all: f64, of_the_gauge: f64, instrument: Option<InstrumentIndex>) {
        let size = (sensitivity * all).abs();
        if let Some(index) = instrument.filter(|_| self.gauge.is_none_or(|(most, _)| size > most)) {
            self.gauge = Some((size, index));
        }
        let gauge = instrument.and_then(|index| Some((index, self.instruments.get(index)?)));
        match gauge {
            Some((index, gauge)) if gauge.correlation > 0.0 => {
                let step = gauge.uncertainty_of_a_step();
                let common = (of_the_gauge * of_the_gauge - step * step).max(0.0);
                self.combination.shared(index.0, gauge.correlation, sensitivity * libm::sqrt(common));
                let own = (all * all - common).max(0.0);
                self.combination.independent(sensitivity * libm::sqrt(own));
            }
            _ => self.combination.independent(sensitivity * all),
        }
    }

    fn note(
        &mut self,
        input: impl Into<Input>,
        kind: Kind,
        sensitivity: f64,
        uncertainty: Option<f64>,
        instrument: Option<InstrumentIndex>,
    ) {
        if let Some(lines) = &mut self.lines {
            let Input(input, number) = input.into();
            lines.push(Contribution { input, number, kind, sensitivity, uncertainty, instrument });
        }
    }

    /// The gauge that the greatest contribution of a single reading comes from.
    pub(crate) fn gauge(&self) -> Option<InstrumentIndex> {
        self.gauge.map(|(_, index)| index)
    }

    /// The combined standard uncertainty, when every contribution is known and finite, and what it is made
    /// of where that was asked for.
    pub(crate) fn close(self) -> (Option<f64>, Vec<Contribution>) {
        let total = self.known.then(|| self.combination.total()).filter(|u| u.is_finite());
        (total, self.lines.unwrap_or_default())
    }
}
