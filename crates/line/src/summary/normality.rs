//! Could the values come from a normal distribution?

use super::distribution::Distribution;
use crate::special::ln_normal_cdf;

/// Why a test says nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Untestable {
    /// There are too few values for the approximation of the probability.
    TooFew {
        /// The least number the test needs.
        needed: u64,
        /// The number there is.
        given: u64,
    },
    /// The values do not differ.
    AllEqual,
    /// The statistic lies where its transformation to a normal variable has no value.
    Beyond,
}

/// Anderson and Darling's test with mean and s taken from the values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AndersonDarling {
    /// A², not corrected for the size of the sample.
    pub a_squared: f64,
    /// The probability of an A² as great or greater from a normal distribution; 0 stands for less than 10⁻³⁰.
    pub p: f64,
}

/// D'Agostino and Pearson's omnibus test of skewness and kurtosis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DagostinoPearson {
    /// K² = z₁² + z₂².
    pub k_squared: f64,
    /// The skewness as a standard normal variable.
    pub z_skewness: f64,
    /// The kurtosis as a standard normal variable.
    pub z_kurtosis: f64,
    /// The probability of a K² as great or greater from a normal distribution.
    pub p: f64,
}

/// Two tests of whether values could come from a normal distribution; pure numbers.
///
/// A gauge reads in steps, and the first test would in the end reject whatever is read in steps. So equal values are
/// spread evenly over the step about them, the least distance of two distinct values: what is tested is whether values
/// that could have been read so are normal. Values that do not repeat stay where they are. Common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Normality {
    /// Looks at the whole distribution, most at its tails; needs 8 values.
    pub anderson_darling: Result<AndersonDarling, Untestable>,
    /// Looks at skewness and kurtosis; needs 20 values.
    pub dagostino_pearson: Result<DagostinoPearson, Untestable>,
}

impl Normality {
    /// Both tests of a distribution's values.
    #[must_use]
    pub fn of(values: &Distribution) -> Self {
        Self { anderson_darling: whole(values), dagostino_pearson: omnibus(values) }
    }

    /// Does Anderson and Darling's test let a normal distribution pass at this level of confidence? None where it says
    /// nothing.
    #[must_use]
    pub fn passes(&self, level: f64) -> Option<bool> {
        self.anderson_darling.ok().map(|test| test.passes(level))
    }
}

impl AndersonDarling {
    /// Does it let the distribution pass at this level of confidence?
    pub(super) fn passes(self, level: f64) -> bool {
        self.p >= 1.0 - level
    }
}

fn enough(needed: u64, given: u64) -> Result<(), Untestable> {
    if given < needed { Err(Untestable::TooFew { needed, given }) } else { Ok(()) }
}

fn whole(values: &Distribution) -> Result<AndersonDarling, Untestable> {
    anderson_darling(&spread(&values.deviations(), values.step()))
}

/// The most parts that equal values are spread to: steps so much finer are seen by no test of the values of a line.
const MOST_PARTS: u64 = 128;

/// Values in rising order with how often each came, those that repeat spread evenly over the step about them.
pub(super) fn spread(values: &[(f64, u64)], step: f64) -> Vec<(f64, u64)> {
    let parts = |&(value, times): &(f64, u64)| {
        let parts = times.min(MOST_PARTS);
        let before = move |part: u64| (u128::from(times) * u128::from(part) / u128::from(parts)) as u64;
        let part = move |part| {
            let place = (part as f64 + 0.5) / parts as f64 - 0.5;
            (value + step * place, before(part + 1) - before(part))
        };
        (0..parts).map(part)
    };
    values.iter().flat_map(parts).collect()
}

/// The test on values in rising order about 0 with how often each came.
///
/// Source: R. B. D'Agostino and M. A. Stephens, Goodness-of-Fit Techniques, 1986, section 4.8.5, case 3,
/// correction and probabilities of table 4.9 (from memory, checked against statsmodels).
pub(super) fn anderson_darling(values: &[(f64, u64)]) -> Result<AndersonDarling, Untestable> {
    let n = values.iter().map(|value| value.1).sum();
    enough(8, n)?;
    let over =
        |power: &dyn Fn(f64) -> f64| values.iter().map(|(v, times)| power(*v) * *times as f64).sum::<f64>();
    let mean = over(&|v| v) / n as f64;
    let s = libm::sqrt(over(&|v| (v - mean) * (v - mean)) / (n - 1) as f64);
    if s <= 0.0 {
        return Err(Untestable::AllEqual);
    }
    let (mut below, mut sum) = (0, 0.0);
    let squares = |from: u64, times: u64| {
        let (from, to) = (u128::from(from), u128::from(from) + u128::from(times));
        (to * to - from * from) as f64
    };
    for (value, times) in values {
        let z = (value - mean) / s;
        // The weights 2i − 1 of equal values together are differences of squares.
        let above = n - below - times;
        sum += squares(below, *times) * ln_normal_cdf(z) + squares(above, *times) * ln_normal_cdf(-z);
        below += times;
    }
    let n = n as f64;
    let a_squared = -n - sum / n;
    let corrected = a_squared * (1.0 + 0.75 / n + 2.25 / (n * n));
    Ok(AndersonDarling { a_squared, p: probability(corrected) })
}

fn probability(a: f64) -> f64 {
    let p = if a < 0.2 {
        -libm::expm1(-13.436 + 101.14 * a - 223.73 * a * a)
    } else if a < 0.34 {
        -libm::expm1(-8.318 + 42.796 * a - 59.938 * a * a)
    } else if a < 0.6 {
        libm::exp(0.9177 - 4.279 * a - 1.38 * a * a)
    } else if a <= 13.0 {
        libm::exp(1.2937 - 5.709 * a + 0.0186 * a * a)
    } else {
        0.0
    };
    p.clamp(0.0, 1.0)
}

/// Source: R. B. D'Agostino, A. Belanger and R. B. D'Agostino Jr., A Suggestion for Using Powerful and
/// Informative Tests of Normality, 1990 (from memory, checked against scipy's `normaltest`).
fn omnibus(values: &Distribution) -> Result<DagostinoPearson, Untestable> {
    enough(20, values.n())?;
    let shape = values.shape().ok_or(Untestable::AllEqual)?;
    let n = values.n() as f64;
    let z_skewness = skewness_z(shape.skewness, n);
    let z_kurtosis = kurtosis_z(shape.excess_kurtosis + 3.0, n).ok_or(Untestable::Beyond)?;
    let k_squared = z_skewness * z_skewness + z_kurtosis * z_kurtosis;
    // The upper tail of chi-square with two degrees of freedom.
    Ok(DagostinoPearson { k_squared, z_skewness, z_kurtosis, p: libm::exp(-0.5 * k_squared) })
}

fn skewness_z(g1: f64, n: f64) -> f64 {
    let y = g1 * libm::sqrt((n + 1.0) * (n + 3.0) / (6.0 * (n - 2.0)));
    let kurtosis = 3.0 * (n * n + 27.0 * n - 70.0) * (n + 1.0) * (n + 3.0)
        / ((n - 2.0) * (n + 5.0) * (n + 7.0) * (n + 9.0));
    let w_squared = libm::sqrt(2.0 * (kurtosis - 1.0)) - 1.0;
    let alpha = libm::sqrt(2.0 / (w_squared - 1.0));
    libm::asinh(y / alpha) / libm::sqrt(0.5 * libm::log(w_squared))
}

/// `None` where the cube root would have a pole.
fn kurtosis_z(b2: f64, n: f64) -> Option<f64> {
    let mean = 3.0 * (n - 1.0) / (n + 1.0);
    let variance = 24.0 * n * (n - 2.0) * (n - 3.0) / ((n + 1.0) * (n + 1.0) * (n + 3.0) * (n + 5.0));
    let x = (b2 - mean) / libm::sqrt(variance);
    let skewness = 6.0 * (n * n - 5.0 * n + 2.0) / ((n + 7.0) * (n + 9.0))
        * libm::sqrt(6.0 * (n + 3.0) * (n + 5.0) / (n * (n - 2.0) * (n - 3.0)));
    let a = 6.0 + 8.0 / skewness * (2.0 / skewness + libm::sqrt(1.0 + 4.0 / (skewness * skewness)));
    let pole = 1.0 + x * libm::sqrt(2.0 / (a - 4.0));
    if pole == 0.0 {
        return None;
    }
    let root = libm::cbrt((1.0 - 2.0 / a) / pole);
    Some((1.0 - 2.0 / (9.0 * a) - root) / libm::sqrt(2.0 / (9.0 * a)))
}
