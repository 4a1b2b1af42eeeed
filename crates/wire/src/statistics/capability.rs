//! What a process can do.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

/// Capability indices and how they were found. Whether the process holds still, without which none of them foretells
/// anything, the chart says.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Capability {
    /// How the overall indices were found.
    pub method: CapabilityMethod,
    /// From the scatter within heads; absent for one-sided limits.
    pub cp: Option<CapabilityIndex>,
    /// The same to the lower limit.
    pub cpl: Option<CapabilityIndex>,
    /// The same to the upper limit.
    pub cpu: Option<CapabilityIndex>,
    /// The lesser of them.
    pub cpk: Option<CapabilityIndex>,
    /// Why there are none from the scatter within heads: `not-given`, `not-normal`, `by-percentiles` (which were
    /// asked for) or `no-spread`.
    pub no_cpk: Option<String>,
    /// From the scatter of all values; absent for one-sided limits.
    pub pp: Option<CapabilityIndex>,
    /// The same to the lower limit.
    pub ppl: Option<CapabilityIndex>,
    /// The same to the upper limit.
    pub ppu: Option<CapabilityIndex>,
    /// The lesser of them.
    pub ppk: CapabilityIndex,
    /// The percentiles that stand for mean and scatter where the values are not normal.
    pub percentiles: Option<Percentiles>,
    /// There are too few values for the outer percentiles to be any but the extremes.
    #[serde(default)]
    pub thin_tails: bool,
}

/// One index with its limits of confidence.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CapabilityIndex {
    /// The index.
    pub value: f64,
    /// Lower limit of confidence; none are given for percentiles.
    pub lower: Option<f64>,
    /// Upper limit of confidence.
    pub upper: Option<f64>,
    /// How the limits were found.
    pub interval: Option<IntervalMethod>,
}

/// How capability was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CapabilityMethod {
    /// From mean and standard deviation.
    Normal,
    /// From percentiles of a log-normal distribution.
    LogNormalPercentiles,
    /// From percentiles of the values themselves.
    EmpiricalPercentiles,
}

impl CapabilityMethod {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Normal => "normal",
            Self::LogNormalPercentiles => "log-normal-percentiles",
            Self::EmpiricalPercentiles => "empirical-percentiles",
        }
    }
}

/// How limits of confidence were found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum IntervalMethod {
    /// From the chi-square distribution: exact.
    ChiSquare,
    /// From the noncentral t distribution: exact.
    NoncentralT,
    /// Bissell's approximation.
    Bissell,
}

/// Percentiles, in the unit of the values.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Percentiles {
    /// 0.135 % lie below.
    pub low: f64,
    /// Half lie below.
    pub median: f64,
    /// 99.865 % lie below.
    pub high: f64,
}
