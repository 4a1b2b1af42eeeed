//! The blank worksheet of a head that is about to be measured.

use actix_web::http::header::CONTENT_DISPOSITION;
use actix_web::{HttpResponse, web};
use headproof_wire::{FileBytes, Problem, WorksheetRequest};

use crate::access::{May, Submit};
use crate::body::Posted;
use crate::judging::profile_of;
use crate::worksheets::{draw, understood};
use crate::{ApiError, ApiState};

/// Draw the blank worksheet of a head for the bench; nothing is stored.
///
/// It has the limits of the profile in the units asked for, and boxes to write the readings by hand.
#[utoipa::path(
    post,
    path = "/v1/worksheet",
    tag = "Worksheet",
    request_body = WorksheetRequest,
    responses(
        (status = 200, description = "The worksheet", body = inline(FileBytes), content_type = "application/pdf"),
        (status = 400, description = "Not JSON", body = Problem, content_type = "application/problem+json"),
        (status = 413, description = "Too large", body = Problem, content_type = "application/problem+json"),
        (status = 415, description = "Not application/json", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Every fault of the document", body = Problem, content_type = "application/problem+json"),
        (status = 503, description = "Too many worksheets are asked for at once", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn make(
    state: web::Data<ApiState>,
    May(caller, ..): May<Submit>,
    request: Posted<WorksheetRequest>,
) -> Result<HttpResponse, ApiError> {
    let request = request.0;
    let profile =
        profile_of(&state, &caller.shop, request.profile.clone(), request.profile_ref.as_ref()).await?;
    let file = draw(understood(request, profile)?).await?;
    Ok(HttpResponse::Ok()
        .content_type("application/pdf")
        .insert_header((CONTENT_DISPOSITION, "inline; filename=\"worksheet.pdf\""))
        .body(file))
}
