//! One port with everything measured on it.

use headproof_quantity::LengthDim;

use crate::{Contact, Guide, Leak, PortId, Reading, Seat, SpringPack, Valve};

/// One port. Parts that were not measured are empty.
#[derive(Debug, Clone, PartialEq)]
pub struct Port {
    /// Which one.
    pub id: PortId,
    /// Where it stands in the document it came from, for findings that must point at it.
    pub ordinal: usize,
    /// Its guide.
    pub guide: Guide,
    /// Its valve.
    pub valve: Valve,
    /// Its seat.
    pub seat: Seat,
    /// The contact band on its valve.
    pub contact: Contact,
    /// Its springs.
    pub springs: SpringPack,
    /// How it all sits together.
    pub assembly: Assembly,
    /// Its leak test.
    pub leak: Leak,
}

/// How valve, seat and spring sit together.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Assembly {
    /// Valve below its datum.
    pub recession: Option<Reading<LengthDim>>,
    /// What recession is measured from.
    pub recession_datum: Option<RecessionDatum>,
    /// Tip above the spring seat.
    pub stem_protrusion: Option<Reading<LengthDim>>,
    /// Valve lash.
    pub lash: Option<Reading<LengthDim>>,
    /// Thickness of the lash shim.
    pub lash_shim: Option<Reading<LengthDim>>,
    /// Tip to retainer.
    pub tip_to_retainer: Option<Reading<LengthDim>>,
    /// Valve to piston.
    pub valve_to_piston: Option<Reading<LengthDim>>,
}

/// What recession is measured from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RecessionDatum {
    /// The deck.
    Deck,
    /// The roof of the chamber.
    Chamber,
}
