//! Planning without keeping.

use actix_web::{HttpResponse, web};
use headproof_wire::{PlanRequest, Problem, ReworkPlan, default_workshop};

use crate::access::{May, Submit};
use crate::body::Posted;
use crate::judging::{profile_of, understood};
use crate::planning::plan;
use crate::{ApiError, ApiState};

/// Plan the least rework that brings a head inside its limits; nothing is stored.
///
/// Whatever the plan says of the head after the work is worked out, not measured.
#[utoipa::path(
    post,
    path = "/v1/plan",
    tag = "Plan",
    request_body = PlanRequest,
    responses(
        (status = 200, description = "The plan", body = ReworkPlan),
        (status = 400, description = "Not JSON", body = Problem, content_type = "application/problem+json"),
        (status = 413, description = "Too large", body = Problem, content_type = "application/problem+json"),
        (status = 415, description = "Not application/json", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Every fault of the document", body = Problem, content_type = "application/problem+json"),
        (status = 503, description = "Too many plans are asked for at once", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn make(
    state: web::Data<ApiState>,
    May(caller, ..): May<Submit>,
    request: Posted<PlanRequest>,
) -> Result<HttpResponse, ApiError> {
    let PlanRequest { measurement_set, profile, profile_ref, workshop } = request.0;
    let profile = profile_of(&state, &caller.shop, profile, profile_ref.as_ref()).await?;
    let case = understood(&measurement_set, &profile, workshop.as_ref(), Vec::new())?;
    let plan = plan(case.task(default_workshop())).await?;
    Ok(HttpResponse::Ok().json(plan))
}
