//! Conformity with uncertainty: probabilities of the normal distribution and guard bands.

use std::f64::consts::{FRAC_1_SQRT_2, PI};

/// The probability that a standard normal variable is at most `x`.
///
/// Units: pure numbers.
///
/// Source: Φ(x) = erfc(−x/√2)/2, the definition of the complementary error function.
///
/// ```
/// assert!((headproof_metrology::normal_cdf(1.0) - 0.8413447461).abs() < 1e-10);
/// ```
#[must_use]
pub fn normal_cdf(x: f64) -> f64 {
    0.5 * libm::erfc(-x * FRAC_1_SQRT_2)
}

/// The density of the standard normal distribution.
fn normal_density(x: f64) -> f64 {
    libm::exp(-0.5 * x * x) / libm::sqrt(2.0 * PI)
}

/// The `x` with Φ(x) = `probability`, good to 10⁻¹²; `None` unless 0 < `probability` < 1.
///
/// Units: pure numbers.
///
/// Source: a first guess within 4.5·10⁻⁴ by the rational approximation of Abramowitz and Stegun,
/// Handbook of Mathematical Functions, 26.2.23 (coefficients from memory), then three steps of Halley's
/// method on Φ, each of which cubes the error.
///
/// ```
/// let z = headproof_metrology::normal_quantile(0.999).unwrap_or(f64::NAN);
/// assert!((z - 3.0902323062).abs() < 1e-10);
/// ```
#[must_use]
pub fn normal_quantile(probability: f64) -> Option<f64> {
    if !(probability > 0.0 && probability < 1.0) {
        return None;
    }
    // Work in the lower tail, where Φ loses no digits.
    let tail = probability.min(1.0 - probability);
    let t = libm::sqrt(-2.0 * libm::log(tail));
    let numerator = 2.515_517 + t * (0.802_853 + t * 0.010_328);
    let denominator = 1.0 + t * (1.432_788 + t * (0.189_269 + t * 0.001_308));
    let mut x = numerator / denominator - t;
    for _ in 0..3 {
        let newton = (normal_cdf(x) - tail) / normal_density(x);
        x -= newton / (1.0 + 0.5 * x * newton);
    }
    Some(if probability < 0.5 { x } else { -x })
}

/// The probability that the true value lies within the limits, given the measured value.
///
/// The true value is taken as normal around `value` with standard uncertainty `u`. With `u` = 0 the
/// answer is 1 within or on the limits and 0 outside; with a negative `u` it is not a number.
///
/// Units: all four in the same unit, whichever it is; the result is a pure number.
///
/// Source: JCGM 106:2012, clause 7 (clause from memory).
///
/// ```
/// use headproof_metrology::conformance_probability;
/// let p = conformance_probability(0.045, 0.005, None, Some(0.05));
/// assert!((p - 0.8413447461).abs() < 1e-10);
/// ```
#[must_use]
pub fn conformance_probability(value: f64, u: f64, lower: Option<f64>, upper: Option<f64>) -> f64 {
    if u == 0.0 {
        let inside = lower.is_none_or(|limit| value >= limit) && upper.is_none_or(|limit| value <= limit);
        return if inside { 1.0 } else { 0.0 };
    }
    if u.is_nan() || u < 0.0 {
        return f64::NAN;
    }
    let below = lower.map_or(f64::NEG_INFINITY, |limit| (limit - value) / u);
    let above = upper.map_or(f64::INFINITY, |limit| (limit - value) / u);
    between(below, above)
}

/// Φ(`high`) − Φ(`low`), taken in the lower tail when both lie in the upper one.
fn between(low: f64, high: f64) -> f64 {
    if low > 0.0 { normal_cdf(-low) - normal_cdf(-high) } else { normal_cdf(high) - normal_cdf(low) }
}

/// How many standard uncertainties a limit is moved inwards so that conformity is proved with at least
/// `probability` up to the moved limit.
///
/// `tolerance_over_u` is the width between the two limits over the standard uncertainty; `None` for a
/// characteristic with one limit. The result is `None` when no measured value could prove conformity
/// (at 95 %: tolerance below 3.919 928 0 standard uncertainties), and for a probability below ½ or not
/// below 1, which is no proof.
///
/// Units: pure numbers.
///
/// Source: JCGM 106:2012, clause 8 and ISO 14253-1:2017 (clauses from memory) for the one-sided
/// multiplier; for two limits the root of Φ(g) − Φ(g − T/u) = p, which follows from JCGM 106:2012,
/// clause 7, and is our derivation. Newton's method from the one-sided value: the left side is concave
/// and rising up to the middle of the zone, so each step stays short of the root and none can miss it.
///
/// ```
/// use headproof_metrology::guard_band_multiplier;
/// let one_sided = guard_band_multiplier(0.95, None).unwrap_or(f64::NAN);
/// assert!((one_sided - 1.6448536270).abs() < 1e-10);
/// let two_sided = guard_band_multiplier(0.95, Some(4.25)).unwrap_or(f64::NAN);
/// assert!((two_sided - 1.6993848).abs() < 1e-7);
/// assert_eq!(guard_band_multiplier(0.95, Some(3.91)), None);
/// ```
#[must_use]
pub fn guard_band_multiplier(probability: f64, tolerance_over_u: Option<f64>) -> Option<f64> {
    if probability < 0.5 {
        return None;
    }
    let one_sided = normal_quantile(probability)?;
    let Some(width) = tolerance_over_u else { return Some(one_sided) };
    let middle = 0.5 * width;
    if width.is_nan() || between(-middle, middle) < probability {
        return None;
    }
    let mut g = one_sided;
    // Near the least tolerance the root is nearly double and a step only halves the error.
    for _ in 0..64 {
        let short = probability - between(g - width, g);
        let slope = normal_density(g) - normal_density(g - width);
        if short <= 0.0 || slope <= 0.0 {
            break;
        }
        let next = (g + short / slope).min(middle);
        if next <= g {
            break;
        }
        g = next;
    }
    Some(g)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_quantile_undoes_the_distribution_in_both_tails() {
        for p in [1e-300, 1e-20, 1e-6, 0.02, 0.3, 0.5, 0.7, 0.98, 1.0 - 1e-12] {
            let x = normal_quantile(p).expect("inside 0 to 1");
            assert!((normal_cdf(x) / p - 1.0).abs() < 1e-12, "{p}");
        }
        for p in [0.0, 1.0, -0.1, 1.1, f64::NAN] {
            assert_eq!(normal_quantile(p), None);
        }
    }

    /// Q(9) − Q(10), computed with erfc of Python 3's math module.
    #[test]
    fn far_from_both_limits_on_the_same_side_no_digits_are_lost() {
        let above = conformance_probability(10.0, 1.0, Some(0.0), Some(1.0));
        let below = conformance_probability(-10.0, 1.0, Some(-1.0), Some(0.0));
        assert!((above / 1.128_512_207_423_6e-19 - 1.0).abs() < 1e-9, "{above:e}");
        assert_eq!(above.to_bits(), below.to_bits());
    }

    #[test]
    fn without_uncertainty_a_limit_is_inclusive() {
        assert!(conformance_probability(1.0, 0.0, None, Some(1.0)) > 0.5);
        assert!(conformance_probability(1.1, 0.0, None, Some(1.0)) < 0.5);
        assert!(conformance_probability(1.0, -1.0, None, Some(1.0)).is_nan());
    }

    #[test]
    fn a_probability_that_proves_nothing_has_no_guard_band() {
        assert_eq!(guard_band_multiplier(0.49, None), None);
        assert_eq!(guard_band_multiplier(1.0, None), None);
        assert_eq!(guard_band_multiplier(0.95, Some(-8.0)), None);
        assert_eq!(guard_band_multiplier(0.95, Some(f64::NAN)), None);
    }
}
