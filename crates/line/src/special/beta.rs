//! Student's t and the F distribution, by the incomplete beta function.

use super::{HALF_LN_TAU, Lentz, MOST_TERMS, deviance, stirling_error};

/// The regularised incomplete beta function I with `x` + `y` = 1 both given, so that neither loses digits
/// near 0.
///
/// Source: continued fraction, on the side where it converges fast.
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
    (binomial * a * b / n / fraction(a, b, x, y)).clamp(0.0, 1.0)
}

/// xᵃ yᵇ/B(a, b) divided by the incomplete beta function: its continued fraction in the form that takes
/// a y − b x as a whole. The usual one (Abramowitz and Stegun 26.5.8) loses as many digits as a has where x is
/// near 1.
///
/// Source: A. R. DiDonato and A. H. Morris, Significant Digit Computation of the Incomplete Beta Function
/// Ratios, 1992 (from memory), evaluated by Lentz's method.
fn fraction(a: f64, b: f64, x: f64, y: f64) -> f64 {
    let below = a * y - b * x + 1.0;
    let denominator = |m: f64| {
        m + m * (b - m) * x / (a + 2.0 * m - 1.0) + (a + m) / (a + 2.0 * m + 1.0) * (below + m * (1.0 + y))
    };
    let mut value = Lentz::new(a / (a + 1.0) * below);
    for m in 1..MOST_TERMS {
        let m = f64::from(m);
        let root = x / (a + 2.0 * m - 1.0);
        let numerator = (a + m - 1.0) * (a + b + m - 1.0) * m * (b - m) * root * root;
        if value.step(numerator, denominator(m)) {
            break;
        }
    }
    value.value
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

/// The t that Student's distribution with `degrees` > 0 keeps within, either side of nought, with the
/// probability `confidence`, 0 to 1.
///
/// By halving, in the tail, where no digit of a great confidence is lost: slow, and sure.
pub(crate) fn t_within(confidence: f64, degrees: f64) -> f64 {
    let tail = 1.0 - confidence;
    let (mut low, mut high) = (0.5, 1.0);
    while t_two_sided(high, degrees) > tail && high < 1e150 {
        high *= 2.0;
    }
    while t_two_sided(low, degrees) < tail && low > 1e-150 {
        low *= 0.5;
    }
    // Halves at most as often as there are doubles between the two.
    loop {
        let middle = low + 0.5 * (high - low);
        if middle <= low || middle >= high {
            return high;
        }
        if t_two_sided(middle, degrees) > tail { low = middle } else { high = middle }
    }
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
