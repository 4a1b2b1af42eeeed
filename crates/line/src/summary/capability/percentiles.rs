//! Indices from percentiles, for values that are not normal.

use super::super::distribution::Distribution;
use super::super::normality::{AndersonDarling, Untestable, anderson_darling, spread};
use super::{Capability, Index, Limits, NoCapability};

/// The probability a normal variable lies below its mean by three standard deviations or more, as it is
/// rounded.
const TAIL: f64 = 0.00135;

/// With fewer values less than one is expected beyond either percentile: the least n with n · 0.00135 ≥ 1.
const ENOUGH: u64 = 741;

/// The percentiles that hold between them as much as mean ± 3s of a normal distribution, and the middle; in
/// counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Percentiles {
    /// The value with 0.135 % below it.
    pub low: f64,
    /// The median.
    pub median: f64,
    /// The value with 99.865 % below it.
    pub high: f64,
}

/// There are fewer values than it takes to expect one beyond the percentiles of 0.135 % and 99.865 %: these
/// are little else than the least and the greatest value (below 494 they are just these), and the indices
/// tell what was seen, not what is to come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ThinTails {
    /// The least number of values with one expected beyond either percentile.
    pub needed: u64,
    /// The number there is.
    pub given: u64,
}

impl ThinTails {
    pub(super) fn of(n: u64) -> Option<Self> {
        (n < ENOUGH).then_some(Self { needed: ENOUGH, given: n })
    }
}

/// The percentiles of a log-normal fit, e^{m ± 3s} of the logarithms; `None` unless all values are more than 0 and some
/// differ.
pub(super) fn log_normal(values: &Distribution) -> Option<Percentiles> {
    if values.moments().min()? <= 0 {
        return None;
    }
    let n = values.n() as f64;
    let logs: Vec<_> = values.points().into_iter().map(|(v, times)| (libm::log(v), times as f64)).collect();
    let mean = logs.iter().map(|(log, times)| log * times).sum::<f64>() / n;
    // What the rounding of the mean has left over is taken out again.
    let rest = logs.iter().map(|(log, times)| (log - mean) * times).sum::<f64>() / n;
    let off = |log: f64| log - mean - rest;
    let squares = logs.iter().map(|(log, times)| off(*log) * off(*log) * times).sum::<f64>();
    let (mean, s) = (mean + rest, libm::sqrt(squares / (n - 1.0)));
    if !(s.is_finite() && s > 0.0) {
        return None;
    }
    let at = |k: f64| libm::exp(mean + k * s);
    Some(Percentiles { low: at(-3.0), median: at(0.0), high: at(3.0) })
}

/// The test of whether the logarithms of values above 0 could be normal; values that repeat are spread over their step as
/// for the values themselves, unless the step reaches down to 0.
pub(super) fn log_test(values: &Distribution) -> Result<AndersonDarling, Untestable> {
    let (points, step) = (values.points(), values.step());
    let is_far = points.first().is_some_and(|(least, _)| *least > step);
    let points = if is_far { spread(&points, step) } else { points };
    let logs: Vec<_> = points.into_iter().map(|(v, times)| (libm::log(v), times)).collect();
    anderson_darling(&logs)
}

/// The percentiles of the values themselves; `None` without values.
pub(super) fn empirical(values: &Distribution) -> Option<Percentiles> {
    let at = |p: f64| values.quantile(p);
    Some(Percentiles { low: at(TAIL)?, median: at(0.5)?, high: at(1.0 - TAIL)? })
}

impl Percentiles {
    /// (U − L)/(X₉₉.₈₆₅ − X₀.₁₃₅), (X₅₀ − L)/(X₅₀ − X₀.₁₃₅), (U − X₅₀)/(X₉₉.₈₆₅ − X₅₀) and the lesser of
    /// these two.
    ///
    /// # Errors
    /// [`NoCapability::NoSpread`] when percentiles on the side of a limit fall together.
    ///
    /// Source: ISO 22514-2 and ISO 21747, percentile method (from memory).
    pub(super) fn capability(self, limits: Limits) -> Result<Capability, NoCapability> {
        let index = |room: f64, spread: f64| {
            let value = room / spread;
            let index = (spread > 0.0 && value.is_finite()).then_some(Index { value, interval: None });
            index.ok_or(NoCapability::NoSpread)
        };
        let lower =
            limits.lower.map(|limit| index(self.median - limit, self.median - self.low)).transpose()?;
        let upper =
            limits.upper.map(|limit| index(limit - self.median, self.high - self.median)).transpose()?;
        let both = limits.lower.zip(limits.upper);
        let both = both.map(|(low, high)| index(high - low, self.high - self.low)).transpose()?;
        let least = match (lower, upper) {
            (Some(a), Some(b)) => Some(if b.value < a.value { b } else { a }),
            (a, b) => a.or(b),
        };
        Ok(Capability { both, lower, upper, least: least.ok_or(NoCapability::NoLimits)? })
    }
}
