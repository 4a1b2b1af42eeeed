//! The noncentral t distribution: which noncentrality an observed t speaks for.

use super::normal_cdf;

/// Points of the sum over the spread; as many more as the integrand is sharper than the spread, up to this
/// many times.
const POINTS: f64 = 400.0;
const MOST_TIMES: f64 = 12.0;

/// What the sum runs over: y = ln(s/σ), evenly spaced, with weights that make 1 together.
struct Spread {
    points: Vec<(f64, f64)>,
}

impl Spread {
    /// The distribution of s/σ with `degrees` of freedom, finely enough for `t`; `None` when that is too
    /// fine.
    ///
    /// In y the density e^{ν(y − e^{2y}/2)} and all its derivatives vanish at both ends, where the
    /// trapezoidal rule converges faster than any power of the step.
    fn new(degrees: f64, t: f64) -> Option<Self> {
        // With more, the density is narrower than a logarithm can tell.
        let degrees = degrees.min(1e15);
        let log_density = |y: f64| degrees * (y - 0.5 * libm::expm1(2.0 * y));
        let sd = 1.0 / libm::sqrt(2.0 * degrees);
        let reach = |direction: f64| {
            let mut y = 0.0;
            while log_density(y) > -45.0 {
                y += direction * sd;
            }
            y
        };
        let (low, high) = (reach(-1.0), reach(1.0));
        let times = (t.abs() * sd / 10.0).max(1.0);
        if times > MOST_TIMES {
            return None;
        }
        let count = (POINTS * times).ceil();
        let step = (high - low) / count;
        let mut points = Vec::new();
        let (mut y, mut total) = (low, 0.0);
        while y < high {
            let weight = libm::exp(log_density(y));
            total += weight;
            points.push((libm::exp(y), weight));
            y += step;
        }
        for point in &mut points {
            point.1 /= total;
        }
        Some(Self { points })
    }

    /// P(T ≤ t) with noncentrality `delta`: the mean of Φ(t s/σ − δ).
    fn cdf(&self, t: f64, delta: f64) -> f64 {
        self.points.iter().map(|(ratio, weight)| weight * normal_cdf(t * ratio - delta)).sum()
    }
}

/// The noncentrality with which a noncentral t variable of `degrees` ≥ 1 stays below `t` with `probability`,
/// 0 to 1.
///
/// `None` when it would take too many steps: `t` above some 120 √(2ν), far beyond any process.
///
/// Source: the definition T = (Z + δ)/(s/σ); the equation is solved by the Illinois variant of the false
/// position.
pub(crate) fn noncentrality(t: f64, degrees: f64, probability: f64) -> Option<f64> {
    let spread = Spread::new(degrees, t)?;
    let excess = |delta: f64| spread.cdf(t, delta) - probability;
    let width = libm::sqrt(1.0 + t * t / (2.0 * degrees));
    let (mut low, mut high) = (t - width, t + width);
    let mut wider = width;
    while excess(low) < 0.0 && wider < 1e6 * width {
        wider *= 2.0;
        low = t - wider;
    }
    wider = width;
    while excess(high) > 0.0 && wider < 1e6 * width {
        wider *= 2.0;
        high = t + wider;
    }
    let (mut at_low, mut at_high) = (excess(low), excess(high));
    if at_low < 0.0 || at_high > 0.0 {
        return None;
    }
    for _ in 0..200 {
        let delta = (low * at_high - high * at_low) / (at_high - at_low);
        if !delta.is_finite() || high - low <= 1e-13 * (width + t.abs()) {
            break;
        }
        let here = excess(delta);
        if here > 0.0 {
            (low, at_low) = (delta, here);
            at_high *= 0.5;
        } else if here < 0.0 {
            (high, at_high) = (delta, here);
            at_low *= 0.5;
        } else {
            return Some(delta);
        }
    }
    Some(0.5 * (low + high))
}

#[cfg(test)]
pub(super) fn noncentral_t_cdf(t: f64, degrees: f64, delta: f64) -> f64 {
    Spread::new(degrees, t).expect("not too fine").cdf(t, delta)
}
