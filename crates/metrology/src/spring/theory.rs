//! What a cylindrical spring of round wire does by its dimensions: a check of readings, not their
//! replacement, since the rate goes with the fourth power of the wire and the third of the coil.

use std::f64::consts::PI;

use headproof_quantity::{
    Computed, Force, FrequencyDim, Length, LengthDim, Pressure, PressureDim, Ratio, SpringRateDim,
};

use crate::check::{material, positive};
use crate::{MetrologyError, Sum};

/// Kilopascals in a newton per square millimetre.
const KPA_PER_MPA: f64 = 1000.0;
const WIRE: &str = "the wire diameter";
const COIL: &str = "the mean coil diameter";
const ACTIVE: &str = "the number of active coils";
const MODULUS: &str = "the shear modulus";

/// The rate of a helical compression spring of round wire: `k = G d⁴ / (8 D³ n)`.
///
/// For coils of one diameter and pitch; the standard asks for a spring index D/d of 4 to 20.
///
/// Units: mm, a pure number and kPa give N/mm; sensitivities to wire, mean coil diameter, active coils
/// and shear modulus.
///
/// # Errors
/// [`MetrologyError::NotPositive`] for each of the four.
///
/// Source: EN 13906-1, clause 9 (clause and range from memory).
///
/// ```
/// use headproof_quantity::{Length, Pressure, Ratio, Unit};
/// let mm = |amount| Length::from_f64(amount, Unit::Millimetre);
/// let (coils, modulus) = (Ratio::from_f64(4.5, Unit::One)?, Pressure::from_f64(81.5, Unit::Gigapascal)?);
/// let rate = headproof_metrology::theory_rate(mm(4.0)?, mm(26.0)?, coils, modulus)?;
/// assert!((rate.value.get() - 32.97425783).abs() < 1e-8);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn theory_rate(
    wire_diameter: Length,
    mean_coil_diameter: Length,
    active_coils: Ratio,
    shear_modulus: Pressure,
) -> Result<Sum<SpringRateDim, 4>, MetrologyError> {
    let (wire, coil) = (positive(WIRE, wire_diameter)?, positive(COIL, mean_coil_diameter)?);
    let (coils, modulus) = (positive(ACTIVE, active_coils)?, positive(MODULUS, shear_modulus)?);
    let per_modulus = wire.powi(4) / (8.0 * coil.powi(3) * coils) / KPA_PER_MPA;
    let rate = modulus * per_modulus;
    Ok(Sum {
        value: Computed::new(rate),
        sensitivity: [4.0 * rate / wire, -3.0 * rate / coil, -rate / coils, per_modulus],
    })
}

/// The greatest shear stress in the wire under a load, at the inside of the coil, where a working
/// spring breaks first: `τ = K · 8 F D / (π d³)`, with Bergsträsser's factor for the curvature of the wire
/// `K = (w + 0.5) / (w − 0.75)` at the spring index `w = D / d`.
///
/// Wahl's factor, which other handbooks use, gives about 1 % more.
///
/// Units: N and mm give kPa; sensitivities to load, wire and mean coil diameter.
///
/// # Errors
/// [`MetrologyError::NotPositive`] for the wire and for the mean coil diameter less the wire.
///
/// Source: EN 13906-1, clause 9 (clause from memory).
///
/// ```
/// use headproof_quantity::{Force, Length, Unit};
/// let mm = |amount| Length::from_f64(amount, Unit::Millimetre);
/// let load = Force::from_f64(659.4851566, Unit::Newton)?;
/// let stress = headproof_metrology::shear_stress(load, mm(4.0)?, mm(26.0)?)?;
/// // 830.6 N/mm².
/// assert!((stress.value.get() - 830_555.5959).abs() < 1e-3);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn shear_stress(
    load: Force,
    wire_diameter: Length,
    mean_coil_diameter: Length,
) -> Result<Sum<PressureDim, 3>, MetrologyError> {
    let wire = positive(WIRE, wire_diameter)?;
    let inside = mean_coil_diameter - wire_diameter;
    let inside = Length::from_exact(inside.exact());
    positive("the inner diameter of the coil", inside)?;
    let (force, coil) = (load.approx(), mean_coil_diameter.approx());
    let index = coil / wire;
    let factor = (index + 0.5) / (index - 0.75);
    let factor_per_index = -1.25 / ((index - 0.75) * (index - 0.75));
    let straight_per_force = 8.0 * coil / (PI * wire.powi(3)) * KPA_PER_MPA;
    let straight = force * straight_per_force;
    Ok(Sum {
        value: Computed::new(straight * factor),
        sensitivity: [
            straight_per_force * factor,
            -straight / wire * (3.0 * factor + index * factor_per_index),
            straight / coil * (factor + index * factor_per_index),
        ],
    })
}

/// The lowest natural frequency of a spring held at both ends, at which its coils surge:
/// `f = d / (2π n D²) · √(G / 2ρ)`.
///
/// Units: mm, a pure number, kPa and kg/dm³ give Hz; sensitivities to wire, mean coil diameter, active
/// coils and shear modulus. The frequency falls with the square root of the density, which is a constant
/// of the material and no reading.
///
/// # Errors
/// [`MetrologyError::NotPositive`] for each of the four, [`MetrologyError::NoMaterial`] for the density.
///
/// Source: EN 13906-1, clause 9 (clause from memory), whose rounded constant 3560 (from memory) lies
/// 0.03 % above the exact one.
///
/// ```
/// use headproof_quantity::{Length, Pressure, Ratio, Unit};
/// let mm = |amount| Length::from_f64(amount, Unit::Millimetre);
/// let (coils, modulus) = (Ratio::from_f64(4.5, Unit::One)?, Pressure::from_f64(81.5, Unit::Gigapascal)?);
/// let surge = headproof_metrology::natural_frequency(mm(4.0)?, mm(26.0)?, coils, modulus, 7.85)?;
/// assert!((surge.value.get() - 476.8149804).abs() < 1e-7);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn natural_frequency(
    wire_diameter: Length,
    mean_coil_diameter: Length,
    active_coils: Ratio,
    shear_modulus: Pressure,
    density: f64,
) -> Result<Sum<FrequencyDim, 4>, MetrologyError> {
    let (wire, coil) = (positive(WIRE, wire_diameter)?, positive(COIL, mean_coil_diameter)?);
    let (coils, modulus) = (positive(ACTIVE, active_coils)?, positive(MODULUS, shear_modulus)?);
    // kPa over kg/dm³ is m²/s²; a length over an area in mm is 1000 of those in m.
    let wave = 1000.0 * libm::sqrt(modulus / (2.0 * material("density", density)?));
    let frequency = wave * wire / (2.0 * PI * coils * coil * coil);
    Ok(Sum {
        value: Computed::new(frequency),
        sensitivity: [
            frequency / wire,
            -2.0 * frequency / coil,
            -frequency / coils,
            0.5 * frequency / modulus,
        ],
    })
}

/// The length of a spring pressed solid, its ends closed and ground: `Lc = d n_t`.
///
/// `total_coils` counts the two closed ends, which on a cold coiled spring are two more than the active
/// coils. Ends that are not ground make it longer by one wire or more. The standard takes the greatest
/// wire diameter that its tolerance allows.
///
/// Units: mm and a pure number give mm; sensitivities to wire (mm/mm) and coils (mm).
///
/// # Errors
/// [`MetrologyError::NotPositive`] for the wire or the number of coils.
///
/// Source: EN 13906-1, clause 9 (clause from memory).
///
/// ```
/// use headproof_quantity::{Length, Ratio, Unit};
/// let (wire, coils) = (Length::from_f64(4.0, Unit::Millimetre)?, Ratio::from_f64(6.5, Unit::One)?);
/// assert_eq!(headproof_metrology::solid_length(wire, coils)?.value.get(), 26.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn solid_length(wire_diameter: Length, total_coils: Ratio) -> Result<Sum<LengthDim, 2>, MetrologyError> {
    let wire = positive(WIRE, wire_diameter)?;
    let coils = positive("the number of coils", total_coils)?;
    Ok(Sum { value: Computed::new(wire * coils), sensitivity: [coils, wire] })
}

#[cfg(test)]
mod tests {
    use headproof_quantity::Unit;

    use super::*;

    #[test]
    fn springs_that_no_wire_makes_are_refused() {
        let mm = |amount| Length::from_f64(amount, Unit::Millimetre).expect("a length");
        let coils = |amount| Ratio::from_f64(amount, Unit::One).expect("a number");
        let steel = Pressure::from_f64(81.5, Unit::Gigapascal).expect("a modulus");
        assert!(theory_rate(mm(0.0), mm(26.0), coils(4.5), steel).is_err());
        assert!(theory_rate(mm(4.0), mm(-26.0), coils(4.5), steel).is_err());
        assert!(theory_rate(mm(4.0), mm(26.0), coils(0.0), steel).is_err());
        assert!(theory_rate(mm(4.0), mm(26.0), coils(4.5), Pressure::ZERO).is_err());
        assert!(solid_length(mm(4.0), coils(0.0)).is_err());
        let error = shear_stress(Force::ZERO, mm(4.0), mm(4.0)).expect_err("no hole in the coil");
        assert_eq!(error.to_string(), "the inner diameter of the coil must be more than zero, is 0");
        let surge = |density| natural_frequency(mm(4.0), mm(26.0), coils(4.5), steel, density);
        let error = surge(0.0).expect_err("no mass");
        assert_eq!(error.to_string(), "0 can be no density");
        assert!(surge(f64::NAN).is_err() && surge(f64::INFINITY).is_err() && surge(7.85).is_ok());
    }
}
