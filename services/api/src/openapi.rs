//! The OpenAPI 3.1 description, made from the routes and types.

mod common;

use std::sync::LazyLock;

use actix_web::web::Bytes;
use headproof_wire::{PlanRequest, ReworkPlan, default_workshop, examples};
use serde_json::{Value, json};
use utoipa::OpenApi;

use self::common::say_what_is_common;
use crate::judging::understood;
use crate::routes::{
    audit, batches, documents, evaluate, gauge_studies, health, jobs, keys, people, plan, profiles,
    sign_offs, statistics, verify, webhooks, worksheet,
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
        gauge_studies::evaluate,
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
        statistics::statistics,
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
    say_what_is_common(&mut document);
    let (head, profile) = examples::HEADS[0];
    let set: Value = serde_json::from_str(head.text).unwrap_or_default();
    let profile: Value = serde_json::from_str(profile.text).unwrap_or_default();
    let workshop: Value = serde_json::from_str(examples::WORKSHOP.text).unwrap_or_default();
    let request = json!({ "measurement_set": set, "profile": profile });
    let to_be_planned = json!({ "measurement_set": set, "profile": profile, "workshop": workshop });
    let gauge: Value = serde_json::from_str(examples::GAUGE_STUDIES[0].text).unwrap_or_default();
    let to_be_measured = json!({
        "layout": set["layout"], "profile": profile, "units": set["units"], "job_number": "DEMO-2026-07",
    });
    for (path, example) in [
        ("/v1/evaluate", &request),
        ("/v1/plan", &to_be_planned),
        ("/v1/gauge-studies", &gauge),
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
    name_characteristics(&mut document["paths"]["/v1/statistics"]["get"]["parameters"]);
    let content = &mut document["paths"]["/v1/plan"]["post"]["responses"]["200"]["content"];
    content["application/json"]["examples"] = json!({ "demo": {
        "summary": "The plan for the demo head; what the head is predicted to measure is left out here",
        "value": planned(to_be_planned),
    } });
    document
}

/// A parameter that names a characteristic takes those of the table.
fn name_characteristics(parameters: &mut Value) {
    let names: Vec<&str> = headproof_judge::table().map(|of| of.id.as_str()).collect();
    for parameter in parameters.as_array_mut().into_iter().flatten() {
        if parameter["name"] == "characteristic" {
            parameter["schema"]["enum"] = json!(names);
        }
    }
}

/// The answer to a request for a plan, without its longest part.
fn planned(request: Value) -> Option<ReworkPlan> {
    let request: PlanRequest = serde_json::from_value(request).ok()?;
    let profile = Ok(request.profile?);
    let case = understood(&request.measurement_set, &profile, request.workshop.as_ref(), Vec::new()).ok()?;
    let plan = case.task(default_workshop()).perform();
    Some(ReworkPlan { predicted: None, ..plan })
}
