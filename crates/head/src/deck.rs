//! The deck, the chambers and what stands out of them.

use headproof_quantity::{Length, LengthDim, RoughnessDim, VolumeDim};

use crate::Reading;

/// The deck of the head.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Deck {
    /// Heights over a datum, at places in the plane of the deck.
    pub heights: Vec<DeckHeight>,
    /// Straightedge and feeler.
    pub feeler: Vec<FeelerLine>,
    /// Roughness Ra at one or more places.
    pub roughness: Vec<Reading<RoughnessDim>>,
    /// Thickness of the head at named places.
    pub thickness: Vec<NamedReading>,
    /// Metal taken off the deck so far.
    pub removed: Option<Reading<LengthDim>>,
    /// Dowels.
    pub dowels: Option<State>,
    /// Bolt threads.
    pub bolt_threads: Option<State>,
    /// Core and gallery plugs.
    pub plugs: Option<State>,
}

/// One height of the deck.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeckHeight {
    /// Along the head.
    pub x: Length,
    /// Across the head.
    pub y: Length,
    /// Height over the datum.
    pub z: Reading<LengthDim>,
}

/// The thickest feeler that goes under a straightedge on one line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FeelerLine {
    /// Which way the straightedge lay.
    pub direction: FeelerDirection,
    /// Over what length; the whole deck where it is not given.
    pub span: Option<Length>,
    /// The gap.
    pub gap: Reading<LengthDim>,
}

/// Which way a straightedge lies on the deck.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FeelerDirection {
    /// Along the head.
    Lengthwise,
    /// Across the head.
    Crosswise,
    /// Corner to corner.
    Diagonal,
}

/// A reading at a place with a name of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedReading {
    /// Name of the place.
    pub place: String,
    /// What was read there.
    pub reading: Reading<LengthDim>,
}

/// What a look at a part gave.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum State {
    /// In order.
    Good,
    /// Worn, but there.
    Worn,
    /// Damaged or missing.
    Bad,
}

/// Volume of one combustion chamber.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chamber {
    /// Cylinder from 1.
    pub cylinder: u8,
    /// Its volume, valves and plug in place.
    pub volume: Reading<VolumeDim>,
}

/// Cam bores of an overhead-cam head.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CamBores {
    /// Straightness of the line of bores.
    pub straightness: Option<Reading<LengthDim>>,
    /// Bore diameters.
    pub diameters: Vec<Reading<LengthDim>>,
    /// Clearances of the journals.
    pub clearances: Vec<Reading<LengthDim>>,
}

/// How far parts of a diesel head stand out of the deck (+ out, − below), per cylinder.
#[derive(Debug, Clone, PartialEq)]
pub struct DieselParts {
    /// Cylinder from 1.
    pub cylinder: u8,
    /// Pre-chamber insert.
    pub prechamber: Option<Reading<LengthDim>>,
    /// Injector nozzle.
    pub injector: Option<Reading<LengthDim>>,
    /// Injector sleeve.
    pub sleeve: Option<Reading<LengthDim>>,
}
