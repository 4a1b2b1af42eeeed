//! What many heads say together, as answered and as printed.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;
use uuid::Uuid;

use crate::{Service, Stage};

mod capability;
mod chart;
mod groups;

pub use capability::{Capability, CapabilityIndex, CapabilityMethod, IntervalMethod, Percentiles};
pub use chart::{ChartKind, ChartPoint, ChartSignal, ControlChart, RuleSet, RunRule, SigmaEstimator, Track};
pub use groups::{AnalysisOfVariance, CodeKind, CodeMoments, GroupComparison, TrendLine};

/// Statistics over the heads of a batch, of a time or of a filter. A head counts with the latest revision of each
/// stage. Amounts are in the unit beside them, as in an evaluation.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Statistics {
    /// `headproof/statistics/1`.
    pub format: String,
    /// What was asked for.
    pub selection: Selection,
    /// Level of every confidence interval; a test rejects below 1 less this.
    pub confidence: f64,
    /// Which run rules the charts were held against.
    pub run_rules: RuleSet,
    /// How capability was to be found; absent where the test of normality told it.
    pub method: Option<CapabilityMethod>,
    /// How many heads there are, and what became of them.
    pub heads: HeadCounts,
    /// Rows that do not conform, by characteristic, the most first (Pareto), one stage after another.
    pub failures: Vec<FailureCount>,
    /// The same by port.
    pub failing_ports: Vec<PortFailures>,
    /// What was measured in one stage against the same limits, each by itself.
    pub characteristics: Vec<CharacteristicStatistics>,
}

/// Which heads were asked for. What is absent was not asked.
#[skip_serializing_none]
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Selection {
    /// Those of this batch.
    pub batch: Option<Uuid>,
    /// Those measured at this time or later (RFC 3339).
    pub from: Option<String>,
    /// Those measured before this time (RFC 3339).
    pub to: Option<String>,
    /// Those of this stage.
    pub stage: Option<Stage>,
    /// Those held against the profile of this id.
    pub profile: Option<String>,
    /// Those of this bench.
    pub bench: Option<String>,
    /// Those of this cutter.
    pub cutter: Option<String>,
    /// Those of this operator.
    pub operator: Option<String>,
    /// This characteristic only; of heads and what became of them nothing is left out.
    pub characteristic: Option<String>,
}

/// How many heads there are, and what became of them.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct HeadCounts {
    /// Measurement sets that are counted.
    pub counted: u64,
    /// Sets that a later revision of the same head and stage took the place of; they are not counted.
    pub superseded: u64,
    /// Sets without values, because an earlier edition of the program judged them; they are not counted. Of these only
    /// batch, stage and time of acceptance are known, and nothing else that was asked for.
    pub without_values: u64,
    /// Values of heads that are counted, of which nothing more is told: they are of more characteristics, profiles and
    /// limits than are kept apart.
    #[serde(default)]
    pub values_left_out: u64,
    /// When the first of them was measured (RFC 3339).
    pub measured_from: Option<String>,
    /// When the last of them was measured (RFC 3339).
    pub measured_to: Option<String>,
    /// Accepted.
    pub accept: u64,
    /// To be reworked.
    pub rework: u64,
    /// Something required was not measured or not proven.
    pub incomplete: u64,
    /// Rejected.
    pub reject: u64,
    /// The same of each stage by itself.
    pub by_stage: Vec<StageCounts>,
    /// First revisions after rework or as handed over that were accepted at once, of all such.
    pub first_pass_yield: Option<Share>,
    /// Sets that somebody signed for with a concession, of all that were signed for.
    pub concession_rate: Option<Share>,
}

/// What became of the heads of one stage.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct StageCounts {
    /// When in the job.
    pub stage: Stage,
    /// Measurement sets that are counted.
    pub counted: u64,
    /// Accepted.
    pub accept: u64,
    /// To be reworked.
    pub rework: u64,
    /// Something required was not measured or not proven.
    pub incomplete: u64,
    /// Rejected.
    pub reject: u64,
}

/// A share with the interval of Wilson's score (1927).
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Share {
    /// How many.
    pub count: u64,
    /// Of how many.
    pub of: u64,
    /// `count` of `of`, 0 to 1.
    pub share: f64,
    /// Lower end of the interval of confidence.
    pub lower: f64,
    /// Upper end.
    pub upper: f64,
}

/// How often a characteristic does not conform.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct FailureCount {
    /// When in the job.
    pub stage: Stage,
    /// Which characteristic.
    pub characteristic: String,
    /// Of which ports; absent for what belongs to no port.
    pub service: Option<Service>,
    /// Rows that do not conform.
    pub count: u64,
    /// Of all rows of this stage that do not conform, 0 to 1.
    pub share: f64,
    /// This and all before it, 0 to 1.
    pub cumulative: f64,
}

/// How often rows of a port do not conform.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PortFailures {
    /// When in the job.
    pub stage: Stage,
    /// Cylinder from 1.
    pub cylinder: u8,
    /// Intake or exhaust.
    pub service: Service,
    /// Index from 1.
    pub index: u8,
    /// Rows that do not conform.
    pub count: u64,
    /// Of all rows of ports of this stage that do not conform, 0 to 1.
    pub share: f64,
    /// This and all before it, 0 to 1.
    pub cumulative: f64,
}

/// One characteristic of one service in one stage, against one pair of limits.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CharacteristicStatistics {
    /// When in the job.
    pub stage: Stage,
    /// Id of the profile.
    pub profile: String,
    /// Which characteristic.
    pub characteristic: String,
    /// Of which ports; absent for what belongs to no port.
    pub service: Option<Service>,
    /// Unit of all amounts here.
    pub unit: String,
    /// Least amount that conforms.
    pub lower: Option<f64>,
    /// Greatest amount that conforms.
    pub upper: Option<f64>,
    /// Rows that conform.
    pub conforms: u64,
    /// Rows that do not conform.
    pub does_not_conform: u64,
    /// Rows that could not be proven either way.
    pub not_proven: u64,
    /// Values, one from each row that has one.
    pub n: u64,
    /// Their mean; absent where there are none.
    pub mean: Option<f64>,
    /// Their standard deviation, from n − 1; absent below two values.
    pub s: Option<f64>,
    /// The least.
    pub min: Option<f64>,
    /// The greatest.
    pub max: Option<f64>,
    /// Their histogram; absent where all are equal.
    pub histogram: Option<Histogram>,
    /// Whether they could come from a normal distribution.
    pub normality: Normality,
    /// Capability; absent where `no_capability` says why.
    pub capability: Option<Capability>,
    /// Why there is none: `no-limits`, `too-few`, `no-spread`, `not-positive`, `limits-crossed` or `out-of-range`.
    pub no_capability: Option<String>,
    /// Control chart; absent where `no_chart` says why.
    pub chart: Option<ControlChart>,
    /// Why there is none: `empty`, `sizes-differ`, `no-spread` or `out-of-range`.
    pub no_chart: Option<String>,
    /// The same values by bench, cutter, gauge and operator, where codes were posted. Whether codes differ, and what
    /// drifts, is told of heads, each of which counts once, with the mean of its values: those of one head are alike.
    pub groups: Vec<GroupComparison>,
    /// Whether they drift with time.
    pub trend: Option<TrendLine>,
}

/// How many values lie in each of equal bins. A bin has its lower edge and not its upper one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Histogram {
    /// The rule for the number of bins: `freedman-diaconis` or `sturges`.
    pub rule: String,
    /// Edges, one more than bins.
    pub edges: Vec<f64>,
    /// Values in each bin.
    pub counts: Vec<u64>,
}

/// Two tests of whether values could come from a normal distribution.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Normality {
    /// `normal` when Anderson and Darling's test does not reject it, `not-normal`, or `unknown` when there are too few
    /// values, or they are all equal.
    pub outcome: String,
    /// Anderson and Darling's A² (D'Agostino and Stephens 1986, case 3), where values that repeat are spread evenly over the
    /// step they were read to: a gauge's steps alone are no reason to reject.
    pub anderson_darling: Option<TestStatistic>,
    /// D'Agostino and Pearson's K².
    pub dagostino_pearson: Option<TestStatistic>,
}

/// What a test gave.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct TestStatistic {
    /// The statistic.
    pub statistic: f64,
    /// The probability of one as great or greater by chance.
    pub p: f64,
}
