//! Tail probabilities and quantiles of F, Student's t and chi-square, good for the degrees of freedom of a
//! study of 200 parts, 20 operators and 20 trials (76,000).
//!
//! Made here because the continued fraction of `statrs` stops after 140 terms, which is too soon above some
//! 20,000 degrees of freedom, and because its quantiles panic. The factor in front is taken as a distance
//! from the peak (with Stirling's rest), not as a difference of large logarithms of the gamma function.

use std::f64::consts::{PI, TAU};

/// Far more terms than any argument within the limits of a study needs (about ten times the root of the
/// larger).
const TERMS: usize = 20_000;

/// What ln Γ(z) has beyond (z − ½) ln z − z + ½ ln 2π.
fn stirling_rest(z: f64) -> f64 {
    if z < 10.0 {
        return libm::lgamma(z) - ((z - 0.5) * libm::log(z) - z + 0.5 * libm::log(TAU));
    }
    let w = 1.0 / (z * z);
    let terms = [1.0 / 12.0, -1.0 / 360.0, 1.0 / 1260.0, -1.0 / 1680.0, 1.0 / 1188.0, -691.0 / 360_360.0];
    terms.iter().rev().fold(0.0, |sum, term| sum * w + term) / z
}

/// ln(1 + d) where 1 + d is known as `ratio` too: the better of the two ways.
fn log_near_one(d: f64, ratio: f64) -> f64 {
    if (-0.5..1.0).contains(&d) { libm::log1p(d) } else { libm::log(ratio) }
}

/// x^a y^b / B(a, b) with y = 1 − x.
fn beta_front(a: f64, b: f64, x: f64, y: f64) -> f64 {
    let off = x * b - y * a;
    let peak = a * log_near_one(off / a, x * (a + b) / a) + b * log_near_one(-off / b, y * (a + b) / b);
    let rest = stirling_rest(a + b) - stirling_rest(a) - stirling_rest(b);
    libm::exp(peak + rest) * (a * b / (TAU * (a + b))).sqrt()
}

/// One step of Lentz's method: keeps both running parts off nought.
fn lentz(c: &mut f64, d: &mut f64, numerator: f64, denominator: f64) -> f64 {
    let off_nought = |v: f64| if v.abs() < 1e-300 { 1e-300 } else { v };
    *d = 1.0 / off_nought(denominator + numerator * *d);
    *c = off_nought(denominator + numerator / *c);
    *c * *d
}

/// The continued fraction of the incomplete beta function (Abramowitz and Stegun 26.5.8), for x below its
/// peak.
fn beta_fraction(a: f64, b: f64, x: f64) -> f64 {
    let (mut c, mut d, mut value) = (1.0, 0.0, 1.0);
    for m in 1..TERMS {
        let m = m as f64;
        // The odd term before the even one: d(2m−1), then d(2m).
        let k = m - 1.0;
        value *=
            lentz(&mut c, &mut d, -(a + k) * (a + b + k) * x / ((a + 2.0 * k) * (a + 2.0 * k + 1.0)), 1.0);
        let step = lentz(&mut c, &mut d, m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m)), 1.0);
        value *= step;
        if (step - 1.0).abs() < f64::EPSILON {
            break;
        }
    }
    1.0 / value
}

/// The regularised incomplete beta function I_x(a, b), with y = 1 − x given apart so that it is exact near x
/// = 1.
fn beta_regularised(a: f64, b: f64, x: f64, y: f64) -> f64 {
    if x <= 0.0 {
        0.0
    } else if y <= 0.0 {
        1.0
    } else if x < (a + 1.0) / (a + b + 2.0) {
        (beta_front(a, b, x, y) * beta_fraction(a, b, x) / a).clamp(0.0, 1.0)
    } else {
        (1.0 - beta_front(b, a, y, x) * beta_fraction(b, a, y) / b).clamp(0.0, 1.0)
    }
}

/// The regularised incomplete gamma function P(a, x) and its complement.
fn gamma_regularised(a: f64, x: f64) -> (f64, f64) {
    if x <= 0.0 {
        return (0.0, 1.0);
    }
    let off = (x - a) / a;
    let front = libm::exp(a * (log_near_one(off, x / a) - off) - stirling_rest(a)) * (a / TAU).sqrt();
    if x < a + 1.0 {
        let (mut term, mut sum) = (1.0 / a, 1.0 / a);
        for n in 1..TERMS {
            term *= x / (a + n as f64);
            sum += term;
            if term < sum * f64::EPSILON {
                break;
            }
        }
        let below = (front * sum).clamp(0.0, 1.0);
        (below, 1.0 - below)
    } else {
        let mut denominator = x + 1.0 - a;
        let (mut c, mut d) = (1e300, 1.0 / denominator);
        let mut value = d;
        for n in 1..TERMS {
            let n = n as f64;
            denominator += 2.0;
            let step = lentz(&mut c, &mut d, -n * (n - a), denominator);
            value *= step;
            if (step - 1.0).abs() < f64::EPSILON {
                break;
            }
        }
        let above = (front * value).clamp(0.0, 1.0);
        (1.0 - above, above)
    }
}

/// The chance of an F at or above `f` with `d1` and `d2` degrees of freedom.
pub(super) fn f_above(f: f64, d1: f64, d2: f64) -> f64 {
    let spread = d2 + d1 * f;
    if !spread.is_finite() {
        return 0.0;
    }
    beta_regularised(d2 / 2.0, d1 / 2.0, d2 / spread, d1 * f / spread)
}

/// The chance of a Student's t at least as far from nought as `t` is, either way.
pub(super) fn t_beyond(t: f64, df: f64) -> f64 {
    f_above(t * t, 1.0, df)
}

/// Where a distribution on the positive numbers reaches `p`, by halving: slow, and sure for any `p` in (0,
/// 1).
fn reach(p: f64, below: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (0.5, 1.0);
    while below(high) < p && high < 1e150 {
        high *= 2.0;
    }
    while below(low) > p && low > 1e-150 {
        low /= 2.0;
    }
    for _ in 0..1100 {
        let middle = low + (high - low) / 2.0;
        if middle <= low || middle >= high {
            break;
        }
        if below(middle) < p { low = middle } else { high = middle }
    }
    high
}

/// The t that a share of `confidence` lies within, either side of nought.
pub(super) fn t_within(confidence: f64, df: f64) -> f64 {
    reach(confidence, |t| 1.0 - t_beyond(t, df))
}

/// The two chi-squares that leave half of what `confidence` lacks below and above them.
pub(super) fn chi_square_within(confidence: f64, df: f64) -> (f64, f64) {
    let tail = (1.0 - confidence) / 2.0;
    let low = reach(tail, |x| gamma_regularised(df / 2.0, x / 2.0).0);
    let high = reach(1.0 - tail, |x| 1.0 - gamma_regularised(df / 2.0, x / 2.0).1);
    (low, high)
}

/// The standard normal distribution's share below `z`.
pub(super) fn normal_below(z: f64) -> f64 {
    0.5 * libm::erfc(-z * std::f64::consts::FRAC_1_SQRT_2)
}

/// The standard normal density.
pub(super) fn normal_density(z: f64) -> f64 {
    libm::exp(-0.5 * z * z) / (2.0 * PI).sqrt()
}

#[cfg(test)]
mod tests;
