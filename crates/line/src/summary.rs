//! What many values of one characteristic say together: moments, distribution, normality, capability, groups,
//! trend.
//!
//! Values are whole counts of a grid step (`i64`). Whatever has the dimension of the values (mean, s,
//! quantiles, percentiles, edges, slopes) is given as `f64` in counts: times the step it is in the unit of
//! the grid. Indices, test statistics and probabilities are pure numbers. Sums are exact integers, so what is
//! merged is the same to the last bit in whatever order it comes. Logarithms, exponentials and the error
//! function come from `libm`, so every machine gives the same bits. No function gives NaN or an infinity.

mod axis;
mod capability;
mod distribution;
mod groups;
mod moments;
mod normality;
mod trend;
mod wide;

pub use axis::{Axis, BinRule, Histogram};
pub use capability::{
    Capability, CapabilityMethod, CapabilityReport, Index, Interval, IntervalMethod, Limits, NoCapability,
    NoWithin, Percentiles, Sample, ThinTails, Within, capability, indices,
};
pub use distribution::{Distribution, MOST_DISTINCT, Shape};
pub use groups::{Anova, CodeSums, Groups, MOST_GROUPS, NoAnova};
pub(crate) use moments::nearest_mean;
pub use moments::{Moments, SumOverflow};
pub use normality::{AndersonDarling, DagostinoPearson, Normality, Untestable};
pub use trend::{NoTrend, Significance, Trend, TrendLine};
