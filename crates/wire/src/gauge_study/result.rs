//! What any study of a gauge answers.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use super::{CrossedGaugeResult, GaugeUnit, ReferenceGaugeResult};
use crate::Measures;

/// What a study says of a gauge. Numbers are in `unit` (variances and sums of squares in its square) and have at most 15
/// digits; what has no value is left out.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GaugeStudy {
    /// `headproof/gauge-study-result/1`.
    pub format: String,
    /// Which kind of study.
    pub kind: GaugeStudyKind,
    /// What it is called.
    pub title: String,
    /// The characteristic the gauge was studied for.
    pub characteristic: Option<String>,
    /// The gauge.
    pub instrument: Option<String>,
    /// Unit of the numbers.
    pub unit: GaugeUnit,
    /// Least amount that conforms.
    pub lower: Option<f64>,
    /// Greatest amount that conforms.
    pub upper: Option<f64>,
    /// Level of the confidence intervals.
    pub confidence: f64,
    /// What to make of the gauge, by the rule that `headline` names.
    pub outcome: GaugeOutcome,
    /// The same in one sentence.
    pub headline: String,
    /// Of a crossed study.
    pub crossed: Option<CrossedGaugeResult>,
    /// Of a study on a reference.
    pub reference: Option<ReferenceGaugeResult>,
    /// What the shop may state of this gauge among the instruments of its measurement sets; left out where no scatter
    /// and nothing else was seen that an uncertainty could be taken from.
    pub for_the_instrument: Option<GaugeForTheSet>,
}

/// Kinds of studies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum GaugeStudyKind {
    /// Several people measured several parts several times.
    Crossed,
    /// One reference of known value was measured again and again.
    Reference,
}

/// What to make of a gauge.
///
/// A crossed study: by GRR, as per cent of the tolerance where it is known, else of the total variation (AIAG MSA, 4th
/// edition, from memory). A study on a reference: by Cg, Cgk and resolution (ISO 22514-7, from memory).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum GaugeOutcome {
    /// At most 10 %; the indices and the resolution are what is wanted.
    Good,
    /// More than 10 % and at most 30 %: for some purposes.
    Limited,
    /// More than 30 %; an index or the resolution is not what is wanted.
    Unfit,
    /// There is nothing to hold it against.
    Undecided,
}

/// How a standard deviation is held against the limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum GaugeToleranceShare {
    /// Six of them against upper less lower limit.
    TwoSided,
    /// Three of them against the way from the mean of all readings to the one limit.
    OneSided,
}

/// A confidence interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GaugeInterval {
    /// Lower end.
    pub lower: f64,
    /// Upper end.
    pub upper: f64,
}

/// A gauge as an entry of `instruments` in a measurement set: the expanded uncertainty of one reading goes with its
/// coverage factor, in a set that states `unit` for what the gauge measures.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GaugeForTheSet {
    /// What it measures.
    pub measures: Measures,
    /// Unit of the numbers.
    pub unit: GaugeUnit,
    /// Standard uncertainty of one reading, to three digits.
    pub standard_uncertainty: f64,
    /// Expanded uncertainty of one reading, to three digits.
    pub expanded_uncertainty: f64,
    /// Its coverage factor.
    pub coverage_factor: f64,
    /// Smallest step it shows, where the study states it.
    pub resolution: Option<f64>,
    /// What the uncertainty is made of, and what it leaves out.
    pub covers: String,
}
