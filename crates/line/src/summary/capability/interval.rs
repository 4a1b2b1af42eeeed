//! Limits of confidence of capability indices.

use crate::special::{chi_square_quantile, noncentrality, normal_quantile};

/// Where the limits of an interval come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum IntervalMethod {
    /// Exact for normal values: νs²/σ² is a chi-square variable.
    ChiSquare,
    /// Exact for normal values: three times the root of n times the index is a noncentral t variable.
    NoncentralT,
    /// A. F. Bissell, How Reliable is Your Capability Index?, 1990: index ± z √(1/(9n) + index²/(2ν)).
    Bissell,
}

/// Two-sided limits of confidence; pure numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// The lower limit.
    pub low: f64,
    /// The upper limit.
    pub high: f64,
    /// The level of confidence, between 0 and 1.
    pub level: f64,
    /// Where the limits come from.
    pub method: IntervalMethod,
}

impl Interval {
    /// The interval, unless a limit is too great for a number.
    fn new(low: f64, high: f64, level: f64, method: IntervalMethod) -> Option<Self> {
        (low.is_finite() && high.is_finite()).then_some(Self { low, high, level, method })
    }
}

/// For Cp and Pp. Source: ISO 22514-2 (from memory).
pub(super) fn chi_square(index: f64, degrees: f64, level: f64) -> Option<Interval> {
    let limit = |p: f64| index * libm::sqrt(chi_square_quantile(p, degrees) / degrees);
    let tail = 0.5 * (1.0 - level);
    Interval::new(limit(tail), limit(1.0 - tail), level, IntervalMethod::ChiSquare)
}

/// For Cpk and Ppk.
pub(super) fn bissell(index: f64, n: u64, degrees: f64, level: f64) -> Option<Interval> {
    let z = normal_quantile(0.5 + 0.5 * level);
    let reach = z * libm::hypot(1.0 / (3.0 * libm::sqrt(n as f64)), index / libm::sqrt(2.0 * degrees));
    Interval::new(index - reach, index + reach, level, IntervalMethod::Bissell)
}

/// For indices of one side: by noncentral t, or by Bissell where the index is so great that it takes too many
/// steps.
///
/// Source: Y. Chou, D. B. Owen and S. A. Borrego, Lower Confidence Limits on Process Capability Indices, 1990
/// (from memory).
pub(super) fn one_sided(index: f64, n: u64, degrees: f64, level: f64) -> Option<Interval> {
    let scale = 3.0 * libm::sqrt(n as f64);
    let tail = 0.5 * (1.0 - level);
    let limit = |p: f64| noncentrality(index * scale, degrees, p).map(|delta| delta / scale);
    match (limit(1.0 - tail), limit(tail)) {
        (Some(low), Some(high)) => Interval::new(low, high, level, IntervalMethod::NoncentralT),
        _ => bissell(index, n, degrees, level),
    }
}
