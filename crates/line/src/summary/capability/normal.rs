//! Indices from a mean and a standard deviation.

use super::interval::{bissell, chi_square, one_sided};
use super::{Capability, Index, Limits, NoCapability};

/// A mean and a spread of normal values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// How many values the mean comes from, at least 2.
    pub n: u64,
    /// The mean in counts.
    pub mean: f64,
    /// The standard deviation in counts: of all values, or within subgroups.
    pub s: f64,
    /// The degrees of freedom of the standard deviation, at least 1: n − 1 for that of all values.
    pub degrees: f64,
}

impl Sample {
    fn check(self) -> Result<(), NoCapability> {
        if self.n < 2 {
            return Err(NoCapability::TooFew { needed: 2, given: self.n });
        }
        let finite = self.mean.is_finite() && self.s.is_finite() && self.degrees.is_finite();
        if !finite || self.s < 0.0 || self.degrees < 1.0 {
            return Err(NoCapability::NotASpread);
        }
        if self.s == 0.0 { Err(NoCapability::NoSpread) } else { Ok(()) }
    }
}

/// The indices of normal values: (U − L)/6s, (x̄ − L)/3s, (U − x̄)/3s and the lesser of these two, with their
/// intervals.
///
/// Units: mean, s and limits in the same, whichever it is; indices are pure numbers.
///
/// # Errors
/// [`NoCapability`] says why there are none.
///
/// Source: ISO 22514-2 (from memory); intervals as [`super::IntervalMethod`] says.
///
/// ```
/// # use headproof_line::{Limits, Sample, indices};
/// let sample = Sample { n: 50, mean: 16.0, s: 2.0, degrees: 49.0 };
/// let limits = Limits { lower: Some(8.0), upper: Some(20.0) };
/// let found = indices(sample, limits, 0.95).map(|c| (c.both.map(|i| i.value), c.least.value));
/// assert_eq!(found, Ok((Some(1.0), 2.0 / 3.0)));
/// ```
pub fn indices(sample: Sample, limits: Limits, level: f64) -> Result<Capability, NoCapability> {
    limits.check(level)?;
    sample.check()?;
    let Sample { n, mean, s, degrees } = sample;
    let finite = |value: f64| if value.is_finite() { Ok(value) } else { Err(NoCapability::NotASpread) };
    let side = |room: f64| {
        let value = finite(room / (3.0 * s))?;
        Ok(Index { value, interval: one_sided(value, n, degrees, level) })
    };
    let lower = limits.lower.map(|limit| side(mean - limit)).transpose()?;
    let upper = limits.upper.map(|limit| side(limit - mean)).transpose()?;
    let both =
        limits.lower.zip(limits.upper).map(|(low, high)| finite((high - low) / (6.0 * s))).transpose()?;
    let both = both.map(|value| Index { value, interval: chi_square(value, degrees, level) });
    let least = match (lower, upper) {
        (Some(a), Some(b)) => {
            let value = a.value.min(b.value);
            Index { value, interval: bissell(value, n, degrees, level) }
        }
        // Only one side is cared for: its exact interval stands for the index as well.
        (a, b) => a.or(b).ok_or(NoCapability::NoLimits)?,
    };
    Ok(Capability { both, lower, upper, least })
}
