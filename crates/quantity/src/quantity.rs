//! Sizes, differences and computed amounts of a dimension.

use std::marker::PhantomData;
use std::ops::{Add, Neg, Sub};

use crate::dimension::{
    AngleDim, Dimension, FlowDim, ForceDim, LengthDim, PressureDim, RatioDim, RoughnessDim, TemperatureDim,
    TimeDim, VolumeDim,
};
use crate::{Exact, Unit, UnitError};

/// A size: an exact amount of dimension `D`, in its base unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Quantity<D>(Exact, PhantomData<D>);

/// How far two sizes are apart: exact, signed, in the base unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Difference<D>(Exact, PhantomData<D>);

/// What a formula gave: a double in the base unit, unrounded, never compared with a limit as it is.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Computed<D>(f64, PhantomData<D>);

/// A length.
pub type Length = Quantity<LengthDim>;
/// A plane angle.
pub type Angle = Quantity<AngleDim>;
/// A force.
pub type Force = Quantity<ForceDim>;
/// A volume.
pub type Volume = Quantity<VolumeDim>;
/// A pressure.
pub type Pressure = Quantity<PressureDim>;
/// A pure number.
pub type Ratio = Quantity<RatioDim>;
/// A roughness Ra.
pub type Roughness = Quantity<RoughnessDim>;
/// A leak rate.
pub type Flow = Quantity<FlowDim>;
/// A temperature.
pub type Temperature = Quantity<TemperatureDim>;
/// A duration.
pub type Time = Quantity<TimeDim>;

impl<D: Dimension> Quantity<D> {
    /// Zero.
    pub const ZERO: Self = Self(Exact::ZERO, PhantomData);

    /// `number` of `unit`.
    ///
    /// # Errors
    /// [`UnitError`] when the unit is of another dimension or the number cannot be kept exactly.
    pub fn from_f64(number: f64, unit: Unit) -> Result<Self, UnitError> {
        if unit.kind() != D::KIND {
            return Err(UnitError::WrongDimension { unit: unit.code(), expected: D::KIND });
        }
        Ok(Self::from_exact(unit.to_base(number)?))
    }

    /// An exact amount that is already in the base unit.
    #[must_use]
    pub const fn from_exact(base: Exact) -> Self {
        Self(base, PhantomData)
    }

    /// The exact amount in the base unit.
    #[must_use]
    pub const fn exact(self) -> Exact {
        self.0
    }

    /// A double within two units in the last place, in the base unit: what formulas start from.
    #[must_use]
    pub const fn approx(self) -> f64 {
        self.0.approx()
    }
}

impl<D: Dimension> Sub for Quantity<D> {
    type Output = Difference<D>;
    fn sub(self, other: Self) -> Difference<D> {
        Difference(self.0 - other.0, PhantomData)
    }
}

impl<D: Dimension> Add<Difference<D>> for Quantity<D> {
    type Output = Self;
    fn add(self, other: Difference<D>) -> Self {
        Self(self.0 + other.0, PhantomData)
    }
}

impl<D: Dimension> Difference<D> {
    /// The exact amount in the base unit.
    #[must_use]
    pub const fn exact(self) -> Exact {
        self.0
    }
}

impl<D: Dimension> Neg for Difference<D> {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0, PhantomData)
    }
}

impl<D: Dimension> Computed<D> {
    /// An unrounded amount in the base unit.
    #[must_use]
    pub const fn new(base: f64) -> Self {
        Self(base, PhantomData)
    }

    /// The unrounded amount in the base unit.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_sizes_in_either_unit_are_equal() {
        let pairs = [(80.0, Unit::PoundForce, 355.857_729_220_84, Unit::Newton)];
        for (a, unit_a, b, unit_b) in pairs {
            assert_eq!(Force::from_f64(a, unit_a).unwrap(), Force::from_f64(b, unit_b).unwrap());
        }
        let vacuum = Pressure::from_f64(15.0, Unit::InchOfMercury).unwrap();
        assert_eq!(vacuum, Pressure::from_f64(50.795_829_605_115, Unit::Kilopascal).unwrap());
        let ra = Roughness::from_f64(32.0, Unit::Microinch).unwrap();
        assert_eq!(ra, Roughness::from_f64(0.8128, Unit::Micrometre).unwrap());
    }

    #[test]
    fn a_unit_of_another_dimension_is_refused() {
        let error = Length::from_f64(1.0, Unit::Newton).unwrap_err();
        assert_eq!(error.to_string(), "N is no unit of Length");
    }

    #[test]
    fn a_difference_added_back_gives_the_size_again() {
        let long = Length::from_f64(2.0, Unit::Inch).unwrap();
        let short = Length::from_f64(50.75, Unit::Millimetre).unwrap();
        assert_eq!((long - short).exact().to_string(), "0.05");
        assert_eq!(short + (long - short), long);
    }
}
