//! Histograms on round edges.

use super::distribution::Distribution;

/// The rule that told how many bins a histogram wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BinRule {
    /// D. Freedman and P. Diaconis, 1981: bins of 2·IQR/∛n.
    FreedmanDiaconis,
    /// H. A. Sturges, 1926: 1 + log₂ n bins; taken where the quartiles fall together.
    Sturges,
}

/// Equal bins on round edges: each edge is a multiple of a width of 1, 2 or 5 times a power of ten, in
/// counts.
///
/// A bin holds the values from its lower edge up to below its upper one. A count's step is a power of ten of
/// its unit, so edges are round in the unit as well.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Axis {
    /// The lowest edge over the width.
    first: i128,
    width: i128,
    bins: usize,
}

impl Axis {
    /// The axis of the finest round bins, no more than `most` (of 2 to 1000), that holds all values of `low`
    /// to `high`, with bins no finer than `finest` counts; `None` when the range is turned round or `most` is
    /// less than 2.
    ///
    /// ```
    /// # use headproof_line::Axis;
    /// let axis = Axis::round(-130, 2870, 1, 10).map(|a| (a.edge(0), a.width(), a.bins()));
    /// assert_eq!(axis, Some((-500.0, 500.0, 7)));
    /// ```
    #[must_use]
    pub fn round(low: i64, high: i64, finest: i64, most: usize) -> Option<Self> {
        if low > high || most < 2 {
            return None;
        }
        let most = i128::try_from(most.min(1000)).ok()?;
        let (low, high) = (i128::from(low), i128::from(high));
        let mut power = 1;
        // Bins of 10¹⁹ counts hold all of i64 in two.
        while power <= 10_i128.pow(19) {
            for width in [power, 2 * power, 5 * power] {
                let (first, last) = (low.div_euclid(width), high.div_euclid(width));
                if width >= finest.into() && last - first < most {
                    return Some(Self { first, width, bins: usize::try_from(last - first + 1).ok()? });
                }
            }
            power *= 10;
        }
        None
    }

    /// The axis for a distribution's own values and the rule it follows: no more than `most` bins (of 2 to
    /// 1000), and none finer than the grid the values were gathered in; `None` without values.
    #[must_use]
    pub fn of(values: &Distribution, most: usize) -> Option<(Self, BinRule)> {
        let (low, high) = (values.moments().min()?, values.moments().max()?);
        let n = values.n() as f64;
        let quartiles = values.quantile(0.75)? - values.quantile(0.25)?;
        let (wanted, rule) = if quartiles > 0.0 {
            let width = 2.0 * quartiles / libm::cbrt(n);
            ((high as f64 - low as f64) / width + 1.0, BinRule::FreedmanDiaconis)
        } else {
            (1.0 + libm::log2(n), BinRule::Sturges)
        };
        // The cast saturates, and `most` is what bounds it.
        let wanted = (libm::ceil(wanted) as usize).clamp(2, most.max(2));
        Some((Self::round(low, high, values.width(), wanted)?, rule))
    }

    /// The width of a bin in counts.
    #[must_use]
    pub const fn width(&self) -> f64 {
        self.width as f64
    }

    /// How many bins there are.
    #[must_use]
    pub const fn bins(&self) -> usize {
        self.bins
    }

    /// The edge below the bin of this index in counts; that of [`Axis::bins`] is the last one.
    #[must_use]
    pub const fn edge(&self, index: usize) -> f64 {
        let index = if index < self.bins { index } else { self.bins };
        ((self.first + index as i128) * self.width) as f64
    }
}

/// How many values lie in each bin of an axis.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Histogram {
    /// The bins.
    pub axis: Axis,
    /// How many values each bin holds.
    pub counts: Vec<u64>,
    /// How many values lie below the first edge.
    pub below: u64,
    /// How many values lie on or above the last edge.
    pub above: u64,
}

impl Distribution {
    /// How many values lie in each bin; exact, because round bins no finer than the grid are whole cells of
    /// it.
    ///
    /// `None` when the bins are finer than the grid the values were gathered in.
    #[must_use]
    pub fn histogram(&self, axis: &Axis) -> Option<Histogram> {
        if axis.width < self.width().into() {
            return None;
        }
        let mut histogram = Histogram { axis: *axis, counts: vec![0; axis.bins], below: 0, above: 0 };
        for (cell, times) in self.cells() {
            let bin = (i128::from(cell) * i128::from(self.width())).div_euclid(axis.width) - axis.first;
            let place = match usize::try_from(bin) {
                Err(_) => &mut histogram.below,
                Ok(index) => histogram.counts.get_mut(index).unwrap_or(&mut histogram.above),
            };
            *place += times;
        }
        Some(histogram)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_value_is_in_one_bin_and_what_lies_outside_is_told() {
        let mut values = Distribution::default();
        for value in [-11, -10, -1, 0, 9, 10, 19, 20, 35] {
            values.observe(value).expect("small");
        }
        let axis = Axis::round(-10, 19, 1, 3).expect("a range");
        let histogram = values.histogram(&axis).expect("not too fine");
        assert_eq!((axis.edge(0), axis.edge(3)), (-10.0, 20.0));
        assert_eq!((histogram.below, histogram.above, histogram.counts), (1, 2, vec![2, 2, 2]));
    }

    #[test]
    fn the_widest_range_and_no_range_have_an_axis() {
        let all = Axis::round(i64::MIN, i64::MAX, 1, 2).expect("all");
        assert_eq!(all.bins(), 2);
        let one = Axis::round(7, 7, 1, 10).expect("one value");
        assert_eq!((one.edge(0), one.edge(1), one.bins()), (7.0, 8.0, 1));
        assert_eq!(Axis::round(8, 7, 1, 10), None);
        assert_eq!(Axis::round(7, 8, 1, 1), None);
    }

    #[test]
    fn gathered_values_get_no_finer_bins_than_their_grid() {
        let mut values = Distribution::default();
        for value in 0..5000 {
            values.observe(value * 3).expect("small");
        }
        assert_eq!(values.width(), 5);
        let fine = Axis::round(0, 100, 1, 100).expect("a range");
        assert_eq!(values.histogram(&fine), None);
        let (axis, rule) = Axis::of(&values, 60).expect("values");
        let histogram = values.histogram(&axis).expect("not too fine");
        assert_eq!((rule, histogram.counts.iter().sum::<u64>()), (BinRule::FreedmanDiaconis, 5000));
    }

    #[test]
    fn where_the_quartiles_fall_together_sturges_tells() {
        let mut values = Distribution::default();
        for value in [5, 5, 5, 5, 5, 5, 5, 5, 9] {
            values.observe(value).expect("small");
        }
        assert_eq!(Axis::of(&values, 60).map(|a| a.1), Some(BinRule::Sturges));
        assert_eq!(Axis::of(&Distribution::default(), 60), None);
    }
}
