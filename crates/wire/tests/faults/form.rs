//! Sets that are not of the form of a set.

use serde_json::{Value, json};

use super::{Case, changed, expect, faults_of_set, set};

#[test]
fn faults_of_form_in_a_set() {
    let cases: &[Case<'_>] = &[
        (
            "a typing error deep in a port",
            &[("/ports/2/seat/runout/direktion", json!("square"))],
            &[("/ports/2/seat/runout/direktion", "not a field of this document")],
        ),
        (
            "an unknown field with signs that a pointer escapes",
            &[("/ports/0/valve/a~1b~0c", json!(1))],
            &[("/ports/0/valve/a~01b~00c", "not a field")],
        ),
        (
            "several unknown fields in one object and one elsewhere",
            &[("/head/colour", json!("red")), ("/head/age", json!(3)), ("/job/mood", json!("good"))],
            &[("/head/age", "not a field"), ("/head/colour", "not a field"), ("/job/mood", "not a field")],
        ),
        (
            "required fields left out",
            &[
                ("/head/serial", Value::Null),
                ("/job/measured_at", Value::Null),
                ("/units/length", Value::Null),
            ],
            &[
                ("/head/serial", "required and missing"),
                ("/job/measured_at", "required and missing"),
                ("/units/length", "required and missing"),
            ],
        ),
        (
            "required fields of nested objects left out",
            &[("/ports/1/leak/decay/seconds", Value::Null), ("/chambers/2/volume", Value::Null)],
            &[
                ("/chambers/2/volume", "required and missing"),
                ("/ports/1/leak/decay/seconds", "required and missing"),
            ],
        ),
        (
            "wrong types",
            &[
                ("/ports/0/valve/margin", json!("1.2")),
                ("/ports/0/valve/coated", json!("no")),
                ("/layout/cylinders", json!(3.5)),
                ("/ports/3/seat/widths", json!(1.7)),
            ],
            &[
                ("/layout/cylinders", "integer"),
                ("/ports/0/valve/coated", "boolean"),
                ("/ports/0/valve/margin", "none of the forms"),
                ("/ports/3/seat/widths", "array"),
            ],
        ),
        (
            "a word that is none of those allowed",
            &[("/ports/4/service", json!("outlet")), ("/units/length", json!("inch"))],
            &[("/ports/4/service", "is none of"), ("/units/length", "is none of")],
        ),
        (
            "a typing error in a reading object",
            &[("/ports/0/valve/margin", json!({ "valeu": 1.2 }))],
            &[("/ports/0/valve/margin/valeu", "not a field")],
        ),
        (
            "a wrong type inside a reading object",
            &[("/ports/0/valve/margin", json!({ "repeats": [1.2, "1.3", 1.2] }))],
            &[("/ports/0/valve/margin/repeats/1", "number")],
        ),
        (
            "a cylinder that no count of cylinders reaches",
            &[("/ports/0/cylinder", json!(300))],
            &[("/ports/0/cylinder", "")],
        ),
        ("the whole document of another kind", &[("/ports", json!({ "1": {} }))], &[("/ports", "array")]),
    ];
    for (name, changes, expected) in cases {
        expect(name, faults_of_set(&changed(set(), changes)), expected);
    }
}
