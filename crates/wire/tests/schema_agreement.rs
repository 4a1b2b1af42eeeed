//! What the published schema refuses, the service refuses too, although it validates only what it cannot read.

use std::collections::BTreeSet;

use headproof_wire::{
    At, Document, Fault, MeasurementSet, TargetProfile, measurement_set, read, target_profile,
};
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

/// Between them these hold every list that a set can have.
fn sets() -> [Value; 2] {
    let texts = [
        include_str!("../examples/set-generator-3cyl-6v.json"),
        include_str!("../examples/set-cold-store-8v.json"),
    ];
    let mut sets: [Value; 2] = texts.map(|text| serde_json::from_str(text).expect("a demo document"));
    for (set, most) in sets.iter_mut().zip([2, 4]) {
        set["ports"].as_array_mut().expect("a list of ports").truncate(most);
    }
    sets[0]["cam_bores"] = json!({ "diameters": [26.01], "clearances": [0.05] });
    sets
}

const PROFILE: &str = include_str!("../examples/profile-demo-iron-6v.json");

/// One place of every kind: pointers that differ in an index only are the same kind.
fn places(document: &Value) -> Vec<String> {
    fn walk(value: &Value, pointer: &str, kind: &str, seen: &mut BTreeSet<String>, places: &mut Vec<String>) {
        if seen.insert(kind.to_owned()) {
            places.push(pointer.to_owned());
        }
        match value {
            Value::Object(map) => {
                for (key, value) in map {
                    walk(value, &format!("{pointer}/{key}"), &format!("{kind}/{key}"), seen, places);
                }
            }
            Value::Array(list) => {
                for (index, value) in list.iter().enumerate() {
                    walk(value, &format!("{pointer}/{index}"), &format!("{kind}/*"), seen, places);
                }
            }
            _ => {}
        }
    }
    let mut places = Vec::new();
    walk(document, "", "", &mut BTreeSet::new(), &mut places);
    places
}

/// Other values of the same type, at and over every bound that a document has.
fn variants(value: &Value) -> Vec<Value> {
    match value {
        Value::Number(_) => [-1.0, 0.0, 0.49, 1.0, 5.0, 17.0, 90.0].map(|n| json!(n)).into(),
        Value::String(_) => ["", " ", "x y"]
            .map(str::to_owned)
            .into_iter()
            .chain([41, 81, 201, 301, 601].map(|length| "x".repeat(length)))
            .map(Value::String)
            .collect(),
        Value::Array(list) => [0, 1, 3, 5, 17, 41, 51, 81, 101, 201, 361, 401, 721]
            .into_iter()
            .chain((list.len() > 16).then_some(5001))
            .map(|length| list.iter().cycle().take(length).cloned().collect())
            .map(Value::Array)
            .collect(),
        Value::Null | Value::Bool(_) | Value::Object(_) => Vec::new(),
    }
}

/// Every variant that the schema refuses and the service accepts.
fn disagreements<T: DeserializeOwned + Document, D>(
    original: &Value,
    convert: impl Fn(&T, &At<'_>) -> Result<D, Vec<Fault>>,
) -> Vec<String> {
    let mut found = Vec::new();
    for pointer in places(original) {
        for variant in variants(original.pointer(&pointer).expect("a place")) {
            let mut document = original.clone();
            let shown: String = variant.to_string().chars().take(30).collect();
            let length = variant.as_array().map_or(0, Vec::len);
            *document.pointer_mut(&pointer).expect("a place") = variant;
            if T::validator().is_valid(&document) {
                continue;
            }
            let accepted = read::<T>(document.to_string().as_bytes())
                .is_ok_and(|document| convert(&document, &At::Root).is_ok());
            if accepted {
                found.push(format!("{pointer} = {shown} ({length} elements)"));
            }
        }
    }
    found
}

#[test]
fn of_measurement_sets() {
    for set in sets() {
        assert_eq!(disagreements::<MeasurementSet, _>(&set, measurement_set), Vec::<String>::new());
    }
}

#[test]
fn of_target_profiles() {
    let profile = serde_json::from_str(PROFILE).expect("a demo document");
    assert_eq!(disagreements::<TargetProfile, _>(&profile, target_profile), Vec::<String>::new());
}
