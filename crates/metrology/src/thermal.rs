//! Growth with temperature, and the constants of the materials that heads and inserts are made of.

use headproof_quantity::{Computed, Length, LengthDim, Temperature};

use crate::Sum;

/// What a material does under heat and load: constants from a table or a maker's sheet, no readings.
///
/// Tables give a range for cast irons (as `(low, high)` here) and hold near room temperature; the maker's
/// own figures for an insert or a head come first. Poisson's ratios are not among the tabled values: the
/// caller brings them.
///
/// Source of the associated constants: Callister, Materials Science and Engineering, Table B.2 (modulus)
/// and Table B.6 (expansion).
///
/// ```
/// use headproof_metrology::RingMaterial;
/// let steel = RingMaterial {
///     expansion_per_kelvin: RingMaterial::STEEL_1020_EXPANSION,
///     youngs_modulus_gpa: RingMaterial::STEEL_1020_MODULUS,
///     poisson: 0.292,
/// };
/// assert_eq!(steel.expansion_per_kelvin, 11.7e-6);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RingMaterial {
    /// Linear thermal expansion per kelvin.
    pub expansion_per_kelvin: f64,
    /// Young's modulus in GPa.
    pub youngs_modulus_gpa: f64,
    /// Poisson's ratio, 0 to 0.5.
    pub poisson: f64,
}

impl RingMaterial {
    /// Expansion of steel 1020 per kelvin.
    pub const STEEL_1020_EXPANSION: f64 = 11.7e-6;
    /// Young's modulus of steel 1020 in GPa.
    pub const STEEL_1020_MODULUS: f64 = 207.0;
    /// Expansion of grey cast iron, grades G1800, G3000 and G4000, per kelvin.
    pub const GREY_IRON_EXPANSION: f64 = 11.4e-6;
    /// Young's modulus of grey cast iron G1800 in GPa, low and high.
    pub const GREY_IRON_G1800_MODULUS: (f64, f64) = (66.0, 97.0);
    /// Young's modulus of grey cast iron G3000 in GPa, low and high.
    pub const GREY_IRON_G3000_MODULUS: (f64, f64) = (90.0, 113.0);
    /// Young's modulus of grey cast iron G4000 in GPa, low and high.
    pub const GREY_IRON_G4000_MODULUS: (f64, f64) = (110.0, 138.0);
    /// Expansion of beryllium copper C17200 per kelvin.
    pub const BERYLLIUM_COPPER_EXPANSION: f64 = 16.7e-6;
    /// Expansion of cast aluminium alloy 356.0 per kelvin.
    pub const ALUMINIUM_356_EXPANSION: f64 = 21.5e-6;
    /// Young's modulus of cast aluminium alloy 356.0 in GPa.
    pub const ALUMINIUM_356_MODULUS: f64 = 72.4;
}

/// How much a length grows between two temperatures: `L α (to − from)`, negative when it shrinks.
///
/// For the moderate spans over which a mean expansion is stated. The growth is proportional to the
/// expansion, which is a constant of the material and no reading.
///
/// Units: mm, 1/K and °C give mm; sensitivities to the length (mm/mm) and to both temperatures (mm/K).
///
/// Source: definition of the coefficient of linear thermal expansion.
///
/// ```
/// use headproof_metrology::{RingMaterial, growth};
/// use headproof_quantity::{Length, Temperature, Unit};
/// let celsius = |amount| Temperature::from_f64(amount, Unit::DegreeCelsius);
/// let insert = Length::from_f64(40.0, Unit::Millimetre)?;
/// // A steel insert in dry ice.
/// let chilled = growth(insert, RingMaterial::STEEL_1020_EXPANSION, celsius(20.0)?, celsius(-79.0)?);
/// assert!((chilled.value.get() + 0.046332).abs() < 1e-12);
/// # Ok::<(), headproof_quantity::UnitError>(())
/// ```
#[must_use]
pub fn growth(
    length: Length,
    expansion_per_kelvin: f64,
    from: Temperature,
    to: Temperature,
) -> Sum<LengthDim, 3> {
    let strain = expansion_per_kelvin * (to - from).exact().approx();
    let per_kelvin = length.approx() * expansion_per_kelvin;
    Sum { value: Computed::new(length.approx() * strain), sensitivity: [strain, -per_kelvin, per_kelvin] }
}
