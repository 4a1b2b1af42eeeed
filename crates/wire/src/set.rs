//! A whole head, measured once, as posted.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use crate::{Port, Reading, State, Units};

/// One head, at one time, in one stage.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct MeasurementSet {
    /// `headproof/measurement-set/1`.
    pub format: String,
    /// Units of every number in this document.
    pub units: Units,
    /// Which head.
    pub head: HeadIdentity,
    /// For whom.
    pub customer: Option<Customer>,
    /// When, where and by whom it was measured.
    pub job: JobNote,
    /// What kind of head.
    pub layout: Layout,
    /// The gauges.
    #[serde(default)]
    #[schema(max_items = 200)]
    pub instruments: Vec<Instrument>,
    /// The deck.
    pub deck: Option<Deck>,
    /// Cam bores of an overhead-cam head.
    pub cam_bores: Option<CamBores>,
    /// What stands out of a diesel deck, per cylinder.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 16)]
    pub diesel: Vec<DieselParts>,
    /// Chamber volumes.
    #[serde(default)]
    #[schema(max_items = 16)]
    pub chambers: Vec<Chamber>,
    /// The ports, each at most once.
    #[schema(max_items = 80)]
    pub ports: Vec<Port>,
    /// Crack test and pressure test.
    pub tests: Option<HeadTests>,
}

/// Which head.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct HeadIdentity {
    /// Serial or the shop's own reference.
    #[schema(min_length = 1, max_length = 200)]
    pub serial: String,
    /// Family of engines it belongs to.
    pub engine_family: Option<String>,
    /// Casting mark.
    pub casting: Option<String>,
    /// What it is cast of.
    pub material: Material,
    /// Known or suspected to have been overheated.
    #[serde(default)]
    pub overheated: bool,
    /// Welded before.
    #[serde(default)]
    pub welded: bool,
    /// Brinell hardness.
    pub hardness: Option<f64>,
}

/// What a head is cast of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Material {
    /// Grey or ductile iron.
    CastIron,
    /// Aluminium alloy.
    Aluminium,
}

/// For whom.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Customer {
    /// Name as it shall stand on the sheet.
    #[schema(min_length = 1, max_length = 200)]
    pub name: String,
    /// Their own reference.
    pub reference: Option<String>,
}

/// The circumstances of measuring.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct JobNote {
    /// The shop's job number.
    #[schema(min_length = 1, max_length = 200)]
    pub number: String,
    /// When in the job.
    pub stage: Stage,
    /// Who measured.
    #[schema(min_length = 1, max_length = 200)]
    pub measured_by: String,
    /// When, as RFC 3339 date and time with offset.
    #[schema(format = "date-time")]
    pub measured_at: String,
    /// Code of the bench.
    pub bench: Option<String>,
    /// Code of the cutter.
    pub cutter: Option<String>,
    /// Code of the operator.
    pub operator: Option<String>,
    /// Temperature of the head while measured, in degrees Celsius.
    pub temperature: Option<Reading>,
}

/// When in the job a set was measured.
// In the order they come in: an earlier stage is the lesser one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Stage {
    /// Before any work: wear limits apply.
    AsReceived,
    /// After work: build limits apply.
    AfterRework,
    /// As handed over: build limits apply.
    Final,
}

impl Stage {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::AsReceived => "as-received",
            Self::AfterRework => "after-rework",
            Self::Final => "final",
        }
    }
}

/// What kind of head.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Layout {
    /// Where the camshaft is.
    pub camshaft: Camshaft,
    /// What sits between cam and tip.
    pub lifter: Lifter,
    /// How many cylinders the head covers.
    #[schema(minimum = 1, maximum = 16)]
    pub cylinders: u8,
    /// Intake valves per cylinder.
    #[schema(minimum = 1, maximum = 4)]
    pub intake_per_cylinder: u8,
    /// Exhaust valves per cylinder.
    #[schema(minimum = 1, maximum = 4)]
    pub exhaust_per_cylinder: u8,
    /// Terms of the compression ratio, beside the chamber.
    pub compression: Option<CompressionTerms>,
}

/// Where the camshaft is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Camshaft {
    /// In the block, by pushrods.
    Pushrod,
    /// In the head.
    Overhead,
}

/// What sits between cam and tip.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Lifter {
    /// Lash set by a screw.
    Adjustable,
    /// Takes up its own lash within a band.
    Hydraulic,
    /// Bucket with a lash shim.
    BucketWithShim,
}

/// What the compression ratio is made of, beside the chamber.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct CompressionTerms {
    /// Instrument of the readings in this block that name no other.
    pub instrument: Option<String>,
    /// Cylinder bore.
    pub bore: Option<Reading>,
    /// Stroke.
    pub stroke: Option<Reading>,
    /// Bore of the head gasket.
    pub gasket_bore: Option<Reading>,
    /// Compressed thickness of the head gasket.
    pub gasket_thickness: Option<Reading>,
    /// Piston below the block deck at top dead centre: + below, − proud.
    pub deck_clearance: Option<Reading>,
    /// Volume of the piston crown: + dish, − dome.
    pub piston_volume: Option<Reading>,
    /// Pre-chamber, when the chamber reading leaves it out.
    pub prechamber: Option<Reading>,
    /// Crevice above the top ring.
    pub crevice: Option<Reading>,
}

/// A gauge.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Instrument {
    /// The shop's own name of it, unique in the set.
    #[schema(min_length = 1, max_length = 200)]
    pub id: String,
    /// What sort of gauge.
    pub description: String,
    /// What it measures.
    pub measures: Measures,
    /// Expanded uncertainty of one reading, in the unit of the document.
    #[schema(minimum = 0)]
    pub expanded_uncertainty: f64,
    /// Coverage factor of `expanded_uncertainty`.
    #[schema(minimum = 1, maximum = 10)]
    pub coverage_factor: f64,
    /// How far the errors of its readings go together: 0, as when left out, not at all (each reading errs
    /// in its own way), 1 altogether (an error of its zero or scale shifts them all alike).
    #[schema(minimum = 0, maximum = 1)]
    pub correlation: Option<f64>,
    /// Smallest step it shows.
    #[schema(exclusive_minimum = 0)]
    pub resolution: Option<f64>,
    /// Last day on which its calibration holds.
    #[schema(format = "date")]
    pub calibration_due: Option<String>,
}

/// What a gauge measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Measures {
    /// Lengths.
    Length,
    /// Angles.
    Angle,
    /// Forces.
    Force,
    /// Volumes.
    Volume,
    /// Pressures.
    Pressure,
    /// Roughness.
    Roughness,
    /// Temperatures.
    Temperature,
    /// Durations.
    Time,
}

/// The deck.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Deck {
    /// Instrument of the readings in this block that name no other.
    pub instrument: Option<String>,
    /// A grid of heights.
    pub heights: Option<DeckHeights>,
    /// Straightedge and feeler, thickest blade per line.
    #[schema(max_items = 100)]
    pub feeler: Vec<FeelerLine>,
    /// Roughness Ra at one or more places.
    #[schema(max_items = 100)]
    pub roughness: Vec<Reading>,
    /// Thickness of the head at named places.
    #[schema(max_items = 100)]
    pub thickness: Vec<NamedReading>,
    /// Metal taken off so far.
    pub removed: Option<Reading>,
    /// Dowels.
    pub dowels: Option<State>,
    /// Bolt threads.
    pub bolt_threads: Option<State>,
    /// Core and gallery plugs.
    pub plugs: Option<State>,
}

/// Heights of the deck over a datum.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DeckHeights {
    /// Instrument of the heights that name no other.
    pub instrument: Option<String>,
    /// The points.
    #[schema(min_items = 4, max_items = 5000)]
    pub points: Vec<DeckHeight>,
}

/// One height of the deck.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DeckHeight {
    /// Along the head.
    pub x: f64,
    /// Across the head.
    pub y: f64,
    /// Height over the datum.
    pub z: Reading,
}

/// The thickest feeler that goes under a straightedge on one line.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct FeelerLine {
    /// Which way the straightedge lay.
    pub direction: FeelerDirection,
    /// Over what length; the whole deck when left out.
    #[schema(exclusive_minimum = 0)]
    pub span: Option<f64>,
    /// The gap; zero when not even the thinnest blade went under.
    pub gap: Reading,
}

/// Which way a straightedge lies on the deck.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum FeelerDirection {
    /// Along the head.
    Lengthwise,
    /// Across the head.
    Crosswise,
    /// Corner to corner.
    Diagonal,
}

/// A reading at a place with a name of its own.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct NamedReading {
    /// Name of the place.
    pub place: String,
    /// What was read there.
    pub reading: Reading,
}

/// Cam bores of an overhead-cam head.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct CamBores {
    /// Instrument of the readings in this block that name no other.
    pub instrument: Option<String>,
    /// Straightness of the line of bores.
    pub straightness: Option<Reading>,
    /// Bore diameters.
    #[schema(max_items = 40)]
    pub diameters: Vec<Reading>,
    /// Clearances of the journals.
    #[schema(max_items = 40)]
    pub clearances: Vec<Reading>,
}

/// How far parts of a diesel head stand out of the deck (+ out, − below).
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DieselParts {
    /// Cylinder from 1.
    #[schema(minimum = 1, maximum = 16)]
    pub cylinder: u8,
    /// Instrument of the readings in this block that name no other.
    pub instrument: Option<String>,
    /// Pre-chamber insert.
    pub prechamber: Option<Reading>,
    /// Injector nozzle.
    pub injector: Option<Reading>,
    /// Injector sleeve.
    pub sleeve: Option<Reading>,
}

/// Volume of one combustion chamber, valves and plug in place.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Chamber {
    /// Cylinder from 1.
    #[schema(minimum = 1, maximum = 16)]
    pub cylinder: u8,
    /// Instrument of the volume when the volume names no other.
    pub instrument: Option<String>,
    /// Its volume.
    pub volume: Reading,
}

/// Tests of the head as a whole.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct HeadTests {
    /// Crack test.
    pub crack: Option<CrackTest>,
    /// Pressure test of the water jacket.
    pub pressure: Option<PressureTest>,
}

/// A crack test.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CrackTest {
    /// How it was done.
    #[schema(min_length = 1, max_length = 200)]
    pub method: String,
    /// Was a crack found?
    pub crack_found: bool,
    /// Where.
    pub note: Option<String>,
}

/// A pressure test of the water jacket.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PressureTest {
    /// Air, water …
    #[schema(min_length = 1, max_length = 200)]
    pub medium: String,
    /// At what pressure above the atmosphere.
    pub pressure: Reading,
    /// At what temperature, in degrees Celsius: some cracks open only hot.
    pub temperature: Option<Reading>,
    /// For how many seconds.
    pub seconds: Option<Reading>,
    /// Did it hold?
    pub held: bool,
}
