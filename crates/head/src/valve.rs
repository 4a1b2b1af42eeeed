//! The valve of a port.

use headproof_quantity::{AngleDim, LengthDim};

use crate::{Dial, Reading, State};

/// A valve as measured.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Valve {
    /// The mark that keeps it with its seat.
    pub tag: Option<String>,
    /// Stem diameters.
    pub stem: StemDiameters,
    /// Outer diameter of the head, where the face ends.
    pub head_diameter: Option<Reading<LengthDim>>,
    /// Cylindrical rim above the face.
    pub margin: Option<Reading<LengthDim>>,
    /// Angle of the face.
    pub face_angle: Option<Reading<AngleDim>>,
    /// Diameter at which the face begins.
    pub face_inner_diameter: Option<Reading<LengthDim>>,
    /// Runout of the face.
    pub face_runout: Option<Dial>,
    /// Overall length.
    pub overall_length: Option<Reading<LengthDim>>,
    /// Growth in length against new.
    pub stretch: Option<Reading<LengthDim>>,
    /// The tip.
    pub tip: Option<State>,
    /// The keeper groove.
    pub keeper_groove: Option<State>,
    /// The neck under the head.
    pub neck: Option<State>,
    /// Coated or aluminised face.
    pub coated: bool,
    /// Nitrided.
    pub nitrided: bool,
    /// Of titanium.
    pub titanium: bool,
    /// Hollow stem.
    pub hollow: bool,
    /// Stem filled with sodium.
    pub sodium_filled: bool,
}

/// Stem diameters at three heights.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StemDiameters {
    /// Spring side.
    pub top: Option<Reading<LengthDim>>,
    /// In between.
    pub middle: Option<Reading<LengthDim>>,
    /// Port side.
    pub bottom: Option<Reading<LengthDim>>,
    /// Where the stem never ran in its guide.
    pub unworn: Option<Reading<LengthDim>>,
}
