//! Judging without keeping.

use actix_web::{HttpResponse, web};
use headproof_wire::{EvaluateRequest, Evaluation, Problem};

use crate::access::{May, Submit};
use crate::body::Posted;
use crate::judging::{profile_of, understood};
use crate::{ApiError, ApiState};

/// Judge a measurement set now; nothing is stored.
#[utoipa::path(
    post,
    path = "/v1/evaluate",
    tag = "Evaluate",
    request_body = EvaluateRequest,
    responses(
        (status = 200, description = "The evaluation", body = Evaluation),
        (status = 400, description = "Not JSON", body = Problem, content_type = "application/problem+json"),
        (status = 413, description = "Too large", body = Problem, content_type = "application/problem+json"),
        (status = 415, description = "Not application/json", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Every fault of the document", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn evaluate(
    state: web::Data<ApiState>,
    May(caller, ..): May<Submit>,
    request: Posted<EvaluateRequest>,
) -> Result<HttpResponse, ApiError> {
    let EvaluateRequest { measurement_set, profile, profile_ref, budgets } = request.0;
    let profile = profile_of(&state, &caller.shop, profile, profile_ref.as_ref()).await?;
    let judge_by = if budgets { headproof_judge::evaluate_explained } else { headproof_judge::evaluate };
    let case = understood(&measurement_set, &profile, None, Vec::new())?;
    Ok(HttpResponse::Ok().json(case.judge(judge_by)))
}
