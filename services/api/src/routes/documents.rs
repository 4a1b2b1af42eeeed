//! The documents that describe the interface itself.

use actix_web::{HttpRequest, HttpResponse, web};
use headproof_judge::{Measure, Scope, Shown, table};
use headproof_wire::{Characteristic, Problem, SCHEMAS};

use crate::openapi::SERVED;
use crate::tagged::digested;
use crate::{ApiError, ProblemKind};

/// The OpenAPI 3.1 description.
#[utoipa::path(get, path = "/openapi.json", tag = "Descriptions", responses((status = 200, description = "This description", body = serde_json::Value, headers(("ETag" = String))), (status = 304, description = "The description you have")))]
pub(crate) async fn openapi(http: HttpRequest) -> Result<HttpResponse, ApiError> {
    // Made when it is asked for first, with a worked plan: nothing for a thread that serves requests.
    let served = tokio::task::spawn_blocking(|| SERVED.clone()).await;
    let served = served.map_err(|stopped| ApiError::internal(&stopped))?;
    digested(&http, "application/json", served)
}

/// The names of the JSON Schemas.
#[utoipa::path(get, path = "/v1/schemas", tag = "Descriptions", responses((status = 200, description = "Names", body = Vec<String>)))]
pub(crate) async fn list_schemas() -> HttpResponse {
    HttpResponse::Ok().json(SCHEMAS.map(|(name, _)| name))
}

/// One JSON Schema (2020-12).
#[utoipa::path(
    get,
    path = "/v1/schemas/{name}",
    tag = "Descriptions",
    params(("name" = String, Path)),
    responses(
        (status = 200, description = "The schema", body = serde_json::Value, content_type = "application/schema+json", headers(("ETag" = String))),
        (status = 304, description = "The schema you have"),
        (status = 404, description = "No such schema", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn show_schema(
    http: HttpRequest,
    name: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let found = SCHEMAS.iter().find(|(known, _)| *known == name.as_str());
    let (_, root) = found.ok_or_else(|| ApiError::new(ProblemKind::NotFound))?;
    digested(&http, "application/schema+json", headproof_wire::schema(root).to_string())
}

/// Every characteristic the service judges: what profiles may limit.
#[utoipa::path(get, path = "/v1/characteristics", tag = "Descriptions", responses((status = 200, description = "The table", body = Vec<Characteristic>)))]
pub(crate) async fn characteristics() -> HttpResponse {
    let rows = table().map(|row| Characteristic {
        id: row.id.as_str().to_owned(),
        title: row.title.to_owned(),
        belongs_to: match row.scope() {
            Scope::Head => "head",
            Scope::Cylinder => "cylinder",
            Scope::Port => "port",
        }
        .to_owned(),
        unit: match row.measure() {
            Measure::Amount(kind) => Some(kind.base_unit().code().to_owned()),
            Measure::InOrder => None,
        },
        formula: row.formula.to_owned(),
        source: row.source.to_owned(),
        uncertainty: row.uncertainty.to_owned(),
        outside_check: row.outside_check.to_owned(),
        needs_window: row.is_windowed(),
        shown_when: match row.shown() {
            Shown::Measured => "measured",
            Shown::Requested => "requested",
        }
        .to_owned(),
    });
    HttpResponse::Ok().json(rows.collect::<Vec<_>>())
}

/// What a kind of problem means and what to do about it.
#[utoipa::path(
    get,
    path = "/problems/{name}",
    tag = "Descriptions",
    params(("name" = String, Path)),
    responses(
        (status = 200, description = "The kind of problem", body = String, content_type = "text/plain"),
        (status = 404, description = "No such kind", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn explain_problem(name: web::Path<String>) -> Result<HttpResponse, ApiError> {
    let found = ProblemKind::ALL.iter().map(|kind| kind.entry()).find(|entry| entry.0 == name.as_str());
    let (_, title, status, advice) = found.ok_or_else(|| ApiError::new(ProblemKind::NotFound))?;
    Ok(HttpResponse::Ok()
        .content_type("text/plain; charset=utf-8")
        .body(format!("{status} {title}. {advice}\n")))
}
