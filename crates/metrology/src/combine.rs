//! Propagation of uncertainty.

/// The combined standard uncertainty of independent inputs, to first order.
///
/// Units: each part is (sensitivity, standard uncertainty of the input) in base units; the result is in
/// the base unit of the value whose sensitivities they are. No parts give 0.
///
/// Source: JCGM 100:2008, 5.1.2, equation 10 (clause from memory).
///
/// ```
/// // End gauge calibration, rounded parts in nm: JCGM 100:2008, H.1 (from memory).
/// let u = headproof_metrology::combined([(1.0, 25.0), (1.0, 9.7), (1.0, 2.9), (1.0, 16.6)].into_iter());
/// assert!((u - 31.6711225).abs() < 1e-7);
/// ```
#[must_use]
pub fn combined(parts: impl Iterator<Item = (f64, f64)>) -> f64 {
    libm::sqrt(parts.map(|(sensitivity, u)| (sensitivity * u) * (sensitivity * u)).sum())
}
