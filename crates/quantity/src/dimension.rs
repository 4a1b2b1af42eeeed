//! The dimensions a head is measured in, once as types and once as values.

use crate::Unit;

/// The dimension of an amount, known at run time (for rows of a table).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// Lengths; base unit millimetre.
    Length,
    /// Plane angles; base unit degree.
    Angle,
    /// Forces (spring loads); base unit newton.
    Force,
    /// Volumes; base unit millilitre.
    Volume,
    /// Pressures; base unit kilopascal.
    Pressure,
    /// Pure numbers (compression ratio).
    Ratio,
    /// Surface roughness Ra; base unit micrometre.
    Roughness,
    /// Leak rates as pressure times volume per time; base unit Pa·m³/s.
    Flow,
    /// Temperatures; base unit degree Celsius.
    Temperature,
    /// Durations; base unit second.
    Time,
    /// Spring rates; base unit newton per millimetre.
    SpringRate,
    /// Frequencies; base unit hertz.
    Frequency,
    /// How far two temperatures are apart; base unit kelvin.
    TemperatureDifference,
}

impl Kind {
    /// The unit in which amounts of this dimension are kept and in which results are stated.
    #[must_use]
    pub const fn base_unit(self) -> Unit {
        match self {
            Self::Length => Unit::Millimetre,
            Self::Angle => Unit::Degree,
            Self::Force => Unit::Newton,
            Self::Volume => Unit::Millilitre,
            Self::Pressure => Unit::Kilopascal,
            Self::Ratio => Unit::One,
            Self::Roughness => Unit::Micrometre,
            Self::Flow => Unit::PascalCubicMetrePerSecond,
            Self::Temperature => Unit::DegreeCelsius,
            Self::Time => Unit::Second,
            Self::SpringRate => Unit::NewtonPerMillimetre,
            Self::Frequency => Unit::Hertz,
            Self::TemperatureDifference => Unit::Kelvin,
        }
    }
}

/// A dimension known at compile time.
pub trait Dimension: Copy + std::fmt::Debug + PartialEq + Eq + PartialOrd + Ord + 'static {
    /// The same dimension as a value.
    const KIND: Kind;
}

macro_rules! dimensions {
    ($($name:ident => $kind:ident),* $(,)?) => {$(
        #[doc = concat!("Marker type of [`Kind::", stringify!($kind), "`].")]
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name {}
        impl Dimension for $name {
            const KIND: Kind = Kind::$kind;
        }
    )*};
}

dimensions! {
    LengthDim => Length,
    AngleDim => Angle,
    ForceDim => Force,
    VolumeDim => Volume,
    PressureDim => Pressure,
    RatioDim => Ratio,
    RoughnessDim => Roughness,
    FlowDim => Flow,
    TemperatureDim => Temperature,
    TimeDim => Time,
    SpringRateDim => SpringRate,
    FrequencyDim => Frequency,
    TemperatureDifferenceDim => TemperatureDifference,
}
