//! Wrong documents are refused with every fault, each at its JSON Pointer (RFC 6901).

mod content;
mod form;
mod hostile;
mod profile;
mod text;

use headproof_wire::{
    At, Document, Fault, MeasurementSet, ReadError, TargetProfile, evaluation_document, measurement_set,
    read, target_profile,
};
use serde_json::{Value, json};

const SET: &str = include_str!("../../examples/set-generator-3cyl-6v.json");
const PROFILE: &str = include_str!("../../examples/profile-demo-iron-6v.json");

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
