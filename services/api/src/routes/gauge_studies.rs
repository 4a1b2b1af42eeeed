//! Studies of gauges, without keeping.

use actix_web::HttpResponse;
use headproof_wire::gauge_study::{GaugeStudy, GaugeStudyRequest};
use headproof_wire::{At, Problem, gauge_study_document};

use crate::ApiError;
use crate::access::{May, Submit};
use crate::body::Posted;
use crate::turns::Turns;

static TURNS: Turns = Turns::of("studies of gauges");

/// Say how much of what a gauge shows is the gauge itself; nothing is stored.
///
/// A crossed study (several people, several parts) is evaluated by analysis of variance and by averages and ranges; a study
/// on one reference gives bias, Cg and Cgk. Either says what the gauge means for judging, and what the shop may state of it
/// among the instruments of its measurement sets.
#[utoipa::path(
    post,
    path = "/v1/gauge-studies",
    tag = "Gauges",
    request_body = GaugeStudyRequest,
    responses(
        (status = 200, description = "What the study says", body = GaugeStudy),
        (status = 400, description = "Not JSON", body = Problem, content_type = "application/problem+json"),
        (status = 413, description = "Too large", body = Problem, content_type = "application/problem+json"),
        (status = 415, description = "Not application/json", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Every fault of the document", body = Problem, content_type = "application/problem+json"),
        (status = 503, description = "Too many studies are asked for at once", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn evaluate(
    _: May<Submit>,
    request: Posted<GaugeStudyRequest>,
) -> Result<HttpResponse, ApiError> {
    let found = TURNS.make(move || gauge_study_document(&request.0, &At::Root)).await?;
    Ok(HttpResponse::Ok().json(found.map_err(ApiError::faults)?))
}
