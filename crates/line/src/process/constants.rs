//! The constants of control charts for normal values.

use std::f64::consts::{FRAC_2_SQRT_PI, PI};

/// The least size of a group the range is tabulated for.
const SMALLEST: u16 = 2;

/// Mean and standard deviation of the range of `n` standard normal values, n = 2 to 25.
///
/// Source: integrals of the range's distribution (Tippett 1925, from memory)
/// `P(W ≤ w) = n ∫ φ(x) (Φ(x + w) − Φ(x))ⁿ⁻¹ dx`, computed with mpmath to 22 digits, by Gauss-Legendre panels over `w`
/// and the trapezoidal rule over `x`. A test computes them anew.
const RANGE: [(f64, f64); 24] = [
    (FRAC_2_SQRT_PI, 0.8525024664274218),
    (1.692568750643269, 0.8883680040452043),
    (2.058750746007928, 0.8798082028249833),
    (2.325928947281039, 0.8640819410995041),
    (2.534412721222943, 0.8480396861174953),
    (2.7043567512138087, 0.8332053356222937),
    (2.8472006120905555, 0.819831489791944),
    (2.970026324418474, 0.8078342745533225),
    (3.077505461670346, 0.7970506735194113),
    (3.1728727038160005, 0.7873146205503282),
    (3.258455279743826, 0.7784783412033843),
    (3.335980354098255, 0.7704162020637548),
    (3.406763108199953, 0.7630230956247903),
    (3.4718268898820748, 0.756211429727944),
    (3.531982786109576, 0.7499080894099159),
    (3.5878839617653817, 0.7440517839607315),
    (3.6400637579374444, 0.7385908533781779),
    (3.6889630232076493, 0.7334814955188684),
    (3.734950119596641, 0.7286863457073053),
    (3.778335829842621, 0.7241733407174991),
    (3.8193846433628327, 0.7199148084342234),
    (3.858323423285007, 0.7158867354918145),
    (3.8953481484513564, 0.7120681751479372),
    (3.930629219507113, 0.708440765888655),
];

/// The row of [`RANGE`] for a group of `n`.
fn range(n: u16) -> Option<(f64, f64)> {
    RANGE.get(usize::from(n.checked_sub(SMALLEST)?)).copied()
}

/// The mean of the range of `n` standard normal values; `None` below 2 and above 25.
///
/// Unit: standard deviations. Source: see the table.
///
/// ```
/// assert!(headproof_line::d2(5).is_some_and(|d2| (d2 - 2.3259289).abs() < 1e-7));
/// ```
#[must_use]
pub fn d2(n: u16) -> Option<f64> {
    Some(range(n)?.0)
}

/// The standard deviation of the range of `n` standard normal values; `None` below 2 and above 25.
///
/// Unit: standard deviations. Source: see the table; for two values it is `√(2 − 4/π)`.
///
/// ```
/// let exact = (2.0 - 4.0 / std::f64::consts::PI).sqrt();
/// assert!(headproof_line::d3(2).is_some_and(|d3| (d3 - exact).abs() < 1e-14));
/// ```
#[must_use]
pub fn d3(n: u16) -> Option<f64> {
    Some(range(n)?.1)
}

/// The mean of the standard deviation of `n` standard normal values, `√(2/(n−1)) Γ(n/2) / Γ((n−1)/2)`; `None`
/// below 2.
///
/// Unit: standard deviations. The quotient of gamma functions is built up exactly from `Γ(1)/Γ(1/2)` or
/// `Γ(3/2)/Γ(1)` by `Γ(x + 1) = x Γ(x)`, so that only products and one root are rounded.
///
/// Source: ASTM E2587 and ISO 7870-2 (from memory).
///
/// ```
/// assert!(headproof_line::c4(5).is_some_and(|c4| (c4 - 0.9399856).abs() < 1e-7));
/// ```
#[must_use]
pub fn c4(n: u16) -> Option<f64> {
    if n < SMALLEST {
        return None;
    }
    let (first, mut quotient) = if n.is_multiple_of(2) { (2, 1.0 / PI.sqrt()) } else { (3, PI.sqrt() / 2.0) };
    for step in (first..n).step_by(2) {
        // Γ((m+2)/2) / Γ((m+1)/2) is m/(m−1) times Γ(m/2) / Γ((m−1)/2).
        quotient *= f64::from(step) / (f64::from(step) - 1.0);
    }
    Some((2.0 / (f64::from(n) - 1.0)).sqrt() * quotient)
}

/// The factors that turn a mean range or a mean standard deviation into control limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChartFactors {
    /// Mean of the standard deviation, in standard deviations.
    pub c4: f64,
    /// Mean of the range, in standard deviations.
    pub d2: f64,
    /// Standard deviation of the range, in standard deviations.
    pub d3: f64,
    /// Limits of the mean from the mean range: `3 / (d2 √n)`.
    pub a2: f64,
    /// Limits of the mean from the mean standard deviation: `3 / (c4 √n)`.
    pub a3: f64,
    /// Lower limit of the range (D3): `1 − 3 d3/d2`, not below zero.
    pub big_d3: f64,
    /// Upper limit of the range (D4): `1 + 3 d3/d2`.
    pub big_d4: f64,
    /// Lower limit of the standard deviation (B3): `1 − 3 √(1 − c4²)/c4`, not below zero.
    pub b3: f64,
    /// Upper limit of the standard deviation (B4): `1 + 3 √(1 − c4²)/c4`.
    pub b4: f64,
}

/// The factors for groups of `n` values; `None` below 2 and above 25.
///
/// Unit: pure numbers. Source: ASTM E2587 and ISO 7870-2 (from memory).
///
/// ```
/// assert!(headproof_line::chart_factors(5).is_some_and(|five| (five.a2 - 0.5768193).abs() < 1e-7));
/// ```
#[must_use]
pub fn chart_factors(n: u16) -> Option<ChartFactors> {
    let (c4, (d2, d3)) = (c4(n)?, range(n)?);
    let root = f64::from(n).sqrt();
    let (range, deviation) = (3.0 * d3 / d2, 3.0 * (1.0 - c4 * c4).sqrt() / c4);
    Some(ChartFactors {
        c4,
        d2,
        d3,
        a2: 3.0 / (d2 * root),
        a3: 3.0 / (c4 * root),
        big_d3: (1.0 - range).max(0.0),
        big_d4: 1.0 + range,
        b3: (1.0 - deviation).max(0.0),
        b4: 1.0 + deviation,
    })
}
