//! Does the process fit between its limits?

mod interval;
mod normal;
mod percentiles;

pub use interval::{Interval, IntervalMethod};
pub use normal::{Sample, indices};
pub use percentiles::{Percentiles, ThinTails};

use super::distribution::Distribution;
use super::normality::Normality;

/// The farthest a count of 64 bits reaches.
const FARTHEST: f64 = 9_223_372_036_854_775_808.0;

/// The limits of a characteristic in counts; either may be absent.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Limits {
    /// The lower limit L.
    pub lower: Option<f64>,
    /// The upper limit U.
    pub upper: Option<f64>,
}

impl Limits {
    fn check(self, level: f64) -> Result<(), NoCapability> {
        if !(level > 0.0 && level < 1.0) {
            return Err(NoCapability::LevelOutOfRange);
        }
        let given: Vec<f64> = self.lower.into_iter().chain(self.upper).collect();
        match given[..] {
            [] => Err(NoCapability::NoLimits),
            _ if given.iter().any(|limit| limit.is_nan() || limit.abs() > FARTHEST) => {
                Err(NoCapability::LimitOutOfRange)
            }
            [lower, upper] if lower >= upper => Err(NoCapability::LimitsCrossed),
            _ => Ok(()),
        }
    }
}

/// Spread within subgroups, as a control chart gives it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Within {
    /// The standard deviation within subgroups in counts.
    pub s: f64,
    /// Its degrees of freedom, at least 1; need not be whole.
    pub degrees: f64,
}

/// Why there are no indices.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoCapability {
    /// There is neither a lower nor an upper limit.
    NoLimits,
    /// A limit is not a number, or no value could reach it: it lies beyond 2⁶³ counts.
    LimitOutOfRange,
    /// The lower limit is not below the upper one.
    LimitsCrossed,
    /// The level of confidence does not lie between 0 and 1.
    LevelOutOfRange,
    /// There are too few values.
    TooFew {
        /// The least number.
        needed: u64,
        /// The number there is.
        given: u64,
    },
    /// The values do not differ (or, for percentiles, the half of them on the side of a limit does not), so
    /// whatever is between the limits would fit any number of times.
    NoSpread,
    /// A spread, mean or number of degrees of freedom given is none: not finite, or less than it can be.
    NotASpread,
    /// A log-normal distribution was asked for, and a value is not more than 0.
    NotPositive,
}

/// Why there are no indices from the spread within subgroups.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoWithin {
    /// None was given.
    NotGiven,
    /// The values are not normal, and the indices from a spread within subgroups presume that they are.
    NotNormal,
    /// Percentiles were asked for, and the indices from a spread within subgroups do not come from those.
    ByPercentiles,
    /// It is 0, not a number, or has less than one degree of freedom.
    NotASpread,
}

/// How the indices were found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CapabilityMethod {
    /// From mean and standard deviation. Unless it was asked for, nothing speaks against a normal distribution (or
    /// the values are too few to tell: [`CapabilityReport::normality`] says which).
    Normal,
    /// From percentiles of a log-normal distribution fitted to the values.
    LogNormalPercentiles,
    /// From percentiles of the values themselves.
    EmpiricalPercentiles,
}

/// One index; a pure number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Index {
    /// The index.
    pub value: f64,
    /// Its limits of confidence; `None` from percentiles, for which none are given here, and where a limit
    /// would be too great for a number.
    pub interval: Option<Interval>,
}

/// The indices from one spread: Cp, Cpl, Cpu, Cpk within subgroups; Pp, Ppl, Ppu, Ppk from all values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Capability {
    /// Cp or Pp: how often the spread fits between the limits; `None` unless there are two limits.
    pub both: Option<Index>,
    /// Cpl or Ppl: how often half the spread fits above the lower limit; `None` without one.
    pub lower: Option<Index>,
    /// Cpu or Ppu: how often half the spread fits below the upper limit; `None` without one.
    pub upper: Option<Index>,
    /// Cpk or Ppk: the lesser of the two before, or the only one with its own interval.
    pub least: Index,
}

/// What a process can do, and how that was found.
#[derive(Debug, Clone, PartialEq)]
pub struct CapabilityReport {
    /// How many values there are.
    pub n: u64,
    /// The level of confidence of the intervals, two-sided; a distribution is rejected where p < 1 − level.
    pub level: f64,
    /// How the overall indices were found.
    pub method: CapabilityMethod,
    /// The tests that tell the method where none is asked for.
    pub normality: Normality,
    /// Pp, Ppl, Ppu and Ppk.
    pub overall: Capability,
    /// Cp, Cpl, Cpu and Cpk, or why there are none.
    pub within: Result<Capability, NoWithin>,
    /// The percentiles the indices come from; `None` for [`CapabilityMethod::Normal`].
    pub percentiles: Option<Percentiles>,
    /// Said for [`CapabilityMethod::EmpiricalPercentiles`] when there are too few values for their percentiles to be
    /// any but the extremes.
    pub thin_tails: Option<ThinTails>,
}

/// Capability and performance indices of the values between `limits`, with intervals of a `level` of
/// confidence.
///
/// The method is the one given. Without one it is normal, unless Anderson and Darling's test rejects that at
/// significance 1 − `level`; then log-normal, when all values are more than 0 and the test does not reject their
/// logarithms; then the percentiles of the values. Whether the process is in control, without which no index
/// foretells anything, is not asked here.
///
/// Units: limits and spread in counts; indices are pure numbers.
///
/// # Errors
/// [`NoCapability`] says why there are none.
///
/// Source: ISO 22514-2 and ISO 21747 (from memory); methods of intervals as [`IntervalMethod`] says.
pub fn capability(
    values: &Distribution,
    within: Option<Within>,
    limits: Limits,
    level: f64,
    method: Option<CapabilityMethod>,
) -> Result<CapabilityReport, NoCapability> {
    limits.check(level)?;
    let (Some(mean), Some(s)) = (values.moments().mean(), values.moments().s()) else {
        return Err(NoCapability::TooFew { needed: 2, given: values.n() });
    };
    if s <= 0.0 {
        return Err(NoCapability::NoSpread);
    }
    let n = values.n();
    let normality = Normality::of(values);
    let report = |method, overall, within, percentiles, thin_tails| CapabilityReport {
        n,
        level,
        method,
        normality,
        overall,
        within,
        percentiles,
        thin_tails,
    };
    let percentiles = match method {
        Some(method) => asked(method, values)?,
        None => suiting(values, &normality, limits, level)?,
    };
    let Some((found, percentiles)) = percentiles else {
        let of = |s, degrees| indices(Sample { n, mean, s, degrees }, limits, level);
        let within = within
            .ok_or(NoWithin::NotGiven)
            .and_then(|w| of(w.s, w.degrees).map_err(|_| NoWithin::NotASpread));
        return Ok(report(CapabilityMethod::Normal, of(s, (n - 1) as f64)?, within, None, None));
    };
    let within = Err(match (within, method) {
        (None, _) => NoWithin::NotGiven,
        (_, None) => NoWithin::NotNormal,
        (_, Some(_)) => NoWithin::ByPercentiles,
    });
    let thin_tails = (found == CapabilityMethod::EmpiricalPercentiles).then(|| ThinTails::of(n)).flatten();
    Ok(report(found, percentiles.capability(limits)?, within, Some(percentiles), thin_tails))
}

/// The percentiles of the method asked for; none for the normal one.
fn asked(
    method: CapabilityMethod,
    values: &Distribution,
) -> Result<Option<(CapabilityMethod, Percentiles)>, NoCapability> {
    let percentiles = match method {
        CapabilityMethod::Normal => return Ok(None),
        CapabilityMethod::LogNormalPercentiles if values.moments().min().is_some_and(|least| least <= 0) => {
            return Err(NoCapability::NotPositive);
        }
        CapabilityMethod::LogNormalPercentiles => percentiles::log_normal(values),
        CapabilityMethod::EmpiricalPercentiles => percentiles::empirical(values),
    };
    Ok(Some((method, percentiles.ok_or(NoCapability::NoSpread)?)))
}

/// The percentiles for values that are not normal by the test; none for others.
fn suiting(
    values: &Distribution,
    normality: &Normality,
    limits: Limits,
    level: f64,
) -> Result<Option<(CapabilityMethod, Percentiles)>, NoCapability> {
    if normality.passes(level) != Some(false) {
        return Ok(None);
    }
    if let Some(fit) = percentiles::log_normal(values)
        && percentiles::log_test(values).is_ok_and(|test| test.passes(level))
        && fit.capability(limits).is_ok()
    {
        return Ok(Some((CapabilityMethod::LogNormalPercentiles, fit)));
    }
    asked(CapabilityMethod::EmpiricalPercentiles, values)
}
