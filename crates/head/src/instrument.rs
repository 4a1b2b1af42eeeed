//! The gauges of a measurement set.

use headproof_quantity::Kind;
use time::Date;

/// Where an instrument stands in the set's list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct InstrumentIndex(pub u16);

/// A gauge with its stated quality.
#[derive(Debug, Clone, PartialEq)]
pub struct Instrument {
    /// The shop's own name of it, unique in the set.
    pub id: String,
    /// What sort of gauge (outside micrometer, dial indicator …).
    pub description: String,
    /// What it measures.
    pub measures: Kind,
    /// One standard deviation in the base unit of `measures`.
    pub standard_uncertainty: f64,
    /// How far the errors of its readings go together: 0 not at all, 1 altogether.
    pub correlation: f64,
    /// Smallest step it shows, in the base unit.
    pub resolution: Option<f64>,
    /// Last day on which its calibration holds.
    pub calibration_due: Option<Date>,
}

impl Instrument {
    /// What the steps of its scale leave open: half a step either way, evenly.
    ///
    /// Source: JCGM 100:2008, F.2.2.1 (clause number from memory).
    #[must_use]
    pub fn uncertainty_of_a_step(&self) -> f64 {
        self.resolution.unwrap_or(0.0) / 12f64.sqrt()
    }
}

/// All gauges of a set, found by name or index.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Instruments(Vec<Instrument>);

impl Instruments {
    /// The gauges in the order of the set.
    #[must_use]
    pub const fn new(instruments: Vec<Instrument>) -> Self {
        Self(instruments)
    }

    /// The gauge of that name.
    #[must_use]
    pub fn find(&self, id: &str) -> Option<(InstrumentIndex, &Instrument)> {
        let at = self.0.iter().position(|instrument| instrument.id == id)?;
        Some((InstrumentIndex(u16::try_from(at).ok()?), &self.0[at]))
    }

    /// The gauge at that index.
    #[must_use]
    pub fn get(&self, index: InstrumentIndex) -> Option<&Instrument> {
        self.0.get(usize::from(index.0))
    }

    /// All gauges in order.
    pub fn iter(&self) -> impl Iterator<Item = &Instrument> {
        self.0.iter()
    }
}
