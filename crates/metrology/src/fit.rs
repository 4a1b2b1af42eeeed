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

    /// Partial of each coefficient to the reading at a place.
    pub(crate) fn weights(&self, row: &[f64; K]) -> [f64; K] {
        std::array::from_fn(|k| dot(&self.covariance[k], row))
    }

    /// The coefficients that fit the readings best.
    pub(crate) fn coefficients(&self, rows: impl Iterator<Item = [f64; K]>, readings: &[f64]) -> [f64; K] {
        let mut products = [0.0; K];
        for (row, reading) in rows.zip(readings) {
            products.iter_mut().zip(row).for_each(|(product, element)| *product += element * reading);
        }
        self.weights(&products)
    }

    /// What is left of the readings less the fit.
    pub(crate) fn remainder(
        &self,
        rows: impl Iterator<Item = [f64; K]> + Clone,
        readings: &[f64],
    ) -> Remainder {
        let fitted = self.coefficients(rows.clone(), readings);
        let residuals: Vec<f64> =
            rows.clone().zip(readings).map(|(row, reading)| reading - dot(&row, &fitted)).collect();
        let (greatest, least) = extremes(&residuals);
        let own = |index| match index {
            _ if index == greatest => 1.0,
            _ if index == least => -1.0,
            _ => 0.0,
        };
        let mut apart = [0.0; K];
        for (index, row) in rows.clone().enumerate() {
            apart.iter_mut().zip(row).for_each(|(sum, element)| *sum += own(index) * element);
        }
        let through_fit = self.weights(&apart);
        let partial = |(index, row)| (index, own(index) - dot(&row, &through_fit));
        let range = residuals[greatest] - residuals[least];
        Remainder { range, sensitivity: rows.enumerate().map(partial).collect() }
    }
}
