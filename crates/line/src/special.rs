//! Probabilities and quantiles of the distributions that tests, confidence limits and studies need.
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

pub(crate) use beta::{f_upper_tail, t_two_sided, t_within};
pub(crate) use chi_square::{chi_square_quantile, chi_square_within};
pub(crate) use noncentral::noncentrality;
pub(crate) use normal::{ln_normal_cdf, normal_cdf, normal_density, normal_quantile};

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

/// More steps than any continued fraction here takes (some ten times the root of the degrees of freedom).
const MOST_TERMS: u32 = 100_000;

/// A continued fraction on its way, by Lentz's method.
struct Lentz {
    c: f64,
    d: f64,
    value: f64,
}

impl Lentz {
    /// Begins with the first denominator.
    fn new(first: f64) -> Self {
        let first = off_nought(first);
        Self { c: first, d: 0.0, value: first }
    }

    /// Takes in one more numerator and denominator. True when that changed nothing any more.
    fn step(&mut self, numerator: f64, denominator: f64) -> bool {
        self.d = 1.0 / off_nought(denominator + numerator * self.d);
        self.c = off_nought(denominator + numerator / self.c);
        let factor = self.c * self.d;
        self.value *= factor;
        (factor - 1.0).abs() <= f64::EPSILON
    }
}

fn off_nought(v: f64) -> f64 {
    if v.abs() < 1e-300 { 1e-300 } else { v }
}

#[cfg(test)]
mod tests;
