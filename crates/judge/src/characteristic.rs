//! What a row of the table holds.

use headproof_head::{CharacteristicId, MeasurementSet, MissingCause, Port};
use headproof_quantity::Kind;

use crate::candidate::Candidates;
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
    /// What its sum is checked against outside this program.
    pub outside_check: &'static str,
    measure: Measure,
    shown: Shown,
    telling: Telling,
    windowed: bool,
    lower_bound: bool,
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

/// When an evaluation shows a characteristic that no limit applies to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shown {
    /// Whenever it was measured.
    Measured,
    /// Only when the profile asks for it.
    Requested,
}

/// Which of several values is shown where no limit says which is worst.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Telling {
    Greatest,
    Least,
    FarthestFromZero,
}

/// A derivation fills the candidates or says what is missing. One that does both has looked at some
/// places only: what it found can prove that a limit is broken, but not that it is kept.
pub(crate) type Derived = Result<(), MissingCause>;

pub(crate) type HeadSum = fn(&Context<'_>, &mut Candidates) -> Derived;
pub(crate) type CylinderSum = fn(&Context<'_>, u8, &mut Candidates) -> Derived;
pub(crate) type PortSum = fn(&Context<'_>, &Port, &mut Candidates) -> Derived;

/// How a characteristic is derived.
#[derive(Debug)]
pub(crate) enum Derive {
    Head(HeadSum),
    Cylinder(CylinderSum),
    Port(PortSum),
    HeadState(fn(&MeasurementSet) -> Option<bool>),
    PortState(fn(&Port) -> Option<bool>),
}

const READ_DIRECTLY: &str = "as read";
const FOUND: &str = "found in order or not";
const DEFINITION: &str = "definition of the measured quantity";
const OF_THE_READING: &str = "that of the reading; repeats add s²/n";
const FIRST_ORDER: &str =
    "first order, readings of one gauge as correlated as it states (JCGM 100, 5.1.2 and 5.2.2 from memory)";
const NO_UNCERTAINTY: &str = "none: found or not";
const NOTHING_TO_CHECK: &str = "none needed: nothing is worked out";

/// How a row of the table is written: what it is first, then what differs from a plain reading.
impl Characteristic {
    const fn new(id: &'static str, title: &'static str, measure: Measure, derive: Derive) -> Self {
        let (formula, uncertainty) = match measure {
            Measure::Amount(_) => (READ_DIRECTLY, OF_THE_READING),
            Measure::InOrder => (FOUND, NO_UNCERTAINTY),
        };
        Self {
            id: CharacteristicId::new(id),
            title,
            formula,
            source: DEFINITION,
            uncertainty,
            outside_check: NOTHING_TO_CHECK,
            measure,
            shown: Shown::Measured,
            telling: Telling::Greatest,
            windowed: false,
            lower_bound: false,
            derive,
        }
    }

    pub(crate) const fn of_head(id: &'static str, title: &'static str, kind: Kind, sum: HeadSum) -> Self {
        Self::new(id, title, Measure::Amount(kind), Derive::Head(sum))
    }

    pub(crate) const fn of_cylinder(
        id: &'static str,
        title: &'static str,
        kind: Kind,
        sum: CylinderSum,
    ) -> Self {
        Self::new(id, title, Measure::Amount(kind), Derive::Cylinder(sum))
    }

    pub(crate) const fn of_port(id: &'static str, title: &'static str, kind: Kind, sum: PortSum) -> Self {
        Self::new(id, title, Measure::Amount(kind), Derive::Port(sum))
    }

    pub(crate) const fn state_of_head(
        id: &'static str,
        title: &'static str,
        state: fn(&MeasurementSet) -> Option<bool>,
    ) -> Self {
        Self::new(id, title, Measure::InOrder, Derive::HeadState(state))
    }

    pub(crate) const fn state_of_port(
        id: &'static str,
        title: &'static str,
        state: fn(&Port) -> Option<bool>,
    ) -> Self {
        Self::new(id, title, Measure::InOrder, Derive::PortState(state))
    }

    /// What is worked out rather than read: its formula, where that comes from, what it is checked against.
    pub(crate) const fn worked_out(
        mut self,
        formula: &'static str,
        source: &'static str,
        outside_check: &'static str,
    ) -> Self {
        self.formula = formula;
        self.source = source;
        self.outside_check = outside_check;
        self.uncertainty = FIRST_ORDER;
        self
    }

    /// What the uncertainty model needs said beyond first order.
    pub(crate) const fn with_uncertainty(mut self, model: &'static str) -> Self {
        self.uncertainty = model;
        self
    }

    /// Shown only when the profile limits or names it.
    pub(crate) const fn on_request(mut self) -> Self {
        self.shown = Shown::Requested;
        self
    }

    /// The least of several values is the telling one.
    pub(crate) const fn least_tells(mut self) -> Self {
        self.telling = Telling::Least;
        self
    }

    /// The value farthest from zero is the telling one, either way.
    pub(crate) const fn size_tells(mut self) -> Self {
        self.telling = Telling::FarthestFromZero;
        self
    }

    /// The true value may be greater, so that a value below a limit proves nothing.
    pub(crate) const fn least_possible(mut self) -> Self {
        self.lower_bound = true;
        self
    }

    /// Its limit says which part of the deck is looked at at a time.
    pub(crate) const fn in_windows(mut self) -> Self {
        self.windowed = true;
        self
    }
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

    /// When it is shown without a limit.
    #[must_use]
    pub const fn shown(&self) -> Shown {
        self.shown
    }

    /// Which of several values is shown without a limit.
    pub(crate) const fn telling(&self) -> Telling {
        self.telling
    }

    /// May the true value be greater?
    pub(crate) const fn is_lower_bound(&self) -> bool {
        self.lower_bound
    }

    /// Does its limit need a window?
    #[must_use]
    pub const fn is_windowed(&self) -> bool {
        self.windowed
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
