//! Values that could be judged.

use headproof_head::{Contribution, InstrumentIndex, Place, Reading};
use headproof_quantity::{Dimension, Exact, Kind, Rounded};

use crate::budget::Budget;

/// A value that could be judged, and where it was found.
#[derive(Debug, Clone)]
pub(crate) struct Candidate {
    pub(crate) place: Place,
    pub(crate) value: Value,
    pub(crate) uncertainty: Option<f64>,
    pub(crate) gauge: Option<InstrumentIndex>,
    pub(crate) budget: Vec<Contribution>,
}

/// A value on its way to the grid.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Value {
    /// Read, or a difference of readings: a decimal.
    Exact(Exact),
    /// What a formula gave.
    Computed(f64),
}

/// The values of one characteristic at all its places; the worst is judged.
pub(crate) type Candidates = Vec<Candidate>;

impl Candidate {
    pub(crate) fn computed(place: Place, value: f64, budget: Budget<'_>) -> Self {
        Self::new(place, Value::Computed(value), budget)
    }

    pub(crate) fn exact(place: Place, value: Exact, budget: Budget<'_>) -> Self {
        Self::new(place, Value::Exact(value), budget)
    }

    fn new(place: Place, value: Value, budget: Budget<'_>) -> Self {
        let gauge = budget.gauge();
        let (uncertainty, budget) = budget.close();
        Self { place, value, uncertainty, gauge, budget }
    }

    /// A reading as it is.
    pub(crate) fn read<D: Dimension>(place: Place, reading: &Reading<D>) -> Self {
        let uncertainty = reading.uncertainty().map(|u| u.get());
        let value = Value::Exact(reading.value().exact());
        Self { place, value, uncertainty, gauge: reading.instrument(), budget: Vec::new() }
    }

    /// What is known without reading anything.
    pub(crate) const fn known(place: Place, value: Exact) -> Self {
        Self { place, value: Value::Exact(value), uncertainty: Some(0.0), gauge: None, budget: Vec::new() }
    }

    /// The value on the grid of its dimension.
    pub(crate) fn rounded(&self, kind: Kind) -> Option<Rounded> {
        match self.value {
            Value::Exact(exact) => Rounded::from_exact(exact, kind),
            Value::Computed(value) => Rounded::from_computed(value, kind),
        }
    }
}
