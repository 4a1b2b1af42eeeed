//! The shipped demo documents are what they claim to be: valid, marked as demo data, and judged as told here.

use std::path::PathBuf;

use headproof_wire::{
    At, Document, Evaluation, MeasurementSet, PortRows, Row, TargetProfile, evaluation_document,
    measurement_set, read, target_profile,
};
use serde::Serialize;
use serde::de::DeserializeOwned;

const ALUMINIUM: &str = "profile-demo-aluminium-16v";
const IRON: &str = "profile-demo-iron-8v";
const IRON_DIESEL: &str = "profile-demo-iron-6v";
const PUMP: &str = "set-irrigation-pump-16v";
const COLD_STORE: &str = "set-cold-store-8v";
const GENERATOR: &str = "set-generator-3cyl-6v";

fn bytes(name: &str) -> Vec<u8> {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples").join(format!("{name}.json"));
    std::fs::read(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

#[track_caller]
fn document<T: DeserializeOwned + Document>(name: &str) -> T {
    read(&bytes(name)).unwrap_or_else(|error| panic!("{name}: {error:?}"))
}

fn judged(set: &str, profile: &str) -> Evaluation {
    let set = measurement_set(&document(set), &At::Root).expect("a set without faults");
    let profile = target_profile(&document(profile), &At::Root).expect("a profile without faults");
    evaluation_document(&headproof_judge::evaluate(&set, &profile), &set, &profile)
}

/// Rows that keep something from being right, as "subject characteristic verdict".
fn exceptions(evaluation: &Evaluation) -> Vec<String> {
    let bad = |subject: &str, rows: &[Row]| -> Vec<String> {
        rows.iter()
            .filter(|row| !matches!(row.verdict.as_ref(), "conforms" | "no-limit"))
            .map(|row| format!("{subject} {} {}", row.characteristic, row.verdict))
            .collect()
    };
    let mut found = bad("head", &evaluation.head);
    for of in &evaluation.cylinders {
        found.extend(bad(&format!("cylinder {}", of.cylinder), &of.rows));
    }
    for of in &evaluation.ports {
        found.extend(bad(&name(of), &of.rows));
    }
    found
}

fn name(port: &PortRows) -> String {
    format!("{} {:?} {}", port.cylinder, port.service, port.index).to_lowercase()
}

/// Ports whose mark is not "conforms".
fn marked(evaluation: &Evaluation) -> Vec<(String, &str)> {
    evaluation
        .ports
        .iter()
        .filter(|port| port.verdict != "conforms")
        .map(|port| (name(port), port.verdict.as_ref()))
        .collect()
}

#[test]
fn the_irrigation_pump_head_needs_rework_at_three_ports_and_better_measuring_at_one() {
    let evaluation = judged(PUMP, ALUMINIUM);
    assert_eq!(
        exceptions(&evaluation),
        [
            "1 exhaust 2 recession not-proven",
            "2 exhaust 1 seat-width does-not-conform",
            "3 intake 2 seat-runout does-not-conform",
            "4 exhaust 2 stem-to-guide-clearance does-not-conform",
        ]
    );
    assert_eq!(evaluation.disposition, "rework");
    assert_eq!(
        marked(&evaluation),
        [
            ("1 exhaust 2".to_owned(), "not-proven"),
            ("2 exhaust 1".to_owned(), "does-not-conform"),
            ("3 intake 2".to_owned(), "does-not-conform"),
            ("4 exhaust 2".to_owned(), "does-not-conform"),
        ]
    );
    let subjects: Vec<&str> = evaluation.reasons.iter().map(|line| line.subject.as_str()).collect();
    assert_eq!(subjects, ["cylinder 2 exhaust 1", "cylinder 3 intake 2", "cylinder 4 exhaust 2"]);
    assert_eq!(evaluation.ports.len(), 16);
    assert!(evaluation.findings.is_empty(), "{:?}", evaluation.findings);
}

#[test]
fn every_judged_amount_of_the_irrigation_pump_head_has_an_uncertainty() {
    let evaluation = judged(PUMP, ALUMINIUM);
    let rows = evaluation.head.iter();
    let rows = rows.chain(evaluation.cylinders.iter().flat_map(|of| &of.rows));
    let rows = rows.chain(evaluation.ports.iter().flat_map(|of| &of.rows));
    let amounts: Vec<&Row> = rows.filter(|row| row.measured.is_some() && row.limit.is_some()).collect();
    assert!(amounts.len() > 300, "{}", amounts.len());
    for row in amounts {
        assert!(row.expanded_uncertainty.is_some_and(|u| u > 0.0), "{row:?}");
        assert!(row.conformance_probability.is_some(), "{row:?}");
    }
}

#[test]
fn the_cold_store_head_is_not_acceptable_and_says_what_was_not_measured() {
    let evaluation = judged(COLD_STORE, IRON);
    assert_eq!(
        exceptions(&evaluation),
        [
            "1 intake 1 seat-width-uniformity not-measured",
            "1 intake 1 valve-tip does-not-conform",
            "1 exhaust 1 seat-width-uniformity not-measured",
            "1 exhaust 1 stem-to-guide-clearance does-not-conform",
            "2 exhaust 1 margin does-not-conform",
            "2 exhaust 1 leak-pressure-drop does-not-conform",
            "3 intake 1 seat-width-uniformity not-measured",
            "3 intake 1 seat-runout not-measured",
            "3 exhaust 1 seat-width-uniformity not-measured",
            "3 exhaust 1 insert-fit does-not-conform",
            "3 exhaust 1 leak-pressure-drop not-measured",
        ]
    );
    assert_eq!(evaluation.disposition, "reject");
    let first = evaluation.reasons.first().expect("a reason");
    assert_eq!(
        (first.subject.as_str(), first.characteristic.as_deref()),
        ("cylinder 2 exhaust 1", Some("margin"))
    );
    assert!(evaluation.headline.contains("not measured: "), "{}", evaluation.headline);
    let codes: Vec<&str> = evaluation.findings.iter().map(|finding| finding.code.as_ref()).collect();
    assert_eq!(codes, ["calibration-overdue"]);
    assert_eq!(evaluation.findings[0].pointers, ["/instruments/2/calibration_due"]);
}

#[test]
fn the_cold_store_head_has_what_calls_for_cautions() {
    let set: MeasurementSet = document(COLD_STORE);
    let sodium = set.ports.iter().filter_map(|port| port.valve.as_ref()).filter(|valve| valve.sodium_filled);
    assert_eq!(sodium.count(), 1);
    let inserts = set.ports.iter().filter_map(|port| port.seat.as_ref()?.insert.as_ref()?.material);
    assert_eq!(inserts.filter(|of| *of == headproof_wire::InsertMaterial::BerylliumCopper).count(), 1);
}

#[test]
fn the_generator_head_is_accepted() {
    let evaluation = judged(GENERATOR, IRON_DIESEL);
    assert_eq!(exceptions(&evaluation), Vec::<String>::new());
    assert_eq!(marked(&evaluation), []);
    assert_eq!(evaluation.disposition, "accept");
    assert!(evaluation.reasons.is_empty() && evaluation.findings.is_empty());
}

#[test]
fn every_demo_profile_says_on_its_face_that_it_is_no_engine() {
    for name in [ALUMINIUM, IRON, IRON_DIESEL] {
        let profile: TargetProfile = document(name);
        assert_eq!(format!("profile-{}", profile.id), name);
        let notice = profile.notice.expect("a notice");
        for words in ["Demo data", "no engine maker's limits", "Not for use on a real head"] {
            assert!(notice.contains(words), "{name}: {notice}");
        }
        for limit in profile.limits {
            assert!(
                ["common practice, no source", "invented for the demo"].contains(&limit.source.as_str()),
                "{name}: {}",
                limit.characteristic
            );
        }
    }
}

#[test]
fn every_demo_set_says_that_it_is_invented() {
    for name in [PUMP, COLD_STORE, GENERATOR] {
        let set: MeasurementSet = document(name);
        assert!(set.head.serial.starts_with("DEMO-"), "{name}");
        assert!(set.head.engine_family.is_some_and(|family| family.starts_with("invented demo engine")));
    }
}

#[track_caller]
fn comes_back_equal<T: DeserializeOwned + Document + Serialize + PartialEq + std::fmt::Debug>(name: &str) {
    let first: T = document(name);
    let text = serde_json::to_vec(&first).expect("a document can be written");
    let second: T = read(&text).unwrap_or_else(|error| panic!("{name}: {error:?}"));
    assert_eq!(first, second, "{name}");
    let value = serde_json::from_slice(&bytes(name)).expect("JSON");
    let written = serde_json::from_slice(&text).expect("JSON");
    for value in [value, written] {
        let errors: Vec<String> = T::validator().iter_errors(&value).map(|error| error.to_string()).collect();
        assert_eq!(errors, Vec::<String>::new(), "{name}");
    }
}

#[test]
fn documents_come_back_equal_and_fit_their_own_schema() {
    for name in [ALUMINIUM, IRON, IRON_DIESEL] {
        comes_back_equal::<TargetProfile>(name);
    }
    for name in [PUMP, COLD_STORE, GENERATOR] {
        comes_back_equal::<MeasurementSet>(name);
    }
}

#[test]
fn evaluations_fit_their_own_schema() {
    for (set, profile) in [(PUMP, ALUMINIUM), (COLD_STORE, IRON), (GENERATOR, IRON_DIESEL)] {
        let evaluation = judged(set, profile);
        let text = serde_json::to_vec(&evaluation).expect("an evaluation can be written");
        let value = serde_json::from_slice(&text).expect("JSON");
        let errors: Vec<String> =
            Evaluation::validator().iter_errors(&value).map(|error| error.to_string()).collect();
        assert_eq!(errors, Vec::<String>::new(), "{set}");
        let back: Evaluation = serde_json::from_slice(&text).expect("it can be read back");
        assert_eq!(back, evaluation, "{set}");
    }
}
