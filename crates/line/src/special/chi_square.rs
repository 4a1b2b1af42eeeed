//! Quantiles of the chi-square distribution.

use super::{HALF_LN_TAU, Lentz, MOST_TERMS, deviance, normal_quantile, stirling_error};

/// xᵃ e⁻ˣ / Γ(a + 1).
fn poisson(a: f64, x: f64) -> f64 {
    libm::exp(-stirling_error(a) - deviance(a, x) - HALF_LN_TAU) / libm::sqrt(a)
}

/// The regularised incomplete gamma functions P(a, x) and Q(a, x) = 1 − P(a, x); the lesser of them has all
/// digits.
///
/// Source: series below a + 1, continued fraction by Lentz's method above (Abramowitz and Stegun 6.5.29 and
/// 6.5.31).
fn gamma_tails(a: f64, x: f64) -> (f64, f64) {
    if x < a + 1.0 {
        let (mut term, mut sum, mut k) = (1.0, 1.0, a);
        while term > sum * 1e-17 {
            k += 1.0;
            term *= x / k;
            sum += term;
        }
        let lower = (poisson(a, x) * sum).min(1.0);
        return (lower, 1.0 - lower);
    }
    let mut fraction = Lentz::new(x + 1.0 - a);
    for i in 1..MOST_TERMS {
        let i = f64::from(i);
        if fraction.step(-i * (i - a), x + 1.0 - a + 2.0 * i) {
            break;
        }
    }
    let upper = (poisson(a, x) * a / fraction.value).min(1.0);
    (1.0 - upper, upper)
}

/// With more degrees of freedom the first guess is good to 10⁻¹⁰ and the series would take too many steps.
const MANY: f64 = 1e7;

/// The value a chi-square variable of `degrees` > 0 degrees of freedom stays below with `probability`, 0 to
/// 1.
///
/// Source: first guess of Wilson and Hilferty, 1931, then Newton's method in the lesser tail, held inside a
/// bracket.
pub(crate) fn chi_square_quantile(probability: f64, degrees: f64) -> f64 {
    let a = 0.5 * degrees;
    let ninth = 2.0 / (9.0 * degrees);
    let root = 1.0 - ninth + normal_quantile(probability) * libm::sqrt(ninth);
    if degrees > MANY {
        return degrees * root * root * root;
    }
    // Far down, where the guess fails, P(a, x) is xᵃ/Γ(a + 1).
    let small = libm::exp((libm::log(probability) + libm::lgamma(a + 1.0)) / a);
    let mut x = if root > 0.2 { a * root * root * root } else { small };
    let (mut low, mut high) = (0.0, f64::MAX);
    for _ in 0..100 {
        let (lower, upper) = gamma_tails(a, x);
        let short = if probability < 0.5 { probability - lower } else { upper - (1.0 - probability) };
        if short > 0.0 {
            low = x;
        } else {
            high = x;
        }
        let step = short * x / (a * poisson(a, x));
        let mut next = x + step;
        if !(next > low && next < high) {
            next = if high < f64::MAX { 0.5 * (low + high) } else { 2.0 * x };
        }
        let done = (next - x).abs() <= 1e-15 * x;
        x = next;
        if done {
            break;
        }
    }
    2.0 * x
}

/// The two chi-squares that leave half of what `confidence` lacks below and above them.
pub(crate) fn chi_square_within(confidence: f64, degrees: f64) -> (f64, f64) {
    let tail = 0.5 * (1.0 - confidence);
    (chi_square_quantile(tail, degrees), chi_square_quantile(1.0 - tail, degrees))
}
