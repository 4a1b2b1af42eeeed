//! What the published schema refuses, the service refuses too, although it validates only what it cannot read.

use std::collections::BTreeSet;

use headproof_wire::gauge_study::GaugeStudyRequest;
use headproof_wire::{
    At, Document, Fault, MeasurementSet, TargetProfile, Workshop, examples, gauge_study_document,
    measurement_set, read, target_profile, workshop,
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

/// Every list and every member that a workshop can have.
#[test]
fn of_workshops() {
    let part = |id: &str| json!({ "id": id, "service": "intake", "count": 1, "price": 1, "minutes": 1 });
    let with = |mut part: Value, more: Value| {
        part.as_object_mut().expect("a part").extend(more.as_object().expect("members").clone());
        part
    };
    let block = json!({
        "units": { "length": "mm", "force": "N", "volume": "mL", "pressure": "kPa", "roughness": "um" },
        "objective": "least-sink", "cut_tolerance": 0.03, "light_turns": 0.01, "runout_left": 0.01,
        "cutters": [
            { "id": "S", "angle": 45 },
            { "id": "F", "form": { "top_angle": 30, "seat_angle": 45, "throat_angle": 60, "tolerance": 0.02 } }
        ],
        "insert_stock": 1, "face_grinding": true, "tip_grinding": 0.2,
        "shims": [{ "thickness": 0.5, "count": 4 }], "shims_per_spring": 3,
        "lash_shims": [{ "thickness": 2.5, "count": 4 }],
        "deck": { "most": 0.2, "flatness_left": 0.01, "roughness_left": 0.8, "open_chamber_area": 4000 },
        "inserts": [with(part("I"), json!({ "raises_seat": 1.5, "diameter": 34 }))],
        "valves": [with(part("V"), json!({
            "head_diameter": 33, "margin": 1.5, "face_angle": 45, "face_inner_diameter": 28,
            "stem_diameter": 7, "overall_length": 110
        }))],
        "springs": [with(part("P"), json!({
            "free_length": 45, "loads": [{ "height": 35, "load": 200 }], "solid_height": 20
        }))],
        "costs": {
            "per_minute": 1, "seat_cut": 1, "top_cut": 1, "throat_cut": 1, "form_cut": 1, "face_grind": 1,
            "tip_grind": 1, "shim": 1, "deck_cut": 1
        }
    });
    assert!(Workshop::validator().is_valid(&block), "the block itself is right");
    assert_eq!(disagreements::<Workshop, _>(&block, workshop), Vec::<String>::new());
}

/// Every member that a study of either kind can have.
#[test]
fn of_gauge_studies() {
    let [mut crossed, mut reference]: [Value; 2] =
        examples::GAUGE_STUDIES.map(|shipped| serde_json::from_str(shipped.text).expect(shipped.name));
    for (index, row) in crossed["crossed"]["readings"].as_array_mut().expect("rows").iter_mut().enumerate() {
        row["trial"] = json!(index / 30 + 1);
    }
    for (name, value) in [("pooling_above", json!(0.1)), ("repeats", json!(3))] {
        crossed["crossed"][name] = value;
    }
    for (name, value) in [("share", json!(0.2)), ("multiple", json!(6)), ("wanted", json!(1.33))] {
        reference["reference"][name] = value;
    }
    for mut study in [crossed, reference] {
        study["confidence"] = json!(0.9);
        assert!(GaugeStudyRequest::validator().is_valid(&study), "the study itself is right");
        let found = disagreements::<GaugeStudyRequest, _>(&study, gauge_study_document);
        assert_eq!(found, Vec::<String>::new());
    }
}
