//! The springs of a port.

use headproof_quantity::{ForceDim, LengthDim, Pressure, RatioDim};

use crate::Reading;

/// All that stands on one spring seat.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SpringPack {
    /// From the spring seat to the retainer, valve closed.
    pub installed_height: Option<Reading<LengthDim>>,
    /// Greatest valve lift, net at the valve.
    pub lift: Option<Reading<LengthDim>>,
    /// Retainer to seal, valve closed.
    pub retainer_travel: Option<Reading<LengthDim>>,
    /// Shims under the springs.
    pub shims: Option<Reading<LengthDim>>,
    /// The springs, outer first.
    pub springs: Vec<Spring>,
}

/// One spring.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Spring {
    /// How much this spring's own seat shortens (+) or lengthens (−) its installed height.
    pub seat_step: Option<Reading<LengthDim>>,
    /// Free length.
    pub free_length: Option<Reading<LengthDim>>,
    /// Loads at two or more heights.
    pub loads: Vec<LoadPoint>,
    /// Height at coil bind.
    pub solid_height: Option<Reading<LengthDim>>,
    /// How far it leans at the top.
    pub squareness: Option<Reading<LengthDim>>,
    /// What it is wound of, for a check of its loads against theory.
    pub winding: Option<Winding>,
}

/// What a spring is wound of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Winding {
    /// Wire diameter.
    pub wire_diameter: Reading<LengthDim>,
    /// Outer diameter of the coils.
    pub outer_diameter: Reading<LengthDim>,
    /// Coils that give way.
    pub active_coils: Reading<RatioDim>,
    /// Shear modulus of the wire.
    pub shear_modulus: Pressure,
    /// Density of the wire in kg/dm³.
    pub density: f64,
}

/// A load at a height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadPoint {
    /// Height of the spring.
    pub height: Reading<LengthDim>,
    /// Its load there.
    pub load: Reading<ForceDim>,
}
