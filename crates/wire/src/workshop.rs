//! What a shop can do and wants, as posted with a request for a rework plan.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use crate::{Service, Units};

/// The means of a shop, and what its plans shall aim for. Everything may be left out; the defaults are
/// common practice, no source.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Workshop {
    /// Units of every number in this block; may be left out only where it states no length, force or
    /// roughness.
    pub units: Option<Units>,
    /// What a plan shall be best in; `least-sink` when left out.
    pub objective: Option<Objective>,
    /// How far a cut by hand may miss its stop, as feed of that cut either way, at most 0.5 mm; 0.03 mm when
    /// left out.
    #[schema(minimum = 0)]
    pub cut_tolerance: Option<f64>,
    /// Feed of the two light turns of the seat cutter that take the burr off, at most 0.5 mm; 0.01 mm when
    /// left out.
    #[schema(minimum = 0)]
    pub light_turns: Option<f64>,
    /// Runout (TIR) that a fresh cut or a ground face may be left with, at most 0.5 mm; 0.01 mm when left
    /// out.
    #[schema(minimum = 0)]
    pub runout_left: Option<f64>,
    /// The cutters; when none is named, one for each nominal angle of the profile is assumed.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 60)]
    pub cutters: Vec<Cutter>,
    /// How much may be fed into an insert before too little of it is left; not limited when left out.
    #[schema(minimum = 0)]
    pub insert_stock: Option<f64>,
    /// Can valve faces be ground? They can when left out.
    pub face_grinding: Option<bool>,
    /// How much a hardened tip stands to be ground; tips are not ground when left out.
    #[schema(minimum = 0)]
    pub tip_grinding: Option<f64>,
    /// Spring shims on the shelf; none when left out.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 60)]
    pub shims: Vec<ShimStock>,
    /// How many of them may lie under one spring; 3 when left out.
    #[schema(maximum = 10)]
    pub shims_per_spring: Option<u8>,
    /// Lash shims on the shelf; any thickness can be had when left out.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 60)]
    pub lash_shims: Vec<ShimStock>,
    /// How decks are cut; they are not when left out.
    pub deck: Option<DeckWork>,
    /// Seat inserts on the shelf; none when left out.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 60)]
    pub inserts: Vec<SpareInsert>,
    /// Valves on the shelf; none when left out.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 60)]
    pub valves: Vec<SpareValve>,
    /// Springs on the shelf, one for one valve each; none when left out.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 60)]
    pub springs: Vec<SpareSpring>,
    /// Prices and times.
    pub costs: Option<Costs>,
}

/// What a plan shall be best in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Objective {
    /// As few new parts as there must be, then as little sink as there can be.
    LeastSink,
    /// As little money as there can be.
    LeastCost,
    /// As few new parts and shims as there must be, then as little sink.
    FewestParts,
}

/// A seat cutter: of one angle, or a form blade. Exactly one of `angle` and `form` is given.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Cutter {
    /// The shop's own name of it, unique among the cutters.
    #[schema(min_length = 1, max_length = 200)]
    pub id: String,
    /// The one angle it cuts, from the plane square to the valve axis.
    #[schema(exclusive_minimum = 0, exclusive_maximum = 90)]
    pub angle: Option<f64>,
    /// The three angles it cuts in one plunge.
    pub form: Option<FormBlade>,
}

/// A blade that cuts all three angles in one plunge.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct FormBlade {
    /// Angle of the top cut, flatter than the seat.
    #[schema(exclusive_minimum = 0, exclusive_maximum = 90)]
    pub top_angle: f64,
    /// Angle of the seat.
    #[schema(exclusive_minimum = 0, exclusive_maximum = 90)]
    pub seat_angle: f64,
    /// Angle of the throat cut, steeper than the seat.
    #[schema(exclusive_minimum = 0, exclusive_maximum = 90)]
    pub throat_angle: f64,
    /// How far a plunge may miss its depth either way, at most 0.5 mm.
    #[schema(minimum = 0)]
    pub tolerance: f64,
}

/// Shims of one thickness.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ShimStock {
    /// Thickness of each, at most 10 mm; each thickness stands once.
    #[schema(exclusive_minimum = 0)]
    pub thickness: f64,
    /// How many there are.
    #[schema(maximum = 1000)]
    pub count: u16,
}

/// How decks are cut.
#[skip_serializing_none]
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DeckWork {
    /// The most that may come off, at most 10 mm.
    #[schema(exclusive_minimum = 0)]
    pub most: f64,
    /// Flatness that a fresh cut is left with, at most 0.5 mm.
    #[schema(minimum = 0)]
    pub flatness_left: f64,
    /// Roughness Ra that a fresh cut is left with.
    #[schema(exclusive_minimum = 0)]
    pub roughness_left: f64,
    /// Area of one open chamber at the deck: mm² where lengths are in mm, in² where they are in inches.
    /// Without it nothing is known of chamber volumes after a cut.
    #[schema(exclusive_minimum = 0)]
    pub open_chamber_area: Option<f64>,
}

/// A seat insert on the shelf.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SpareInsert {
    /// The shop's own name of it, unique among the inserts.
    #[schema(min_length = 1, max_length = 200)]
    pub id: String,
    /// For which ports; both when left out.
    pub service: Option<Service>,
    /// How many there are.
    #[schema(maximum = 1000)]
    pub count: u16,
    /// Price of one, in the shop's money; 0 when left out.
    #[schema(minimum = 0)]
    pub price: Option<f64>,
    /// Minutes to fit one; 0 when left out.
    #[schema(minimum = 0)]
    pub minutes: Option<f64>,
    /// How much higher than the worn seat a first touch on it is, at most 20 mm.
    #[schema(minimum = 0)]
    pub raises_seat: f64,
    /// Its outer diameter.
    #[schema(exclusive_minimum = 0)]
    pub diameter: Option<f64>,
}

/// A valve on the shelf.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SpareValve {
    /// The shop's own name of it, unique among the valves.
    #[schema(min_length = 1, max_length = 200)]
    pub id: String,
    /// For which ports; both when left out.
    pub service: Option<Service>,
    /// How many there are.
    #[schema(maximum = 1000)]
    pub count: u16,
    /// Price of one, in the shop's money; 0 when left out.
    #[schema(minimum = 0)]
    pub price: Option<f64>,
    /// Minutes to fit one; 0 when left out.
    #[schema(minimum = 0)]
    pub minutes: Option<f64>,
    /// Outer diameter of the head, where the face ends.
    #[schema(exclusive_minimum = 0)]
    pub head_diameter: f64,
    /// Cylindrical rim above the face.
    #[schema(exclusive_minimum = 0)]
    pub margin: f64,
    /// Angle of the face from the plane square to the axis.
    #[schema(exclusive_minimum = 0, exclusive_maximum = 90)]
    pub face_angle: f64,
    /// Diameter at which the face begins.
    #[schema(exclusive_minimum = 0)]
    pub face_inner_diameter: Option<f64>,
    /// Stem diameter.
    #[schema(exclusive_minimum = 0)]
    pub stem_diameter: Option<f64>,
    /// Overall length.
    #[schema(exclusive_minimum = 0)]
    pub overall_length: Option<f64>,
}

/// A spring for one valve on the shelf: a single one, not nested.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SpareSpring {
    /// The shop's own name of it, unique among the springs.
    #[schema(min_length = 1, max_length = 200)]
    pub id: String,
    /// For which ports; both when left out.
    pub service: Option<Service>,
    /// How many there are.
    #[schema(maximum = 1000)]
    pub count: u16,
    /// Price of one, in the shop's money; 0 when left out.
    #[schema(minimum = 0)]
    pub price: Option<f64>,
    /// Minutes to fit one; 0 when left out.
    #[schema(minimum = 0)]
    pub minutes: Option<f64>,
    /// Free length.
    #[schema(exclusive_minimum = 0)]
    pub free_length: Option<f64>,
    /// Loads at heights: the lower, the greater.
    #[schema(min_items = 1, max_items = 50)]
    pub loads: Vec<SpringLoad>,
    /// Height at coil bind.
    #[schema(exclusive_minimum = 0)]
    pub solid_height: Option<f64>,
}

/// What a spring on the shelf carries at a height.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SpringLoad {
    /// The height.
    #[schema(exclusive_minimum = 0)]
    pub height: f64,
    /// The load there.
    #[schema(minimum = 0)]
    pub load: f64,
}

/// Prices and times of the work itself. Each may be left out.
#[skip_serializing_none]
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Costs {
    /// Price of one minute at the bench, in the shop's money; 0 when left out.
    #[schema(minimum = 0)]
    pub per_minute: Option<f64>,
    /// Minutes to set up on a guide and cut one seat; 10 when left out.
    #[schema(minimum = 0)]
    pub seat_cut: Option<f64>,
    /// Minutes for a top cut; 4 when left out.
    #[schema(minimum = 0)]
    pub top_cut: Option<f64>,
    /// Minutes for a throat cut; 4 when left out.
    #[schema(minimum = 0)]
    pub throat_cut: Option<f64>,
    /// Minutes for a form cut; 8 when left out.
    #[schema(minimum = 0)]
    pub form_cut: Option<f64>,
    /// Minutes to grind a face; 6 when left out.
    #[schema(minimum = 0)]
    pub face_grind: Option<f64>,
    /// Minutes to grind a tip; 3 when left out.
    #[schema(minimum = 0)]
    pub tip_grind: Option<f64>,
    /// Minutes to fit one shim; 1 when left out.
    #[schema(minimum = 0)]
    pub shim: Option<f64>,
    /// Minutes to cut the deck; 45 when left out.
    #[schema(minimum = 0)]
    pub deck_cut: Option<f64>,
}
