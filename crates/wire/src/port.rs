//! One port of a measurement set, as posted.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use crate::Reading;

/// What a valve lets through.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Service {
    /// Fresh charge in.
    Intake,
    /// Burnt gas out.
    Exhaust,
}

impl Service {
    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        headproof_head::Service::from(self).word()
    }
}

/// What a look at a part gave.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// In order.
    Good,
    /// Worn, but there.
    Worn,
    /// Damaged or missing.
    Bad,
}

/// One valve position with everything measured on it. Blocks that were not measured are left out.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Port {
    /// Cylinder from 1.
    #[schema(minimum = 1, maximum = 16)]
    pub cylinder: u8,
    /// Intake or exhaust.
    pub service: Service,
    /// Index among the cylinder's valves of that service, from 1.
    #[schema(minimum = 1, maximum = 4)]
    pub index: u8,
    /// Its guide.
    pub guide: Option<Guide>,
    /// Its valve.
    pub valve: Option<Valve>,
    /// Its seat.
    pub seat: Option<Seat>,
    /// The contact band on its valve face.
    pub contact: Option<Contact>,
    /// Its springs.
    pub spring_pack: Option<SpringPack>,
    /// How it all sits together.
    pub assembly: Option<Assembly>,
    /// Its leak test.
    pub leak: Option<Leak>,
}

/// The guide.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Guide {
    /// Instrument of the readings in this block that name no other.
    pub instrument: Option<String>,
    /// Bore diameters.
    pub bores: Option<Bores>,
    /// Length that guides the stem.
    pub engaged_length: Option<Reading>,
    /// Does it sit tight in the head?
    pub fit: Option<State>,
    /// How far it stands out of the spring seat.
    pub height: Option<Reading>,
    /// The seal on it.
    pub stem_seal: Option<StemSeal>,
    /// Stem rocking, where no bore gauge was at hand.
    pub rocking: Option<Rocking>,
}

/// Bore diameters at three heights, one reading per measuring axis.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Bores {
    /// Instrument of the readings in this block that name no other.
    pub instrument: Option<String>,
    /// Spring side.
    #[schema(max_items = 4)]
    pub top: Vec<Reading>,
    /// In between.
    #[schema(max_items = 4)]
    pub middle: Vec<Reading>,
    /// Port side.
    #[schema(max_items = 4)]
    pub bottom: Vec<Reading>,
}

/// Side-to-side travel of the stem outside its guide.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Rocking {
    /// Total travel.
    pub travel: Reading,
    /// Distance of the dial outside the guide.
    pub distance_outside: Reading,
}

/// The stem seal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum StemSeal {
    /// A new one is fitted.
    New,
    /// The old one is still there.
    Reused,
    /// None is fitted.
    Absent,
}

/// The valve.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Valve {
    /// Instrument of the readings in this block that name no other.
    pub instrument: Option<String>,
    /// The mark that keeps it with its seat.
    pub tag: Option<String>,
    /// Stem diameters.
    pub stem: Option<StemDiameters>,
    /// Outer diameter of the head, where the face ends.
    pub head_diameter: Option<Reading>,
    /// Cylindrical rim above the face.
    pub margin: Option<Reading>,
    /// Angle of the face from the plane square to the axis.
    pub face_angle: Option<Reading>,
    /// Diameter at which the face begins.
    pub face_inner_diameter: Option<Reading>,
    /// Runout of the face.
    pub face_runout: Option<Dial>,
    /// Overall length.
    pub overall_length: Option<Reading>,
    /// Growth in length against new.
    pub stretch: Option<Reading>,
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
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct StemDiameters {
    /// Instrument of the readings in this block that name no other.
    pub instrument: Option<String>,
    /// Spring side.
    pub top: Option<Reading>,
    /// In between.
    pub middle: Option<Reading>,
    /// Port side.
    pub bottom: Option<Reading>,
    /// Where the stem never ran in its guide.
    pub unworn: Option<Reading>,
}

/// The seat.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Seat {
    /// Instrument of the readings in this block that name no other.
    pub instrument: Option<String>,
    /// Angle of the seat face from the plane square to the axis.
    pub seat_angle: Option<Reading>,
    /// Angle of the top cut.
    pub top_angle: Option<Reading>,
    /// Angle of the throat cut.
    pub throat_angle: Option<Reading>,
    /// Inner diameter of the seat face.
    pub inner_diameter: Option<Reading>,
    /// Outer diameter of the seat face.
    pub outer_diameter: Option<Reading>,
    /// Width on the face at equally spaced clock positions.
    #[schema(max_items = 360)]
    pub widths: Vec<Reading>,
    /// Runout.
    pub runout: Option<Dial>,
    /// The insert, when the seat is one.
    pub insert: Option<Insert>,
    /// Throat diameter.
    pub throat_diameter: Option<Reading>,
    /// Deepest pit.
    pub pit: Option<Pit>,
}

/// Dial readings once round.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Dial {
    /// Instrument of the readings in this block that name no other.
    pub instrument: Option<String>,
    /// How the plunger stood.
    pub direction: DialDirection,
    /// The readings.
    #[schema(min_items = 4, max_items = 720)]
    pub readings: Vec<Reading>,
    /// At which angles they were taken, one for each, in degrees from any zero and in either sense; equally
    /// spaced when left out.
    #[schema(min_items = 4, max_items = 720)]
    pub angles: Option<Vec<f64>>,
}

/// How a dial's plunger stands to a seat or face.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum DialDirection {
    /// Square to the face.
    Square,
    /// Square to the valve axis.
    Radial,
    /// Along the valve axis.
    Axial,
}

/// A seat insert.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Insert {
    /// Instrument of the readings in this block that name no other.
    pub instrument: Option<String>,
    /// Does it sit tight?
    pub fit: Option<InsertFit>,
    /// What it is made of.
    pub material: Option<InsertMaterial>,
    /// Outer diameter.
    pub diameter: Option<Reading>,
    /// Diameter of its counterbore.
    pub counterbore_diameter: Option<Reading>,
    /// Depth of its counterbore.
    pub depth: Option<Reading>,
    /// Wall left between insert and water or chamber.
    pub wall_left: Option<Reading>,
}

/// How an insert sits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum InsertFit {
    /// Tight.
    Tight,
    /// Loose: it must be replaced.
    Loose,
}

/// What an insert is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum InsertMaterial {
    /// Cast or sintered iron.
    Iron,
    /// Steel.
    Steel,
    /// Cobalt or nickel alloy.
    HardAlloy,
    /// Beryllium copper: its dust is toxic.
    BerylliumCopper,
}

/// The deepest pit of a seat.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Pit {
    /// Depth square to the face.
    pub depth: Reading,
    /// Does it lie inside the final contact band?
    pub inside_band: bool,
}

/// The contact band on the valve face, after marking or lapping.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Contact {
    /// Instrument of the readings in this block that name no other.
    pub instrument: Option<String>,
    /// The band at equally spaced clock positions.
    #[schema(max_items = 360)]
    pub marks: Vec<ContactMark>,
    /// Arcs without contact, in degrees; an empty list says that there is none.
    #[schema(max_items = 360)]
    pub gaps: Option<Vec<Reading>>,
}

/// The band at one clock position.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ContactMark {
    /// From the outer edge of the face to the band.
    pub from_edge: Reading,
    /// Width of the band.
    pub width: Option<Reading>,
}

/// All that stands on one spring seat.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct SpringPack {
    /// Instrument of the readings in this block that name no other.
    pub instrument: Option<String>,
    /// From the spring seat to the retainer, valve closed.
    pub installed_height: Option<Reading>,
    /// Greatest valve lift, net at the valve.
    pub lift: Option<Reading>,
    /// Retainer to seal, valve closed.
    pub retainer_travel: Option<Reading>,
    /// Shims under the springs.
    pub shims: Option<Reading>,
    /// The springs, outer first.
    #[schema(max_items = 4)]
    pub springs: Vec<Spring>,
}

/// One spring.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Spring {
    /// Instrument of the readings in this block that name no other.
    pub instrument: Option<String>,
    /// How much this spring's own seat shortens (+) or lengthens (−) its installed height.
    pub seat_step: Option<Reading>,
    /// Free length.
    pub free_length: Option<Reading>,
    /// Loads at two or more heights.
    #[schema(max_items = 50)]
    pub loads: Vec<LoadPoint>,
    /// Height at coil bind.
    pub solid_height: Option<Reading>,
    /// How far it leans at the top.
    pub squareness: Option<Reading>,
    /// What it is wound of, for a check of its loads against theory.
    pub winding: Option<Winding>,
}

/// What a spring is wound of.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Winding {
    /// Instrument of the readings in this block that name no other.
    pub instrument: Option<String>,
    /// Wire diameter.
    pub wire_diameter: Reading,
    /// Outer diameter of the coils.
    pub outer_diameter: Reading,
    /// Coils that give way.
    pub active_coils: Reading,
    /// Shear modulus of the wire in GPa; that of spring steel, 81.5, when left out.
    #[schema(minimum = 1, maximum = 500)]
    pub shear_modulus_gpa: Option<f64>,
    /// Density of the wire in kg/dm³; that of steel, 7.85, when left out.
    #[schema(minimum = 1, maximum = 25)]
    pub density: Option<f64>,
}

/// A load at a height.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct LoadPoint {
    /// Height of the spring.
    pub height: Reading,
    /// Its load there.
    pub load: Reading,
}

/// How valve, seat and spring sit together.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Assembly {
    /// Instrument of the readings in this block that name no other.
    pub instrument: Option<String>,
    /// Valve below its datum (+ below, − proud).
    pub recession: Option<Reading>,
    /// What recession is measured from.
    pub recession_datum: Option<RecessionDatum>,
    /// Tip above the spring seat.
    pub stem_protrusion: Option<Reading>,
    /// Valve lash.
    pub lash: Option<Reading>,
    /// Thickness of the lash shim.
    pub lash_shim: Option<Reading>,
    /// Tip to retainer.
    pub tip_to_retainer: Option<Reading>,
    /// Valve to piston.
    pub valve_to_piston: Option<Reading>,
}

/// What recession is measured from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum RecessionDatum {
    /// The deck.
    Deck,
    /// The roof of the chamber.
    Chamber,
}

/// Leak test of one valve.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Leak {
    /// Vacuum or pressure decay.
    pub decay: Option<Decay>,
    /// Did it hold for as long as it had to?
    pub held: Option<bool>,
    /// Solvent seen to seep past the valve.
    pub seep: Option<bool>,
}

/// A decay test. Pressures are sizes above or below the atmosphere.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Decay {
    /// Instrument of the readings in this block that name no other.
    pub instrument: Option<String>,
    /// At the start.
    pub start: Reading,
    /// At the end.
    pub end: Reading,
    /// Seconds in between.
    pub seconds: Reading,
    /// Closed volume, hose and gauge included.
    pub volume: Option<Reading>,
    /// Of the air under test, at the start, in degrees Celsius.
    pub start_temperature: Option<Reading>,
    /// Of the air under test, at the end, in degrees Celsius.
    pub end_temperature: Option<Reading>,
    /// Pressure of the atmosphere during the test; 101.325 kPa when left out.
    pub atmosphere: Option<Reading>,
    /// Where it was applied.
    pub side: LeakSide,
    /// Vacuum rather than pressure.
    pub vacuum: bool,
    /// Was the valve held by its spring?
    pub spring_fitted: bool,
    /// Was the guide sealed off?
    pub guide_sealed: bool,
}

/// Which side of the valve.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum LeakSide {
    /// In the port.
    Port,
    /// In the chamber.
    Chamber,
}
