//! Answers that no handler made (no such route, no such method, a broken request) get their problem too.

use actix_web::body::MessageBody;
use actix_web::dev::ServiceResponse;
use actix_web::http::header::{ALLOW, CONTENT_TYPE, HeaderName, HeaderValue};
use actix_web::middleware::ErrorHandlerResponse;
use actix_web::{HttpResponse, ResponseError};

use crate::access::{RATE_LIMIT, RATE_LIMIT_POLICY};
use crate::{ApiError, ProblemKind, present};

/// Replaces the body of an error answer that is not a problem yet.
pub(crate) fn problem_for_all<B: MessageBody + 'static>(
    response: ServiceResponse<B>,
) -> actix_web::Result<ErrorHandlerResponse<B>> {
    let is_problem = response
        .headers()
        .get(CONTENT_TYPE)
        .is_some_and(|value| value.as_bytes().starts_with(b"application/problem+json"));
    if is_problem {
        return Ok(ErrorHandlerResponse::Response(response.map_into_left_body()));
    }
    let kind = match response.status().as_u16() {
        404 => ProblemKind::NotFound,
        405 => ProblemKind::MethodNotAllowed,
        413 => ProblemKind::TooLarge,
        415 => ProblemKind::UnsupportedMediaType,
        400..=499 => ProblemKind::BadRequest,
        503 => ProblemKind::Unavailable,
        _ => ProblemKind::Internal,
    };
    let mut problem: HttpResponse = ApiError::new(kind).error_response();
    for name in [ALLOW, RATE_LIMIT, RATE_LIMIT_POLICY] {
        if let Some(value) = response.headers().get(&name) {
            problem.headers_mut().insert(name, value.clone());
        }
    }
    let response = response.into_response(problem).map_into_boxed_body().map_into_right_body();
    Ok(ErrorHandlerResponse::Response(response))
}

/// The header that names the request in the log.
pub(crate) fn name_request<B>(response: &mut ServiceResponse<B>) {
    let id = present::request_id(response.request());
    if let Ok(value) = HeaderValue::from_str(&id) {
        response.headers_mut().insert(HeaderName::from_static("x-request-id"), value);
    }
}
