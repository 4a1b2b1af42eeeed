//! Seat inserts: interference, shrinking in, and what holds them in their counterbore.

mod pressure;

use std::f64::consts::PI;

use headproof_quantity::{
    Computed, ForceDim, Length, LengthDim, Pressure, Quantity, TemperatureDifferenceDim,
};

use crate::check::{material, positive};
use crate::{MetrologyError, Sum};

pub use pressure::contact_pressure;

/// Newtons in a kilopascal on a square millimetre.
const NEWTON_PER_KPA_MM2: f64 = 1e-3;

/// The interference of an insert: its outside diameter less the counterbore, both at one temperature.
///
/// Units: mm on the diameter; sensitivities in mm/mm. A loose insert gives a negative interference.
///
/// Source: ISO 286-1 (definition, from memory).
///
/// ```
/// use headproof_quantity::{Length, Unit};
/// let (insert, bore) = (Length::from_f64(1.6445, Unit::Inch)?, Length::from_f64(1.6425, Unit::Inch)?);
/// assert!((headproof_metrology::interference(insert, bore).value.get() - 0.0508).abs() < 1e-15);
/// # Ok::<(), headproof_quantity::UnitError>(())
/// ```
#[must_use]
pub fn interference(insert: Length, counterbore: Length) -> Sum<LengthDim, 2> {
    Sum { value: Computed::new((insert - counterbore).exact().approx()), sensitivity: [1.0, -1.0] }
}

/// How much warmer the head must be than the insert was measured (or how much colder the insert) for the
/// insert to slip in with a clearance: `ΔT = (i + c) / (α d)`, α of the part that is heated or chilled.
///
/// A negative difference means that the fit is already looser than that.
///
/// Units: mm and 1/K give K; sensitivities to interference, clearance and diameter in K/mm. The
/// difference goes with 1/α, which is a constant of the material and no reading.
///
/// # Errors
/// [`MetrologyError::NotPositive`] for the diameter, [`MetrologyError::NoMaterial`] for the expansion.
///
/// Source: definition of the coefficient of linear thermal expansion.
///
/// ```
/// use headproof_metrology::{RingMaterial, slip_in_temperature};
/// use headproof_quantity::{Length, Unit};
/// let mm = |amount| Length::from_f64(amount, Unit::Millimetre);
/// let expansion = RingMaterial::ALUMINIUM_356_EXPANSION;
/// let warmer = slip_in_temperature(mm(0.08)?, mm(0.02)?, mm(40.0)?, expansion)?;
/// assert!((warmer.value.get() - 116.279).abs() < 5e-4);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn slip_in_temperature(
    interference: Length,
    clearance: Length,
    diameter: Length,
    expansion_per_kelvin: f64,
) -> Result<Sum<TemperatureDifferenceDim, 3>, MetrologyError> {
    let wanted = (interference.exact() + clearance.exact()).approx();
    let d = positive("the diameter", diameter)?;
    let per_length = 1.0 / (material("expansion", expansion_per_kelvin)? * d);
    let difference = wanted * per_length;
    Ok(Sum { value: Computed::new(difference), sensitivity: [per_length, per_length, -difference / d] })
}

/// What is left of an interference when insert and head have each changed their temperature since they
/// were measured: `i + d (α_i ΔT_i − α_h ΔT_h)`; negative when the insert is loose.
///
/// Units: mm on the diameter, 1/K and K; sensitivities to interference and diameter (mm/mm) and to the
/// temperature change of insert and head (mm/K). The expansions are constants of the materials.
///
/// Source: definition of the coefficient of linear thermal expansion.
///
/// ```
/// use headproof_metrology::{RingMaterial, remaining_interference};
/// use headproof_quantity::{Length, Quantity, Unit};
/// let mm = |amount| Length::from_f64(amount, Unit::Millimetre);
/// let steel = RingMaterial::STEEL_1020_EXPANSION;
/// let aluminium = RingMaterial::ALUMINIUM_356_EXPANSION;
/// let hotter = Quantity::from_f64(180.0, Unit::Kelvin)?;
/// // A steel insert in an aluminium head loses 0.07056 mm over 180 K.
/// let left = remaining_interference(mm(0.12)?, mm(40.0)?, steel, hotter, aluminium, hotter);
/// assert!((left.value.get() - 0.04944).abs() < 1e-12);
/// # Ok::<(), headproof_quantity::UnitError>(())
/// ```
#[must_use]
pub fn remaining_interference(
    interference: Length,
    diameter: Length,
    insert_expansion_per_kelvin: f64,
    insert_change: Quantity<TemperatureDifferenceDim>,
    head_expansion_per_kelvin: f64,
    head_change: Quantity<TemperatureDifferenceDim>,
) -> Sum<LengthDim, 4> {
    let (insert, head) = (insert_expansion_per_kelvin, head_expansion_per_kelvin);
    let strain = insert * insert_change.approx() - head * head_change.approx();
    let d = diameter.approx();
    Sum {
        value: Computed::new(interference.approx() + d * strain),
        sensitivity: [1.0, strain, d * insert, -d * head],
    }
}

/// The force that presses an insert in cold, or out: `F = μ p π d L`.
///
/// Units: kPa, mm and a pure number give N; sensitivities to pressure (N/kPa), diameter and length
/// (N/mm). The force is proportional to the friction, of which no more than a rough range is ever known.
///
/// Source: Coulomb friction on a cylinder.
///
/// ```
/// use headproof_quantity::{Length, Pressure, Unit};
/// let mm = |amount| Length::from_f64(amount, Unit::Millimetre);
/// let pressure = Pressure::from_f64(50_000.0, Unit::Kilopascal)?;
/// let force = headproof_metrology::press_force(pressure, mm(40.0)?, mm(6.0)?, 0.1);
/// // 5 N/mm² on 754 mm².
/// assert!((force.value.get() - 3769.911).abs() < 1e-3);
/// # Ok::<(), headproof_quantity::UnitError>(())
/// ```
#[must_use]
pub fn press_force(pressure: Pressure, diameter: Length, length: Length, friction: f64) -> Sum<ForceDim, 3> {
    let (p, d, l) = (pressure.approx(), diameter.approx(), length.approx());
    let factor = friction * PI * NEWTON_PER_KPA_MM2;
    Sum {
        value: Computed::new(factor * p * d * l),
        sensitivity: [factor * d * l, factor * p * l, factor * p * d],
    }
}

#[cfg(test)]
mod tests {
    use headproof_quantity::Unit;

    use super::*;

    #[test]
    fn a_material_that_does_not_expand_never_slips_in() {
        let mm = |amount| Length::from_f64(amount, Unit::Millimetre).expect("a length");
        assert!(slip_in_temperature(mm(0.1), mm(0.0), mm(40.0), 0.0).is_err());
        assert!(slip_in_temperature(mm(0.1), mm(0.0), mm(0.0), 11.7e-6).is_err());
    }
}
