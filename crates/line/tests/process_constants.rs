//! The constants of control charts against published tables and against their integrals.

use std::f64::consts::FRAC_2_SQRT_PI;

use headproof_line::{c4, chart_factors, d2, d3};

/// n, d2, d3, c4, A2, A3, D3, D4, B3, B4 as ASTM E2587 tables them for n = 2 to 10, to seven places. A2 to three
/// places was read in a quotation of the standard; the further columns and places were computed with numpy 2.4.6 from
/// the density of the range by 400 Gauss-Legendre nodes. d2 for n = 2 is 2/√π.
const TABLE: [[f64; 10]; 9] = [
    [2.0, FRAC_2_SQRT_PI, 0.8525025, 0.7978846, 1.8799712, 2.6586808, 0.0, 3.2665319, 0.0, 3.2665319],
    [3.0, 1.6925688, 0.8883680, 0.8862269, 1.0233267, 1.9544100, 0.0, 2.5745913, 0.0, 2.5681696],
    [4.0, 2.0587507, 0.8798082, 0.9213177, 0.7285972, 1.6281028, 0.0, 2.2820516, 0.0, 2.2660471],
    [5.0, 2.3259289, 0.8640819, 0.9399856, 0.5768193, 1.4272993, 0.0, 2.1144991, 0.0, 2.0889979],
    [6.0, 2.5344127, 0.8480397, 0.9515329, 0.4832460, 1.2871283, 0.0, 2.0038298, 0.0303632, 1.9696368],
    [7.0, 2.7043568, 0.8332053, 0.9593688, 0.4192840, 1.1819161, 0.0757077, 1.9242923, 0.1176850, 1.8823150],
    [8.0, 2.8472006, 0.8198315, 0.9650305, 0.3725274, 1.0990950, 0.1361710, 1.8638290, 0.1850896, 1.8149104],
    [9.0, 2.9700263, 0.8078343, 0.9693107, 0.3366974, 1.0316610, 0.1840130, 1.8159870, 0.2391328, 1.7608672],
    [10.0, 3.0775055, 0.7970507, 0.9726593, 0.3082637, 0.9753501, 0.2230227, 1.7769773, 0.2837056, 1.7162944],
];

#[test]
fn the_table_of_astm_e2587() {
    for row in TABLE {
        let [n, expected @ ..] = row;
        let f = chart_factors(n as u16).unwrap();
        let given = [f.d2, f.d3, f.c4, f.a2, f.a3, f.big_d3, f.big_d4, f.b3, f.b4];
        for (place, (given, expected)) in given.into_iter().zip(expected).enumerate() {
            assert!((given - expected).abs() < 0.6e-7, "n = {n}, column {place}: {given} for {expected}");
        }
    }
}

#[test]
fn exact_values() {
    use std::f64::consts::PI;
    // Of two values the range is |a − b|, of three the mean range is 3/√π: elementary integrals.
    let exact = [(d2(2), 2.0 / PI.sqrt()), (d3(2), (2.0 - 4.0 / PI).sqrt()), (d2(3), 3.0 / PI.sqrt())];
    for (given, exact) in exact {
        assert!((given.unwrap() - exact).abs() < 2e-15, "{given:?} for {exact}");
    }
    assert!((c4(2).unwrap() - (2.0 / PI).sqrt()).abs() < 2e-16);
    assert!((c4(3).unwrap() - PI.sqrt() / 2.0).abs() < 2e-16);
}

#[test]
fn c4_agrees_with_logarithms_of_gamma() {
    // scipy 1.17.1: sqrt(2/(n-1)) exp(gammaln(n/2) - gammaln((n-1)/2)).
    for (n, expected) in [
        (5, 0.9399856029866253),
        (10, 0.9726592741215883),
        (25, 0.9896403755857051),
        (40, 0.9936109428318894),
        (400, 0.9993736304910856),
    ] {
        assert!((c4(n).unwrap() - expected).abs() < 2e-13, "n = {n}: {:?}", c4(n));
    }
    for n in 2..=2000 {
        let (this, next) = (c4(n).unwrap(), c4(n + 1).unwrap());
        assert!(this < next && next < 1.0, "n = {n}");
    }
    assert!(c4(u16::MAX).is_some_and(|last| last < 1.0));
}

#[test]
fn none_outside() {
    for n in [0, 1] {
        assert!(c4(n).is_none() && d2(n).is_none() && d3(n).is_none() && chart_factors(n).is_none());
    }
    for n in [26, 1000, u16::MAX] {
        assert!(d2(n).is_none() && d3(n).is_none() && chart_factors(n).is_none());
    }
}

/// Romberg's extrapolation of trapezoidal sums whose step halves each time.
fn romberg(mut sums: Vec<f64>) -> f64 {
    let mut power = 1.0;
    while sums.len() > 1 {
        power *= 4.0;
        sums = sums.windows(2).map(|pair| (power * pair[1] - pair[0]) / (power - 1.0)).collect();
    }
    sums[0]
}

/// All tabulated moments of the range anew: `E W = ∫ P(W > w) dw`, `E W² = 2 ∫ w P(W > w) dw` by Romberg over `w`,
/// `P(W ≤ w)` by the trapezoidal rule over the lowest value, which for such a function is exact to the last bits.
#[test]
fn moments_of_the_range_by_integration() {
    const STEP: f64 = 1.0 / 32.0;
    const REACH: usize = 8 * 32;
    const WIDEST: usize = 512;
    let pdf = |x: f64| libm::exp(-x * x / 2.0) / (2.0 * std::f64::consts::PI).sqrt();
    let cdf = |x: f64| libm::erfc(-x * std::f64::consts::FRAC_1_SQRT_2) / 2.0;
    let place = |k: usize| (k as f64 - REACH as f64) * STEP;
    let density: Vec<f64> = (0..=2 * REACH).map(|k| pdf(place(k)) * STEP).collect();
    let below: Vec<f64> = (0..=2 * REACH + WIDEST).map(|k| cdf(place(k))).collect();
    let mut least = f64::INFINITY;
    for n in 2..=25_u16 {
        let beyond: Vec<f64> = (0..=WIDEST)
            .map(|w| {
                let within = |k: usize| (below[k + w] - below[k]).powi(i32::from(n) - 1);
                1.0 - f64::from(n) * density.iter().enumerate().map(|(k, f)| f * within(k)).sum::<f64>()
            })
            .collect();
        let integral = |value: &dyn Fn(usize) -> f64| {
            let sums = [8, 4, 2, 1].map(|stride| {
                let inner: f64 = (stride..WIDEST).step_by(stride).map(value).sum();
                (inner + (value(0) + value(WIDEST)) / 2.0) * stride as f64 * STEP
            });
            romberg(sums.to_vec())
        };
        let mean = integral(&|w| beyond[w]);
        let second = 2.0 * integral(&|w| w as f64 * STEP * beyond[w]);
        for (given, computed) in [(d2(n).unwrap(), mean), (d3(n).unwrap(), (second - mean * mean).sqrt())] {
            least = least.min(-((given - computed) / computed).abs().max(1e-17).log10());
        }
    }
    println!("moments of the range: {least:.1} digits");
    assert!(least > 10.0, "{least}");
}
