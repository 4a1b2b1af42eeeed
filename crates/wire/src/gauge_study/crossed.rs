//! What a crossed study answers.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use super::{GaugeInterval, GaugeToleranceShare};

/// What a crossed study says, by either method; what follows for judging is from the analysis of variance.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CrossedGaugeResult {
    /// Parts.
    pub parts: u32,
    /// Operators.
    pub operators: u32,
    /// Times each operator measured each part.
    pub trials: u32,
    /// Mean of all readings.
    pub mean: f64,
    /// By analysis of variance.
    pub analysis_of_variance: GaugeAnalysis,
    /// By averages and ranges.
    pub average_range: GaugeRanges,
    /// What it means for judging with this gauge.
    pub judging: GaugeForJudging,
}

/// A crossed study by analysis of variance.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GaugeAnalysis {
    /// The name of the method.
    pub method: String,
    /// The interaction is counted as error where its p is above this.
    pub pooling_above: f64,
    /// The table that the components come from.
    pub used: GaugeModel,
    /// The table with interaction.
    pub with_interaction: GaugeTable,
    /// The table with the interaction in the error.
    pub without_interaction: GaugeTable,
    /// Components of variance.
    pub components: GaugeComponents,
    /// Their standard deviations.
    pub deviations: GaugeDeviations,
    /// How many groups of parts the gauge tells apart; left out where GRR is nought.
    pub distinct_categories: Option<GaugeCategories>,
    /// Interval of GRR (modified large sample method); it belongs to the sum of the estimates, negative ones included.
    pub grr_interval: Option<GaugeInterval>,
    /// Interval of the repeatability (chi-square).
    pub repeatability_interval: Option<GaugeInterval>,
}

/// Which table components come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum GaugeModel {
    /// With interaction.
    WithInteraction,
    /// With the interaction in the error.
    WithoutInteraction,
}

/// A table of an analysis of variance.
#[skip_serializing_none]
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GaugeTable {
    /// Between parts, against the interaction, or against the error where there is none.
    pub part: GaugeTableRow,
    /// Between operators, against the same.
    pub operator: GaugeTableRow,
    /// Part by operator, against the error.
    pub interaction: Option<GaugeTableRow>,
    /// Repeatability.
    pub error: GaugeTableRow,
    /// Sum of squares of all readings about their mean.
    pub total_ss: f64,
    /// Degrees of freedom of all.
    pub total_df: u32,
}

/// A row of an analysis of variance.
#[skip_serializing_none]
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GaugeTableRow {
    /// Sum of squares.
    pub ss: f64,
    /// Degrees of freedom.
    pub df: u32,
    /// Mean square.
    pub ms: f64,
    /// F ratio; left out for the error, and where the mean square below is nought.
    pub f: Option<f64>,
    /// The chance of an F at least as large without such an effect.
    pub p: Option<f64>,
}

/// Components of variance.
#[skip_serializing_none]
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GaugeComponents {
    /// Of repeatability.
    pub repeatability: GaugeComponent,
    /// Between operators.
    pub operator: GaugeComponent,
    /// Part by operator; left out where it is in the error.
    pub interaction: Option<GaugeComponent>,
    /// Between parts.
    pub part: GaugeComponent,
}

/// A component of variance.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GaugeComponent {
    /// What the mean squares give; may be negative.
    pub estimate: f64,
    /// What is counted: nought in place of a negative estimate.
    pub variance: f64,
    /// Was a negative estimate set to nought?
    pub set_to_zero: bool,
}

/// Standard deviations of a study and what share of the whole each is. The percentages of parts of a sum do not add up; their
/// squares do.
#[skip_serializing_none]
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GaugeDeviations {
    /// EV: one operator, one part, again.
    pub repeatability: GaugeDeviation,
    /// AV: between operators.
    pub reproducibility: GaugeDeviation,
    /// Part by operator; nought where it is in the error or the method does not know it.
    pub interaction: GaugeDeviation,
    /// GRR: the three above together.
    pub grr: GaugeDeviation,
    /// PV: between parts.
    pub part: GaugeDeviation,
    /// TV: GRR and PV together.
    pub total: GaugeDeviation,
    /// How per cent of the tolerance are counted; left out without limits, or with one that the mean does not keep.
    pub tolerance_share: Option<GaugeToleranceShare>,
}

/// One standard deviation.
#[skip_serializing_none]
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GaugeDeviation {
    /// The standard deviation.
    pub standard_deviation: f64,
    /// As per cent of the total variation; left out where nothing varies.
    pub percent_of_total: Option<f64>,
    /// As per cent of the tolerance.
    pub percent_of_tolerance: Option<f64>,
}

/// Number of distinct categories: 1.41 PV / GRR. 5 or more are wanted (AIAG MSA, 4th edition, from memory).
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GaugeCategories {
    /// As it is.
    pub unrounded: f64,
    /// The whole number of it, cut off.
    pub ndc: u32,
}

/// A crossed study by averages and ranges.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GaugeRanges {
    /// The name of the method.
    pub method: String,
    /// What ranges are multiplied by.
    pub constants: GaugeRangeConstants,
    /// Mean of the ranges of trials.
    pub mean_range: f64,
    /// Range of the means of operators.
    pub operator_difference: f64,
    /// Range of the means of parts.
    pub part_range: f64,
    /// Was a negative variance between operators set to nought?
    pub reproducibility_set_to_zero: bool,
    /// The standard deviations.
    pub deviations: GaugeDeviations,
    /// How many groups of parts the gauge tells apart; left out where GRR is nought.
    pub distinct_categories: Option<GaugeCategories>,
}

/// Constants of averages and ranges: 1/d2*, for K1 1/d2 above 15 ranges, as the published table of d2* ends there.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GaugeRangeConstants {
    /// For trials.
    pub k1: f64,
    /// For operators.
    pub k2: f64,
    /// For parts.
    pub k3: f64,
}

/// What a crossed study means for judging with that gauge, by analysis of variance.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GaugeForJudging {
    /// How many times one operator reads a part before the mean is judged.
    pub repeats: u32,
    /// Standard uncertainty of that mean, without what the study cannot see: bias, reference, temperature.
    pub standard_uncertainty: f64,
    /// 1.645 of them: what a limit is drawn in by so that at most one part in twenty lying on it is accepted.
    pub guard_band: f64,
    /// The smallest two-sided tolerance of which six of them are at most 10 %: a gauge to judge by.
    pub tolerance_for_10_percent: f64,
    /// The smallest of which they are at most 30 %: below it, no gauge for this.
    pub tolerance_for_30_percent: f64,
    /// The smallest two-sided tolerance that guard bands leave anything of.
    pub tolerance_lost_to_guard_bands: f64,
}
