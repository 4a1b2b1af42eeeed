//! Is it alive, is it ready?

use actix_web::{HttpResponse, web};

use crate::{ApiError, ApiState};

/// The process runs.
#[utoipa::path(get, path = "/livez", tag = "Operation", responses((status = 200, description = "Alive")))]
pub(crate) async fn alive() -> HttpResponse {
    HttpResponse::Ok().content_type("text/plain").body("alive\n")
}

/// The store answers and takes files.
#[utoipa::path(get, path = "/readyz", tag = "Operation", responses((status = 200, description = "Ready"), (status = 503, description = "The store does not answer", body = headproof_wire::Problem, content_type = "application/problem+json")))]
pub(crate) async fn ready(state: web::Data<ApiState>) -> Result<HttpResponse, ApiError> {
    if let Err(error) = state.store.ready().await {
        tracing::warn!(%error, "not ready");
        return Err(ApiError::new(crate::ProblemKind::Unavailable));
    }
    Ok(HttpResponse::Ok().content_type("text/plain").body("ready\n"))
}
