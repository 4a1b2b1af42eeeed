//! What is said of the head of a row, and of its cylinder.

use super::column;
use crate::column::Kind::{Date, DateTime, Integer, Number, Reading, Text, Word, YesNo};
use crate::column::Needed::EachHead;
use crate::column::Scope::{Chamber, Diesel, Head, Request};
use crate::column::{Family, Kind};

const MOST_INSTRUMENTS: usize = 20;
const MOST_DECK_POINTS: usize = 60;
const MOST_DECK_LINES: usize = 8;
const MOST_CAM_BORES: usize = 10;

const fn head(name: &'static str, path: &'static str, kind: Kind, description: &'static str) -> Family {
    column(Head, name, path, kind, description)
}

/// What is measured once for each cylinder.
pub(super) const CYLINDERS: &[Family] = &[
    column(
        Chamber,
        "chamber_instrument",
        "instrument",
        Text,
        "Instrument of the chamber volume when that names no other",
    ),
    column(
        Chamber,
        "chamber_volume",
        "volume",
        Reading,
        "Volume of the cylinder's combustion chamber, valves and plug in place",
    ),
    column(
        Diesel,
        "protrusion_instrument",
        "instrument",
        Text,
        "Instrument of the protrusions of diesel parts",
    ),
    column(
        Diesel,
        "prechamber_protrusion",
        "prechamber",
        Reading,
        "How far the pre-chamber insert stands out of the deck (+ out, - below)",
    ),
    column(Diesel, "injector_protrusion", "injector", Reading, "The same for the injector nozzle"),
    column(Diesel, "sleeve_protrusion", "sleeve", Reading, "The same for the injector sleeve"),
];

/// Which head, whose, when, by whom, in which units.
pub(super) const IDENTITY: &[Family] = &[
    head("length_unit", "units/length", Word, "Unit of lengths").needed(EachHead),
    head("force_unit", "units/force", Word, "Unit of forces").needed(EachHead),
    head("volume_unit", "units/volume", Word, "Unit of volumes").needed(EachHead),
    head("pressure_unit", "units/pressure", Word, "Unit of pressures").needed(EachHead),
    head("roughness_unit", "units/roughness", Word, "Unit of roughness Ra").needed(EachHead),
    head("job_number", "job/number", Text, "The shop's job number").needed(EachHead),
    head("measured_by", "job/measured_by", Text, "Who measured").needed(EachHead),
    head("measured_at", "job/measured_at", DateTime, "When, with offset from UTC: 2026-03-12T09:40:00+01:00")
        .needed(EachHead),
    head("bench", "job/bench", Text, "Code of the bench"),
    head("cutter", "job/cutter", Text, "Code of the cutter"),
    head("operator", "job/operator", Text, "Code of the operator"),
    head(
        "head_temperature",
        "job/temperature",
        Reading,
        "Temperature of the head while measured, degrees Celsius",
    ),
    head("engine_family", "head/engine_family", Text, "Family of engines it belongs to"),
    head("casting", "head/casting", Text, "Casting mark"),
    head("material", "head/material", Word, "What the head is cast of").needed(EachHead),
    head("overheated", "head/overheated", YesNo, "Is it known or suspected to have been overheated?"),
    head("welded", "head/welded", YesNo, "Was it welded before?"),
    head("brinell_hardness", "head/hardness", Number, "Brinell hardness"),
    head("customer_name", "customer/name", Text, "For whom"),
    head("customer_reference", "customer/reference", Text, "Their own reference"),
    column(
        Request,
        "client_reference",
        "client_reference",
        Text,
        "Any reference of yours, given back unchanged",
    ),
    column(Request, "follows", "follows", Text, "Id of the earlier job of this head that this one follows"),
    column(
        Request,
        "profile_id",
        "profile_ref/id",
        Text,
        "Id of a stored profile, unless one is given beside the file",
    ),
    column(Request, "profile_revision", "profile_ref/revision", Text, "Its revision"),
    column(Request, "sheet_paper", "sheet/paper", Word, "Paper of the sheet"),
    column(Request, "sheet_language", "sheet/language", Word, "Language of the sheet"),
];

/// What kind of head.
pub(super) const LAYOUT: &[Family] = &[
    head("camshaft", "layout/camshaft", Word, "Where the camshaft is").needed(EachHead),
    head("lifter", "layout/lifter", Word, "What sits between cam and tip").needed(EachHead),
    head("cylinders", "layout/cylinders", Integer, "How many cylinders the head covers").needed(EachHead),
    head("intake_per_cylinder", "layout/intake_per_cylinder", Integer, "Intake valves per cylinder")
        .needed(EachHead),
    head("exhaust_per_cylinder", "layout/exhaust_per_cylinder", Integer, "Exhaust valves per cylinder")
        .needed(EachHead),
    head(
        "compression_instrument",
        "layout/compression/instrument",
        Text,
        "Instrument of the terms of the compression ratio that name no other",
    ),
    head("cylinder_bore", "layout/compression/bore", Reading, "Cylinder bore"),
    head("stroke", "layout/compression/stroke", Reading, "Stroke"),
    head("gasket_bore", "layout/compression/gasket_bore", Reading, "Bore of the head gasket"),
    head(
        "gasket_thickness",
        "layout/compression/gasket_thickness",
        Reading,
        "Compressed thickness of the head gasket",
    ),
    head(
        "deck_clearance",
        "layout/compression/deck_clearance",
        Reading,
        "Piston below the block deck at top dead centre (+ below, - proud)",
    ),
    head(
        "piston_volume",
        "layout/compression/piston_volume",
        Reading,
        "Volume of the piston crown (+ dish, - dome)",
    ),
    head(
        "prechamber_volume",
        "layout/compression/prechamber",
        Reading,
        "Pre-chamber, when the chamber volume leaves it out",
    ),
    head("crevice_volume", "layout/compression/crevice", Reading, "Crevice above the top ring"),
];

/// The gauges.
pub(super) const INSTRUMENTS: &[Family] = &[
    head(
        "instrument_{n}_id",
        "instruments/{n}/id",
        Text,
        "The shop's own name of a gauge, by which other columns name it",
    )
    .up_to(MOST_INSTRUMENTS),
    head("instrument_{n}_description", "instruments/{n}/description", Text, "What sort of gauge")
        .up_to(MOST_INSTRUMENTS),
    head("instrument_{n}_measures", "instruments/{n}/measures", Word, "What it measures")
        .up_to(MOST_INSTRUMENTS),
    head(
        "instrument_{n}_uncertainty",
        "instruments/{n}/expanded_uncertainty",
        Number,
        "Expanded uncertainty of one of its readings",
    )
    .up_to(MOST_INSTRUMENTS),
    head(
        "instrument_{n}_coverage_factor",
        "instruments/{n}/coverage_factor",
        Number,
        "Coverage factor of that",
    )
    .up_to(MOST_INSTRUMENTS),
    head(
        "instrument_{n}_correlation",
        "instruments/{n}/correlation",
        Number,
        "How far the errors of its readings go together, 0 to 1",
    )
    .up_to(MOST_INSTRUMENTS),
    head("instrument_{n}_resolution", "instruments/{n}/resolution", Number, "Smallest step it shows")
        .up_to(MOST_INSTRUMENTS),
    head(
        "instrument_{n}_calibration_due",
        "instruments/{n}/calibration_due",
        Date,
        "Last day on which its calibration holds",
    )
    .up_to(MOST_INSTRUMENTS),
];

/// What is measured on the head as a whole.
pub(super) const WHOLE: &[Family] = &[
    head("deck_instrument", "deck/instrument", Text, "Instrument of the deck's readings that name no other"),
    head("deck_height_instrument", "deck/heights/instrument", Text, "Instrument of the deck's heights"),
    head("deck_height_{n}_x", "deck/heights/points/{n}/x", Number, "A point of the deck: along the head")
        .up_to(MOST_DECK_POINTS),
    head("deck_height_{n}_y", "deck/heights/points/{n}/y", Number, "The same point: across the head")
        .up_to(MOST_DECK_POINTS),
    head("deck_height_{n}", "deck/heights/points/{n}/z", Number, "Height of the deck there over the datum")
        .up_to(MOST_DECK_POINTS),
    head("deck_feeler_{n}_direction", "deck/feeler/{n}/direction", Word, "Which way the straightedge lay")
        .up_to(MOST_DECK_LINES),
    head(
        "deck_feeler_{n}_span",
        "deck/feeler/{n}/span",
        Number,
        "Over what length; the whole deck when left out",
    )
    .up_to(MOST_DECK_LINES),
    head("deck_feeler_{n}_gap", "deck/feeler/{n}/gap", Reading, "Thickest feeler that went under")
        .up_to(MOST_DECK_LINES),
    head("deck_roughness_{n}", "deck/roughness/{n}", Reading, "Roughness Ra of the deck")
        .up_to(MOST_DECK_LINES),
    head(
        "head_thickness_{n}_place",
        "deck/thickness/{n}/place",
        Text,
        "Name of a place where the head's thickness was read",
    )
    .up_to(MOST_DECK_LINES),
    head("head_thickness_{n}", "deck/thickness/{n}/reading", Reading, "Thickness of the head there")
        .up_to(MOST_DECK_LINES),
    head("deck_removed", "deck/removed", Reading, "Metal taken off the deck so far"),
    head("dowels", "deck/dowels", Word, "Dowels"),
    head("bolt_threads", "deck/bolt_threads", Word, "Bolt threads"),
    head("plugs", "deck/plugs", Word, "Core and gallery plugs"),
    head(
        "cam_bore_instrument",
        "cam_bores/instrument",
        Text,
        "Instrument of the cam bores' readings that name no other",
    ),
    head("cam_bore_straightness", "cam_bores/straightness", Reading, "Straightness of the line of cam bores"),
    head("cam_bore_diameter_{n}", "cam_bores/diameters/{n}", Number, "Diameter of a cam bore")
        .up_to(MOST_CAM_BORES),
    head("cam_bore_clearance_{n}", "cam_bores/clearances/{n}", Number, "Clearance of a cam journal")
        .up_to(MOST_CAM_BORES),
    head("crack_test_method", "tests/crack/method", Text, "How the crack test was done"),
    head("crack_found", "tests/crack/crack_found", YesNo, "Was a crack found?"),
    head("crack_note", "tests/crack/note", Text, "Where the crack is"),
    head("pressure_test_medium", "tests/pressure/medium", Text, "Air, water ..."),
    head(
        "pressure_test_pressure",
        "tests/pressure/pressure",
        Reading,
        "At what pressure above the atmosphere",
    ),
    head(
        "pressure_test_temperature",
        "tests/pressure/temperature",
        Reading,
        "At what temperature, degrees Celsius",
    ),
    head("pressure_test_seconds", "tests/pressure/seconds", Reading, "For how many seconds"),
    head("pressure_test_held", "tests/pressure/held", YesNo, "Did it hold?"),
];
