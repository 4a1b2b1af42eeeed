//! Count, sum and sum of squares as exact integers, and what follows from them.

use super::wide::Wide;

/// A sum would not fit into 128 bits any more: the values are too large and too many to be summed exactly.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SumOverflow;

impl std::fmt::Display for SumOverflow {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("the values are too large and too many to be summed exactly")
    }
}

impl std::error::Error for SumOverflow {}

/// How many values there are, their sum, the sum of their squares, the least and the greatest: one pass,
/// exact.
///
/// Units: counts. Partial results merge, in any order, to the same bits.
///
/// ```
/// # use headproof_line::Moments;
/// let mut moments = Moments::default();
/// for value in [10_000_001, 10_000_003, 10_000_002] {
///     moments.observe(value)?;
/// }
/// assert_eq!((moments.mean(), moments.s()), (Some(10_000_002.0), Some(1.0)));
/// # Ok::<(), headproof_line::SumOverflow>(())
/// ```
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Moments {
    n: u64,
    sum: i128,
    squares: i128,
    range: Option<(i64, i64)>,
}

/// The mean of `n` counts of this sum to the nearest count, half a count up; `None` where there are none.
pub(crate) fn nearest_mean(sum: i128, n: u64) -> Option<i64> {
    let n = i128::from(n);
    // It lies between two values, which are counts.
    i64::try_from(sum.checked_mul(2)?.checked_add(n)?.checked_div_euclid(2 * n)?).ok()
}

impl Moments {
    /// Takes one value in.
    ///
    /// # Errors
    /// [`SumOverflow`] when a sum no longer fits; then nothing has changed.
    pub fn observe(&mut self, value: i64) -> Result<(), SumOverflow> {
        let square = i128::from(value) * i128::from(value);
        self.merge(&Self { n: 1, sum: value.into(), squares: square, range: Some((value, value)) })
    }

    /// Takes in what another has summed.
    ///
    /// # Errors
    /// [`SumOverflow`] when a sum no longer fits; then nothing has changed.
    pub fn merge(&mut self, other: &Self) -> Result<(), SumOverflow> {
        *self = self.merged(other).ok_or(SumOverflow)?;
        Ok(())
    }

    fn merged(&self, other: &Self) -> Option<Self> {
        let range = match (self.range, other.range) {
            (Some(a), Some(b)) => Some((a.0.min(b.0), a.1.max(b.1))),
            (a, b) => a.or(b),
        };
        Some(Self {
            n: self.n.checked_add(other.n)?,
            sum: self.sum.checked_add(other.sum)?,
            squares: self.squares.checked_add(other.squares)?,
            range,
        })
    }

    /// How many values there are.
    #[must_use]
    pub const fn n(&self) -> u64 {
        self.n
    }

    /// Σx, in counts.
    #[must_use]
    pub const fn sum(&self) -> i128 {
        self.sum
    }

    /// Σx², in squared counts.
    #[must_use]
    pub const fn sum_of_squares(&self) -> i128 {
        self.squares
    }

    /// The least value; `None` without values.
    #[must_use]
    pub fn min(&self) -> Option<i64> {
        self.range.map(|r| r.0)
    }

    /// The greatest value; `None` without values.
    #[must_use]
    pub fn max(&self) -> Option<i64> {
        self.range.map(|r| r.1)
    }

    /// The mean x̄ = Σx/n in counts; `None` without values.
    #[must_use]
    pub fn mean(&self) -> Option<f64> {
        let (whole, rest) = self.mean_parts()?;
        Some(whole as f64 + rest)
    }

    /// The mean to the nearest count, half a count up; `None` without values.
    #[must_use]
    pub fn nearest_mean(&self) -> Option<i64> {
        nearest_mean(self.sum, self.n)
    }

    /// x − x̄ in counts for a whole number x: the whole parts are subtracted as integers, so nothing cancels.
    pub(super) fn deviation(&self, value: i128) -> Option<f64> {
        let (whole, rest) = self.mean_parts()?;
        Some((value - whole) as f64 - rest)
    }

    /// The mean as the whole number below it and the rest, 0 to 1.
    fn mean_parts(&self) -> Option<(i128, f64)> {
        let n = i128::from(self.n);
        (n > 0).then(|| (self.sum.div_euclid(n), self.sum.rem_euclid(n) as f64 / n as f64))
    }

    /// nΣx² − (Σx)², which is n times the sum of squared deviations: exact.
    pub(super) fn scatter(&self) -> Wide {
        Wide::new(self.n.into()).times(Wide::new(self.squares)).minus(square(self.sum))
    }

    /// The sum of squared deviations from the mean, Σ(x − x̄)², in squared counts; 0 without values.
    #[must_use]
    pub fn squared_deviations(&self) -> f64 {
        if self.n == 0 { 0.0 } else { self.scatter().to_f64() / self.n as f64 }
    }

    /// The standard deviation of the sample, with n − 1, in counts; `None` for fewer than two values.
    ///
    /// Source: ISO 3534-1, sample standard deviation; s² = (nΣx² − (Σx)²)/(n(n − 1)), the numerator an exact
    /// integer.
    #[must_use]
    pub fn s(&self) -> Option<f64> {
        (self.n > 1).then(|| libm::sqrt(self.squared_deviations() / (self.n - 1) as f64))
    }
}

fn square(number: i128) -> Wide {
    Wide::new(number).times(Wide::new(number))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_does_not_fit_is_an_error_and_changes_nothing() {
        let mut moments = Moments::default();
        moments.observe(i64::MIN).expect("a square of 2¹²⁶ fits");
        let before = moments;
        assert_eq!(moments.observe(i64::MIN), Err(SumOverflow));
        assert_eq!(moments, before);
        assert_eq!((moments.mean(), moments.s()), (Some(i64::MIN as f64), None));
    }

    #[test]
    fn nothing_and_one_have_no_spread() {
        let mut moments = Moments::default();
        assert_eq!((moments.mean(), moments.s(), moments.min()), (None, None, None));
        moments.observe(-7).expect("small");
        assert_eq!((moments.mean(), moments.s(), moments.max()), (Some(-7.0), None, Some(-7)));
        moments.observe(-7).expect("small");
        assert_eq!(moments.s(), Some(0.0));
    }
}
