//! The same values by who and what made or measured them, and with time.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

/// Values by one kind of code.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GroupComparison {
    /// Which code.
    pub by: CodeKind,
    /// Each code with its values, at most 100.
    pub codes: Vec<CodeMoments>,
    /// Values of further codes.
    pub others: u64,
    /// Whether the codes differ by more than chance; absent below two codes, or where no code has two heads that
    /// differ.
    pub analysis_of_variance: Option<AnalysisOfVariance>,
}

/// A kind of code that travels with readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CodeKind {
    /// Where the work was done.
    Bench,
    /// What cut the seat.
    Cutter,
    /// The gauge that most of the uncertainty of a value comes from.
    Gauge,
    /// Who did it.
    Operator,
}

/// The values of one code.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CodeMoments {
    /// The code.
    pub code: String,
    /// Values.
    pub n: u64,
    /// Heads that they are of.
    pub heads: u64,
    /// Their mean.
    pub mean: f64,
    /// Their standard deviation; absent below two values.
    pub s: Option<f64>,
    /// The least.
    pub min: f64,
    /// The greatest.
    pub max: f64,
    /// Whether the heads of this code drift with time; absent below three heads, or of one time.
    pub trend: Option<TrendLine>,
}

/// One-way analysis of variance of the means of heads.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct AnalysisOfVariance {
    /// Ratio of the mean squares between and within codes.
    pub f: f64,
    /// Degrees of freedom between.
    pub degrees_between: u64,
    /// Degrees of freedom within.
    pub degrees_within: u64,
    /// Probability of such a ratio or a greater one when the codes do not differ.
    pub p: f64,
    /// Share of the sum of squares that lies between the codes, 0 to 1.
    pub r_squared: f64,
    /// Standard deviation of the means of heads within codes.
    pub s: f64,
}

/// A straight line of least squares through the means of heads over the time of measurement.
#[skip_serializing_none]
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct TrendLine {
    /// Slope, in the unit of the values for a day.
    pub slope_per_day: f64,
    /// Its standard error.
    pub standard_error: f64,
    /// Probability of such a slope or a steeper one when there is none; absent when the means lie on the line.
    pub p: Option<f64>,
    /// Share of the sum of squares that the line tells, 0 to 1.
    pub r_squared: Option<f64>,
}
