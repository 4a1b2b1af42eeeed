//! The pressure between an insert and the metal around it.

use headproof_quantity::{Computed, Length, PressureDim};

use crate::check::{material, not_negative, positive};
use crate::{MetrologyError, RingMaterial, Sum};

/// Kilopascals in a gigapascal.
const KPA_PER_GPA: f64 = 1e6;

/// The pressure between an insert and the head: two thick rings, elastic, in plane stress.
///
/// `p = i / (d [((Do² + d²)/(Do² − d²) + νh)/Eh + ((d² + Di²)/(d² − Di²) − νi)/Ei])`, where `outer` is the
/// diameter of the ring of head material that may be counted on around the insert: the nearest wall,
/// water jacket or neighbouring seat. A head is no ring, so that this is an estimate for comparing fits.
/// Valid while neither ring yields.
///
/// Units: interference on the diameter and diameters in mm, moduli in GPa; the pressure is in kPa.
/// Sensitivities to interference, inner, interface and outer diameter (kPa/mm), then to the modulus of
/// the insert and of the head (kPa/kPa).
///
/// # Errors
/// [`MetrologyError::Negative`] for the interference (a loose insert is not held) or the inner diameter,
/// [`MetrologyError::NotPositive`] for the interface diameter or where either ring has no wall,
/// [`MetrologyError::NoMaterial`] for a modulus or a Poisson's ratio outside 0 to 0.5.
///
/// Source: Lamé's equations for thick rings.
///
/// ```
/// use headproof_metrology::{RingMaterial, contact_pressure};
/// use headproof_quantity::{Length, Unit};
/// let mm = |amount| Length::from_f64(amount, Unit::Millimetre);
/// let steel = RingMaterial { expansion_per_kelvin: 11.7e-6, youngs_modulus_gpa: 207.0, poisson: 0.292 };
/// let pressure = contact_pressure(mm(0.10)?, mm(32.0)?, mm(40.0)?, mm(70.0)?, &steel, &steel)?;
/// // 79.3 N/mm².
/// assert!((pressure.value.get() - 79_307.27554).abs() < 1e-4);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn contact_pressure(
    interference: Length,
    inner: Length,
    interface: Length,
    outer: Length,
    insert: &RingMaterial,
    head: &RingMaterial,
) -> Result<Sum<PressureDim, 6>, MetrologyError> {
    let i = not_negative("the interference", interference)?;
    not_negative("the inner diameter of the insert", inner)?;
    let d = positive("the diameter of the interface", interface)?;
    let ring_inside = Ring::new("the interface less the inner diameter", inner, interface)?;
    let ring_outside = Ring::new("the outer diameter less the interface", interface, outer)?;
    let (insert_modulus, insert_poisson) = elastic(insert)?;
    let (head_modulus, head_poisson) = elastic(head)?;
    let insert_compliance = (ring_inside.ratio - insert_poisson) / insert_modulus;
    let head_compliance = (ring_outside.ratio + head_poisson) / head_modulus;
    let compliance = insert_compliance + head_compliance;
    let per_interference = 1.0 / (d * compliance);
    let pressure = i * per_interference;
    let per_compliance = -pressure / compliance;
    let by_interface = ring_inside.per_wide / insert_modulus + ring_outside.per_narrow / head_modulus;
    Ok(Sum {
        value: Computed::new(pressure),
        sensitivity: [
            per_interference,
            per_compliance * ring_inside.per_narrow / insert_modulus,
            per_compliance * by_interface - pressure / d,
            per_compliance * ring_outside.per_wide / head_modulus,
            -per_compliance * insert_compliance / insert_modulus,
            -per_compliance * head_compliance / head_modulus,
        ],
    })
}

/// Young's modulus in kPa and Poisson's ratio.
fn elastic(ring: &RingMaterial) -> Result<(f64, f64), MetrologyError> {
    let modulus = material("Young's modulus", ring.youngs_modulus_gpa)? * KPA_PER_GPA;
    if !(0.0..=0.5).contains(&ring.poisson) {
        return Err(MetrologyError::NoMaterial { what: "Poisson's ratio", given: ring.poisson });
    }
    Ok((modulus, ring.poisson))
}

/// `(wide² + narrow²) / (wide² − narrow²)` of a ring and its partials to both diameters.
struct Ring {
    ratio: f64,
    per_narrow: f64,
    per_wide: f64,
}

impl Ring {
    /// `wall` names the difference of the diameters, which must be more than zero.
    fn new(wall: &'static str, narrow: Length, wide: Length) -> Result<Self, MetrologyError> {
        let difference = positive(wall, Length::from_exact((wide - narrow).exact()))?;
        let (narrow, wide) = (narrow.approx(), wide.approx());
        let difference = difference * (wide + narrow);
        let per = 4.0 * narrow * wide / (difference * difference);
        Ok(Self {
            ratio: (wide * wide + narrow * narrow) / difference,
            per_narrow: per * wide,
            per_wide: -per * narrow,
        })
    }
}

#[cfg(test)]
mod tests {
    use headproof_quantity::Unit;

    use super::*;

    const STEEL: RingMaterial =
        RingMaterial { expansion_per_kelvin: 11.7e-6, youngs_modulus_gpa: 207.0, poisson: 0.3 };

    fn mm(amount: f64) -> Length {
        Length::from_f64(amount, Unit::Millimetre).expect("a length")
    }

    #[track_caller]
    fn refused(i: f64, diameters: [f64; 3], head: &RingMaterial, message: &str) {
        let [inner, interface, outer] = diameters.map(mm);
        let error = contact_pressure(mm(i), inner, interface, outer, &STEEL, head).expect_err("no pressure");
        assert_eq!(error.to_string(), message);
    }

    #[test]
    fn rings_that_hold_nothing_are_refused() {
        refused(-0.01, [32.0, 40.0, 70.0], &STEEL, "the interference must not be less than zero, is -0.01");
        refused(
            0.1,
            [40.0, 40.0, 70.0],
            &STEEL,
            "the interface less the inner diameter must be more than zero, is 0",
        );
        refused(
            0.1,
            [32.0, 40.0, 38.0],
            &STEEL,
            "the outer diameter less the interface must be more than zero, is -2",
        );
        let rubber = RingMaterial { poisson: 0.51, ..STEEL };
        refused(0.1, [32.0, 40.0, 70.0], &rubber, "0.51 can be no Poisson's ratio");
        let nothing = RingMaterial { youngs_modulus_gpa: f64::NAN, ..STEEL };
        refused(0.1, [32.0, 40.0, 70.0], &nothing, "NaN can be no Young's modulus");
    }

    #[test]
    fn a_fit_without_interference_presses_nothing() {
        let pressure = contact_pressure(mm(0.0), mm(32.0), mm(40.0), mm(70.0), &STEEL, &STEEL);
        assert!(pressure.expect("a pressure").value.get().abs() < 1e-300);
    }
}
