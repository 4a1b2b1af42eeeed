//! The evaluation, as answered.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use crate::{DecisionRule, Phrase, Service, Stage};

/// Text that is mostly one of a few fixed words.
type Word = Cow<'static, str>;

/// The judgement of one measurement set against one profile. Amounts are in the unit beside them: mm,
/// deg, N, mL, kPa, um, Pa.m3/s or 1, whatever units the set and the profile were posted in.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Evaluation {
    /// `headproof/evaluation/1`.
    pub format: String,
    /// Serial of the head.
    pub head_serial: String,
    /// The shop's job number.
    pub job_number: String,
    /// When in the job.
    pub stage: Stage,
    /// SHA-256 of the canonical form of the measurement set, in hex; only where a job keeps it.
    pub measurement_set_digest: Option<String>,
    /// Which profile.
    pub profile: ProfileRef,
    /// Its decision rule.
    pub decision_rule: DecisionRule,
    /// What follows for the head: `accept`, `rework`, `incomplete` or `reject`.
    #[schema(value_type = String)]
    pub disposition: Word,
    /// The outcome in one sentence.
    pub headline: String,
    /// What `headline` says, to be said in any language.
    #[serde(default)]
    pub headline_says: Option<Phrase>,
    /// Why, gravest first.
    pub reasons: Vec<ReasonLine>,
    /// How many rows came out how.
    pub tally: Tally,
    /// Coverage factor of every `expanded_uncertainty`.
    pub coverage_factor: f64,
    /// Rows of the head as a whole.
    pub head: Vec<Row>,
    /// Rows per cylinder.
    pub cylinders: Vec<CylinderRows>,
    /// Rows per port.
    pub ports: Vec<PortRows>,
    /// What is wrong or doubtful with the data themselves.
    pub findings: Vec<Finding>,
}

/// Which profile a set was held against.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct ProfileRef {
    /// Its id.
    pub id: String,
    /// Its revision.
    pub revision: String,
    /// What it is for.
    pub title: String,
    /// Its notice.
    pub notice: Option<String>,
    /// SHA-256 of its canonical form, in hex; only where a job keeps it.
    pub digest: Option<String>,
}

/// One reason for the disposition.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ReasonLine {
    /// The disposition it calls for.
    #[schema(value_type = String)]
    pub disposition: Word,
    /// `head`, `cylinder 2`, `cylinder 2 exhaust 1`.
    pub subject: String,
    /// Which characteristic; absent where it is about the data or the head as a whole.
    #[schema(value_type = Option<String>)]
    pub characteristic: Option<Word>,
    /// In words.
    pub text: String,
    /// What `text` says, to be said in any language.
    #[serde(default)]
    pub says: Option<Phrase>,
}

/// How many rows came out how.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Tally {
    /// Conform.
    pub conforms: u32,
    /// Do not conform.
    pub does_not_conform: u32,
    /// Too close to a limit to prove.
    pub not_proven: u32,
    /// Limited by the profile, but not measured.
    pub not_measured: u32,
    /// Shown without limit.
    pub no_limit: u32,
}

impl Tally {
    /// How many rows the profile limits.
    #[must_use]
    pub const fn limited(&self) -> u64 {
        self.conforms as u64
            + self.does_not_conform as u64
            + self.not_proven as u64
            + self.not_measured as u64
    }
}

/// The rows of one cylinder.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CylinderRows {
    /// Cylinder from 1.
    pub cylinder: u8,
    /// Its rows.
    pub rows: Vec<Row>,
}

/// The rows of one port.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PortRows {
    /// Cylinder from 1.
    pub cylinder: u8,
    /// Intake or exhaust.
    pub service: Service,
    /// Index from 1.
    pub index: u8,
    /// The gravest verdict among its limited rows.
    #[schema(value_type = String)]
    pub verdict: Word,
    /// Its rows.
    pub rows: Vec<Row>,
}

/// One characteristic of one subject.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Row {
    /// Which characteristic.
    #[schema(value_type = String)]
    pub characteristic: Word,
    /// Unit of the amounts in this row; absent where a thing is found in order or not.
    #[schema(value_type = Option<String>)]
    pub unit: Option<Word>,
    /// Where the judged value was found: the worst place.
    pub place: Option<String>,
    /// The judged value.
    pub measured: Option<f64>,
    /// Found in order or not, where that is what is judged.
    pub in_order: Option<bool>,
    /// Least amount that conforms.
    pub lower: Option<f64>,
    /// Greatest amount that conforms.
    pub upper: Option<f64>,
    /// How far beyond the nearest limit: negative or zero inside, positive outside.
    pub deviation: Option<f64>,
    /// Expanded uncertainty of `measured`.
    pub expanded_uncertainty: Option<f64>,
    /// What the uncertainty is made of, where it was asked for and the value was worked out.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub budget: Vec<Contribution>,
    /// Probability that the true value of this one characteristic lies inside its limits.
    pub conformance_probability: Option<f64>,
    /// `conforms`, `does-not-conform`, `not-proven`, `not-measured` or `no-limit`.
    #[schema(value_type = String)]
    pub verdict: Word,
    /// Why: a stable word.
    #[schema(value_type = String)]
    pub reason: Word,
    /// Why, in a sentence, where the word does not say it all.
    pub detail: Option<String>,
    /// What `detail` says, to be said in any language.
    #[serde(default)]
    pub detail_says: Option<Phrase>,
    /// The limit that applied: its place in the `limits` of the profile, from 0.
    pub limit: Option<usize>,
}

/// What one reading contributes to the uncertainty of a row. The row's uncertainty is the root of the sum of
/// the squares of these, but where instruments state a correlation.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Contribution {
    /// Which reading.
    #[schema(value_type = String)]
    pub input: Word,
    /// Its unit.
    #[schema(value_type = String)]
    pub unit: Word,
    /// How much the value changes with it: unit of the row per unit of the reading.
    pub sensitivity: f64,
    /// Its standard uncertainty, when one is known.
    pub standard_uncertainty: Option<f64>,
    /// Sensitivity times standard uncertainty, in the unit of the row.
    pub contribution: Option<f64>,
    /// Id of the instrument that made it.
    pub instrument: Option<String>,
}

/// Something wrong or doubtful with the data.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Finding {
    /// What kind: a stable word.
    #[schema(value_type = String)]
    pub code: Word,
    /// `warning`, or `blocking` when it makes rows not measured.
    #[schema(value_type = String)]
    pub severity: Word,
    /// Where: JSON Pointers into the measurement set.
    pub pointers: Vec<String>,
    /// Why.
    pub text: String,
    /// What `text` says, to be said in any language.
    #[serde(default)]
    pub says: Option<Phrase>,
}
