//! Tails of Student's t and of the F distribution, by the incomplete beta function.

use super::{HALF_LN_TAU, deviance, stirling_error};

/// The regularised incomplete beta function I with `x` + `y` = 1 both given, so that neither loses digits
/// near 0.
///
/// Source: continued fraction by Lentz's method (Abramowitz and Stegun 26.5.8, from memory), on the side
/// where it converges fast.
fn incomplete_beta(a: f64, b: f64, x: f64, y: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if y <= 0.0 {
        return 1.0;
    }
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - incomplete_beta_below(b, a, y, x);
    }
    incomplete_beta_below(a, b, x, y)
}

fn incomplete_beta_below(a: f64, b: f64, x: f64, y: f64) -> f64 {
    let n = a + b;
    // Γ(n + 1)/(Γ(a + 1) Γ(b + 1)) xᵃ yᵇ, a binomial probability with real arguments.
    let exponent =
        stirling_error(n) - stirling_error(a) - stirling_error(b) - deviance(a, n * x) - deviance(b, n * y);
    let binomial = libm::exp(exponent - HALF_LN_TAU) * libm::sqrt(n / (a * b));
    (binomial * b / n * fraction(a, b, x)).clamp(0.0, 1.0)
}

/// The continued fraction of xᵃ yᵇ/(a B(a, b)) times it.
fn fraction(a: f64, b: f64, x: f64) -> f64 {
    let kept = |v: f64| if v.abs() < 1e-300 { 1e-300 } else { v };
    let mut c = 1.0;
    let mut d = 1.0 / kept(1.0 - (a + b) * x / (a + 1.0));
    let mut value = d;
    for m in 1..100_000 {
        let m = f64::from(m);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        d = 1.0 / kept(1.0 + even * d);
        c = kept(1.0 + even / c);
        value *= d * c;
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        d = 1.0 / kept(1.0 + odd * d);
        c = kept(1.0 + odd / c);
        let factor = d * c;
        value *= factor;
        if (factor - 1.0).abs() < 1e-16 {
            break;
        }
    }
    value
}

/// The probability that |t| of Student's distribution with `degrees` > 0 is at least that of `t`.
///
/// Source: Abramowitz and Stegun 26.7.1 (from memory): I with x = ν/(ν + t²), a = ν/2, b = ½.
pub(crate) fn t_two_sided(t: f64, degrees: f64) -> f64 {
    let square = t * t;
    if !square.is_finite() {
        return 0.0;
    }
    let sum = degrees + square;
    incomplete_beta(0.5 * degrees, 0.5, degrees / sum, square / sum)
}

/// The probability that an F variable with `between` and `within` > 0 degrees of freedom is at least `f` ≥ 0.
///
/// Source: Abramowitz and Stegun 26.6.2 (from memory).
pub(crate) fn f_upper_tail(f: f64, between: f64, within: f64) -> f64 {
    let scaled = between * f;
    if !scaled.is_finite() {
        return 0.0;
    }
    let sum = within + scaled;
    incomplete_beta(0.5 * within, 0.5 * between, within / sum, scaled / sum)
}
