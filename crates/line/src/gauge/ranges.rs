//! A crossed study by averages and ranges, and the constants of that method.

use super::crossed::CrossedStudy;
use super::sums::{clean, mean, range};
use super::variation::GaugeVariation;
use crate::special::{normal_cdf, normal_density};

/// Which divisor a mean range is turned into a standard deviation with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DivisorRule {
    /// d2* up to 15 ranges and d2 above, as the published table of d2* ends there (AIAG MSA 4th edition,
    /// appendix C, from memory). With it a study of more than 15 parts by operators has the published K1, K2
    /// and K3.
    #[default]
    Table,
    /// d2* for the number of ranges there are.
    Exact,
}

/// Mean and mean square of the range of `size` readings of a standard normal distribution (d2 and d2² + d3²).
///
/// From its distribution function, m ∫ φ(x) (Φ(x + w) − Φ(x))^(m−1) dx (the trapezoidal rule, which converges
/// fast for functions like this), with Gauss's rule over w: good to some 12 digits.
fn range_moments(size: usize) -> (f64, f64) {
    const WIDEST: f64 = 14.0;
    const STEP: f64 = 0.125;
    let power = size as f64 - 1.0;
    let grid: Vec<_> = (-72..=72)
        .map(|i| {
            let x = f64::from(i) * STEP;
            (x, normal_cdf(x), normal_density(x) * STEP * size as f64)
        })
        .collect();
    let (mut first, mut second) = (0.0, 0.0);
    for (node, weight) in gauss_legendre(64) {
        let w = WIDEST / 2.0 * (node + 1.0);
        let below: f64 =
            grid.iter().map(|(x, at, density)| density * libm::pow(normal_cdf(x + w) - at, power)).sum();
        let above = (1.0 - below) * weight * WIDEST / 2.0;
        first += above;
        second += 2.0 * w * above;
    }
    (first, second)
}

/// Nodes and weights of Gauss's rule over −1 to 1, by Newton's method on the Legendre polynomials.
fn gauss_legendre(count: usize) -> Vec<(f64, f64)> {
    let n = count as f64;
    (0..count)
        .map(|i| {
            let mut x = libm::cos(std::f64::consts::PI * (i as f64 + 0.75) / (n + 0.5));
            let mut slope = 1.0;
            for _ in 0..5 {
                let (mut last, mut here) = (1.0, x);
                for k in 2..=count {
                    let k = k as f64;
                    (last, here) = (here, ((2.0 * k - 1.0) * x * here - (k - 1.0) * last) / k);
                }
                slope = n * (x * here - last) / (x * x - 1.0);
                x -= here / slope;
            }
            (x, 2.0 / ((1.0 - x * x) * slope * slope))
        })
        .collect()
}

/// d2*(size, ranges) = √(d2² + d3² / ranges): what the mean of `ranges` ranges of `size` readings each is
/// divided by so that the square of the quotient estimates the variance without bias (A. J. Duncan, Quality
/// Control and Industrial Statistics, appendix D3, from memory). By [`DivisorRule::Table`] it is d2 above 15
/// ranges.
///
/// `None` for a size below 2 or above 200, or no ranges.
///
/// ```
/// use headproof_line::{DivisorRule, range_divisor};
/// let k2 = range_divisor(3, 1, DivisorRule::Table).map(f64::recip);
/// assert!(k2.is_some_and(|k2| (k2 - 0.5231).abs() < 5e-5));
/// ```
#[must_use]
pub fn range_divisor(size: usize, ranges: usize, rule: DivisorRule) -> Option<f64> {
    if !(2..=200).contains(&size) || ranges == 0 {
        return None;
    }
    let (first, second) = range_moments(size);
    if rule == DivisorRule::Table && ranges > 15 {
        return Some(first);
    }
    Some((first * first + (second - first * first) / ranges as f64).sqrt())
}

/// What the ranges of a study are multiplied by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RangeConstants {
    /// 1/d2* for the trials, over parts × operators ranges.
    pub k1: f64,
    /// 1/d2* for the operators, one range.
    pub k2: f64,
    /// 1/d2* for the parts, one range.
    pub k3: f64,
}

/// A crossed study evaluated by averages and ranges. The method knows no interaction: it is in none of its
/// results.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AverageRange {
    /// The mean of the ranges of trials.
    pub mean_range: f64,
    /// The range of the operators' means.
    pub operator_difference: f64,
    /// The range of the parts' means.
    pub part_range: f64,
    /// The constants.
    pub constants: RangeConstants,
    /// Was the variance between operators negative and set to zero?
    pub reproducibility_set_to_zero: bool,
    /// The standard deviations.
    pub variation: GaugeVariation,
}

impl CrossedStudy {
    /// Evaluates by averages and ranges: EV = R̄ K1, AV = √((X̄diff K2)² − EV²/(parts · trials)), PV = Rp K3
    /// (AIAG, Measurement Systems Analysis, 4th edition, chapter III, from memory).
    #[must_use]
    pub fn average_range(&self, rule: DivisorRule) -> AverageRange {
        let shape = self.shape;
        let grain = self.grain();
        // The shape has been proved to lie in what the divisor is known for.
        let constant = |size, ranges| range_divisor(size, ranges, rule).map_or(0.0, f64::recip);
        let constants = RangeConstants {
            k1: constant(shape.trials, shape.parts * shape.operators),
            k2: constant(shape.operators, 1),
            k3: constant(shape.parts, 1),
        };
        let ranges: Vec<f64> = self.rows().map(|row| clean(range(row.iter().copied()), grain)).collect();
        let mean_range = mean(ranges.iter().copied());
        let means = self.means();
        let operator_difference = clean(range(means.operators.iter().copied()), grain);
        let part_range = clean(range(means.parts.iter().copied()), grain);
        let ev = (mean_range * constants.k1).powi(2);
        let of_trials = (shape.parts * shape.trials) as f64;
        let av = (operator_difference * constants.k2).powi(2) - ev / of_trials;
        let pv = (part_range * constants.k3).powi(2);
        AverageRange {
            mean_range,
            operator_difference,
            part_range,
            constants,
            reproducibility_set_to_zero: av < 0.0,
            variation: GaugeVariation::of([ev, av.max(0.0), 0.0, pv], means.base + means.all),
        }
    }
}
