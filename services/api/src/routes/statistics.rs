//! What many heads say together.

use actix_web::{HttpRequest, HttpResponse, web};
use headproof_tabular::statistics_table;
use headproof_wire::Problem;
use headproof_wire::statistics::Statistics;

use crate::accept::takes;
use crate::access::{May, Read};
use crate::survey::{Asking, asked};
use crate::turns::Turns;
use crate::{ApiError, ApiState, ProblemKind};

const JSON: &str = "application/json";
const CSV: &str = "text/csv";

static TURNS: Turns = Turns::of("statistics");

/// Statistics over the heads of a batch, of a time or of a filter: moments, capability, control charts, what fails most,
/// and who or what makes a difference. As JSON or, when `Accept` says so, as CSV with one row for each characteristic.
///
/// Each head counts with the latest revision of each stage. What was measured in different stages or against different
/// limits stands apart. Capability foretells nothing where the chart does not hold; whatever a statistic says, the limits
/// of the profile and the engine maker's manual decide.
#[utoipa::path(
    get,
    path = "/v1/statistics",
    tag = "Statistics",
    params(Asking),
    responses(
        (status = 200, description = "The statistics", content((Statistics = "application/json"), (String = "text/csv"))),
        (status = 400, description = "A parameter that makes no sense, or too many heads", body = Problem, content_type = "application/problem+json"),
        (status = 404, description = "No such batch", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "Neither JSON nor CSV is taken", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn statistics(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    http: HttpRequest,
) -> Result<HttpResponse, ApiError> {
    let as_json = takes(http.headers(), JSON);
    if !as_json && !takes(http.headers(), CSV) {
        return Err(ApiError::new(ProblemKind::NotAcceptable));
    }
    let survey = asked(&http)?;
    if let Some(batch) = survey.of.batch {
        super::batches::find(&state, &caller.shop, batch).await?;
    }
    let _turn = TURNS.take().await?;
    let statistics = headproof_survey::survey(&state.store, &caller.shop, &survey).await?;
    if as_json {
        return Ok(HttpResponse::Ok().json(statistics));
    }
    let table = statistics_table(&statistics).map_err(|error| ApiError::internal(&error))?;
    Ok(HttpResponse::Ok().content_type("text/csv; charset=utf-8").body(table))
}
