//! The normal distribution.

use std::f64::consts::FRAC_1_SQRT_2;

use super::HALF_LN_TAU;

/// Φ(x), the probability that a standard normal variable is at most x.
pub(crate) fn normal_cdf(x: f64) -> f64 {
    0.5 * libm::erfc(-x * FRAC_1_SQRT_2)
}

/// φ(x), the density of a standard normal variable.
pub(crate) fn normal_density(x: f64) -> f64 {
    libm::exp(-0.5 * x * x - HALF_LN_TAU)
}

/// ln Φ(x), also where Φ(x) is less than the least double.
///
/// Source: below −20 the asymptotic series of Mills' ratio (Abramowitz and Stegun 26.2.12, from memory), of
/// which eight terms are good to 10⁻¹⁵ there; above 0 by the other tail.
pub(crate) fn ln_normal_cdf(x: f64) -> f64 {
    if x > 0.0 {
        return libm::log1p(-normal_cdf(-x));
    }
    if x > -20.0 {
        return libm::log(normal_cdf(x));
    }
    let square = x * x;
    let (mut term, mut sum) = (1.0, 0.0);
    for k in 1..9 {
        term *= -f64::from(2 * k - 1) / square;
        sum += term;
    }
    -0.5 * square - libm::log(-x) - HALF_LN_TAU + libm::log1p(sum)
}

/// The x with Φ(x) = `probability`, which must lie between 0 and 1; others are drawn to the nearest that
/// does.
///
/// Source: first guess Abramowitz and Stegun 26.2.23 (coefficients from memory), then three steps of Halley's
/// method.
pub(crate) fn normal_quantile(probability: f64) -> f64 {
    let tail = probability.min(1.0 - probability).max(f64::MIN_POSITIVE);
    let t = libm::sqrt(-2.0 * libm::log(tail));
    let numerator = 2.515_517 + t * (0.802_853 + t * 0.010_328);
    let denominator = 1.0 + t * (1.432_788 + t * (0.189_269 + t * 0.001_308));
    let mut x = numerator / denominator - t;
    for _ in 0..3 {
        // Near the middle from there, or the digits of a small x would be lost.
        let excess = if tail > 0.25 {
            0.5 * libm::erf(x * FRAC_1_SQRT_2) + (0.5 - tail)
        } else {
            normal_cdf(x) - tail
        };
        let newton = excess / normal_density(x);
        x -= newton / (1.0 + 0.5 * x * newton);
    }
    if probability < 0.5 { x } else { -x }
}
