//! A set that is written as a document and read again is the same set, in whatever units, and is judged alike.
//!
//! Factors between the units: NIST SP 811 (2008), Appendix B.8, as `quantity` has them; a number is written with
//! 15 significant digits, so what is read again in other units differs by less than a step of the grid.

use headproof_head as head;
use headproof_judge::evaluate;
use headproof_quantity::Rounded;
use headproof_wire::{
    At, ForceUnit, LengthUnit, MeasurementSet, PressureUnit, RoughnessUnit, Units, VolumeUnit, examples,
    measurement_set, read, set_document, target_profile,
};
use serde_json::{Value, json};

const FORMAT: &str = "headproof/measurement-set/1";
const INCH: Units = Units {
    length: LengthUnit::Inch,
    force: ForceUnit::PoundForce,
    volume: VolumeUnit::Millilitre,
    pressure: PressureUnit::InchOfMercury,
    roughness: RoughnessUnit::Microinch,
};
/// As a shop has them whose spring tester is older than its micrometers.
const MIXED: Units = Units { force: ForceUnit::PoundForce, ..Units::BASE };
const ALL_UNITS: [Units; 3] = [Units::BASE, INCH, MIXED];

/// Holds every member that a set can have, with a value that is not taken when it is left out.
const EVERY_FIELD: &str = include_str!("written_sets/every-field.json");

#[track_caller]
fn domain(text: &[u8]) -> (head::MeasurementSet, Units) {
    let document: MeasurementSet = read(text).unwrap_or_else(|error| panic!("{error:?}"));
    let set = measurement_set(&document, &At::Root).unwrap_or_else(|faults| panic!("{faults:?}"));
    (set, document.units)
}

fn written(set: &head::MeasurementSet, units: Units) -> Value {
    serde_json::to_value(set_document(set, units, FORMAT)).expect("a document")
}

/// The set after a way out and in again, through bytes: `read` refuses a number of more than 15 digits.
#[track_caller]
fn again(set: &head::MeasurementSet, units: Units) -> head::MeasurementSet {
    let (again, read_units) =
        domain(&serde_json::to_vec(&set_document(set, units, FORMAT)).expect("a document"));
    assert_eq!(read_units, units);
    again
}

/// Within 10⁻⁹ of itself: more than 15 decimals of an inch lose of the smallest step a gauge shows.
fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * a.abs().max(b.abs())
}

/// What a set says, word by word and number by number, without what is known to get lost: the unit its lengths
/// were written in, and which part of an uncertainty was scatter of repeats.
fn tokens(set: &head::MeasurementSet) -> Vec<String> {
    let mut text =
        format!("{:?}", head::MeasurementSet { lengths: head::LengthUnit::Millimetre, ..set.clone() });
    while let Some(start) = text.find("of_the_gauge: ") {
        let end = text[start..].find("uncertainty: ").expect("the field after it");
        text.replace_range(start..start + end, "");
    }
    text.split([' ', ',', '(', ')', '{', '}', '[', ']']).map(str::to_owned).collect()
}

/// Counts of cylinders are compared as they are; long numbers, which are amounts, as closely as can be.
fn same_token(a: &str, b: &str) -> bool {
    let amount =
        |text: &str| text.parse::<f64>().ok().filter(|_| text.contains(['.', 'e']) || text.len() > 9);
    a == b || matches!((amount(a), amount(b)), (Some(a), Some(b)) if close(a, b))
}

#[track_caller]
fn assert_alike(a: &head::MeasurementSet, b: &head::MeasurementSet) {
    let (a, b) = (tokens(a), tokens(b));
    for at in 0..a.len().max(b.len()) {
        let (one, other) = (a.get(at), b.get(at));
        let same = matches!((one, other), (Some(one), Some(other)) if same_token(one, other));
        assert!(same, "{one:?} became {other:?} after {:?}", &a[at.saturating_sub(40)..at.min(a.len())]);
    }
}

/// Every row, in order.
fn rows(evaluation: &head::Evaluation) -> Vec<&head::Row> {
    let cylinders = evaluation.cylinders.iter().flat_map(|(_, rows)| rows);
    let ports = evaluation.ports.iter().flat_map(|port| &port.rows);
    evaluation.head.iter().chain(cylinders).chain(ports).collect()
}

/// What a row says beside its numbers.
fn words(row: &head::Row) -> String {
    let in_order = match row.measured {
        Some(head::Measured::InOrder(in_order)) => Some(in_order),
        _ => None,
    };
    let head::Row { characteristic, place, limit, required, verdict, reason, .. } = row;
    format!("{} {place:?} {limit:?} {required} {verdict:?} {reason:?} {in_order:?}", characteristic.as_str())
}

/// What a row measured and by how much it is beyond its limit, in grid steps; its uncertainty and probability.
fn numbers(row: &head::Row) -> ([Option<i64>; 2], [Option<f64>; 2]) {
    let amount = match row.measured {
        Some(head::Measured::Amount(amount)) => Some(amount),
        _ => None,
    };
    ([amount, row.deviation].map(|amount| amount.map(Rounded::count)), [row.uncertainty, row.probability])
}

/// The same rows, with amounts at most so many steps of the grid apart.
#[track_caller]
fn assert_rows_alike(a: &head::Evaluation, b: &head::Evaluation, most_steps: u64) {
    let (a, b) = (rows(a), rows(b));
    assert_eq!(a.len(), b.len());
    for (a, b) in a.into_iter().zip(b) {
        assert_eq!(words(a), words(b));
        let ((steps, [u, p]), (other_steps, [other_u, other_p])) = (numbers(a), numbers(b));
        for pair in steps.into_iter().zip(other_steps) {
            let near = match pair {
                (Some(one), Some(other)) => one.abs_diff(other) <= most_steps,
                (one, other) => one == other,
            };
            assert!(near, "{a:?}\nbecame\n{b:?}");
        }
        let near = |one: Option<f64>, other: Option<f64>, by: fn(f64, f64) -> bool| match (one, other) {
            (Some(one), Some(other)) => by(one, other),
            (one, other) => one.is_none() && other.is_none(),
        };
        assert!(near(u, other_u, close), "{a:?}\nbecame\n{b:?}");
        // The documents show six decimals of a probability.
        assert!(near(p, other_p, |one, other| (one - other).abs() < 1e-6), "{a:?}\nbecame\n{b:?}");
    }
}

/// The same judgement but for the wording of findings, which may name amounts in units of the set.
#[track_caller]
fn assert_judged_alike(a: &head::Evaluation, b: &head::Evaluation, most_steps: u64) {
    assert_rows_alike(a, b, most_steps);
    assert_eq!((a.disposition, a.tally, &a.causes), (b.disposition, b.tally, &b.causes));
    let ports =
        |of: &head::Evaluation| of.ports.iter().map(|port| (port.port, port.verdict)).collect::<Vec<_>>();
    assert_eq!(ports(a), ports(b));
    let findings = |of: &head::Evaluation| -> Vec<_> {
        of.findings.iter().map(|of| (of.code, of.severity, of.at.clone(), of.touches.clone())).collect()
    };
    assert_eq!(findings(a), findings(b));
}

#[test]
fn a_demo_head_is_the_same_after_a_way_out_and_in_and_is_judged_alike() {
    for (example, profile) in examples::HEADS {
        let profile = read(profile.text.as_bytes()).expect("a demo profile");
        let profile = target_profile(&profile, &At::Root).expect("a profile without faults");
        let (set, posted) = domain(example.text.as_bytes());
        let judged = evaluate(&set, &profile);
        assert!(rows(&judged).len() > 50, "{}", example.name);
        for units in ALL_UNITS {
            let again = again(&set, units);
            assert_alike(&set, &again);
            let most_steps = u64::from(posted != units);
            assert_judged_alike(&judged, &evaluate(&again, &profile), most_steps);
        }
    }
}

/// Of everything a set can hold there is something in it, or the next test would prove less than it says.
#[test]
fn the_set_of_every_field_leaves_nothing_out() {
    let (set, _) = domain(EVERY_FIELD.as_bytes());
    let text = format!("{set:?}");
    // Coils are counted without a gauge.
    assert_eq!(text.matches("None").count(), 1);
    assert!(text.contains("active_coils: Reading") && text.contains("instrument: None"), "{text}");
    assert!(!text.contains("[]") && !text.contains("false"), "{text}");
}

#[test]
fn every_field_comes_out_and_is_read_as_it_was() {
    let (set, posted) = domain(EVERY_FIELD.as_bytes());
    assert_eq!(again(&set, posted), set);
    for units in ALL_UNITS {
        assert_alike(&set, &again(&set, units));
    }
}

/// A document that says nothing but what it must is written without empty blocks.
#[test]
fn what_was_not_measured_is_left_out() {
    let mut bare: Value = serde_json::from_str(EVERY_FIELD).expect("JSON");
    for member in ["customer", "deck", "cam_bores", "diesel", "tests"] {
        bare.as_object_mut().expect("a set").remove(member);
    }
    bare["ports"] = json!([{ "cylinder": 1, "service": "intake", "index": 2 }]);
    bare["chambers"] = json!([]);
    bare["instruments"] = json!([]);
    bare["job"] = json!({ "number": "1", "stage": "final", "measured_by": "nobody", "measured_at": "2026-03-12T09:40:07Z" });
    bare["head"] = json!({ "serial": "1", "material": "cast-iron", "overheated": false, "welded": false });
    bare["layout"].as_object_mut().expect("a layout").remove("compression");
    let (set, posted) = domain(bare.to_string().as_bytes());
    assert_eq!(written(&set, posted), bare);
    // An empty list of gaps says that there are none, and cam bores without a reading are there all the same.
    bare["ports"][0]["contact"] = json!({ "marks": [], "gaps": [] });
    bare["cam_bores"] = json!({ "diameters": [], "clearances": [] });
    let (set, posted) = domain(bare.to_string().as_bytes());
    assert_eq!(written(&set, posted), bare);
}

/// The readings of one list, as they are posted and as they are written.
#[test]
fn a_reading_says_no_more_than_is_known_of_it() {
    let mut set: Value = serde_json::from_str(EVERY_FIELD).expect("JSON");
    for (posted, expected) in [
        (json!(1.5), json!(1.5)),
        (json!({ "value": 1.5 }), json!(1.5)),
        (json!({ "repeats": [1.5, 1.6] }), json!(1.55)),
        (json!({ "value": 1.5, "instrument": "caliper" }), json!({ "value": 1.5, "instrument": "caliper" })),
        (
            json!({ "value": 1.5, "instrument": "caliper", "expanded_uncertainty": 0.03 }),
            json!({ "value": 1.5, "instrument": "caliper" }),
        ),
        (
            json!({ "value": 1.5, "instrument": "caliper", "expanded_uncertainty": 0.12, "coverage_factor": 3 }),
            json!({ "value": 1.5, "instrument": "caliper", "expanded_uncertainty": 0.08, "coverage_factor": 2.0 }),
        ),
        (
            json!({ "value": 1.5, "expanded_uncertainty": 0 }),
            json!({ "value": 1.5, "expanded_uncertainty": 0.0, "coverage_factor": 2.0 }),
        ),
        // The gauge has u = 0.015, the mean of these two s/√2 = 0.02: U = 2 · 0.025.
        (
            json!({ "repeats": [1.48, 1.52], "instrument": "caliper" }),
            json!({ "value": 1.5, "instrument": "caliper", "expanded_uncertainty": 0.05, "coverage_factor": 2.0 }),
        ),
    ] {
        set["ports"][0]["seat"]["instrument"] = Value::Null;
        set["ports"][0]["seat"]["widths"] = json!([posted]);
        let (set, units) = domain(set.to_string().as_bytes());
        assert_eq!(written(&set, units)["ports"][0]["seat"]["widths"], json!([expected]), "{posted}");
    }
}

/// In whatever stands inside the document: an instrument is named by a reading only.
#[test]
fn every_reading_names_its_own_instrument() {
    fn naming(value: &Value, found: &mut Vec<Value>) {
        match value {
            Value::Object(members) => {
                if members.contains_key("instrument") {
                    found.push(value.clone());
                }
                members.values().for_each(|value| naming(value, found));
            }
            Value::Array(list) => list.iter().for_each(|value| naming(value, found)),
            _ => {}
        }
    }
    let (set, posted) = domain(EVERY_FIELD.as_bytes());
    let mut found = Vec::new();
    naming(&written(&set, posted), &mut found);
    assert!(found.len() > 80, "{}", found.len());
    assert!(found.iter().all(|object| object["value"].is_f64()), "{found:?}");
}

/// A prediction never wears the mark of a measurement.
#[test]
fn a_predicted_set_is_refused_as_a_measured_one() {
    let (set, posted) = domain(EVERY_FIELD.as_bytes());
    let text =
        serde_json::to_vec(&set_document(&set, posted, "headproof/predicted-set/1")).expect("a document");
    let document: MeasurementSet = read(&text).expect("a well-formed document");
    let faults = measurement_set(&document, &At::Root).expect_err("no measurement set");
    let shown: Vec<(&str, &str)> =
        faults.iter().map(|of| (of.pointer.as_str(), of.detail.as_str())).collect();
    assert_eq!(shown, [("/format", "must be headproof/measurement-set/1")]);
}
