//! What is said of the port of a row.

use super::column;
use crate::column::Kind::{Integer, NoneOfThem, Number, Reading, Text, Word, YesNo};
use crate::column::Needed::EachRow;
use crate::column::Scope::{Head, Port};
use crate::column::{Family, Kind};

/// Readings once round a seat, a face or a contact.
const MOST_PLACES: usize = 12;
const MOST_DIAL_READINGS: usize = 24;
const MOST_SPRINGS: usize = 3;

const fn port(name: &'static str, path: &'static str, kind: Kind, description: &'static str) -> Family {
    column(Port, name, path, kind, description)
}

/// Which head, which port.
pub(super) const KEYS: &[Family] = &[
    column(Head, "serial", "head/serial", Text, "Serial of the head, or the shop's own reference")
        .needed(EachRow),
    column(Head, "stage", "job/stage", Word, "When in the job it was measured").needed(EachRow),
    port("cylinder", "cylinder", Integer, "Cylinder, from 1").needed(EachRow),
    port("service", "service", Word, "Intake or exhaust").needed(EachRow),
    port("index", "index", Integer, "Which of the cylinder's valves of that service, from 1").needed(EachRow),
];

/// What was measured and seen there.
pub(super) const READINGS: &[Family] = &[
    port(
        "guide_instrument",
        "guide/instrument",
        Text,
        "Instrument of the guide's readings that name no other",
    ),
    port("guide_bore_instrument", "guide/bores/instrument", Text, "Instrument of the guide's bore diameters"),
    port(
        "guide_bore_top_{n}",
        "guide/bores/top/{n}",
        Number,
        "Bore of the guide, spring side, one for each measuring axis",
    )
    .up_to(4),
    port("guide_bore_middle_{n}", "guide/bores/middle/{n}", Number, "Bore of the guide, in between").up_to(4),
    port("guide_bore_bottom_{n}", "guide/bores/bottom/{n}", Number, "Bore of the guide, port side").up_to(4),
    port("guide_engaged_length", "guide/engaged_length", Reading, "Length of the guide that guides the stem"),
    port("guide_fit", "guide/fit", Word, "Does the guide sit tight in the head?"),
    port("guide_height", "guide/height", Reading, "How far the guide stands out of the spring seat"),
    port("stem_seal", "guide/stem_seal", Word, "The seal on the guide"),
    port(
        "guide_rocking_travel",
        "guide/rocking/travel",
        Reading,
        "Total side-to-side travel of the stem outside its guide",
    ),
    port(
        "guide_rocking_distance_outside",
        "guide/rocking/distance_outside",
        Reading,
        "Distance of the dial outside the guide",
    ),
    port(
        "valve_instrument",
        "valve/instrument",
        Text,
        "Instrument of the valve's readings that name no other",
    ),
    port("valve_tag", "valve/tag", Text, "The mark that keeps the valve with its seat"),
    port("stem_diameter_instrument", "valve/stem/instrument", Text, "Instrument of the stem diameters"),
    port("stem_diameter_top", "valve/stem/top", Reading, "Stem diameter, spring side"),
    port("stem_diameter_middle", "valve/stem/middle", Reading, "Stem diameter, in between"),
    port("stem_diameter_bottom", "valve/stem/bottom", Reading, "Stem diameter, port side"),
    port(
        "stem_diameter_unworn",
        "valve/stem/unworn",
        Reading,
        "Stem diameter where it never ran in its guide",
    ),
    port(
        "valve_head_diameter",
        "valve/head_diameter",
        Reading,
        "Outer diameter of the valve's head, where the face ends",
    ),
    port("valve_margin", "valve/margin", Reading, "Cylindrical rim above the face"),
    port(
        "valve_face_angle",
        "valve/face_angle",
        Reading,
        "Angle of the face from the plane square to the axis, degrees",
    ),
    port(
        "valve_face_inner_diameter",
        "valve/face_inner_diameter",
        Reading,
        "Diameter at which the face begins",
    ),
    port("valve_face_runout_instrument", "valve/face_runout/instrument", Text, "Dial of the face"),
    port(
        "valve_face_runout_direction",
        "valve/face_runout/direction",
        Word,
        "How the plunger stood to the face",
    ),
    port(
        "valve_face_runout_{n}",
        "valve/face_runout/readings/{n}",
        Number,
        "Dial readings once round the face, four at least",
    )
    .up_to(MOST_DIAL_READINGS),
    port(
        "valve_face_runout_angle_{n}",
        "valve/face_runout/angles/{n}",
        Number,
        "At which angle that reading was taken, degrees; equally spaced when left out",
    )
    .up_to(MOST_DIAL_READINGS),
    port("valve_overall_length", "valve/overall_length", Reading, "Overall length of the valve"),
    port("valve_stretch", "valve/stretch", Reading, "Growth in length against new"),
    port("valve_tip", "valve/tip", Word, "The tip"),
    port("keeper_groove", "valve/keeper_groove", Word, "The keeper groove"),
    port("valve_neck", "valve/neck", Word, "The neck under the valve's head"),
    port("valve_coated", "valve/coated", YesNo, "Is the face coated or aluminised?"),
    port("valve_nitrided", "valve/nitrided", YesNo, "Is the valve nitrided?"),
    port("valve_titanium", "valve/titanium", YesNo, "Is it of titanium?"),
    port("valve_hollow", "valve/hollow", YesNo, "Is its stem hollow?"),
    port("valve_sodium_filled", "valve/sodium_filled", YesNo, "Is its stem filled with sodium?"),
    port("seat_instrument", "seat/instrument", Text, "Instrument of the seat's readings that name no other"),
    port(
        "seat_angle",
        "seat/seat_angle",
        Reading,
        "Angle of the seat face from the plane square to the axis, degrees",
    ),
    port("top_cut_angle", "seat/top_angle", Reading, "Angle of the top cut, degrees"),
    port("throat_cut_angle", "seat/throat_angle", Reading, "Angle of the throat cut, degrees"),
    port("seat_inner_diameter", "seat/inner_diameter", Reading, "Inner diameter of the seat face"),
    port("seat_outer_diameter", "seat/outer_diameter", Reading, "Outer diameter of the seat face"),
    port(
        "seat_width_{n}",
        "seat/widths/{n}",
        Number,
        "Width on the seat face at equally spaced clock positions",
    )
    .up_to(MOST_PLACES),
    port("seat_runout_instrument", "seat/runout/instrument", Text, "Dial of the seat"),
    port("seat_runout_direction", "seat/runout/direction", Word, "How the plunger stood to the seat"),
    port(
        "seat_runout_{n}",
        "seat/runout/readings/{n}",
        Number,
        "Dial readings once round the seat, four at least",
    )
    .up_to(MOST_DIAL_READINGS),
    port(
        "seat_runout_angle_{n}",
        "seat/runout/angles/{n}",
        Number,
        "At which angle that reading was taken, degrees; equally spaced when left out",
    )
    .up_to(MOST_DIAL_READINGS),
    port(
        "insert_instrument",
        "seat/insert/instrument",
        Text,
        "Instrument of the insert's readings that name no other",
    ),
    port("insert_fit", "seat/insert/fit", Word, "Does the insert sit tight?"),
    port("insert_material", "seat/insert/material", Word, "What the insert is made of"),
    port("insert_diameter", "seat/insert/diameter", Reading, "Outer diameter of the insert"),
    port(
        "counterbore_diameter",
        "seat/insert/counterbore_diameter",
        Reading,
        "Diameter of the insert's counterbore",
    ),
    port("counterbore_depth", "seat/insert/depth", Reading, "Depth of the insert's counterbore"),
    port(
        "insert_wall_left",
        "seat/insert/wall_left",
        Reading,
        "Wall left between insert and water or chamber",
    ),
    port("throat_diameter", "seat/throat_diameter", Reading, "Throat diameter"),
    port("pit_depth", "seat/pit/depth", Reading, "Depth of the deepest pit, square to the face"),
    port("pit_inside_band", "seat/pit/inside_band", YesNo, "Does the pit lie inside the final contact band?"),
    port("contact_instrument", "contact/instrument", Text, "Instrument of the contact's readings"),
    port(
        "contact_from_edge_{n}",
        "contact/marks/{n}/from_edge",
        Number,
        "From the outer edge of the face to the contact band, at equally spaced clock positions",
    )
    .up_to(MOST_PLACES),
    port("contact_width_{n}", "contact/marks/{n}/width", Number, "Width of the contact band there")
        .up_to(MOST_PLACES),
    port(
        "contact_gaps",
        "contact/gaps",
        NoneOfThem,
        "none: it was looked for arcs without contact, and there is none",
    ),
    port("contact_gap_{n}", "contact/gaps/{n}", Reading, "An arc without contact, degrees").up_to(6),
    port(
        "spring_pack_instrument",
        "spring_pack/instrument",
        Text,
        "Instrument of the readings of the spring pack that name no other",
    ),
    port(
        "installed_height",
        "spring_pack/installed_height",
        Reading,
        "From the spring seat to the retainer, valve closed",
    ),
    port("valve_lift", "spring_pack/lift", Reading, "Greatest lift, net at the valve"),
    port("retainer_travel", "spring_pack/retainer_travel", Reading, "Retainer to seal, valve closed"),
    port("spring_shims", "spring_pack/shims", Reading, "Shims under the springs"),
    port(
        "spring_{n}_instrument",
        "spring_pack/springs/{n}/instrument",
        Text,
        "Instrument of the spring's readings that name no other; 1 is the outer spring",
    )
    .up_to(MOST_SPRINGS),
    port(
        "spring_{n}_seat_step",
        "spring_pack/springs/{n}/seat_step",
        Reading,
        "How much the spring's own seat shortens (+) or lengthens (-) its installed height",
    )
    .up_to(MOST_SPRINGS),
    port("spring_{n}_free_length", "spring_pack/springs/{n}/free_length", Reading, "Free length")
        .up_to(MOST_SPRINGS),
    port(
        "spring_{n}_height_{m}",
        "spring_pack/springs/{n}/loads/{m}/height",
        Reading,
        "A height of the spring",
    )
    .up_to_each(MOST_SPRINGS, 4),
    port("spring_{n}_load_{m}", "spring_pack/springs/{n}/loads/{m}/load", Reading, "Its load at that height")
        .up_to_each(MOST_SPRINGS, 4),
    port("spring_{n}_solid_height", "spring_pack/springs/{n}/solid_height", Reading, "Height at coil bind")
        .up_to(MOST_SPRINGS),
    port(
        "spring_{n}_squareness",
        "spring_pack/springs/{n}/squareness",
        Reading,
        "How far the spring leans at the top",
    )
    .up_to(MOST_SPRINGS),
    port(
        "spring_{n}_winding_instrument",
        "spring_pack/springs/{n}/winding/instrument",
        Text,
        "Instrument of the readings of the winding that name no other",
    )
    .up_to(MOST_SPRINGS),
    port(
        "spring_{n}_wire_diameter",
        "spring_pack/springs/{n}/winding/wire_diameter",
        Reading,
        "Wire diameter",
    )
    .up_to(MOST_SPRINGS),
    port(
        "spring_{n}_coil_outer_diameter",
        "spring_pack/springs/{n}/winding/outer_diameter",
        Reading,
        "Outer diameter of the coils",
    )
    .up_to(MOST_SPRINGS),
    port(
        "spring_{n}_active_coils",
        "spring_pack/springs/{n}/winding/active_coils",
        Reading,
        "Coils that give way",
    )
    .up_to(MOST_SPRINGS),
    port(
        "spring_{n}_shear_modulus_gpa",
        "spring_pack/springs/{n}/winding/shear_modulus_gpa",
        Number,
        "Shear modulus of the wire, GPa",
    )
    .up_to(MOST_SPRINGS),
    port(
        "spring_{n}_wire_density",
        "spring_pack/springs/{n}/winding/density",
        Number,
        "Density of the wire, kg/dm3",
    )
    .up_to(MOST_SPRINGS),
    port(
        "assembly_instrument",
        "assembly/instrument",
        Text,
        "Instrument of the readings of the assembly that name no other",
    ),
    port("valve_recession", "assembly/recession", Reading, "Valve below its datum (+ below, - proud)"),
    port("recession_datum", "assembly/recession_datum", Word, "What recession is measured from"),
    port("stem_protrusion", "assembly/stem_protrusion", Reading, "Tip above the spring seat"),
    port("valve_lash", "assembly/lash", Reading, "Valve lash"),
    port("lash_shim", "assembly/lash_shim", Reading, "Thickness of the lash shim"),
    port("tip_to_retainer", "assembly/tip_to_retainer", Reading, "Tip to retainer"),
    port("valve_to_piston", "assembly/valve_to_piston", Reading, "Valve to piston"),
    port("leak_instrument", "leak/decay/instrument", Text, "Gauge of the leak test"),
    port(
        "leak_start",
        "leak/decay/start",
        Reading,
        "Vacuum or pressure at the start, above or below the atmosphere",
    ),
    port("leak_end", "leak/decay/end", Reading, "The same at the end"),
    port("leak_seconds", "leak/decay/seconds", Reading, "Seconds in between"),
    port("leak_volume", "leak/decay/volume", Reading, "Closed volume, hose and gauge included"),
    port(
        "leak_start_temperature",
        "leak/decay/start_temperature",
        Reading,
        "Of the air under test at the start, degrees Celsius",
    ),
    port("leak_end_temperature", "leak/decay/end_temperature", Reading, "The same at the end"),
    port("leak_atmosphere", "leak/decay/atmosphere", Reading, "Pressure of the atmosphere during the test"),
    port("leak_side", "leak/decay/side", Word, "Where it was applied"),
    port("leak_vacuum", "leak/decay/vacuum", YesNo, "Vacuum rather than pressure?"),
    port("leak_spring_fitted", "leak/decay/spring_fitted", YesNo, "Was the valve held by its spring?"),
    port("leak_guide_sealed", "leak/decay/guide_sealed", YesNo, "Was the guide sealed off?"),
    port("leak_held", "leak/held", YesNo, "Did it hold for as long as it had to?"),
    port("leak_seep", "leak/seep", YesNo, "Was solvent seen to seep past the valve?"),
];
