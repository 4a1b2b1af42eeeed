//! Probabilities and quantiles of the distributions the tests and confidence limits need.
//!
//! Written here and not taken from a crate, because they have to give the same bits on every machine
//! (logarithms and exponentials of `libm` only) and to keep their digits with millions of degrees of freedom:
//! the leading factors are formed by the saddle-point expansion of C. Loader, Fast and Accurate Computation
//! of Binomial Probabilities, 2000 (from memory), where differences of logarithms of gamma functions would
//! cancel.

mod beta;
mod chi_square;
mod noncentral;
mod normal;

pub(super) use beta::{f_upper_tail, t_two_sided};
pub(super) use chi_square::chi_square_quantile;
pub(super) use noncentral::noncentrality;
pub(super) use normal::{ln_normal_cdf, normal_cdf, normal_quantile};

/// ln(2π)/2.
const HALF_LN_TAU: f64 = 0.918_938_533_204_672_7;

/// How far Stirling's formula is off: ln Γ(a + 1) − ((a + ½) ln a − a + ½ ln 2π), for a > 0.
fn stirling_error(a: f64) -> f64 {
    if a < 15.0 {
        return libm::lgamma(a + 1.0) - (a + 0.5) * libm::log(a) + a - HALF_LN_TAU;
    }
    let s = a * a;
    (1.0 / 12.0 - (1.0 / 360.0 - (1.0 / 1260.0 - (1.0 / 1680.0 - 1.0 / 1188.0 / s) / s) / s) / s) / a
}

/// The deviance x ln(x/m) + m − x, without cancellation where x is near m.
fn deviance(x: f64, m: f64) -> f64 {
    if (x - m).abs() >= 0.1 * (x + m) {
        return x * libm::log(x / m) + m - x;
    }
    let v = (x - m) / (x + m);
    let mut sum = (x - m) * v;
    let mut power = 2.0 * x * v;
    for k in 1..1000 {
        power *= v * v;
        let next = sum + power / f64::from(2 * k + 1);
        if next.to_bits() == sum.to_bits() {
            break;
        }
        sum = next;
    }
    sum
}

#[cfg(test)]
mod tests;
