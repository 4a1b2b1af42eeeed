//! What the shop can do: its cutters, its stock, and what it wants of a rework plan.

use headproof_quantity::{Angle, Force, Length, Roughness};

use crate::Service;

/// The means of a shop, and what its plans shall aim for.
#[derive(Debug, Clone, PartialEq)]
pub struct Workshop {
    /// What a plan shall be best in.
    pub objective: Objective,
    /// How far a cut by hand may miss its stop, as feed of that cut either way.
    pub cut_tolerance: Length,
    /// Feed of the two light turns of the seat cutter that take the burr off.
    pub light_turns: Length,
    /// Runout (TIR) that a fresh cut or a ground face may be left with.
    pub runout_left: Length,
    /// The cutters; none means one for each nominal angle of the profile.
    pub cutters: Vec<Cutter>,
    /// How much may be fed into an insert before too little of it is left.
    pub insert_stock: Option<Length>,
    /// Can valve faces be ground?
    pub face_grinding: bool,
    /// How much a hardened tip stands to be ground; none where it is not known.
    pub tip_limit: Option<Length>,
    /// Spring shims.
    pub shims: Vec<Stock>,
    /// How many of them may lie under one spring.
    pub shims_per_spring: u8,
    /// Lash shims; none means that any thickness can be had.
    pub lash_shims: Vec<Stock>,
    /// How the deck can be cut; none where it cannot.
    pub deck: Option<DeckWork>,
    /// New parts at hand.
    pub spares: Spares,
    /// Prices and times.
    pub costs: Costs,
}

/// What a plan shall be best in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Objective {
    /// As few new parts as there must be, then as little sink as there can be.
    LeastSink,
    /// As little money as there can be.
    LeastCost,
    /// As few new parts and shims as there must be, then as little sink.
    FewestParts,
}

/// A seat cutter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cutter {
    /// The shop's own name of it.
    pub id: String,
    /// What it cuts.
    pub blade: Blade,
}

/// The blade of a cutter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Blade {
    /// One angle.
    Single(Angle),
    /// All three angles in one plunge, `tolerance` of feed either way.
    Form {
        /// Of the top cut.
        top: Angle,
        /// Of the seat.
        seat: Angle,
        /// Of the throat cut.
        throat: Angle,
        /// How far a plunge may miss its depth.
        tolerance: Length,
    },
}

/// Things of one thickness on the shelf.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stock {
    /// Thickness of each.
    pub thickness: Length,
    /// How many there are.
    pub count: u16,
}

/// How the shop cuts decks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeckWork {
    /// The most that may come off.
    pub most: Length,
    /// Flatness that a fresh cut is left with.
    pub flatness_left: Length,
    /// Roughness that a fresh cut is left with.
    pub roughness_left: Roughness,
    /// Area of one open chamber at the deck in mm²; none where it is not known.
    pub open_chamber_area: Option<f64>,
}

/// New parts on the shelf.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Spares {
    /// Seat inserts.
    pub inserts: Vec<SpareInsert>,
    /// Valves.
    pub valves: Vec<SpareValve>,
    /// Sets of springs for one valve.
    pub springs: Vec<SpareSpring>,
}

/// What every new part has.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// The shop's own name of it.
    pub id: String,
    /// For which ports; both services when none.
    pub service: Option<Service>,
    /// How many there are.
    pub count: u16,
    /// Price of one, in the shop's money.
    pub price: f64,
    /// Minutes to fit one.
    pub minutes: f64,
}

/// A seat insert.
#[derive(Debug, Clone, PartialEq)]
pub struct SpareInsert {
    /// Name, number, price.
    pub part: Part,
    /// How much higher than the worn seat a first touch on it is.
    pub raises_seat: Length,
    /// Its outer diameter, when known.
    pub diameter: Option<Length>,
}

/// A valve.
#[derive(Debug, Clone, PartialEq)]
pub struct SpareValve {
    /// Name, number, price.
    pub part: Part,
    /// Outer diameter of the head.
    pub head_diameter: Length,
    /// Margin.
    pub margin: Length,
    /// Face angle.
    pub face_angle: Angle,
    /// Diameter at which the face begins.
    pub face_inner_diameter: Option<Length>,
    /// Stem diameter.
    pub stem_diameter: Option<Length>,
    /// Overall length.
    pub overall_length: Option<Length>,
}

/// A spring for one valve (a single one, not nested).
#[derive(Debug, Clone, PartialEq)]
pub struct SpareSpring {
    /// Name, number, price.
    pub part: Part,
    /// Free length.
    pub free_length: Option<Length>,
    /// Loads at heights.
    pub loads: Vec<(Length, Force)>,
    /// Height at coil bind.
    pub solid_height: Option<Length>,
}

/// Prices and times of the work itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Costs {
    /// Price of one minute at the bench, in the shop's money.
    pub per_minute: f64,
    /// Minutes to set up on a guide and cut one seat.
    pub seat_cut: f64,
    /// Minutes for a top cut.
    pub top_cut: f64,
    /// Minutes for a throat cut.
    pub throat_cut: f64,
    /// Minutes for a form cut.
    pub form_cut: f64,
    /// Minutes to grind a face.
    pub face_grind: f64,
    /// Minutes to grind a tip.
    pub tip_grind: f64,
    /// Minutes to fit one shim.
    pub shim: f64,
    /// Minutes to cut the deck.
    pub deck_cut: f64,
}

impl Spares {
    /// How many parts of all kinds are named.
    #[must_use]
    pub const fn kinds(&self) -> usize {
        self.inserts.len() + self.valves.len() + self.springs.len()
    }
}

impl Part {
    /// Does it go into a port of that service?
    #[must_use]
    pub fn fits(&self, service: Service) -> bool {
        self.count > 0 && self.service.is_none_or(|own| own == service)
    }

    /// What one costs, fitted.
    #[must_use]
    pub fn cost(&self, costs: &Costs) -> f64 {
        self.minutes.mul_add(costs.per_minute, self.price)
    }
}
