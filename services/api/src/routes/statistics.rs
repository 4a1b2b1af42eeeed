//! What many heads say together.

use actix_web::http::header::CONTENT_DISPOSITION;
use actix_web::{HttpRequest, HttpResponse, web};
use headproof_sheet::{SheetError, StatisticsInput, statistics_report};
use headproof_tabular::statistics_table;
use headproof_wire::statistics::Statistics;
use headproof_wire::{FileBytes, Problem, SheetOptions};

use crate::accept::preferred;
use crate::access::{May, Read};
use crate::judging::canonical;
use crate::survey::{Asked, Asking, USUAL_POINTS, asked};
use crate::turns::Turns;
use crate::{ApiError, ApiState, ProblemKind};

const JSON: &str = "application/json";
const CSV: &str = "text/csv";
const PDF: &str = "application/pdf";

static TURNS: Turns = Turns::of("statistics");

/// Statistics over the heads of a batch, of a time or of a filter: moments, capability, control charts, what fails most,
/// and who or what makes a difference. As JSON or, when `Accept` says so, as CSV with one row for each characteristic, or
/// as a report (PDF) with charts.
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
        (status = 200, description = "The statistics", content((Statistics = "application/json"), (String = "text/csv"), (inline(FileBytes) = "application/pdf"))),
        (status = 400, description = "A parameter that makes no sense, too many heads, or a report of too many pages", body = Problem, content_type = "application/problem+json"),
        (status = 404, description = "No such batch", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "Neither JSON nor CSV nor PDF is taken", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn statistics(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    http: HttpRequest,
) -> Result<HttpResponse, ApiError> {
    let form = preferred(http.headers(), &[JSON, CSV, PDF]);
    let form = form.ok_or_else(|| ApiError::new(ProblemKind::NotAcceptable))?;
    let Asked { mut survey, look, title } = asked(&http)?;
    if form == PDF {
        survey.points = USUAL_POINTS.into();
    }
    if let Some(batch) = survey.of.batch {
        super::batches::find(&state, &caller.shop, batch).await?;
    }
    let _turn = TURNS.take().await?;
    let statistics = headproof_survey::survey(&state.store, &caller.shop, &survey).await?;
    let mut answer = HttpResponse::Ok();
    Ok(match form {
        PDF => {
            let file = web::block(move || report(&statistics, look, title.as_deref())).await;
            let file = file.map_err(|stopped| ApiError::internal(&stopped))??;
            answer.insert_header((CONTENT_DISPOSITION, "inline; filename=\"statistics.pdf\""));
            answer.content_type(PDF).body(file)
        }
        CSV => {
            let table = statistics_table(&statistics).map_err(|error| ApiError::internal(&error))?;
            answer.content_type("text/csv; charset=utf-8").body(table)
        }
        _ => answer.json(statistics),
    })
}

/// The pages.
fn report(statistics: &Statistics, look: SheetOptions, title: Option<&str>) -> Result<Vec<u8>, ApiError> {
    let canonical = canonical(statistics)?;
    match statistics_report(&StatisticsInput { statistics, canonical: &canonical, title, look }) {
        Ok(made) => Ok(made.bytes),
        Err(error @ SheetError::TooLarge { .. }) => {
            Err(ApiError::because(ProblemKind::BadRequest, error.to_string()))
        }
        Err(error) => Err(ApiError::internal(&error)),
    }
}
