//! JSON Schemas (2020-12) of the documents, made from the types.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use jsonschema::Validator;
use serde_json::{Map, Value, json};
use utoipa::OpenApi;

use crate::access::{key_faults, person_faults};
use crate::convert::{
    gauge_study_faults, measurement_set, target_profile, text_faults, worksheet_faults, workshop,
};
use crate::gauge_study::{GaugeStudy, GaugeStudyRequest};
use crate::pointer::At;
use crate::read::lists::list_names;
use crate::statistics::Statistics;
use crate::webhook::webhook_faults;
use crate::{
    Batch, EvaluateRequest, Evaluation, Fault, Job, JobRequest, KeyRequest, Layout, MeasurementSet,
    PersonRequest, PlanRequest, Problem, ReworkPlan, SignOff, SignOffRequest, StoredProfile, TargetProfile,
    WebhookRequest, WorksheetRequest, Workshop,
};

/// A document with a schema of its own.
pub trait Document {
    /// The name of its type in the schemas.
    const ROOT: &'static str;

    /// The validator of its schema, compiled once.
    fn validator() -> &'static Validator;

    /// The names under which it holds lists, found once.
    fn list_names() -> &'static BTreeSet<String>;

    /// Every fault of content, once the form is right; none where the form says it all.
    fn content_faults(&self) -> Vec<Fault> {
        Vec::new()
    }
}

/// Every type that crosses the wire.
#[derive(Debug, OpenApi)]
#[openapi(components(schemas(
    Batch,
    EvaluateRequest,
    Evaluation,
    GaugeStudy,
    GaugeStudyRequest,
    Job,
    JobRequest,
    KeyRequest,
    MeasurementSet,
    PersonRequest,
    PlanRequest,
    Problem,
    ReworkPlan,
    SignOff,
    SignOffRequest,
    Statistics,
    StoredProfile,
    TargetProfile,
    WebhookRequest,
    Workshop,
    WorksheetRequest
)))]
struct Components;

/// Names and root types of the published schemas.
pub const SCHEMAS: [(&str, &str); 13] = [
    ("measurement-set", "MeasurementSet"),
    ("target-profile", "TargetProfile"),
    ("evaluation", "Evaluation"),
    ("job-request", "JobRequest"),
    ("worksheet-request", "WorksheetRequest"),
    ("workshop", "Workshop"),
    ("rework-plan", "ReworkPlan"),
    ("gauge-study", "GaugeStudyRequest"),
    ("gauge-study-result", "GaugeStudy"),
    ("statistics", "Statistics"),
    ("sign-off-request", "SignOffRequest"),
    ("sign-off", "SignOff"),
    ("problem", "Problem"),
];

static DEFINITIONS: LazyLock<Map<String, Value>> = LazyLock::new(|| {
    let document = serde_json::to_value(Components::openapi()).unwrap_or_default();
    let mut schemas = document.pointer("/components/schemas").cloned().unwrap_or_default();
    point_to_definitions(&mut schemas);
    match schemas {
        Value::Object(map) => map,
        _ => Map::new(),
    }
});

/// References of an OpenAPI document become references of a schema.
fn point_to_definitions(value: &mut Value) {
    match value {
        Value::Object(map) => {
            for (key, value) in map.iter_mut() {
                match value {
                    Value::String(text) if key == "$ref" => {
                        *text = text.replace("#/components/schemas/", "#/$defs/")
                    }
                    _ => point_to_definitions(value),
                }
            }
        }
        Value::Array(elements) => elements.iter_mut().for_each(point_to_definitions),
        _ => {}
    }
}

/// The types that `root` uses, itself included.
pub(crate) fn reachable(root: &str) -> Map<String, Value> {
    let mut found = Map::new();
    let mut wanted = vec![root.to_owned()];
    while let Some(name) = wanted.pop() {
        if found.contains_key(&name) {
            continue;
        }
        let Some(schema) = DEFINITIONS.get(&name) else { continue };
        collect_references(schema, &mut wanted);
        found.insert(name, schema.clone());
    }
    found.sort_keys();
    found
}

fn collect_references(value: &Value, names: &mut Vec<String>) {
    match value {
        Value::Object(map) => {
            for (key, value) in map {
                match value {
                    Value::String(text) if key == "$ref" => {
                        names.extend(text.rsplit('/').next().map(str::to_owned))
                    }
                    _ => collect_references(value, names),
                }
            }
        }
        Value::Array(elements) => elements.iter().for_each(|element| collect_references(element, names)),
        _ => {}
    }
}

/// The schema of a type, complete in itself.
#[must_use]
pub fn schema(root: &str) -> Value {
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": root,
        "$ref": format!("#/$defs/{root}"),
        "$defs": reachable(root),
    })
}

/// The schema of one type, as it stands among the definitions.
pub(crate) fn definition(name: &str) -> Option<&'static Value> {
    DEFINITIONS.get(name)
}

macro_rules! documents {
    ($($document:ident $(=> $faults:expr)?),* $(,)?) => {$(
        impl Document for $document {
            const ROOT: &'static str = stringify!($document);

            fn validator() -> &'static Validator {
                static VALIDATOR: LazyLock<Validator> = LazyLock::new(|| {
                    jsonschema::validator_for(&schema($document::ROOT)).expect("our own schema compiles")
                });
                &VALIDATOR
            }

            fn list_names() -> &'static BTreeSet<String> {
                static NAMES: LazyLock<BTreeSet<String>> = LazyLock::new(|| list_names($document::ROOT));
                &NAMES
            }

            $(fn content_faults(&self) -> Vec<Fault> {
                $faults(self)
            })?
        }
    )*};
}

documents! {
    MeasurementSet => |set| measurement_set(set, &At::Root).err().unwrap_or_default(),
    TargetProfile => |profile| target_profile(profile, &At::Root).err().unwrap_or_default(),
    Workshop => |block| workshop(block, &At::Root).err().unwrap_or_default(),
    EvaluateRequest => |request: &Self| {
        of_request(&request.measurement_set, request.profile.as_ref(), None)
    },
    PlanRequest => |request: &Self| {
        of_request(&request.measurement_set, request.profile.as_ref(), request.workshop.as_ref())
    },
    JobRequest => |request: &Self| {
        of_request(&request.measurement_set, request.profile.as_ref(), request.workshop.as_ref())
    },
    WorksheetRequest => |request: &Self| worksheet_faults(request, &At::Root),
    GaugeStudyRequest => gauge_study_faults,
    Layout,
    Evaluation,
    ReworkPlan,
    SignOff,
    SignOffRequest => text_faults,
    KeyRequest => key_faults,
    PersonRequest => person_faults,
    WebhookRequest => webhook_faults,
}

fn of_request(set: &MeasurementSet, profile: Option<&TargetProfile>, block: Option<&Workshop>) -> Vec<Fault> {
    let root = At::Root;
    let mut faults = measurement_set(set, &root.member("measurement_set")).err().unwrap_or_default();
    faults.extend(
        profile
            .and_then(|profile| target_profile(profile, &root.member("profile")).err())
            .unwrap_or_default(),
    );
    faults
        .extend(block.and_then(|block| workshop(block, &root.member("workshop")).err()).unwrap_or_default());
    faults
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_schema_compiles_and_knows_all_its_types() {
        for (_, root) in SCHEMAS {
            let schema = schema(root);
            assert!(jsonschema::validator_for(&schema).is_ok(), "{root}");
            assert!(schema["$defs"].get(root).is_some(), "{root}");
        }
        assert!(!MeasurementSet::validator().is_valid(&json!({})));
    }
}
