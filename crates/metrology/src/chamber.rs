//! Volumes of the cylinder and the compression ratio.

use std::f64::consts::FRAC_PI_4;

use headproof_quantity::{Computed, Length, RatioDim, Volume, VolumeDim};

use crate::{MetrologyError, Sum};

/// Cubic millimetres in a millilitre.
const MM3_PER_ML: f64 = 1000.0;

/// A cylinder's volume in mL with its partials to diameter and height.
fn cylinder(diameter: f64, height: f64) -> (f64, [f64; 2]) {
    let per_height = FRAC_PI_4 * diameter * diameter / MM3_PER_ML;
    (per_height * height, [2.0 * FRAC_PI_4 * diameter * height / MM3_PER_ML, per_height])
}

/// The swept volume of one cylinder: `π/4 B² S`.
///
/// Units: mm give mL; sensitivities to bore and stroke in mL/mm.
///
/// Source: solid geometry.
///
/// ```
/// use headproof_quantity::{Length, Unit};
/// let (bore, stroke) = (Length::from_f64(100.0, Unit::Millimetre)?, Length::from_f64(90.0, Unit::Millimetre)?);
/// let swept = headproof_metrology::swept_volume(bore, stroke);
/// assert!((swept.value.get() - 706.8583471).abs() < 1e-7);
/// # Ok::<(), headproof_quantity::UnitError>(())
/// ```
#[must_use]
pub fn swept_volume(bore: Length, stroke: Length) -> Sum<VolumeDim, 2> {
    let (volume, sensitivity) = cylinder(bore.approx(), stroke.approx());
    Sum { value: Computed::new(volume), sensitivity }
}

/// What the compression ratio of one cylinder is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CompressionInputs {
    /// Cylinder bore.
    pub bore: Length,
    /// Stroke.
    pub stroke: Length,
    /// Volume of the chamber in the head, valves and plug fitted.
    pub chamber: Volume,
    /// Bore of the gasket.
    pub gasket_bore: Length,
    /// Thickness of the compressed gasket.
    pub gasket_thickness: Length,
    /// Piston to block deck at top dead centre: positive below the deck, negative proud of it.
    pub deck_clearance: Length,
    /// Volume of the piston's crown: positive for a dish, negative for a dome.
    pub piston: Volume,
    /// Pre-chamber and top-ring crevice, where given.
    pub extra: Volume,
}

/// The compression ratio `(swept + clearance) / clearance`, clearance = chamber + gasket + deck + piston
/// + extra.
///
/// Units: pure number; sensitivities in the order of [`CompressionInputs`], per mm or per mL.
///
/// # Errors
/// [`MetrologyError::NotPositive`] for the bore, the stroke or the clearance volume.
///
/// Source: definition; solid geometry.
///
/// ```
/// use headproof_metrology::{CompressionInputs, compression_ratio};
/// use headproof_quantity::{Length, Unit, Volume};
/// let mm = |amount| Length::from_f64(amount, Unit::Millimetre);
/// let ml = |amount| Volume::from_f64(amount, Unit::Millilitre);
/// let ratio = compression_ratio(&CompressionInputs {
///     bore: mm(100.0)?,
///     stroke: mm(90.0)?,
///     chamber: ml(64.0)?,
///     gasket_bore: mm(102.0)?,
///     gasket_thickness: mm(1.0)?,
///     deck_clearance: mm(0.5)?,
///     piston: ml(5.0)?,
///     extra: Volume::ZERO,
/// })?;
/// assert!((ratio.value.get() - 9.716071480).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn compression_ratio(inputs: &CompressionInputs) -> Result<Sum<RatioDim, 8>, MetrologyError> {
    let (bore, stroke) = (inputs.bore.approx(), inputs.stroke.approx());
    let (swept, [swept_per_bore, swept_per_stroke]) = cylinder(bore, stroke);
    let (gasket, [gasket_per_bore, gasket_per_thickness]) =
        cylinder(inputs.gasket_bore.approx(), inputs.gasket_thickness.approx());
    let (deck, [deck_per_bore, deck_per_clearance]) = cylinder(bore, inputs.deck_clearance.approx());
    let clearance = inputs.chamber.approx() + gasket + deck + inputs.piston.approx() + inputs.extra.approx();
    for (what, given) in [("the bore", bore), ("the stroke", stroke), ("the clearance volume", clearance)] {
        if given <= 0.0 {
            return Err(MetrologyError::NotPositive { what, given });
        }
    }
    let per_swept = 1.0 / clearance;
    let per_clearance = -swept / (clearance * clearance);
    Ok(Sum {
        value: Computed::new(1.0 + swept / clearance),
        sensitivity: [
            per_swept * swept_per_bore + per_clearance * deck_per_bore,
            per_swept * swept_per_stroke,
            per_clearance,
            per_clearance * gasket_per_bore,
            per_clearance * gasket_per_thickness,
            per_clearance * deck_per_clearance,
            per_clearance,
            per_clearance,
        ],
    })
}
