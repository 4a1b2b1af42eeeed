//! Linear least squares in a few coefficients, from its normal equations.
//!
//! Normal equations lose twice as many digits as a factorisation would. Here there are digits to spare:
//! the columns are sines and cosines round a turn, which are refused when they tell a coefficient less
//! than a hundredth as well (in variance) as they should, so that the matrix has a condition number
//! below 10⁴, or the columns of a deck, which are made orthogonal first. Twelve digits remain; a dial
//! shows four.

use headproof_quantity::{Computed, LengthDim};

use crate::SeriesSum;
use crate::zone::inverse;

/// A least-squares fit of `K` coefficients to readings at given places.
#[derive(Debug, Clone)]
pub(crate) struct Fit<const K: usize> {
    /// Inverse of the sums of products of the columns: the variances and covariances of the
    /// coefficients when every reading has variance 1.
    pub(crate) covariance: [[f64; K]; K],
}

/// What a fit leaves of the readings.
pub(crate) struct Remainder {
    /// Greatest less least residual.
    pub(crate) range: f64,
    /// Partial of the range to each reading, through the fit as well.
    pub(crate) sensitivity: Vec<(usize, f64)>,
}

impl From<Remainder> for SeriesSum<LengthDim> {
    fn from(remainder: Remainder) -> Self {
        Self { value: Computed::new(remainder.range), sensitivity: remainder.sensitivity }
    }
}

fn dot<const K: usize>(a: &[f64; K], b: &[f64; K]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Indices of the greatest and the least of some numbers, the first of equal ones; two different ones
/// even when all are equal.
fn extremes(numbers: &[f64]) -> (usize, usize) {
    let first = |better: fn(f64, f64) -> bool| {
        (1..numbers.len()).fold(0, |best, k| if better(numbers[k], numbers[best]) { k } else { best })
    };
    let (greatest, least) = (first(|a, b| a > b), first(|a, b| a < b));
    if greatest == least { (0, 1) } else { (greatest, least) }
}

impl<const K: usize> Fit<K> {
    /// The fit at places that `rows` describe; `None` when they leave a coefficient open.
    pub(crate) fn new(rows: impl ExactSizeIterator<Item = [f64; K]>) -> Option<Self> {
        let count = rows.len() as f64;
        let mut products = [[0.0; K]; K];
        for row in rows {
            for (line, a) in products.iter_mut().zip(row) {
                line.iter_mut().zip(row).for_each(|(product, b)| *product += a * b / count);
            }
        }
        let covariance = inverse(products)?.map(|line| line.map(|element| element / count));
        Some(Self { covariance })
    }

    /// The fit with columns that are orthogonal, from the sum of squares of each.
    pub(crate) fn orthogonal(squares: [f64; K]) -> Self {
        let mut covariance = [[0.0; K]; K];
        (0..K).for_each(|k| covariance[k][k] = 1.0 / squares[k]);
        Self { covariance }
    }

    /// This matrix times a vector.
    fn times(&self, vector: &[f64; K]) -> [f64; K] {
        std::array::from_fn(|k| dot(&self.covariance[k], vector))
    }

    /// The coefficients that fit the readings best.
    pub(crate) fn coefficients(&self, rows: impl Iterator<Item = [f64; K]>, readings: &[f64]) -> [f64; K] {
        let mut products = [0.0; K];
        for (row, reading) in rows.zip(readings) {
            products.iter_mut().zip(row).for_each(|(product, element)| *product += element * reading);
        }
        self.times(&products)
    }

    /// Partial, to each reading, of a sum of the coefficients times `factors`.
    pub(crate) fn partials(
        &self,
        rows: impl Iterator<Item = [f64; K]>,
        factors: &[f64; K],
    ) -> impl Iterator<Item = (usize, f64)> {
        let weights = self.times(factors);
        rows.map(move |row| dot(&row, &weights)).enumerate()
    }

    /// What is left of the readings less the fit.
    pub(crate) fn remainder(
        &self,
        rows: impl Iterator<Item = [f64; K]> + Clone,
        readings: &[f64],
    ) -> Remainder {
        let fitted = self.coefficients(rows.clone(), readings);
        let residual = |(row, reading): ([f64; K], &f64)| (reading - dot(&row, &fitted), row);
        let (residuals, rows): (Vec<f64>, Vec<[f64; K]>) = rows.zip(readings).map(residual).unzip();
        let (greatest, least) = extremes(&residuals);
        // The range is one residual less another: two readings less the fit at one place and at the other.
        let apart = std::array::from_fn(|k| rows[least][k] - rows[greatest][k]);
        let mut sensitivity: Vec<(usize, f64)> = self.partials(rows.iter().copied(), &apart).collect();
        sensitivity[greatest].1 += 1.0;
        sensitivity[least].1 -= 1.0;
        Remainder { range: residuals[greatest] - residuals[least], sensitivity }
    }
}
