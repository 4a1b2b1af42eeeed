//! Do the values drift?

use super::moments::{Moments, SumOverflow};
use super::wide::Wide;
use crate::special::t_two_sided;

/// Sums of values over a whole number: their order, or a time in seconds. One pass, exact.
///
/// Partial results merge, in any order, to the same bits.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Trend {
    places: Moments,
    values: Moments,
    products: i128,
}

impl Trend {
    /// Takes the value at a place in.
    ///
    /// # Errors
    /// [`SumOverflow`] when a sum no longer fits; then nothing has changed.
    pub fn observe(&mut self, place: i64, value: i64) -> Result<(), SumOverflow> {
        let mut one = Self { products: i128::from(place) * i128::from(value), ..Self::default() };
        one.places.observe(place)?;
        one.values.observe(value)?;
        self.merge(&one)
    }

    /// Takes in what another has summed.
    ///
    /// # Errors
    /// [`SumOverflow`] when a sum no longer fits; then nothing has changed. (|Σxy| is at most the root of Σx²
    /// Σy²: it fits where these do, in whatever order the values come.)
    pub fn merge(&mut self, other: &Self) -> Result<(), SumOverflow> {
        let mut merged = *self;
        merged.places.merge(&other.places)?;
        merged.values.merge(&other.values)?;
        merged.products = merged.products.checked_add(other.products).ok_or(SumOverflow)?;
        *self = merged;
        Ok(())
    }

    /// How many values there are.
    #[must_use]
    pub const fn n(&self) -> u64 {
        self.places.n()
    }

    /// The moments of the values.
    #[must_use]
    pub const fn values(&self) -> &Moments {
        &self.values
    }

    /// The straight line through the values by least squares.
    ///
    /// Units: values in counts, places in theirs. All differences are exact integers (nΣx² − (Σx)² and the
    /// like, and their products), so that nothing cancels.
    ///
    /// # Errors
    /// [`NoTrend`] says why there is none.
    ///
    /// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 4.4.3 (from memory).
    pub fn line(&self) -> Result<TrendLine, NoTrend> {
        if self.n() < 3 {
            return Err(NoTrend::TooFew { needed: 3, given: self.n() });
        }
        let (xx, yy) = (self.places.scatter(), self.values.scatter());
        if xx.is_zero() {
            return Err(NoTrend::SamePlace);
        }
        let n = Wide::new(self.n().into());
        let (sum_x, sum_y, sum_xy) =
            (Wide::new(self.places.sum()), Wide::new(self.values.sum()), Wide::new(self.products));
        let squares_x = Wide::new(self.places.sum_of_squares());
        let xy = n.times(sum_xy).minus(sum_x.times(sum_y));
        // (nΣx² − (Σx)²)(nΣy² − (Σy)²) − (nΣxy − ΣxΣy)²: n (nΣx² − (Σx)²) times the sum of squared residuals.
        let rest = xx.times(yy).minus(xy.times(xy)).to_f64();
        let (count, spread) = (self.n() as f64, xx.to_f64());
        let variance = rest / spread / count / (count - 2.0);
        let slope = xy.to_f64() / spread;
        let slope_error = libm::sqrt(variance / spread * count);
        let intercept_error = libm::sqrt(variance / spread * squares_x.to_f64());
        let t = slope / slope_error;
        Ok(TrendLine {
            n: self.n(),
            slope,
            slope_error,
            intercept: squares_x.times(sum_y).minus(sum_x.times(sum_xy)).to_f64() / spread,
            intercept_error,
            s: libm::sqrt(variance),
            significance: t.is_finite().then(|| Significance { t, p: t_two_sided(t, count - 2.0) }),
            r_squared: (!yy.is_zero()).then(|| (xy.to_f64() / yy.to_f64() * slope).clamp(0.0, 1.0)),
        })
    }
}

/// Why there is no line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoTrend {
    /// There are too few values.
    TooFew {
        /// The least number.
        needed: u64,
        /// The number there is.
        given: u64,
    },
    /// All values stand at the same place.
    SamePlace,
}

/// Whether a slope could be chance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Significance {
    /// The slope over its standard error.
    pub t: f64,
    /// The probability of a t as far or farther from 0 when there is no slope; two-sided, n − 2 degrees of
    /// freedom.
    pub p: f64,
}

/// A straight line by least squares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrendLine {
    /// How many values there are.
    pub n: u64,
    /// The slope in counts for one step of place.
    pub slope: f64,
    /// The standard error of the slope.
    pub slope_error: f64,
    /// The value of the line at place 0 in counts.
    pub intercept: f64,
    /// The standard error of the intercept.
    pub intercept_error: f64,
    /// The standard deviation of the residuals, n − 2 degrees of freedom, in counts.
    pub s: f64,
    /// Whether the slope could be chance; `None` when the values lie on the line without any rest.
    pub significance: Option<Significance>,
    /// Which part of the whole sum of squares the line tells, 0 to 1; `None` when all values are equal.
    pub r_squared: Option<f64>,
}
