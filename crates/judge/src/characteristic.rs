//! What a row of the table holds.

use headproof_head::{CharacteristicId, MeasurementSet, MissingCause, Place, Port};
use headproof_quantity::{Exact, Kind, Rounded};

use crate::context::Context;

/// One characteristic of a head: what it is, where it comes from, how its uncertainty is found.
#[derive(Debug)]
pub struct Characteristic {
    /// Stable name, as profiles and evaluations write it.
    pub id: CharacteristicId,
    /// Name for people.
    pub title: &'static str,
    /// The formula in words or symbols.
    pub formula: &'static str,
    /// Where the formula comes from.
    pub source: &'static str,
    /// How its uncertainty is found.
    pub uncertainty: &'static str,
    pub(crate) measure: Measure,
    pub(crate) derive: Derive,
}

/// What kind of value a characteristic has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// An amount of a dimension, held against bounds.
    Amount(Kind),
    /// Found in order or not.
    InOrder,
}

/// What a characteristic belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scope {
    /// The head as a whole.
    Head,
    /// Each cylinder.
    Cylinder,
    /// Each port.
    Port,
}

/// A value that could be judged, and where it was found.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Candidate {
    pub(crate) place: Place,
    pub(crate) value: Value,
    pub(crate) uncertainty: Option<f64>,
}

/// A value on its way to the grid.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Value {
    /// Read, or a difference of readings: a decimal.
    Exact(Exact),
    /// What a formula gave.
    Computed(f64),
}

impl Candidate {
    pub(crate) const fn computed(place: Place, value: f64, uncertainty: Option<f64>) -> Self {
        Self { place, value: Value::Computed(value), uncertainty }
    }

    pub(crate) const fn exact(place: Place, value: Exact, uncertainty: Option<f64>) -> Self {
        Self { place, value: Value::Exact(value), uncertainty }
    }

    /// The value on the grid of its dimension.
    pub(crate) fn rounded(&self, kind: Kind) -> Option<Rounded> {
        match self.value {
            Value::Exact(exact) => Rounded::from_exact(exact, kind),
            Value::Computed(value) => Rounded::from_computed(value, kind),
        }
    }
}

/// The values of one characteristic at all its places; the worst is judged.
pub(crate) type Candidates = Vec<Candidate>;

/// A derivation fills the candidates or says what is missing. One that does both has looked at some
/// places only: what it found can prove that a limit is broken, but not that it is kept.
pub(crate) type Derived = Result<(), MissingCause>;

/// How a characteristic is derived.
#[derive(Debug)]
pub(crate) enum Derive {
    Head(fn(&Context<'_>, &mut Candidates) -> Derived),
    Cylinder(fn(&Context<'_>, u8, &mut Candidates) -> Derived),
    Port(fn(&Context<'_>, &Port, &mut Candidates) -> Derived),
    HeadState(fn(&MeasurementSet) -> Option<bool>),
    PortState(fn(&Port) -> Option<bool>),
}

impl Characteristic {
    /// What it belongs to.
    #[must_use]
    pub const fn scope(&self) -> Scope {
        match self.derive {
            Derive::Head(_) | Derive::HeadState(_) => Scope::Head,
            Derive::Cylinder(_) => Scope::Cylinder,
            Derive::Port(_) | Derive::PortState(_) => Scope::Port,
        }
    }

    /// What kind of value it has.
    #[must_use]
    pub const fn measure(&self) -> Measure {
        self.measure
    }

    /// The dimension of its amounts; a pure number where it is found in order or not.
    #[must_use]
    pub const fn kind(&self) -> Kind {
        match self.measure {
            Measure::Amount(kind) => kind,
            Measure::InOrder => Kind::Ratio,
        }
    }
}

impl Measure {
    /// Found in order or not?
    #[must_use]
    pub const fn is_in_order(self) -> bool {
        matches!(self, Self::InOrder)
    }
}
