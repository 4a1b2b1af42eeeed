//! The rework plan, as answered.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use crate::{Evaluation, MeasurementSet, Phrase, ProfileRef, Service, Stage, Workshop};

/// Text that is mostly one of a few fixed words.
type Word = Cow<'static, str>;

/// What to do to bring a head inside its limits. Amounts are in base units (mm, deg, N, mL, kPa, um) whatever
/// units the set was posted in; sentences state them in the units of the set. Whatever stands for after the
/// work is worked out, not measured.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ReworkPlan {
    /// `headproof/rework-plan/1`.
    pub format: String,
    /// Serial of the head.
    pub head_serial: String,
    /// The shop's job number.
    pub job_number: String,
    /// When in the job the set was measured that the plan starts from.
    pub stage: Stage,
    /// SHA-256 of the canonical form of that measurement set, in hex; only where a job keeps it.
    pub measurement_set_digest: Option<String>,
    /// Which profile the head shall conform to.
    pub profile: ProfileRef,
    /// The means it was made with, as posted; absent where common practice was taken for all of them.
    pub workshop: Option<Workshop>,
    /// What the plan is best in: `least-sink`, `least-cost` or `fewest-parts`.
    #[schema(value_type = String)]
    pub objective: Word,
    /// What it comes to: `nothing-to-do`, `planned`, `staged` (some ports have to be measured or have their
    /// guides done first) or `no-plan` (some port, or the head as a whole, has none).
    #[schema(value_type = String)]
    pub outcome: Word,
    /// The outcome in words.
    pub headline: String,
    /// The same for any language.
    pub headline_says: Option<Phrase>,
    /// What it takes in all.
    pub totals: PlanTotals,
    /// How good it is proved to be.
    pub search: PlanSearch,
    /// What was taken for granted because nobody said, in sentences.
    pub assumptions: Vec<String>,
    /// The same for any language, one for each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub assumptions_say: Vec<Phrase>,
    /// One for each port of the layout, in its order.
    pub ports: Vec<PortPlan>,
    /// The cut of the deck, where there is one.
    pub deck: Option<PlanDeckCut>,
    /// Why there is no plan for the head as a whole, though there is one for each port.
    pub conflict: Option<PlanConflict>,
    /// What keeps the head from being accepted and no plan of this kind can cure.
    pub beyond: Vec<BeyondPlan>,
    /// The work in the order of the bench.
    pub steps: Vec<PlanStep>,
    /// What has to be measured again after the work.
    pub measure_again: Vec<MeasureAgain>,
    /// What the head would measure and how that would be judged; absent where nothing is planned.
    pub predicted: Option<Box<Prediction>>,
}

impl ReworkPlan {
    /// The same plan, saying with which means it was made.
    #[must_use]
    pub fn made_with(self, workshop: Option<Workshop>) -> Self {
        Self { workshop, ..self }
    }
}

/// What a plan takes in all.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PlanTotals {
    /// Ports with work.
    pub ports: u16,
    /// Sum of all sinks in mm.
    pub sink: f64,
    /// New parts.
    pub new_parts: u16,
    /// Shims.
    pub shims: u16,
    /// Minutes at the bench.
    pub minutes: f64,
    /// Price of parts and minutes, in the shop's money.
    pub cost: f64,
}

/// How good a plan is proved to be.
#[skip_serializing_none]
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PlanSearch {
    /// Is it proved that no other plan is better in the objective?
    pub proved_best: bool,
    /// What the objective comes to; absent where there is no plan.
    pub objective: Option<f64>,
    /// How much better another plan could be at most, as a share of the objective; absent where that is not
    /// known.
    pub gap: Option<f64>,
    /// Branches looked at.
    pub nodes: u64,
    /// Was the search ended by its limit?
    pub limit_hit: bool,
    /// Did the ports have to be planned together?
    pub joined: bool,
}

/// The plan for one port.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PortPlan {
    /// Cylinder from 1.
    pub cylinder: u8,
    /// Intake or exhaust.
    pub service: Service,
    /// Index from 1.
    pub index: u8,
    /// `nothing-to-do`, `planned`, `guide-first` (what was read on the old guide tells nothing about the new
    /// axis), `measure-first` or `no-plan`.
    #[schema(value_type = String)]
    pub status: Word,
    /// Work on the seat.
    pub seat: Option<SeatWork>,
    /// Taken off the face, square to it, in mm.
    pub face_grind: Option<f64>,
    /// Taken off the tip, in mm.
    pub tip_grind: Option<f64>,
    /// Shims put under the springs.
    pub shims: Vec<FittedShims>,
    /// Thickness of the lash shim to fit, in mm.
    pub lash_shim: Option<f64>,
    /// New parts.
    pub new_parts: Vec<NewPart>,
    /// How much deeper the valve sits afterwards, in mm; negative where it sits higher.
    pub sink: f64,
    /// What becomes of each limited characteristic that the plan moves.
    pub effects: Vec<PlanEffect>,
    /// What keeps the work from being less.
    pub binds: Vec<PlanBound>,
    /// Why there is no plan.
    pub conflict: Option<PlanConflict>,
    /// Characteristics that have to be measured first.
    #[schema(value_type = Vec<String>)]
    pub needs: Vec<Word>,
    /// What a feed of 0.1 mm does at these angles.
    pub feed_effect: Option<FeedEffect>,
}

/// Work on one seat.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SeatWork {
    /// The cuts in order.
    pub cuts: Vec<PlanCut>,
    /// Outer diameter of the seat afterwards.
    pub outer_diameter: PlanTarget,
    /// Inner diameter of the seat afterwards.
    pub inner_diameter: PlanTarget,
    /// Width along the face afterwards.
    pub width: PlanTarget,
}

/// A size to reach.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PlanTarget {
    /// The size in mm.
    pub size: f64,
    /// How far it may be off either way, in mm.
    pub tolerance: f64,
}

/// One cut of a seat.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PlanCut {
    /// Which: `seat`, `top`, `throat`, `form` or `light-turns`.
    #[schema(value_type = String)]
    pub cut: Word,
    /// The shop's name of the cutter, where it has one.
    pub cutter: Option<String>,
    /// Its angle in degrees; of the seat, for a form blade.
    pub angle: f64,
    /// Feed along the axis from first touch, in mm; absent on a raw insert, where only sizes tell.
    pub feed: Option<f64>,
    /// How far the feed may be off either way, in mm.
    pub tolerance: f64,
    /// Outer diameter of the seat when this cut is done, in mm.
    pub outer_diameter: f64,
    /// Inner diameter of the seat when this cut is done, in mm.
    pub inner_diameter: f64,
    /// Width along the face when this cut is done, in mm.
    pub width: f64,
    /// Where the cutter touches first when its angle is not that of the cone: `outer-edge` or `inner-edge`.
    #[schema(value_type = Option<String>)]
    pub touches_first: Option<Word>,
}

/// Shims of one thickness under the springs of one valve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct FittedShims {
    /// Thickness of each, in mm.
    pub thickness: f64,
    /// How many.
    pub count: u8,
}

/// A part that is replaced.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct NewPart {
    /// `insert`, `valve` or `spring`.
    #[schema(value_type = String)]
    pub part: Word,
    /// The shop's name of the new one.
    pub id: String,
}

/// What becomes of one characteristic.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PlanEffect {
    /// Which.
    #[schema(value_type = String)]
    pub characteristic: Word,
    /// Unit of the amounts here.
    #[schema(value_type = String)]
    pub unit: Word,
    /// As it is, where it was measured: the worst place.
    pub before: Option<f64>,
    /// As it is aimed at: worked out, not measured.
    pub after: f64,
    /// How far it may be off when every cut misses its stop as far as it may.
    pub tolerance: f64,
    /// Least amount to aim at: the lower limit with its guard band and the tolerance.
    pub least: Option<f64>,
    /// Greatest amount to aim at.
    pub greatest: Option<f64>,
}

/// Something a plan runs up against.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PlanBound {
    /// What kind: `lower-limit`, `upper-limit`, `gauge-too-coarse`, `as-it-is`, `clean-up`, `correction`,
    /// `throat`, `face-edge`, `insert-edge`, `insert-stock`, `tip-limit`, `spring-readings`, `shim-stock`,
    /// `lash-shim-stock`, `spare-stock`, `deck-most` or `deck-clean-up`.
    #[schema(value_type = String)]
    pub bound: Word,
    /// The characteristic, for the first four of them.
    #[schema(value_type = Option<String>)]
    pub characteristic: Option<Word>,
    /// In a sentence.
    pub text: String,
    /// The same for any language.
    pub says: Option<Phrase>,
}

/// Bounds that cannot all be met: without any one of them the others can.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PlanConflict {
    /// The bounds.
    pub between: Vec<PlanBound>,
    /// Bounds that fight each other apart from these: all of them have to be freed.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub apart: Vec<Vec<PlanBound>>,
    /// What would free them; each was tried and leads to a plan.
    pub freed_by: Vec<PlanWay>,
}

/// A way out of a conflict.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PlanWay {
    /// What kind: `concession`, `new-insert`, `other-valve`, `other-springs`, `more-shims` or `better-gauge`.
    #[schema(value_type = String)]
    pub way: Word,
    /// What a concession is on, by the words of `bound`.
    #[schema(value_type = Option<String>)]
    pub bound: Option<Word>,
    /// The characteristic, for a concession on its limit and for a better gauge.
    #[schema(value_type = Option<String>)]
    pub characteristic: Option<Word>,
    /// How large a concession has to be at least.
    pub amount: Option<f64>,
    /// Unit of `amount`.
    #[schema(value_type = Option<String>)]
    pub unit: Option<Word>,
    /// In a sentence.
    pub text: String,
    /// The same for any language.
    pub says: Option<Phrase>,
}

/// What a feed of 0.1 mm of each cutter does.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct FeedEffect {
    /// Of the seat cutter.
    pub seat: FeedMoves,
    /// Of the top cutter.
    pub top: FeedMoves,
    /// Of the throat cutter.
    pub throat: FeedMoves,
}

/// Changes that one feed makes, in mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct FeedMoves {
    /// Of the outer diameter.
    pub outer_diameter: f64,
    /// Of the inner diameter.
    pub inner_diameter: f64,
    /// Of the width.
    pub width: f64,
    /// How much deeper the valve sits.
    pub sink: f64,
}

/// The cut of the deck.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PlanDeckCut {
    /// How much comes off at the highest place, in mm.
    pub depth: f64,
    /// How much has to come off to clean it, in mm.
    pub needed: f64,
}

/// What no plan of this kind can cure.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct BeyondPlan {
    /// `head`, `cylinder 2`, `cylinder 2 exhaust 1`.
    pub subject: String,
    /// Which characteristic.
    #[schema(value_type = String)]
    pub characteristic: Word,
    /// In a sentence.
    pub text: String,
    /// The same for any language.
    pub says: Option<Phrase>,
}

/// One step at the bench.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PlanStep {
    /// Its number from 1.
    pub number: u32,
    /// On what: `head`, `cylinder 2`, `cylinder 2 exhaust 1`.
    pub subject: String,
    /// What kind of work: `measure-first`, `renew-guide`, `fit-insert`, `cut-deck`, `seat-cut`, `top-cut`,
    /// `throat-cut`, `form-cut`, `light-turns`, `grind-face`, `grind-tip`, `fit-valve`, `check-marking`,
    /// `leak-test`, `fit-springs`, `fit-lash-shim`, `set-lash` or `measure-again`.
    #[schema(value_type = String)]
    pub operation: Word,
    /// What to do, in the units of the set.
    pub text: String,
    /// The same for any language.
    pub says: Option<Phrase>,
    /// What to look at or do afterwards, before the next step.
    pub check: String,
    /// The same for any language.
    pub check_says: Option<Phrase>,
    /// What can hurt or spoil here, in sentences.
    pub cautions: Vec<String>,
    /// The same for any language, one for each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cautions_say: Vec<Phrase>,
    /// The cut, where it is one.
    pub cut: Option<PlanCut>,
    /// The side of the seat that stands highest, in degrees from the first dial reading.
    pub high_side: Option<f64>,
}

/// What has to be measured again after work on something.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct MeasureAgain {
    /// `head`, `cylinder 2`, `cylinder 2 exhaust 1`.
    pub subject: String,
    /// Which characteristics.
    #[schema(value_type = Vec<String>)]
    pub characteristics: Vec<Word>,
}

/// What the head would measure after the work, and how that would be judged.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Prediction {
    /// Says that nobody measured it.
    pub notice: String,
    /// The same for any language.
    pub notice_says: Option<Phrase>,
    /// The readings as they are worked out, in the units of the set; its format is
    /// `headproof/predicted-set/1`, so that it cannot be posted as a measurement.
    pub measurement_set: MeasurementSet,
    /// How they would be judged by the same profile.
    pub evaluation: Evaluation,
    /// Characteristics that can only be found by measuring: they were not asked for.
    #[schema(value_type = Vec<String>)]
    pub unpredictable: Vec<Word>,
}
