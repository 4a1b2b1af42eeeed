//! Sets of the right form that say what cannot be.

use serde_json::json;

use super::{Case, changed, expect, faults_of_set, set};

#[test]
fn faults_of_content_in_a_set() {
    let cases: &[Case<'_>] = &[
        (
            "faults of form and of content at once, neither hiding the other",
            &[
                ("/ports/0/seat/direktion", json!(1)),
                ("/head/serial", json!(null)),
                ("/ports/0/valve/margin", json!("1.2")),
                ("/ports/0/valve/head_diameter", json!(-36.0)),
                ("/job/measured_at", json!("yesterday")),
            ],
            &[
                ("/head/serial", "required and missing"),
                ("/job/measured_at", "RFC 3339"),
                ("/ports/0/seat/direktion", "not a field"),
                ("/ports/0/valve/head_diameter", "must be more than zero"),
                ("/ports/0/valve/margin", ""),
            ],
        ),
        (
            "a port that may be any: nothing is said of its neighbours",
            &[("/ports/0/cylinder", json!("2")), ("/ports/5/valve/head_diameter", json!(-36.0))],
            &[("/ports/0/cylinder", "integer")],
        ),
        (
            "the same with its service, its number, and all of it",
            &[
                ("/ports/1/service", json!("outlet")),
                ("/ports/2/index", json!(null)),
                ("/ports/4", json!("2 intake 1")),
            ],
            &[("/ports/1/service", "is none of"), ("/ports/2/index", "missing"), ("/ports/4", "object")],
        ),
        (
            "a chamber of no cylinder and one of another kind",
            &[("/chambers/1/cylinder", json!(1.5)), ("/chambers/2", json!([]))],
            &[("/chambers/1/cylinder", "integer"), ("/chambers/2", "object")],
        ),
        (
            "an element of a list whose elements are told apart by nothing but their order",
            &[("/ports/0/seat/widths/0", json!("1.5")), ("/ports/0/valve/head_diameter", json!(-36.0))],
            &[
                ("/ports/0/seat/widths/0", "none of the forms"),
                ("/ports/0/valve/head_diameter", "must be more than zero"),
            ],
        ),
        (
            "diameters below and at zero",
            &[("/ports/0/valve/head_diameter", json!(-36.0)), ("/ports/1/guide/bores/top/1", json!(0))],
            &[
                ("/ports/0/valve/head_diameter", "must be more than zero"),
                ("/ports/1/guide/bores/top/1", "must be more than zero"),
            ],
        ),
        (
            "a width below zero among repeats",
            &[("/ports/0/seat/widths/2", json!({ "repeats": [1.5, -1.5] }))],
            &[("/ports/0/seat/widths/2/repeats/1", "must not be negative")],
        ),
        (
            "a seat angle that no seat has",
            &[("/ports/0/seat/seat_angle", json!(90)), ("/ports/0/valve/face_angle", json!(0))],
            &[("/ports/0/seat/seat_angle", "less than 90°"), ("/ports/0/valve/face_angle", "more than 0°")],
        ),
        (
            "instruments that the set does not list",
            &[
                ("/ports/5/guide/instrument", json!("bore-9")),
                ("/ports/0/valve/margin", json!({ "value": 1.2, "instrument": "mic-9" })),
                ("/ports/0/spring_pack/springs/0/instrument", json!("tester-9")),
            ],
            &[
                ("/ports/0/spring_pack/springs/0/instrument", "no instrument of this set"),
                ("/ports/0/valve/margin/instrument", "no instrument of this set"),
                ("/ports/5/guide/instrument", "no instrument of this set"),
            ],
        ),
        (
            "an instrument of another kind",
            &[("/ports/0/valve/margin", json!({ "value": 1.2, "instrument": "spring-tester" }))],
            &[("/ports/0/valve/margin/instrument", "does not measure Length")],
        ),
        (
            "two instruments of one name",
            &[("/instruments/1/id", json!("bore-1"))],
            &[
                ("/instruments/1/id", "another instrument has this id"),
                ("/ports/0/valve/instrument", "no"),
                ("/ports/1/valve/instrument", "no"),
                ("/ports/2/valve/instrument", "no"),
                ("/ports/3/valve/instrument", "no"),
                ("/ports/4/valve/instrument", "no"),
                ("/ports/5/valve/instrument", "no"),
            ],
        ),
        (
            "instruments of impossible quality",
            &[
                ("/instruments/0/expanded_uncertainty", json!(-0.001)),
                ("/instruments/1/coverage_factor", json!(0)),
                ("/instruments/2/resolution", json!(0)),
            ],
            &[
                ("/instruments/0/expanded_uncertainty", "zero or more"),
                ("/instruments/1/coverage_factor", "coverage factor must be"),
                ("/instruments/2/resolution", "more than zero"),
            ],
        ),
        (
            "readings of impossible quality",
            &[
                ("/ports/0/valve/margin", json!({ "value": 1.2, "expanded_uncertainty": -0.01 })),
                (
                    "/ports/1/valve/margin",
                    json!({ "value": 1.5, "expanded_uncertainty": 0.01, "coverage_factor": 0 }),
                ),
                ("/ports/2/valve/margin", json!({ "value": 1.2, "coverage_factor": 2 })),
            ],
            &[
                ("/ports/0/valve/margin/expanded_uncertainty", "negative"),
                ("/ports/1/valve/margin/coverage_factor", "coverage factor must be"),
                ("/ports/2/valve/margin/coverage_factor", "expanded_uncertainty, which is missing"),
            ],
        ),
        (
            "a port given twice",
            &[("/ports/3/cylinder", json!(1))],
            &[("/ports/3", "cylinder 1 exhaust 1 was already given as element 1")],
        ),
        (
            "ports that the layout does not have",
            &[("/ports/0/cylinder", json!(4)), ("/ports/1/index", json!(2))],
            &[
                ("/ports/0", "the layout has no cylinder 4 intake 1"),
                ("/ports/1", "the layout has no cylinder 1 exhaust 2"),
            ],
        ),
        (
            "chambers and diesel parts of no cylinder, or twice",
            &[
                ("/chambers/0/cylinder", json!(9)),
                ("/chambers/2/cylinder", json!(2)),
                ("/diesel/1/cylinder", json!(1)),
            ],
            &[
                ("/chambers/0/cylinder", "cylinders 1 to 3"),
                ("/chambers/2/cylinder", "already given"),
                ("/diesel/1/cylinder", "already given"),
            ],
        ),
        (
            "dates that are none",
            &[
                ("/job/measured_at", json!("2026-02-30T09:40:00+01:00")),
                ("/instruments/0/calibration_due", json!("30.11.2026")),
                ("/instruments/1/calibration_due", json!("2026-13-01")),
            ],
            &[
                ("/instruments/0/calibration_due", "YYYY-MM-DD"),
                ("/instruments/1/calibration_due", "YYYY-MM-DD"),
                ("/job/measured_at", "RFC 3339"),
            ],
        ),
        (
            "a time without an offset",
            &[("/job/measured_at", json!("2026-03-20T16:20:00"))],
            &[("/job/measured_at", "offset")],
        ),
        (
            "signs that steer a line",
            &[
                ("/head/serial", json!("DEMO\n1")),
                ("/customer/name", json!("abc\u{202e}def")),
                ("/job/measured_by", json!("x\u{061c}y")),
                ("/job/bench", json!("\u{0}")),
                ("/ports/0/valve/tag", json!("\u{2066}1I")),
            ],
            &[
                ("/customer/name", "U+202E"),
                ("/head/serial", "U+000A"),
                ("/job/bench", "U+0000"),
                ("/job/measured_by", "U+061C"),
                ("/ports/0/valve/tag", "U+2066"),
            ],
        ),
        (
            "texts that say nothing or too much",
            &[("/head/serial", json!("  ")), ("/job/number", json!("x".repeat(201)))],
            &[("/head/serial", "must not be empty"), ("/job/number", "200")],
        ),
        (
            "both a value and repeats, and neither",
            &[
                ("/ports/0/valve/margin", json!({ "value": 1.2, "repeats": [1.2, 1.2] })),
                ("/ports/1/valve/margin", json!({ "expanded_uncertainty": 0.01 })),
                ("/ports/2/valve/margin", json!({})),
            ],
            &[
                ("/ports/0/valve/margin", "either value or repeats"),
                ("/ports/1/valve/margin", "either value or repeats"),
                ("/ports/2/valve/margin", "either value or repeats"),
            ],
        ),
        (
            "no repeats",
            &[("/ports/0/valve/margin", json!({ "repeats": [] }))],
            &[("/ports/0/valve/margin/repeats", "at least one value")],
        ),
        (
            "lists too short and too long, each told where it stands",
            &[
                ("/ports/0/seat/runout/readings", json!([0, 0.01, 0.02])),
                ("/ports/1/seat/widths", json!(vec![1.7; 361])),
                ("/ports/2/guide/bores/top", json!([8.01, 8.01, 8.01, 8.01, -8.01])),
            ],
            &[
                ("/ports/0/seat/runout/readings", "must have 4 to 720 elements, has 3"),
                ("/ports/1/seat/widths", "must have 0 to 360 elements, has 361"),
                ("/ports/2/guide/bores/top", "must have 0 to 4 elements, has 5"),
            ],
        ),
        (
            "amounts beyond any head and finer than any gauge",
            &[("/ports/0/valve/margin", json!(1.5e7)), ("/ports/1/valve/margin", json!(1e-16))],
            &[("/ports/0/valve/margin", "larger than 1000000"), ("/ports/1/valve/margin", "finer than 15")],
        ),
        (
            "the format line of another version",
            &[("/format", json!("headproof/measurement-set/2"))],
            &[("/format", "must be headproof/measurement-set/1")],
        ),
        (
            "a layout of no engine",
            &[("/layout/intake_per_cylinder", json!(0))],
            &[
                ("/layout/intake_per_cylinder", "must be 1 to 4"),
                ("/ports/0", "the layout has no"),
                ("/ports/2", "the layout has no"),
                ("/ports/4", "the layout has no"),
            ],
        ),
    ];
    for (name, changes, expected) in cases {
        expect(name, faults_of_set(&changed(set(), changes)), expected);
    }
}
