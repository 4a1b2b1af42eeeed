//! The units a document states for itself.

use headproof_quantity::{Kind, Unit};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// The units of every number in a document. Angles are always degrees, temperatures degrees Celsius,
/// durations seconds, leak rates Pa·m³/s, frequencies hertz. Spring rates are lbf/in where forces are lbf
/// and lengths in, else N/mm.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Units {
    /// Lengths.
    pub length: LengthUnit,
    /// Forces.
    pub force: ForceUnit,
    /// Volumes.
    pub volume: VolumeUnit,
    /// Pressures.
    pub pressure: PressureUnit,
    /// Roughness Ra.
    pub roughness: RoughnessUnit,
}

/// Unit of lengths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub enum LengthUnit {
    /// Millimetre.
    #[serde(rename = "mm")]
    Millimetre,
    /// Inch.
    #[serde(rename = "in")]
    Inch,
}

/// Unit of forces.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub enum ForceUnit {
    /// Newton.
    #[serde(rename = "N")]
    Newton,
    /// Pound-force.
    #[serde(rename = "lbf")]
    PoundForce,
}

/// Unit of volumes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub enum VolumeUnit {
    /// Millilitre.
    #[serde(rename = "mL")]
    Millilitre,
}

/// Unit of pressures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub enum PressureUnit {
    /// Kilopascal.
    #[serde(rename = "kPa")]
    Kilopascal,
    /// Inch of mercury.
    #[serde(rename = "inHg")]
    InchOfMercury,
}

/// Unit of roughness.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub enum RoughnessUnit {
    /// Micrometre.
    #[serde(rename = "um")]
    Micrometre,
    /// Microinch.
    #[serde(rename = "uin")]
    Microinch,
}

impl Units {
    /// Millimetre, newton, millilitre, kilopascal, micrometre: the units results are stated in.
    pub const BASE: Self = Self {
        length: LengthUnit::Millimetre,
        force: ForceUnit::Newton,
        volume: VolumeUnit::Millilitre,
        pressure: PressureUnit::Kilopascal,
        roughness: RoughnessUnit::Micrometre,
    };

    /// Inch, pound-force, millilitre, inch of mercury, microinch: what goes with a gauge in inches.
    pub const INCH: Self = Self {
        length: LengthUnit::Inch,
        force: ForceUnit::PoundForce,
        volume: VolumeUnit::Millilitre,
        pressure: PressureUnit::InchOfMercury,
        roughness: RoughnessUnit::Microinch,
    };

    /// The unit this document uses for a dimension.
    #[must_use]
    pub const fn unit(&self, kind: Kind) -> Unit {
        match kind {
            Kind::Length => match self.length {
                LengthUnit::Millimetre => Unit::Millimetre,
                LengthUnit::Inch => Unit::Inch,
            },
            Kind::Force => match self.force {
                ForceUnit::Newton => Unit::Newton,
                ForceUnit::PoundForce => Unit::PoundForce,
            },
            Kind::Pressure => match self.pressure {
                PressureUnit::Kilopascal => Unit::Kilopascal,
                PressureUnit::InchOfMercury => Unit::InchOfMercury,
            },
            Kind::Roughness => match self.roughness {
                RoughnessUnit::Micrometre => Unit::Micrometre,
                RoughnessUnit::Microinch => Unit::Microinch,
            },
            Kind::SpringRate => match (self.force, self.length) {
                (ForceUnit::PoundForce, LengthUnit::Inch) => Unit::PoundForcePerInch,
                _ => Unit::NewtonPerMillimetre,
            },
            Kind::Volume
            | Kind::Angle
            | Kind::Ratio
            | Kind::Flow
            | Kind::Temperature
            | Kind::Time
            | Kind::Frequency
            | Kind::TemperatureDifference => kind.base_unit(),
        }
    }
}
