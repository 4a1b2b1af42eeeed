//! The valve guide of a port.

use headproof_quantity::LengthDim;

use crate::{Reading, State};

/// A guide as measured.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Guide {
    /// Bore diameters.
    pub bores: Bores,
    /// Length that guides the stem.
    pub engaged_length: Option<Reading<LengthDim>>,
    /// Does it sit tight in the head?
    pub fit: Option<State>,
    /// How far it stands out of the spring seat.
    pub height: Option<Reading<LengthDim>>,
    /// The seal on it.
    pub stem_seal: Option<StemSeal>,
    /// Stem rocking, where no bore gauge was at hand.
    pub rocking: Option<Rocking>,
}

/// Bore diameters at three heights, one reading per axis.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Bores {
    /// Spring side.
    pub top: Vec<Reading<LengthDim>>,
    /// In between.
    pub middle: Vec<Reading<LengthDim>>,
    /// Port side.
    pub bottom: Vec<Reading<LengthDim>>,
}

/// Side-to-side travel of a stem outside its guide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rocking {
    /// Total travel.
    pub travel: Reading<LengthDim>,
    /// Distance of the dial outside the guide.
    pub distance_outside: Reading<LengthDim>,
}

/// The stem seal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StemSeal {
    /// A new one is fitted.
    New,
    /// The old one is still there.
    Reused,
    /// None is fitted.
    Absent,
}
