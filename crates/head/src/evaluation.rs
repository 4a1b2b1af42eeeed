//! What the judgement of a whole head gives.

use headproof_quantity::{Kind, Rounded};

use crate::{CharacteristicId, InstrumentIndex, Phrase, Place, PortId, Subject};

/// The judgement of one measurement set against one profile.
#[derive(Debug, Clone, PartialEq)]
pub struct Evaluation {
    /// What follows for the head.
    pub disposition: Disposition,
    /// Everything that keeps the head from being accepted, gravest first.
    pub causes: Vec<Cause>,
    /// How many rows came out how.
    pub tally: Tally,
    /// Rows of the head as a whole.
    pub head: Vec<Row>,
    /// Rows per cylinder.
    pub cylinders: Vec<(u8, Vec<Row>)>,
    /// Rows per port, in the order of the layout.
    pub ports: Vec<PortRows>,
    /// What is wrong or doubtful with the data themselves.
    pub findings: Vec<Finding>,
}

/// The rows of one port.
#[derive(Debug, Clone, PartialEq)]
pub struct PortRows {
    /// Which port.
    pub port: PortId,
    /// The gravest verdict among its limited rows.
    pub verdict: Verdict,
    /// Its rows.
    pub rows: Vec<Row>,
}

/// One characteristic of one subject.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Which characteristic.
    pub characteristic: CharacteristicId,
    /// Dimension of its amounts.
    pub kind: Kind,
    /// Where the judged value was found: the worst place.
    pub place: Place,
    /// What was measured or derived.
    pub measured: Option<Measured>,
    /// The limit that applied, as its place in the profile's list.
    pub limit: Option<usize>,
    /// How far beyond the nearest limit: negative or zero inside, positive outside.
    pub deviation: Option<Rounded>,
    /// Standard uncertainty in the base unit, unrounded.
    pub uncertainty: Option<f64>,
    /// The gauge that the greatest part of it comes from.
    pub gauge: Option<InstrumentIndex>,
    /// Probability that the true value lies inside the limits, given the reading.
    pub probability: Option<f64>,
    /// What its uncertainty is made of; empty unless asked for.
    pub budget: Vec<Contribution>,
    /// Must it be measured?
    pub required: bool,
    /// The verdict.
    pub verdict: Verdict,
    /// Why.
    pub reason: Reason,
}

impl Row {
    /// The judged amount; none where nothing was measured, or only whether it is in order.
    #[must_use]
    pub const fn amount(&self) -> Option<Rounded> {
        match self.measured {
            Some(Measured::Amount(amount)) => Some(amount),
            Some(Measured::InOrder(_)) | None => None,
        }
    }
}

/// What one reading contributes to the uncertainty of a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contribution {
    /// Which reading.
    pub input: &'static str,
    /// Its place in a series of them, from 1.
    pub number: Option<u16>,
    /// Dimension of the reading.
    pub kind: Kind,
    /// Partial of the row's value to it, in base units.
    pub sensitivity: f64,
    /// Its standard uncertainty in the base unit, when one is known.
    pub uncertainty: Option<f64>,
    /// The instrument that made it.
    pub instrument: Option<InstrumentIndex>,
}

/// A judged value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measured {
    /// An amount, rounded once, in the base unit.
    Amount(Rounded),
    /// Found in order (`true`) or not.
    InOrder(bool),
}

/// Outcome of one row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Verdict {
    /// Shown only: the profile has no limit for it.
    NoLimit,
    /// Inside its limits, as the decision rule asks.
    Conforms,
    /// Too close to a limit for this gauge to prove either way.
    NotProven,
    /// No usable reading.
    NotMeasured,
    /// Outside its limits.
    DoesNotConform,
}

/// Why a row came out as it did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reason {
    /// Inside the limits.
    Inside,
    /// Above the upper limit.
    AboveUpper,
    /// Below the lower limit.
    BelowLower,
    /// In order.
    InOrder,
    /// Not in order.
    NotInOrder,
    /// Inside the guard band of a limit.
    GuardBand,
    /// The limits lie so close together that this gauge could prove no value to conform.
    GaugeTooCoarse,
    /// A guarded rule needs an uncertainty, and a reading came without.
    UncertaintyUnknown,
    /// The profile has no limit for it.
    NoLimit,
    /// There is nothing to judge.
    Missing(MissingCause),
}

/// Why there is nothing to judge.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MissingCause {
    /// These readings were not posted: the name of the message that says which.
    Absent(&'static str),
    /// Whether it is in order was not posted.
    StateAbsent,
    /// The whole port was not posted.
    PortAbsent,
    /// The readings do not allow the sum.
    NotComputable(Box<Phrase>),
    /// A finding makes the readings unusable.
    Blocked(FindingCode),
}

/// What follows for the head, gravest last.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Disposition {
    /// Everything required conforms.
    Accept,
    /// Something is outside and can be put right.
    Rework,
    /// Something required was not measured or not proven.
    Incomplete,
    /// Something is outside that these limits do not let be put right.
    Reject,
}

/// One reason for the disposition.
#[derive(Debug, Clone, PartialEq)]
pub struct Cause {
    /// The disposition it calls for.
    pub disposition: Disposition,
    /// What it is about.
    pub subject: Subject,
    /// What it is.
    pub what: CauseOf,
}

/// What keeps a head from being accepted.
#[derive(Debug, Clone, PartialEq)]
pub enum CauseOf {
    /// A row of the evaluation.
    Row {
        /// Which characteristic.
        characteristic: CharacteristicId,
        /// Why.
        reason: Reason,
    },
    /// A blocking finding, as its place in the list of findings.
    Finding(usize),
    /// Not one limit was met, because nothing was judged.
    NothingJudged,
}

/// How many rows came out how.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Tally {
    /// Conforms.
    pub conforms: u32,
    /// Does not conform.
    pub does_not_conform: u32,
    /// Not proven.
    pub not_proven: u32,
    /// Not measured, though the profile limits it.
    pub not_measured: u32,
    /// Shown without limit.
    pub no_limit: u32,
}

impl Tally {
    /// Counts one more row.
    pub const fn count(&mut self, verdict: Verdict) {
        match verdict {
            Verdict::Conforms => self.conforms += 1,
            Verdict::DoesNotConform => self.does_not_conform += 1,
            Verdict::NotProven => self.not_proven += 1,
            Verdict::NotMeasured => self.not_measured += 1,
            Verdict::NoLimit => self.no_limit += 1,
        }
    }

    /// How many rows the profile limits.
    #[must_use]
    pub const fn limited(&self) -> u32 {
        self.conforms + self.does_not_conform + self.not_proven + self.not_measured
    }
}

/// Something wrong or doubtful with the data.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// What kind.
    pub code: FindingCode,
    /// Does it make readings unusable?
    pub severity: Severity,
    /// Where in the set, each as a part and a path below it.
    pub at: Vec<(FindingPart, &'static str)>,
    /// Why, in a sentence.
    pub says: Phrase,
    /// The rows it makes unusable when it blocks.
    pub touches: Vec<(Subject, CharacteristicId)>,
}

/// The part of a set that a finding points into.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FindingPart {
    /// The set as a whole.
    Set,
    /// The n-th posted port.
    Port(usize),
    /// The n-th posted instrument.
    Instrument(usize),
}

/// Kinds of findings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FindingCode {
    /// A port of the layout was not posted.
    PortMissing,
    /// A chamber of the layout was not posted.
    ChamberMissing,
    /// The stem is thicker than its guide.
    NegativeClearance,
    /// The contact band reaches over the edge of the valve face.
    ContactOutsideFace,
    /// The seat's inner diameter is not smaller than its outer.
    SeatDiametersCrossed,
    /// The pressure of a decay test was higher at the end than at the start.
    DecayRose,
    /// A vacuum deeper than the atmosphere.
    VacuumTooDeep,
    /// One valve tag at two ports.
    ValveTagRepeated,
    /// The instrument's calibration had run out when it was used.
    CalibrationOverdue,
    /// Less uncertainty is stated than the instrument's own resolution leaves.
    UncertaintyBelowResolution,
    /// Sizes that make sense in another unit than the set states.
    UnitDoubtful,
    /// Bores and stems that make sense the other way round.
    BoreAndStemSwapped,
    /// The same series of readings at several ports.
    ReadingsPasted,
    /// Two ways to the same quantity give different answers.
    ReadingsContradict,
    /// Measured so far from 20 °C that sizes differ.
    TemperatureOff,
    /// The air of a leak test changed its temperature.
    TemperatureDrift,
}

/// How grave a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Severity {
    /// Worth a look.
    Warning,
    /// Makes the rows it touches not measured.
    Blocking,
}
