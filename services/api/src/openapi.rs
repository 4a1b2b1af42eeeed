//! The OpenAPI 3.1 description, made from the routes and types.

use std::sync::LazyLock;

use actix_web::web::Bytes;
use headproof_wire::{PlanRequest, ReworkPlan, default_workshop, examples};
use serde_json::{Value, json};
use utoipa::OpenApi;

use crate::judging::understood;
use crate::routes::{
    audit, batches, documents, evaluate, health, jobs, keys, people, plan, profiles, sign_offs, verify,
    webhooks, worksheet,
};

#[derive(OpenApi)]
#[openapi(
    info(
        title = "headproof",
        description = "Judges the measurements of reconditioned cylinder heads, plans their least rework, and makes their \
            inspection sheets and the blank worksheets for the bench. \
            Limits are what the profile says; the engine maker's manual and local law prevail.",
    ),
    paths(
        evaluate::evaluate,
        plan::make,
        worksheet::make,
        jobs::submit,
        jobs::list,
        jobs::cancel,
        jobs::status,
        jobs::evaluation,
        jobs::plan,
        jobs::measurement_set,
        jobs::judged_by,
        jobs::sheet,
        sign_offs::sign,
        sign_offs::of_job,
        sign_offs::show,
        sign_offs::sheet,
        verify::verify,
        people::certificates,
        batches::submit,
        batches::list,
        batches::status,
        batches::lines,
        batches::sheets,
        batches::cancel,
        batches::report,
        profiles::store,
        profiles::list,
        profiles::show,
        people::enter,
        people::list,
        people::show,
        people::leave,
        keys::make,
        keys::list,
        keys::revoke,
        webhooks::enter,
        webhooks::list,
        webhooks::show,
        webhooks::remove,
        webhooks::renew_secret,
        webhooks::enable,
        webhooks::test,
        webhooks::deliveries,
        webhooks::again,
        webhooks::one_again,
        audit::export,
        documents::openapi,
        documents::list_schemas,
        documents::show_schema,
        documents::characteristics,
        documents::explain_problem,
        health::alive,
        health::ready,
    )
)]
struct Description;

/// The description as it is served, made once.
pub(crate) static SERVED: LazyLock<Bytes> = LazyLock::new(|| document().to_string().into());

/// The description, with worked examples.
#[must_use]
pub fn document() -> Value {
    let mut description = Description::openapi();
    // The generator puts an empty licence where the package names none.
    description.info.license = None;
    let mut document = serde_json::to_value(description).unwrap_or_default();
    name_operations(&mut document);
    say_what_may_be_asked(&mut document);
    say_what_is_asked(&mut document);
    let (head, profile) = examples::HEADS[0];
    let set: Value = serde_json::from_str(head.text).unwrap_or_default();
    let profile: Value = serde_json::from_str(profile.text).unwrap_or_default();
    let workshop: Value = serde_json::from_str(examples::WORKSHOP.text).unwrap_or_default();
    let request = json!({ "measurement_set": set, "profile": profile });
    let to_be_planned = json!({ "measurement_set": set, "profile": profile, "workshop": workshop });
    let to_be_measured = json!({
        "layout": set["layout"], "profile": profile, "units": set["units"], "job_number": "DEMO-2026-07",
    });
    for (path, example) in [
        ("/v1/evaluate", &request),
        ("/v1/plan", &to_be_planned),
        ("/v1/worksheet", &to_be_measured),
        ("/v1/jobs", &request),
        ("/v1/profiles", &profile),
        ("/v1/jobs/{id}/sign-offs", &json!({ "meaning": "released" })),
        ("/v1/people", &json!({ "name": "N. N.", "role": "inspector" })),
        (
            "/v1/webhooks",
            &json!({ "url": "https://shop.example/headproof", "events": ["job.done", "batch.done"] }),
        ),
        ("/v1/keys", &json!({ "label": "shop system", "scopes": ["submit", "read"] })),
    ] {
        let content = &mut document["paths"][path]["post"]["requestBody"]["content"];
        content["application/json"]["example"] = example.clone();
    }
    let content = &mut document["paths"]["/v1/plan"]["post"]["responses"]["200"]["content"];
    content["application/json"]["examples"] = json!({ "demo": {
        "summary": "The plan for the demo head; what the head is predicted to measure is left out here",
        "value": planned(to_be_planned),
    } });
    document
}

/// The answer to a request for a plan, without its longest part.
fn planned(request: Value) -> Option<ReworkPlan> {
    let request: PlanRequest = serde_json::from_value(request).ok()?;
    let profile = Ok(request.profile?);
    let case = understood(&request.measurement_set, &profile, request.workshop.as_ref(), Vec::new()).ok()?;
    let plan = case.task(default_workshop()).perform();
    Some(ReworkPlan { predicted: None, ..plan })
}

/// An operation is named by its method and path: `get-v1-jobs-id-sheet`.
fn name_operations(document: &mut Value) {
    let paths = document["paths"].as_object_mut().into_iter().flatten();
    for (path, operations) in paths {
        let words: Vec<&str> = path.split(['/', '{', '}', '.']).filter(|word| !word.is_empty()).collect();
        for (method, operation) in operations.as_object_mut().into_iter().flatten() {
            operation["operationId"] = format!("{method}-{}", words.join("-")).into();
        }
    }
}

/// The parts that are answered to anybody.
const FOR_ALL: [&str; 2] = ["Descriptions", "Operation"];

/// Which operations ask for a key, and what they answer where there is none that is good.
fn say_what_is_asked(document: &mut Value) {
    document["components"]["securitySchemes"] = json!({ "key": {
        "type": "http",
        "scheme": "bearer",
        "description": "A key of the service (hp_…), or a token of the shop's own identity provider where there is one.",
    } });
    document["security"] = json!([{ "key": [] }]);
    let paths = document["paths"].as_object_mut().into_iter().flatten();
    for (_, operations) in paths {
        for (_, operation) in operations.as_object_mut().into_iter().flatten() {
            if operation["tags"][0].as_str().is_some_and(|tag| FOR_ALL.contains(&tag)) {
                operation["security"] = json!([]);
                continue;
            }
            refuse(operation, "401", "Who asks is not known");
            refuse(operation, "403", "The key does not have the scope");
            refuse(operation, "429", "Too many requests, or too many tried to be known from there");
            say_when_to_come_again(operation);
        }
    }
}

/// What every answer to a known caller says of their quota, and what is answered to whoever posts too much at once.
fn say_when_to_come_again(operation: &mut Value) {
    let is_posted = operation.get("requestBody").is_some();
    if is_posted && operation["responses"].get("503").is_none() {
        refuse(operation, "503", "Too much is asked for at once");
    }
    let field = |description| json!({ "description": description, "schema": { "type": "string" } });
    for (status, response) in operation["responses"].as_object_mut().into_iter().flatten() {
        let Some(response) = response.as_object_mut() else { continue };
        let mut headers = response.remove("headers").unwrap_or_else(|| json!({}));
        if status.starts_with('2') || status == "429" {
            headers["RateLimit"] = field("What is left, and for how many seconds: \"default\";r=11999;t=60");
            headers["RateLimit-Policy"] = field("The quota, and its seconds: \"default\";q=12000;w=60");
        }
        if matches!(status.as_str(), "429" | "503") {
            headers["Retry-After"] = json!({ "description": "Seconds", "schema": { "type": "integer" } });
        }
        if headers != json!({}) {
            response.insert("headers".to_owned(), headers);
        }
    }
}

/// What has a tag can be asked for under a condition, and by its media type.
fn say_what_may_be_asked(document: &mut Value) {
    let paths = document["paths"].as_object_mut().into_iter().flatten();
    for (_, operations) in paths {
        let read = operations.get_mut("get");
        if let Some(operation) = read.filter(|read| !read["responses"]["200"]["headers"]["ETag"].is_null()) {
            if operation["responses"].get("304").is_none() {
                operation["responses"]["304"] = json!({ "description": "What you have" });
            }
            refuse(operation, "406", "Not of a media type that Accept names");
            refuse(operation, "412", "Not the one that If-Match names");
        }
    }
}

/// One more problem that an operation answers with.
fn refuse(operation: &mut Value, status: &str, description: &str) {
    operation["responses"][status] = json!({
        "description": description,
        "content": { "application/problem+json": {
            "schema": { "$ref": "#/components/schemas/Problem" },
        } },
    });
}
