//! Every fault says where it is: row and column of the file, and the place in the request.

mod common;

use std::collections::BTreeSet;

use common::{faults, file, rows, taken, told, with};
use headproof_tabular::{Given, heads};
use headproof_wire::{JobRequest, MOST_FAULTS, read};
use serde_json::json;

const PORT: &str = "/measurement_set/ports/0";

/// The single fault of a file with this cell changed.
#[track_caller]
fn fault_of(row: usize, column: &str, cell: &str) -> String {
    let told = told(file(&with(rows("A-1"), row, column, cell)).as_bytes());
    assert_eq!(told.len(), 1, "{column} {cell}: {told:#?}");
    told[0].clone()
}

/// Written by hand on both sides, so that a column that goes to a wrong place is seen.
#[test]
fn columns_go_where_a_person_would_put_them() {
    let mut rows = rows("A-1");
    let cells = [
        ("seat_angle", "45.0"),
        ("seat_angle_instrument", "angle-1"),
        ("seat_inner_diameter", "30.1"),
        ("seat_outer_diameter", "32.2"),
        ("seat_width_1", "1.42"),
        ("seat_width_2", "1.45"),
        ("guide_bore_top_1", "8.012"),
        ("guide_bore_bottom_1", "8.013"),
        ("stem_diameter_middle", "7.965"),
        ("valve_margin_repeat_1", "1.31"),
        ("valve_margin_repeat_2", "1.33"),
        ("valve_margin_uncertainty", "0.02"),
        ("spring_1_height_1", "39"),
        ("spring_1_load_1", "198.7"),
        ("valve_recession", "-0.3"),
        ("leak_held", "yes"),
        ("contact_gaps", "none"),
        ("chamber_volume", "41.5"),
        ("instrument_1_id", "angle-1"),
        ("instrument_1_description", "protractor, \"fine\""),
        ("instrument_1_measures", "angle"),
        ("instrument_1_uncertainty", "0.12"),
        ("instrument_1_coverage_factor", "2"),
        ("deck_height_1_x", "0"),
        ("deck_height_1_y", "1.5"),
        ("deck_height_1", "0.01"),
        ("customer_name", "a co-operative"),
        ("overheated", "no"),
        ("sheet_language", "de"),
    ];
    for (name, cell) in cells {
        rows = with(rows, 2, name, cell);
    }
    for number in 2..=4 {
        for (name, cell) in [("_x", "5"), ("_y", "6"), ("", "0.02")] {
            rows = with(rows, 2, &format!("deck_height_{number}{name}"), cell);
        }
    }
    let point = json!({"x": 5, "y": 6, "z": 0.02});
    let expected = json!({
        "measurement_set": {
            "format": "headproof/measurement-set/1",
            "units": {"length": "mm", "force": "N", "volume": "mL", "pressure": "kPa", "roughness": "um"},
            "head": {"serial": "A-1", "material": "cast-iron", "overheated": false},
            "customer": {"name": "a co-operative"},
            "job": {"number": "J-1", "stage": "final", "measured_by": "an invented person",
                    "measured_at": "2026-03-01T10:00:00+01:00"},
            "layout": {"camshaft": "pushrod", "lifter": "adjustable", "cylinders": 1,
                       "intake_per_cylinder": 1, "exhaust_per_cylinder": 1},
            "instruments": [{"id": "angle-1", "description": "protractor, \"fine\"", "measures": "angle",
                             "expanded_uncertainty": 0.12, "coverage_factor": 2}],
            "deck": {"heights": {"points": [{"x": 0, "y": 1.5, "z": 0.01}, point, point, point]}},
            "chambers": [{"cylinder": 1, "volume": 41.5}],
            "ports": [
                {"cylinder": 1, "service": "intake", "index": 1,
                 "seat": {"seat_angle": {"value": 45.0, "instrument": "angle-1"}, "inner_diameter": 30.1,
                          "outer_diameter": 32.2, "widths": [1.42, 1.45]},
                 "guide": {"bores": {"top": [8.012], "bottom": [8.013]}},
                 "valve": {"stem": {"middle": 7.965},
                           "margin": {"repeats": [1.31, 1.33], "expanded_uncertainty": 0.02}},
                 "spring_pack": {"springs": [{"loads": [{"height": 39, "load": 198.7}]}]},
                 "assembly": {"recession": -0.3},
                 "leak": {"held": true},
                 "contact": {"gaps": []}},
                {"cylinder": 1, "service": "exhaust", "index": 1}
            ]
        },
        "profile_ref": {"id": "demo", "revision": "1"},
        "sheet": {"language": "de"}
    });
    let expected: JobRequest = read(expected.to_string().as_bytes()).expect("a request");
    let found = taken(file(&rows).as_bytes());
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].request.as_ref(), Ok(&expected));
}

#[test]
fn a_cell_that_is_no_such_value_is_told() {
    let widths = format!("{PORT}/seat/widths/0 row 2, column seat_width_1:");
    let number = "must be a number as JSON writes it";
    assert_eq!(
        fault_of(2, "seat_width_1", "1,5"),
        format!("{widths} must be a number with a decimal point, not a comma")
    );
    assert_eq!(
        fault_of(2, "seat_width_1", "1.5 "),
        format!("{widths} must be a number without spaces around it")
    );
    for cell in ["NaN", "1.5 mm", "1.5\n", "=A1", "١"] {
        let told = fault_of(2, "seat_width_1", cell);
        assert!(told.starts_with(&widths), "{told}");
    }
    assert_eq!(fault_of(2, "seat_width_1", "inf"), format!("{widths} {number}"));
    assert_eq!(
        fault_of(2, "seat_width_1", "1.234567890123456"),
        format!("{widths} has more than 15 significant digits")
    );
    assert_eq!(
        fault_of(3, "valve_coated", "TRUE"),
        "/measurement_set/ports/1/valve/coated row 3, column valve_coated: must be yes or no"
    );
    assert_eq!(
        fault_of(2, "index", "1.0"),
        format!("{PORT}/index row 2, column index: must be a whole number")
    );
    let angle = fault_of(3, "seat_angle", "45°");
    assert_eq!(angle, format!("/measurement_set/ports/1/seat/seat_angle row 3, column seat_angle: {number}"));
}

/// What only the document as a whole shows is told of the cell it comes from.
#[test]
fn faults_of_content_are_told_with_row_and_column() {
    let begins = |row: usize, column: &str, cell: &str, with: &str| {
        let told = fault_of(row, column, cell);
        assert!(told.starts_with(with), "{told}\n{with}");
    };
    begins(2, "seat_angle", "90", &format!("{PORT}/seat/seat_angle row 2, column seat_angle: "));
    begins(2, "cylinder", "17", &format!("{PORT} row 2: the layout has no cylinder 17"));
    begins(2, "service", "inlet", &format!("{PORT}/service row 2, column service: is none of [\"intake\""));
    begins(2, "index", "", &format!("{PORT}/index row 2, column index: is required and missing"));
    begins(
        3,
        "valve_instrument",
        "mic-9",
        "/measurement_set/ports/1/valve/instrument row 3, column valve_instrument: names no instrument",
    );
    let told = told_of(&file(&with(rows("A-1"), 2, "instrument_1_id", "mic-1")));
    let missing = ["description", "measures", "expanded_uncertainty", "coverage_factor"];
    let columns = ["description", "measures", "uncertainty", "coverage_factor"];
    let expected = missing.iter().zip(columns).map(|(name, column)| {
        let place =
            format!("/measurement_set/instruments/0/{name} rows 2 to 3, column instrument_1_{column}");
        format!("{place}: is required and missing")
    });
    assert_eq!(told.iter().collect::<BTreeSet<_>>(), expected.collect::<Vec<_>>().iter().collect());
}

#[test]
fn faults_of_a_head_are_told_of_the_row_they_stand_on() {
    let changed = |cells: &[(usize, &str, &str)]| {
        let rows = cells.iter().fold(rows("A-1"), |rows, (row, name, cell)| with(rows, *row, name, cell));
        told(file(&rows).as_bytes())
    };
    let at = "/measurement_set/job/measured_at";
    let told = changed(&[(2, "measured_at", "yesterday"), (3, "measured_at", "")]);
    assert!(told[0].starts_with(&format!("{at} row 2, column measured_at: ")) && told.len() == 1, "{told:?}");
    let told = changed(&[(2, "measured_at", ""), (3, "measured_at", "yesterday")]);
    assert!(told[0].starts_with(&format!("{at} row 3, column measured_at: ")) && told.len() == 1, "{told:?}");
    assert_eq!(
        changed(&[(2, "measured_at", ""), (3, "measured_at", "")]),
        [format!("{at} rows 2 to 3, column measured_at: is required and missing")]
    );
    assert_eq!(
        changed(&[(2, "operator", "A"), (3, "operator", "B")]),
        ["/measurement_set/job/operator row 3, column operator: says something else than row 2"]
    );
    assert_eq!(
        changed(&[(2, "chamber_volume", "41.5"), (3, "chamber_volume", "41.50")]),
        ["/measurement_set/chambers/0/volume row 3, column chamber_volume: says something else than row 2"]
    );
    let told = changed(&[(3, "service", "intake")]);
    assert!(told.iter().any(|told| told.starts_with("/measurement_set/ports/1 row 3: ")), "{told:?}");
}

#[test]
fn numbered_columns_have_no_gaps_and_no_column_contradicts_another() {
    assert_eq!(
        fault_of(2, "seat_width_2", "1.5"),
        format!(
            "{PORT}/seat/widths/0 row 2, column seat_width_1: is empty, but a later one of its kind is not"
        )
    );
    let told =
        told(file(&with(with(rows("A-1"), 3, "contact_gaps", "none"), 3, "contact_gap_1", "5")).as_bytes());
    assert_eq!(
        told,
        [
            "/measurement_set/ports/1/contact/gaps/0 row 3, column contact_gap_1: contradicts another cell of its row"
        ]
    );
    let told = fault_of(2, "seat_angle_uncertainty", "0.1");
    assert_eq!(
        told,
        format!("{PORT}/seat/seat_angle row 2, column seat_angle: needs either value or repeats")
    );
}

#[test]
fn all_faults_come_at_once_and_none_twice() {
    let mut rows = [rows("A-1"), rows("A-2")].concat();
    let changes = [
        (2, "seat_width_1", "1,5"),
        (2, "seat_angle", "90"),
        (3, "valve_margin", "x"),
        (3, "valve_margin_instrument", "mic-9"),
        (4, "job_number", "J-2"),
        (5, "valve_hollow", "0"),
    ];
    for (row, name, cell) in changes {
        rows = with(rows, row, name, cell);
    }
    let found: Vec<String> = faults(file(&rows).as_bytes())
        .into_iter()
        .map(|fault| fault.detail.split_once(": ").expect("a place").0.to_owned())
        .collect();
    assert_eq!(
        found,
        [
            "row 2, column seat_width_1",
            "row 3, column valve_margin",
            "row 2, column seat_angle",
            "row 3, column valve_margin_instrument",
            "row 5, column job_number",
            "row 5, column valve_hollow"
        ]
    );
}

#[test]
fn a_profile_is_named_in_the_rows_or_beside_the_file() {
    let rows = rows("A-1");
    let alone = |text: &str| {
        let found = heads(text.as_bytes(), Given::Nothing).expect("bytes").next().expect("a head");
        found.expect("bytes").request
    };
    let told = alone(&file(&rows)).expect_err("no profile");
    assert_eq!(told[0].pointer, "/profile_ref/id");
    assert!(told[0].detail.starts_with("rows 2 to 3, column profile_id: has to name a profile"), "{told:?}");
    let named = with(with(rows, 3, "profile_id", "mine"), 3, "profile_revision", "7");
    let selector = alone(&file(&named)).map(|request| request.profile_ref.map(|named| named.revision));
    assert_eq!(selector, Ok(Some("7".into())));
    let told = told_of(&file(&named));
    assert!(told[0].contains("row 3, column profile_id: names a profile, but one was given"), "{told:?}");
}

fn told_of(text: &str) -> Vec<String> {
    told(text.as_bytes())
}

#[test]
fn there_are_never_too_many_faults() {
    let port = |row: usize| with(rows("A-1"), 2, "valve_tip", &row.to_string())[0].clone();
    let mut rows: Vec<_> = (0..80).map(port).collect();
    let names = headproof_tabular::columns().iter().filter(|column| column.name.starts_with("seat_runout_"));
    for name in names.map(|column| &column.name).take(20) {
        rows.iter_mut().for_each(|row| row.push((name.clone(), "x".into())));
    }
    assert_eq!(faults(file(&rows).as_bytes()).len(), MOST_FAULTS);
    let rows: Vec<_> = (0..90).map(|_| rows_of_one()).collect();
    let told = told_of(&file(&rows));
    assert_eq!(told[0], "/measurement_set/ports row 82: a head has at most 80 ports");
}

fn rows_of_one() -> common::Row {
    rows("A-1")[0].clone()
}
