//! How many degrees of freedom an estimate of a standard deviation is worth.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

/// From here on the series of [`quotient`] is good to the last bits.
const LARGE: f64 = 120.0;

/// `Γ((ν+1)/2)² / Γ(ν/2)² · 2/ν`, the square of the mean of a standard deviation with ν degrees of freedom.
///
/// Source: `Γ(x+1) = x Γ(x)` up to a large ν, there the asymptotic series of `Γ(x + 1/2)/Γ(x)` (Abramowitz and
/// Stegun 6.1.47, from memory).
fn quotient(degrees: f64) -> f64 {
    let (mut nu, mut product) = (degrees, 1.0);
    while nu < LARGE {
        product *= nu / (nu + 1.0);
        nu += 2.0;
    }
    let x = 2.0 / nu;
    let series = 1.0
        + x * (-1.0 / 8.0
            + x * (1.0 / 128.0 + x * (5.0 / 1024.0 + x * (-21.0 / 32768.0 - x * 399.0 / 262144.0))));
    let root = product * series;
    root * root * nu / degrees
}

/// The degrees of freedom of the estimate whose coefficient of variation has this square: those of the standard
/// deviation of normal values that scatters as much, after both are made unbiased. `None` where it is not a
/// positive number or the answer would be less than a half.
///
/// Source: the matching of two moments of Patnaik 1950 (from memory), solved exactly instead of by a series.
pub(super) fn equivalent(squared_variation: f64) -> Option<f64> {
    let variation = |nu: f64| 1.0 / quotient(nu) - 1.0;
    if !squared_variation.is_finite() || squared_variation <= 0.0 || squared_variation > variation(0.5) {
        return None;
    }
    // 1/(2 cv²) is the answer for many degrees, and within one of it for few.
    let rough = 0.5 / squared_variation;
    if rough > 1e6 {
        return Some(rough + 0.25);
    }
    let (mut low, mut high) = ((rough - 1.0).max(0.5), rough + 2.0);
    for _ in 0..80 {
        let middle = f64::midpoint(low, high);
        if variation(middle) > squared_variation {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(f64::midpoint(low, high))
}

/// The covariance of two neighbouring moving ranges of independent standard normal values.
///
/// Their differences correlate by −1/2, so `E|a||b| = (4/π)(√3/2 + π/12)`, of which the square of the mean,
/// `4/π`, goes off.
pub(super) fn neighbours() -> f64 {
    (3.0_f64.sqrt() / 2.0 + FRAC_PI_4 / 3.0 - 1.0) * 2.0 / FRAC_PI_2
}
