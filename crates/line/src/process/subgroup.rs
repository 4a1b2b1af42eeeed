//! What a control chart keeps of one group of values.

use crate::summary::{Moments, nearest_mean};

/// The values of one characteristic on one head, in whole counts of the grid step.
///
/// Groups of several workers are put together by putting them into one list: a chart orders them itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Subgroup {
    /// Time, or place in the line.
    pub order: i64,
    /// Which head; decides between groups of the same order.
    pub id: u32,
    /// The number of values.
    pub n: u16,
    /// Their sum.
    pub sum: i128,
    /// The sum of their squares.
    pub squares: i128,
    /// The least of them.
    pub min: i64,
    /// The greatest of them.
    pub max: i64,
}

impl Subgroup {
    /// The group of these values. `None` where there are none, more than 65535, or where their squares do not sum
    /// to 127 bits.
    ///
    /// ```
    /// let group = headproof_line::Subgroup::of(20, 7, &[3, 5, 4]);
    /// assert!(group.is_some_and(|group| group.sum == 12 && group.squares == 50));
    /// ```
    #[must_use]
    pub fn of(order: i64, id: u32, values: &[i64]) -> Option<Self> {
        let mut sums = Moments::default();
        for &value in values {
            sums.observe(value).ok()?;
        }
        Self::summed(order, id, &sums)
    }

    /// The group of values of which these are the sums. `None` where there are none or more than 65535.
    pub(crate) fn summed(order: i64, id: u32, sums: &Moments) -> Option<Self> {
        Some(Self {
            order,
            id,
            n: u16::try_from(sums.n()).ok()?,
            sum: sums.sum(),
            squares: sums.sum_of_squares(),
            min: sums.min()?,
            max: sums.max()?,
        })
    }

    /// Whether the sums can be those of `n` values from `min` to `max`.
    pub(super) fn holds(&self) -> bool {
        let n = i128::from(self.n);
        self.n > 0
            && self.min <= self.max
            && n * i128::from(self.min) <= self.sum
            && self.sum <= n * i128::from(self.max)
            && self.deviations().is_some_and(|deviations| deviations >= 0)
    }

    /// `n Σx² − (Σx)²`; `None` where it does not fit 127 bits.
    fn deviations(&self) -> Option<i128> {
        i128::from(self.n).checked_mul(self.squares)?.checked_sub(self.sum.checked_mul(self.sum)?)
    }

    /// The mean; `None` without values.
    pub(super) fn mean(&self) -> Option<f64> {
        mean(self.sum, i128::from(self.n))
    }

    /// The standard deviation with `n − 1`; `None` for fewer than two values.
    pub(super) fn deviation(&self) -> Option<f64> {
        let n = f64::from(self.n);
        let deviations = self.deviations().filter(|&deviations| deviations >= 0)?;
        (self.n > 1).then(|| (deviations as f64 / (n * (n - 1.0))).sqrt())
    }

    /// Its mean as a group of one value, to the nearest count; `None` without values.
    pub(crate) fn as_mean(&self) -> Option<Self> {
        let mean = nearest_mean(self.sum, self.n.into())?;
        Self::of(self.order, self.id, &[mean])
    }

    /// The range.
    pub(super) fn range(&self) -> f64 {
        (i128::from(self.max) - i128::from(self.min)) as f64
    }
}

/// The mean of `count` whole numbers of this sum. Means that are equal as fractions are equal here, and the mean of
/// equal numbers is that number, whatever the count: only the part after the point is divided.
pub(super) fn mean(sum: i128, count: i128) -> Option<f64> {
    let whole = sum.checked_div_euclid(count)?;
    Some(whole as f64 + sum.checked_rem_euclid(count)? as f64 / count as f64)
}
