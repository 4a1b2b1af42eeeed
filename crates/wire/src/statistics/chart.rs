//! Control charts.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

/// A control chart: what belongs to one head is one group, and groups come in the order they were measured in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ControlChart {
    /// What is drawn.
    pub kind: ChartKind,
    /// Centre line of the chart of location.
    pub centre: f64,
    /// Standard deviation within groups, which the limits are made of.
    pub sigma: f64,
    /// How that was found.
    pub estimator: SigmaEstimator,
    /// Groups in all.
    pub groups: u64,
    /// Means or single values, the last of them.
    pub location: Vec<ChartPoint>,
    /// Ranges, standard deviations or moving ranges, the last of them.
    pub spread: Vec<ChartPoint>,
    /// Where a run rule was broken; of all groups, the last of them.
    pub signals: Vec<ChartSignal>,
    /// How often one was broken in all.
    pub signal_count: u64,
}

/// What a chart shows of each group.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ChartKind {
    /// Means and ranges.
    MeanRange,
    /// Means and standard deviations.
    MeanDeviation,
    /// Single values and moving ranges; of heads with several values, their means.
    IndividualsMovingRange,
}

impl ChartKind {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::MeanRange => "mean-range",
            Self::MeanDeviation => "mean-deviation",
            Self::IndividualsMovingRange => "individuals-moving-range",
        }
    }
}

/// How the standard deviation within groups was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SigmaEstimator {
    /// Mean range over d2.
    MeanRange,
    /// Standard deviations over c4, weighted by how well each is known.
    MeanDeviation,
    /// Mean moving range over d2.
    MeanMovingRange,
    /// Given.
    Reference,
}

/// A point with its limits.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ChartPoint {
    /// Its place in the line, from 1.
    pub place: u64,
    /// Serial of the head.
    pub head: String,
    /// When it was measured (RFC 3339).
    pub measured_at: String,
    /// Values in the group.
    pub n: u16,
    /// What is drawn.
    pub value: f64,
    /// Centre line here.
    pub centre: f64,
    /// Lower control limit.
    pub lower: f64,
    /// Upper control limit.
    pub upper: f64,
}

/// A run rule that was broken.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ChartSignal {
    /// Which rule.
    pub rule: RunRule,
    /// On which of the two charts.
    pub track: Track,
    /// Place of the first point of the run.
    pub from: u64,
    /// Place of the last.
    pub to: u64,
    /// Serial of the head at the last.
    pub head: String,
}

/// One of the two charts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Track {
    /// Of location.
    Location,
    /// Of spread.
    Spread,
}

/// Run rules that are used together.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum RuleSet {
    /// The control limits only.
    ThreeSigma,
    /// The four zone rules of the Western Electric handbook (1956).
    #[default]
    WesternElectric,
    /// The eight tests of Nelson (1984), as the ISO standards of Shewhart charts have them.
    Nelson,
}

/// A run rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum RunRule {
    /// A point beyond a control limit.
    OnePointBeyondThreeSigma,
    /// Two of three points beyond two standard errors on the same side.
    TwoOfThreeBeyondTwoSigma,
    /// Four of five points beyond one standard error on the same side.
    FourOfFiveBeyondOneSigma,
    /// Eight points in a row on one side of the centre line.
    EightOnOneSide,
    /// Nine points in a row on one side of the centre line.
    NineOnOneSide,
    /// Six points in a row, each higher than the last or each lower.
    SixRisingOrFalling,
    /// Fourteen points in a row that go up and down in turn.
    FourteenAlternating,
    /// Fifteen points in a row nearer the centre line than one standard error.
    FifteenWithinOneSigma,
    /// Eight points in a row farther from the centre line than one standard error.
    EightBeyondOneSigma,
}
