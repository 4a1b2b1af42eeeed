//! A rework plan: what to do to bring a whole head inside its limits, in which order, and what comes of it.

use headproof_quantity::{Angle, Kind, Length, Rounded};

use crate::{CharacteristicId, Evaluation, MeasurementSet, Objective, PortId, Subject};

/// The plan for a whole head.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// What it is best in.
    pub objective: Objective,
    /// What it comes to.
    pub outcome: Outcome,
    /// One for each port of the layout, in its order.
    pub ports: Vec<PortPlan>,
    /// The cut of the deck, where there is one.
    pub deck: Option<DeckCut>,
    /// Why there is none for the head together, though there is one for each port.
    pub conflict: Option<Conflict>,
    /// What keeps the head from being accepted and no plan of this kind can cure.
    pub beyond: Vec<(Subject, CharacteristicId)>,
    /// The work in the order of the bench.
    pub steps: Vec<Step>,
    /// What it takes in all.
    pub totals: Totals,
    /// How good it is proved to be.
    pub search: Search,
    /// What was taken for granted because nobody said.
    pub assumptions: Vec<Assumption>,
    /// The set as it would be measured afterwards, and its judgement; none where nothing is planned.
    pub proof: Option<Box<Proof>>,
}

/// What a plan comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Outcome {
    /// Everything conforms as it is.
    NothingToDo,
    /// Every port that needs work has a plan.
    Planned,
    /// Some ports have a plan; others must first be measured or have their guides done.
    Staged,
    /// Some port, or the head as a whole, has none.
    NoPlan,
}

/// What the plan promises, judged by the same judge.
#[derive(Debug, Clone, PartialEq)]
pub struct Proof {
    /// The set as it would be measured afterwards. Nobody measured it.
    pub predicted: MeasurementSet,
    /// Its judgement; what can only be found by measuring (leaks, gaps of the band) is not asked for.
    pub evaluation: Evaluation,
    /// What the judgement left out for that reason.
    pub unpredictable: Vec<CharacteristicId>,
}

/// The plan for one port.
#[derive(Debug, Clone, PartialEq)]
pub struct PortPlan {
    /// Which port.
    pub port: PortId,
    /// What it comes to.
    pub status: PortStatus,
    /// Work on the seat.
    pub seat: Option<SeatWork>,
    /// Taken off the face, square to it.
    pub face_grind: Option<Length>,
    /// Taken off the tip.
    pub tip_grind: Option<Length>,
    /// Shims put under the springs: thickness and number.
    pub shims: Vec<(Length, u8)>,
    /// The lash shim to fit.
    pub lash_shim: Option<Length>,
    /// New parts, by the shop's names.
    pub new_parts: Vec<NewPart>,
    /// How much deeper the valve sits afterwards; negative where it sits higher.
    pub sink: Rounded,
    /// What becomes of each limited characteristic the plan moves.
    pub effects: Vec<Effect>,
    /// What keeps it from being smaller.
    pub binds: Vec<Bound>,
    /// Why there is no plan.
    pub conflict: Option<Conflict>,
    /// What has to be measured first.
    pub needs: Vec<CharacteristicId>,
    /// What 0.1 mm of feed does at these angles.
    pub feed_effect: Option<FeedEffect>,
}

impl PortPlan {
    /// The new seat insert, by the shop's name.
    #[must_use]
    pub fn new_insert(&self) -> Option<&str> {
        self.new_parts.iter().find_map(|part| if let NewPart::Insert(id) = part { Some(&**id) } else { None })
    }

    /// The new valve, by the shop's name.
    #[must_use]
    pub fn new_valve(&self) -> Option<&str> {
        self.new_parts.iter().find_map(|part| if let NewPart::Valve(id) = part { Some(&**id) } else { None })
    }

    /// The new springs, by the shop's name.
    #[must_use]
    pub fn new_springs(&self) -> Option<&str> {
        self.new_parts.iter().find_map(|part| if let NewPart::Spring(id) = part { Some(&**id) } else { None })
    }
}

/// What the plan for one port comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PortStatus {
    /// It conforms as it is.
    NothingToDo,
    /// It has a plan.
    Planned,
    /// Its guide comes first: what was read on the old guide tells nothing about the new axis.
    GuideFirst,
    /// Something must be measured first.
    MeasureFirst,
    /// No work the shop can do brings it inside all limits.
    NoPlan,
}

/// A part that is replaced.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NewPart {
    /// The seat insert.
    Insert(String),
    /// The valve.
    Valve(String),
    /// The springs.
    Spring(String),
}

/// Work on one seat.
#[derive(Debug, Clone, PartialEq)]
pub struct SeatWork {
    /// The cuts in order.
    pub cuts: Vec<Cut>,
    /// Outer diameter of the seat afterwards, and how far it may be off.
    pub outer_diameter: Target,
    /// Inner diameter of the seat afterwards.
    pub inner_diameter: Target,
    /// Width along the face afterwards.
    pub width: Target,
}

/// A size to reach, and how far it may be off either way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Target {
    /// The size.
    pub size: Length,
    /// Either way.
    pub tolerance: Length,
}

/// One cut of a seat.
#[derive(Debug, Clone, PartialEq)]
pub struct Cut {
    /// Which.
    pub kind: CutKind,
    /// The shop's name of the cutter, where it has one.
    pub cutter: Option<String>,
    /// Its angle (of the seat, for a form blade).
    pub angle: Angle,
    /// Feed along the axis from first touch; none on a raw insert, where only sizes tell.
    pub feed: Option<Length>,
    /// How far the feed may be off either way.
    pub tolerance: Length,
    /// The sizes of the band when this cut is done: outer diameter, inner diameter, width.
    pub leaves: [Length; 3],
    /// Where the cutter touches first when its angle is not that of the cone: at the outer edge or not.
    pub touches_outer_edge_first: Option<bool>,
}

/// Kinds of cuts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CutKind {
    /// The seat itself, until the ring is unbroken.
    Seat,
    /// The flatter cut on the chamber side, which brings the outer diameter in.
    Top,
    /// The steeper cut on the port side, which brings the band to width.
    Throat,
    /// All three angles in one plunge.
    Form,
    /// The last light turns of the seat cutter against the burr.
    LightTurns,
}

/// The cut of the deck.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DeckCut {
    /// How much comes off at the highest place.
    pub depth: Length,
    /// How much has to come off to clean it.
    pub needed: Length,
}

/// What becomes of one characteristic.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effect {
    /// Which.
    pub characteristic: CharacteristicId,
    /// Dimension of its amounts.
    pub kind: Kind,
    /// As it is, where it was measured: the worst place.
    pub before: Option<Rounded>,
    /// As it is aimed at.
    pub after: Rounded,
    /// How far it may be off when every cut misses its stop as far as it may.
    pub tolerance: Rounded,
    /// Least amount to aim at: the lower limit with its guard band and the tolerance.
    pub least: Option<Rounded>,
    /// Greatest amount to aim at.
    pub greatest: Option<Rounded>,
}

/// Something a plan runs up against.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Bound {
    /// The lower limit of a characteristic, with guard band and tolerance.
    Lower(CharacteristicId),
    /// Its upper limit.
    Upper(CharacteristicId),
    /// A limit that no value can be proved to keep with this gauge.
    TooCoarse(CharacteristicId),
    /// Something that is found in order or not, or that this work leaves as it is.
    AsItIs(CharacteristicId),
    /// The feed that runout and pits need.
    CleanUp,
    /// Feed enough to correct what the cut before missed.
    Correction,
    /// The seat must stay outside the throat.
    Throat,
    /// The contact must stay on the valve's face.
    FaceEdge,
    /// The seat must stay on its insert.
    InsertEdge,
    /// What may be fed into an insert.
    InsertStock,
    /// What may be ground off a tip.
    TipLimit,
    /// The heights at which the springs' loads are known.
    SpringReadings,
    /// The shims on the shelf.
    ShimStock,
    /// The lash shims on the shelf.
    LashShimStock,
    /// The spare parts on the shelf.
    SpareStock,
    /// What may come off the deck.
    DeckMost,
    /// What has to come off the deck to clean it.
    DeckCleanUp,
}

/// Bounds that cannot all be met: without any one of them the rest of them can.
#[derive(Debug, Clone, PartialEq)]
pub struct Conflict {
    /// The bounds.
    pub between: Vec<Bound>,
    /// Bounds that fight each other apart from these: all of them have to be freed.
    pub apart: Vec<Vec<Bound>>,
    /// What would free them; each was tried and leads to a plan.
    pub freed_by: Vec<Way>,
}

/// A way out of a conflict.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Way {
    /// A concession on one limit, by at least so much.
    Concession {
        /// Which limit.
        bound: Bound,
        /// How far beyond the place to aim at.
        by: Rounded,
    },
    /// A new seat insert.
    NewInsert,
    /// Another valve.
    OtherValve,
    /// Other springs.
    OtherSprings,
    /// More shims, or other thicknesses.
    MoreShims,
    /// A better gauge for a characteristic.
    BetterGauge(CharacteristicId),
}

/// What a feed of 0.1 mm of each cutter does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FeedEffect {
    /// Of the seat cutter.
    pub seat: FeedMoves,
    /// Of the top cutter.
    pub top: FeedMoves,
    /// Of the throat cutter.
    pub throat: FeedMoves,
}

/// Changes that one feed makes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FeedMoves {
    /// Of the outer diameter.
    pub outer_diameter: Rounded,
    /// Of the inner diameter.
    pub inner_diameter: Rounded,
    /// Of the width.
    pub width: Rounded,
    /// How much deeper the valve sits.
    pub sink: Rounded,
}

/// One step at the bench.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// On what.
    pub subject: Subject,
    /// What to do.
    pub work: Work,
    /// What can hurt or spoil, here.
    pub cautions: Vec<StepCaution>,
}

/// What to do in a step.
#[derive(Debug, Clone, PartialEq)]
pub enum Work {
    /// Measure these before anything else.
    MeasureFirst(Vec<CharacteristicId>),
    /// Repair or replace the guide; then measure everything on its axis again.
    RenewGuide,
    /// Fit a new insert.
    FitInsert(String),
    /// Cut the deck.
    CutDeck(DeckCut),
    /// Cut the seat.
    CutSeat {
        /// The cut.
        cut: Cut,
        /// The side of the seat that stands highest, in tenths of a degree from the first dial reading.
        high_side: Option<i16>,
    },
    /// Grind the face.
    GrindFace {
        /// Square to the face.
        stock: Length,
        /// Margin left.
        margin: Option<Length>,
    },
    /// Grind the tip.
    GrindTip {
        /// How much.
        stock: Length,
        /// Stem protrusion afterwards.
        protrusion: Option<Length>,
    },
    /// Put the valve with this tag, or the new one, into this port.
    FitValve {
        /// The valve that stays with its seat.
        tag: Option<String>,
        /// The new one.
        spare: Option<String>,
    },
    /// Ink and turn: where the band must lie.
    CheckMarking {
        /// From the outer edge of the face to the band.
        from_edge: Option<Length>,
        /// Width of the band.
        width: Length,
    },
    /// Prove that it seals.
    TestForLeaks,
    /// Fit springs and shims.
    FitSprings {
        /// The new springs, by the shop's name.
        spare: Option<String>,
        /// Thickness and number.
        shims: Vec<(Length, u8)>,
        /// Installed height afterwards.
        installed_height: Option<Length>,
    },
    /// Fit a lash shim.
    FitLashShim {
        /// Its thickness.
        thickness: Length,
        /// Lash afterwards.
        lash: Option<Length>,
    },
    /// Set the lash by its screw.
    SetLash,
    /// Measure these again.
    MeasureAgain(Vec<CharacteristicId>),
}

/// What can hurt or spoil in a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StepCaution {
    /// Sodium-filled stems are never ground, cut or welded.
    SodiumStem,
    /// Beryllium copper is never ground dry.
    BerylliumCopper,
    /// An insert that is cut too thin is replaced.
    ThinInsert,
    /// Coated, nitrided or titanium faces are ground only where the maker allows.
    TreatedFace,
    /// Springs store energy.
    StoredEnergy,
    /// Eyes and skin.
    EyesAndSkin,
    /// Warming heads and chilling inserts.
    HotAndCold,
    /// Guides and seats move together.
    AxisMoves,
    /// Cam timing moves with the deck of an overhead-cam head.
    CamTiming,
    /// Tight lash holds a valve off its seat.
    TightLash,
}

/// What a plan takes in all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Totals {
    /// Ports with work.
    pub ports: u16,
    /// Sum of all sinks in mm.
    pub sink: Rounded,
    /// New parts.
    pub new_parts: u16,
    /// Shims.
    pub shims: u16,
    /// Minutes at the bench.
    pub minutes: f64,
    /// Price of parts and minutes.
    pub cost: f64,
}

/// How good a plan is proved to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Search {
    /// Is no other plan better in what it shall be best in?
    pub proved_best: bool,
    /// What the objective comes to; none where there is no plan for the head as a whole.
    pub objective: Option<f64>,
    /// How much better another could be at most, as a share of the objective.
    pub gap: Option<f64>,
    /// Branches looked at.
    pub nodes: u64,
    /// Was the search ended by its limit?
    pub limit_hit: bool,
    /// Did the ports have to be planned together?
    pub joined: bool,
}

/// What was taken for granted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Assumption {
    /// The shop named no cutters: one for each nominal angle.
    CuttersAtNominalAngles,
    /// An angle was not measured: the profile's nominal.
    NominalAngles,
    /// Top or throat angle was neither measured nor in the profile: as the shop cuts them.
    UsualAngles,
    /// Diameters of a seat were taken from its contact band.
    DiametersFromContact,
    /// A new valve is as long from face to tip as the old one, because a length is missing.
    SameLength,
}
