//! The values with how often each came, bounded.

use std::collections::BTreeMap;

use super::moments::{Moments, SumOverflow};

/// The most distinct values a distribution keeps; with more it goes over to a coarser grid.
pub const MOST_DISTINCT: usize = 4096;

/// The coarsest grid there is: 5·10¹⁸ counts, in which all of `i64` falls into four cells.
const COARSEST: i64 = 5_000_000_000_000_000_000;

/// The values of one characteristic with how often each came, and their exact moments.
///
/// Up to [`MOST_DISTINCT`] distinct values are kept as they are. With more, values are gathered in cells of a
/// grid whose width is the first of 1, 5, 10, 50, 100, 500 … counts with which there are no more than that
/// many cells; a value v lies in the cell ⌊v/width⌋ and stands in its middle. Each width is a multiple of the
/// one before, so coarsening twice is coarsening once, and more values never need a finer grid: the outcome
/// depends on the values alone, not on the order in which they came or were merged. Moments, least and
/// greatest value stay exact.
///
/// Units: counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Distribution {
    moments: Moments,
    width: i64,
    cells: BTreeMap<i64, u64>,
}

impl Default for Distribution {
    fn default() -> Self {
        Self { moments: Moments::default(), width: 1, cells: BTreeMap::new() }
    }
}

impl Distribution {
    /// Takes one value in.
    ///
    /// # Errors
    /// [`SumOverflow`] when a sum of the moments no longer fits; then nothing has changed.
    pub fn observe(&mut self, value: i64) -> Result<(), SumOverflow> {
        self.moments.observe(value)?;
        // Cannot wrap: the moments count all values in the same type.
        *self.cells.entry(value.div_euclid(self.width)).or_default() += 1;
        self.coarsen();
        Ok(())
    }

    /// Takes in what another has gathered.
    ///
    /// # Errors
    /// [`SumOverflow`] when a sum of the moments no longer fits; then nothing has changed.
    pub fn merge(&mut self, other: &Self) -> Result<(), SumOverflow> {
        self.moments.merge(&other.moments)?;
        while self.width < other.width {
            self.go_over();
        }
        let ratio = self.width / other.width;
        for (cell, times) in &other.cells {
            *self.cells.entry(cell.div_euclid(ratio)).or_default() += times;
        }
        self.coarsen();
        Ok(())
    }

    fn coarsen(&mut self) {
        while self.cells.len() > MOST_DISTINCT && self.width < COARSEST {
            self.go_over();
        }
    }

    /// Goes over to the next coarser grid.
    fn go_over(&mut self) {
        // 1, 10, 100 … leave 1 when divided by 9, and only they do.
        let ratio = if self.width % 9 == 1 { 5 } else { 2 };
        self.width *= ratio;
        let mut cells = BTreeMap::new();
        for (cell, times) in &self.cells {
            *cells.entry(cell.div_euclid(ratio)).or_default() += times;
        }
        self.cells = cells;
    }

    /// The exact moments of the values.
    #[must_use]
    pub const fn moments(&self) -> &Moments {
        &self.moments
    }

    /// How many values there are.
    #[must_use]
    pub const fn n(&self) -> u64 {
        self.moments.n()
    }

    /// The width of the grid the values were gathered in, in counts: 1 when they were kept as they are.
    #[must_use]
    pub const fn width(&self) -> i64 {
        self.width
    }

    /// The cells in rising order as (⌊v/width⌋, how often).
    pub fn cells(&self) -> impl Iterator<Item = (i64, u64)> + '_ {
        self.cells.iter().map(|(cell, times)| (*cell, *times))
    }

    /// The least values of the cells and how often each came.
    fn floors(&self) -> impl DoubleEndedIterator<Item = (i128, u64)> + '_ {
        self.cells.iter().map(|(cell, times)| (i128::from(*cell) * i128::from(self.width), *times))
    }

    /// How far the middle of a cell lies above its least value.
    pub(super) fn half(&self) -> f64 {
        (self.width - 1) as f64 / 2.0
    }

    /// The values (middles of cells) in rising order, none outside the least and the greatest, with how often
    /// each came.
    pub(super) fn points(&self) -> Vec<(f64, u64)> {
        let least = self.moments.min().unwrap_or(0) as f64;
        let greatest = self.moments.max().unwrap_or(0) as f64;
        let half = self.half();
        self.floors().map(|(floor, times)| ((floor as f64 + half).max(least).min(greatest), times)).collect()
    }

    /// The deviations of the values from the exact mean, in rising order, with how often each came.
    pub(super) fn deviations(&self) -> Vec<(f64, u64)> {
        let half = self.half();
        self.floors()
            .filter_map(|(floor, times)| Some((self.moments.deviation(floor)? + half, times)))
            .collect()
    }

    /// The least distance of two distinct values, in counts: the step the values were read to. 0 below two of them.
    pub(super) fn step(&self) -> f64 {
        let cells = self.cells.keys();
        let apart = cells.clone().zip(cells.skip(1)).map(|(one, next)| next.abs_diff(*one)).min();
        apart.map_or(0.0, |apart| apart as f64 * self.width as f64)
    }

    /// The quantile of a `probability` of 0 to 1, in counts; `None` without values or outside 0 to 1.
    ///
    /// Source: R. J. Hyndman and Y. Fan, Sample Quantiles in Statistical Packages, 1996, definition 8 (from
    /// memory): between the values of rank j and j + 1 where j + g = (n + ⅓)p + ⅓, which leaves the median of
    /// the estimate right whatever the distribution.
    ///
    /// ```
    /// # use headproof_line::Distribution;
    /// let mut values = Distribution::default();
    /// for value in [40, 10, 30, 20] {
    ///     values.observe(value)?;
    /// }
    /// assert_eq!((values.quantile(0.5), values.quantile(0.0)), (Some(25.0), Some(10.0)));
    /// # Ok::<(), headproof_line::SumOverflow>(())
    /// ```
    #[must_use]
    pub fn quantile(&self, probability: f64) -> Option<f64> {
        if self.n() == 0 || !(0.0..=1.0).contains(&probability) {
            return None;
        }
        let n = self.n() as f64;
        let place = ((n + 1.0 / 3.0) * probability + 1.0 / 3.0).clamp(1.0, n);
        let rank = libm::floor(place);
        let (low, high) =
            (self.of_rank(rank as u64)?, self.of_rank((rank as u64).saturating_add(1).min(self.n()))?);
        Some(low + (place - rank) * (high - low))
    }

    /// The value of a rank, 1 for the least.
    fn of_rank(&self, rank: u64) -> Option<f64> {
        if rank <= 1 {
            return self.moments.min().map(|v| v as f64);
        }
        if rank >= self.n() {
            return self.moments.max().map(|v| v as f64);
        }
        let mut below = 0;
        self.points().into_iter().find_map(|(value, times)| {
            below += times;
            (below >= rank).then_some(value)
        })
    }

    /// Skewness and excess kurtosis; `None` for fewer than two values or when all are equal.
    #[must_use]
    pub fn shape(&self) -> Option<Shape> {
        let n = self.n() as f64;
        let mut powers = [0.0; 3];
        for (deviation, times) in self.deviations() {
            let (square, times) = (deviation * deviation, times as f64);
            powers[0] += times * square;
            powers[1] += times * square * deviation;
            powers[2] += times * square * square;
        }
        let [second, third, fourth] = powers.map(|p| p / n);
        if self.moments.min() == self.moments.max() || second <= 0.0 {
            return None;
        }
        let (g1, g2) = (third / (second * libm::sqrt(second)), fourth / (second * second) - 3.0);
        Some(Shape {
            skewness: g1,
            excess_kurtosis: g2,
            sample_skewness: (n > 2.0).then(|| g1 * libm::sqrt(n * (n - 1.0)) / (n - 2.0)),
            sample_excess_kurtosis: (n > 3.0)
                .then(|| (n - 1.0) / ((n - 2.0) * (n - 3.0)) * ((n + 1.0) * g2 + 6.0)),
        })
    }
}

/// How lopsided and how long-tailed values are; pure numbers, 0 for a normal distribution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shape {
    /// g₁ = m₃/m₂^{3/2} of the central moments with n.
    pub skewness: f64,
    /// g₂ = m₄/m₂² − 3 of the central moments with n.
    pub excess_kurtosis: f64,
    /// G₁, g₁ made right for the size of the sample; `None` for fewer than three values.
    pub sample_skewness: Option<f64>,
    /// G₂, g₂ made right for the size of the sample; `None` for fewer than four values.
    pub sample_excess_kurtosis: Option<f64>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_widths_are_1_5_10_50_and_end_at_the_coarsest() {
        let mut distribution = Distribution::default();
        let mut widths = vec![distribution.width];
        while distribution.width < COARSEST {
            distribution.go_over();
            widths.push(distribution.width);
        }
        assert_eq!(widths[..5], [1, 5, 10, 50, 100]);
        assert_eq!((widths.len(), *widths.last().expect("many")), (38, COARSEST));
    }

    #[test]
    fn one_value_too_many_gathers_all_in_cells_of_5() {
        let mut distribution = Distribution::default();
        for value in 0..4096 {
            distribution.observe(value).expect("small");
        }
        assert_eq!((distribution.width(), distribution.cells().count()), (1, 4096));
        distribution.observe(-1).expect("small");
        assert_eq!((distribution.width(), distribution.cells().count()), (5, 821));
        assert_eq!(distribution.cells().next(), Some((-1, 1)));
        assert_eq!((distribution.quantile(0.0), distribution.quantile(1.0)), (Some(-1.0), Some(4095.0)));
    }
}
