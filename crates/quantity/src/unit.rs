//! Units and their exact factors.

mod number;

use crate::{Exact, ExactError, Kind};

/// A unit a document may state. The codes are those of UCUM where it has one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Unit {
    /// mm, base of lengths.
    Millimetre,
    /// in: 25.4 mm exactly (international inch, 1959).
    Inch,
    /// deg, base of angles.
    Degree,
    /// N, base of forces.
    Newton,
    /// lbf: 4.448 221 615 260 5 N exactly (0.453 592 37 kg × 9.806 65 m/s²).
    PoundForce,
    /// mL, base of volumes.
    Millilitre,
    /// kPa, base of pressures.
    Kilopascal,
    /// GPa, for moduli of elasticity.
    Gigapascal,
    /// inHg: 3 386.388 640 341 Pa (conventional, mercury at 0 °C).
    InchOfMercury,
    /// A pure number.
    One,
    /// µm, base of roughness.
    Micrometre,
    /// µin: 0.025 4 µm exactly.
    Microinch,
    /// Pa·m³/s, base of leak rates.
    PascalCubicMetrePerSecond,
    /// °C, base of temperatures.
    DegreeCelsius,
    /// s, base of durations.
    Second,
    /// N/mm, base of spring rates.
    NewtonPerMillimetre,
    /// lbf/in: 4.448 221 615 260 5 / 25.4 N/mm, whose decimals never end: rounded to the last decimal that
    /// is kept, far finer than the grid of verdicts.
    PoundForcePerInch,
    /// Hz, base of frequencies.
    Hertz,
    /// K, base of temperature differences.
    Kelvin,
}

/// An amount was given in a unit of another dimension.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum UnitError {
    /// For instance a length in newtons.
    #[error("{unit} is no unit of {expected:?}")]
    WrongDimension {
        /// The unit given.
        unit: &'static str,
        /// The dimension wanted.
        expected: Kind,
    },
    /// The number itself cannot be kept exactly.
    #[error(transparent)]
    Number(#[from] ExactError),
}

impl Unit {
    /// The dimension this unit measures.
    #[must_use]
    pub const fn kind(self) -> Kind {
        match self {
            Self::Millimetre | Self::Inch => Kind::Length,
            Self::Degree => Kind::Angle,
            Self::Newton | Self::PoundForce => Kind::Force,
            Self::Millilitre => Kind::Volume,
            Self::Kilopascal | Self::Gigapascal | Self::InchOfMercury => Kind::Pressure,
            Self::One => Kind::Ratio,
            Self::Micrometre | Self::Microinch => Kind::Roughness,
            Self::PascalCubicMetrePerSecond => Kind::Flow,
            Self::DegreeCelsius => Kind::Temperature,
            Self::Second => Kind::Time,
            Self::NewtonPerMillimetre | Self::PoundForcePerInch => Kind::SpringRate,
            Self::Hertz => Kind::Frequency,
            Self::Kelvin => Kind::TemperatureDifference,
        }
    }

    /// The code written in documents.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Inch => "in",
            Self::Degree => "deg",
            Self::Newton => "N",
            Self::PoundForce => "lbf",
            Self::Millilitre => "mL",
            Self::Kilopascal => "kPa",
            Self::Gigapascal => "GPa",
            Self::InchOfMercury => "inHg",
            Self::One => "1",
            Self::Micrometre => "um",
            Self::Microinch => "uin",
            Self::PascalCubicMetrePerSecond => "Pa.m3/s",
            Self::DegreeCelsius => "Cel",
            Self::Second => "s",
            Self::NewtonPerMillimetre => "N/mm",
            Self::PoundForcePerInch => "lbf/in",
            Self::Hertz => "Hz",
            Self::Kelvin => "K",
        }
    }

    /// Factor to the base unit as (mantissa, decimals), exact by definition of the unit; for a unit per inch
    /// that of the unit itself.
    const fn factor(self) -> (i128, u32) {
        match self {
            Self::Inch => (254, 1),
            Self::PoundForce | Self::PoundForcePerInch => (44_482_216_152_605, 13),
            Self::InchOfMercury => (3_386_388_640_341, 12),
            Self::Gigapascal => (1_000_000, 0),
            Self::Microinch => (254, 4),
            _ => (1, 0),
        }
    }

    const fn is_per_inch(self) -> bool {
        matches!(self, Self::PoundForcePerInch)
    }

    /// `number` of this unit in the base unit, exactly (lbf/in to 28 decimals).
    ///
    /// # Errors
    /// [`ExactError`] when the number is not finite, has more than 15 significant digits, is finer than
    /// 10⁻¹⁵ or larger than [`Exact::MAX_READING`].
    pub fn to_base(self, number: f64) -> Result<Exact, ExactError> {
        let (mantissa, decimals) = self.factor();
        let scaled = Exact::from_f64(number)?.scaled(mantissa, decimals)?;
        Ok(if self.is_per_inch() { scaled.per_inch() } else { scaled })
    }

    /// An amount in the base unit as a (rounded) number of this unit, for showing.
    #[must_use]
    pub fn from_base(self, amount: f64) -> f64 {
        let (mantissa, decimals) = self.factor();
        if mantissa == 1 {
            return amount;
        }
        #[expect(clippy::cast_precision_loss, reason = "mantissas have at most 14 digits")]
        let factor = mantissa as f64 / 10f64.powi(decimals as i32);
        if self.is_per_inch() { amount * 25.4 / factor } else { amount / factor }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Factors: NIST SP 811 (2008), Appendix B.8 (inch, pound-force, conventional inch of mercury; the
    /// last digits of inHg from memory).
    #[test]
    fn factors_are_those_of_the_published_table() {
        assert_eq!(Unit::Inch.to_base(1.0).unwrap().to_string(), "25.4");
        assert_eq!(Unit::PoundForce.to_base(1.0).unwrap().to_string(), "4.4482216152605");
        assert_eq!(Unit::InchOfMercury.to_base(1.0).unwrap().to_string(), "3.386388640341");
        assert_eq!(Unit::Microinch.to_base(32.0).unwrap().to_string(), "0.8128");
        // 4.448 221 615 260 5 / 25.4 of the two factors above, divided in Python's decimal module; the table
        // prints 1.751 268 E+02 N/m.
        let rate = Unit::PoundForcePerInch.to_base(1.0).unwrap();
        assert_eq!(rate.to_string(), "0.1751268352464763779527559055");
        assert!((Unit::PoundForcePerInch.from_base(rate.to_f64()) - 1.0).abs() < 1e-15);
    }

    #[test]
    fn showing_an_amount_in_another_unit_undoes_the_conversion() {
        let shown = Unit::Inch.from_base(0.0508);
        assert!((shown - 0.002).abs() < 1e-17, "{shown}");
    }
}
