//! Wrong documents are refused with every fault, each at its JSON Pointer (RFC 6901).

use headproof_wire::{
    At, Document, Fault, MeasurementSet, ReadError, TargetProfile, evaluation_document, measurement_set,
    read, target_profile,
};
use serde_json::{Value, json};

const SET: &str = include_str!("../examples/set-generator-3cyl-6v.json");
const PROFILE: &str = include_str!("../examples/profile-demo-iron-6v.json");

fn set() -> Value {
    serde_json::from_str(SET).expect("a demo set")
}

fn profile() -> Value {
    serde_json::from_str(PROFILE).expect("a demo profile")
}

/// Faults of a text, whether found in reading or in converting; none when it is accepted.
fn faults_of<T: serde::de::DeserializeOwned + Document, D>(
    text: &[u8],
    convert: impl Fn(&T, &At<'_>) -> Result<D, Vec<Fault>>,
) -> Vec<Fault> {
    match read::<T>(text) {
        Ok(document) => convert(&document, &At::Root).err().unwrap_or_default(),
        Err(ReadError::Faults(faults)) => faults,
        Err(ReadError::NotJson(why)) => panic!("this is JSON: {why}"),
    }
}

fn faults_of_set(text: &str) -> Vec<Fault> {
    faults_of::<MeasurementSet, _>(text.as_bytes(), measurement_set)
}

fn faults_of_profile(text: &str) -> Vec<Fault> {
    faults_of::<TargetProfile, _>(text.as_bytes(), target_profile)
}

/// Exactly these pointers, each with these words in its detail.
#[track_caller]
fn expect(name: &str, mut found: Vec<Fault>, expected: &[(&str, &str)]) {
    found.sort_by(|a, b| a.pointer.cmp(&b.pointer));
    let mut expected = expected.to_vec();
    expected.sort_unstable();
    let pointers: Vec<&str> = found.iter().map(|fault| fault.pointer.as_str()).collect();
    let wanted: Vec<&str> = expected.iter().map(|(pointer, _)| *pointer).collect();
    assert_eq!(pointers, wanted, "{name}: {found:#?}");
    for (fault, (_, words)) in found.iter().zip(&expected) {
        assert!(fault.detail.contains(words), "{name}: {fault:?} should say {words:?}");
    }
}

/// A name, what is put where (`null` takes the member away), and the faults to be told.
type Case<'a> = (&'a str, &'a [(&'a str, Value)], &'a [(&'a str, &'a str)]);

/// The document with each value put at its pointer; the last name may be new.
fn changed(mut document: Value, changes: &[(&str, Value)]) -> String {
    for (pointer, value) in changes {
        let (parent, name) = pointer.rsplit_once('/').expect("a pointer");
        let parent = document.pointer_mut(parent).unwrap_or_else(|| panic!("nothing at {parent}"));
        match parent {
            Value::Object(map) if value.is_null() => {
                map.remove(name).unwrap_or_else(|| panic!("nothing at {pointer}"));
            }
            Value::Object(map) => {
                map.insert(name.to_owned(), value.clone());
            }
            Value::Array(list) if name == "-" => list.push(value.clone()),
            Value::Array(list) => list[name.parse::<usize>().expect("an index")] = value.clone(),
            other => panic!("no place for {pointer} in {other}"),
        }
    }
    document.to_string()
}

#[test]
fn the_documents_that_are_changed_here_are_without_fault() {
    assert_eq!(faults_of_set(SET), []);
    assert_eq!(faults_of_profile(PROFILE), []);
}

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

#[test]
fn faults_of_content_in_a_set() {
    let cases: &[Case<'_>] = &[
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
                ("/instruments/1/coverage_factor", "more than zero"),
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
                ("/ports/1/valve/margin/coverage_factor", "more than zero"),
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

#[test]
fn faults_of_form_and_content_in_a_profile() {
    let cases: &[Case<'_>] = &[
        (
            "a characteristic that nobody judges",
            &[("/limits/0/characteristic", json!("seat-angel"))],
            &[("/limits/0/characteristic", "not a characteristic this service judges")],
        ),
        ("limits that cross", &[("/limits/0/lower", json!(46))], &[("/limits/0", "lower limit lies above")]),
        (
            "the same limit again, with and without its service",
            &[
                (
                    "/limits/-",
                    json!({ "characteristic": "seat-runout", "service": "intake", "use": "build",
                    "upper": 0.06, "if_outside": "rework", "source": "invented for the demo" }),
                ),
                (
                    "/limits/-",
                    json!({ "characteristic": "crack-test", "use": "build",
                    "if_outside": "reject", "source": "invented for the demo" }),
                ),
            ],
            &[
                ("/limits/29", "another limit already applies"),
                ("/limits/30", "another limit already applies"),
            ],
        ),
        (
            "no bound, a bound on what has none, a nominal outside, a service without a port",
            &[
                ("/limits/5/upper", Value::Null),
                ("/limits/28/upper", json!(1)),
                ("/limits/0/nominal", json!(47)),
                ("/limits/25/service", json!("intake")),
            ],
            &[
                ("/limits/0", "nominal lies outside"),
                ("/limits/25", "only a characteristic of a port"),
                ("/limits/28", "takes no bounds"),
                ("/limits/5", "lower or an upper bound"),
            ],
        ),
        (
            "probabilities that prove nothing",
            &[("/decision_rule", json!({ "rule": "guarded", "conformance_probability": 1.0 }))],
            &[("/decision_rule/conformance_probability", "less than 1")],
        ),
        (
            "a name that cannot stand in an address",
            &[("/id", json!("demo iron")), ("/revision", json!(""))],
            &[("/id", "letters, digits"), ("/revision", "letters, digits")],
        ),
        (
            "a source left out",
            &[("/limits/2/source", Value::Null)],
            &[("/limits/2/source", "required and missing")],
        ),
        (
            "sources that say nothing",
            &[("/limits/1/source", json!(" ")), ("/limits/2/source", json!(""))],
            &[("/limits/1/source", "names its source"), ("/limits/2/source", "names its source")],
        ),
        ("no limits", &[("/limits", json!([]))], &[("/limits", "at least one limit")]),
        (
            "a rule with a field it does not have",
            &[("/decision_rule", json!({ "rule": "simple", "conformance_probability": 0.95 }))],
            &[("/decision_rule/conformance_probability", "not a field")],
        ),
        (
            "a typing error in the rule",
            &[("/decision_rule", json!({ "rule": "guarded", "conformance_probabilty": 0.95 }))],
            &[
                ("/decision_rule/conformance_probability", "required and missing"),
                ("/decision_rule/conformance_probabilty", "not a field"),
            ],
        ),
        (
            "a rule that does not exist",
            &[("/decision_rule", json!({ "rule": "generous" }))],
            &[("/decision_rule", "none of the forms")],
        ),
    ];
    for (name, changes, expected) in cases {
        expect(name, faults_of_profile(&changed(profile(), changes)), expected);
    }
}

/// The demo text with one piece replaced: for what a JSON value cannot hold.
#[track_caller]
fn replaced(old: &str, new: &str) -> String {
    assert_eq!(SET.matches(old).count(), 1, "{old} stands exactly once");
    SET.replace(old, new)
}

#[test]
fn faults_of_the_text() {
    let first_margin = r#""gasket_bore": { "value": 79,"#;
    let with_number =
        |number: &str| replaced(first_margin, &format!(r#""gasket_bore": {{ "value": {number},"#));
    let at = "/layout/compression/gasket_bore/value";
    let too_deep = deep(30);
    let cases = [
        ("sixteen digits", with_number("79.00000000000001"), vec![(at, "more than 15 significant digits")]),
        (
            "seventeen digits",
            with_number("0.30000000000000004"),
            vec![(at, "more than 15 significant digits")],
        ),
        ("sixteen digits before the point", with_number("1234567890123456"), vec![(at, "more than 15")]),
        ("beyond the range of numbers", with_number("1e999"), vec![(at, "out of the range")]),
        ("beyond it below zero", with_number("-1e999"), vec![(at, "out of the range")]),
        (
            "a key given twice",
            replaced(r#""casting": "DEMO 6-K","#, r#""casting": "DEMO 6-K", "casting": "DEMO 6-L","#),
            vec![("/head/casting", "stands more than once")],
        ),
        (
            "a key given twice, once with an escape",
            replaced(r#""casting": "DEMO 6-K","#, r#""casting": "DEMO 6-K", "cas\u0074ing": "x","#),
            vec![("/head/casting", "stands more than once")],
        ),
        (
            "several at once",
            replaced(
                r#""casting": "DEMO 6-K","#,
                r#""casting": "DEMO 6-K", "hardness": 1.2345678901234567, "hardness": 1e400, "colour": 1,"#,
            ),
            vec![
                ("/head/colour", "not a field"),
                ("/head/hardness", "15 significant digits"),
                ("/head/hardness", "stands more than once"),
                ("/head/hardness", "out of the range"),
            ],
        ),
        (
            "half of a surrogate pair",
            replaced(r#""casting": "DEMO 6-K","#, r#""casting": "DEMO \ud800","#),
            vec![("/head/casting", "surrogate")],
        ),
        (
            "nested a thousand deep",
            replaced(
                r#""casting": "DEMO 6-K","#,
                &format!(r#""casting": {}{},"#, "[".repeat(1000), "]".repeat(1000)),
            ),
            vec![("/head/casting", ""), (too_deep.as_str(), "nested too deep")],
        ),
    ];
    for (name, text, mut expected) in cases {
        let mut found = faults_of_set(&text);
        // Faults at one place come in no order that is promised.
        found.sort_by(|a, b| (&a.pointer, &a.detail).cmp(&(&b.pointer, &b.detail)));
        expected.sort_unstable();
        let mut by_words = Vec::new();
        for fault in &found {
            let known = expected
                .iter()
                .position(|(pointer, words)| *pointer == fault.pointer && fault.detail.contains(words));
            by_words.push(known.unwrap_or_else(|| panic!("{name}: {fault:?} was not expected")));
        }
        by_words.sort_unstable();
        assert_eq!(by_words, (0..expected.len()).collect::<Vec<_>>(), "{name}: {found:#?}");
    }
}

fn deep(levels: usize) -> String {
    format!("/head/casting{}", "/0".repeat(levels))
}

/// RFC 8259: what is no JSON text at all. A byte order mark must not be sent (clause 8.1).
#[test]
fn what_is_no_json_is_told_so() {
    let bom = [b"\xef\xbb\xbf".as_slice(), SET.as_bytes()].concat();
    let utf16: Vec<u8> = SET.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let latin1 =
        SET.replace("Süß", "S\u{1}").into_bytes().iter().map(|b| if *b == 1 { 0xfc } else { *b }).collect();
    let cases: [(&str, Vec<u8>); 12] = [
        ("nothing", Vec::new()),
        ("blanks", b" \n\t".to_vec()),
        ("prose", b"the head is fine".to_vec()),
        ("cut off", SET.as_bytes()[..SET.len() / 2].to_vec()),
        ("two documents", [SET.as_bytes(), SET.as_bytes()].concat()),
        ("a byte order mark", bom),
        ("UTF-16", utf16),
        ("Latin-1", latin1),
        ("not a number", replaced(r#""casting": "DEMO 6-K""#, r#""hardness": NaN"#).into_bytes()),
        (
            "a comma too many",
            replaced(r#""casting": "DEMO 6-K","#, r#""casting": "DEMO 6-K",,"#).into_bytes(),
        ),
        ("a leading zero", replaced(r#""casting": "DEMO 6-K""#, r#""hardness": 0123"#).into_bytes()),
        ("a raw line feed in a text", replaced("DEMO 6-K", "DEMO\n6-K").into_bytes()),
    ];
    for (name, text) in cases {
        match read::<MeasurementSet>(&text) {
            Err(ReadError::NotJson(why)) => assert!(!why.is_empty(), "{name}"),
            other => panic!("{name}: {other:?}"),
        }
    }
}

#[test]
fn json_of_another_shape_is_refused_at_the_root() {
    for text in ["null", "[]", "3", "\"set\"", "true"] {
        let faults = faults_of_set(text);
        expect(text, faults, &[("", "")]);
    }
}

/// Nothing was measured: a document without fault, a head without a pass.
#[test]
fn an_empty_list_of_ports_is_no_fault_but_leaves_the_head_incomplete() {
    let text = changed(set(), &[("/ports", json!([]))]);
    let set: MeasurementSet = read(text.as_bytes()).expect("a set");
    let set = measurement_set(&set, &At::Root).expect("no faults");
    let profile: TargetProfile = read(PROFILE.as_bytes()).expect("a profile");
    let profile = target_profile(&profile, &At::Root).expect("no faults");
    let evaluation = evaluation_document(&headproof_judge::evaluate(&set, &profile), &set, &profile);
    assert_eq!(evaluation.disposition, "incomplete");
    assert_eq!(evaluation.ports.len(), 6);
    assert!(evaluation.findings.iter().all(|finding| finding.code == "port-missing"));
}

/// A list of a thousand faulty readings gives a fault for each, and a document of faults stops somewhere.
#[test]
fn faults_are_counted_out_but_not_without_end() {
    let points = |count: usize| {
        let points: Vec<Value> = (0..count).map(|x| json!({ "x": x, "y": 0, "z": 0, "w": 0 })).collect();
        changed(set(), &[("/deck/heights/points", json!(points))])
    };
    let few = faults_of_set(&points(300));
    assert_eq!(few.len(), 300);
    assert_eq!(few[299].pointer, "/deck/heights/points/299/w");
    assert_eq!(faults_of_set(&points(3000)).len(), 1000);
}
