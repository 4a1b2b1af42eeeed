//! No more bodies at once than there is room for: whoever comes when it is full is sent away before anything of theirs
//! is read.

use actix_web::body::MessageBody;
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::Method;
use actix_web::http::header::{HeaderValue, RETRY_AFTER};
use actix_web::middleware::Next;
use actix_web::{ResponseError, web};

use crate::{ApiError, ApiState, ProblemKind};

/// Lets a request with a body through while there is room.
pub(crate) async fn shed(
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> actix_web::Result<ServiceResponse<impl MessageBody>> {
    if request.method() != Method::POST {
        return Ok(next.call(request).await?.map_into_left_body());
    }
    let state = request.app_data::<web::Data<ApiState>>().cloned();
    let Some(state) = state else { return Err(ApiError::new(ProblemKind::Internal).into()) };
    // Given back when it is answered, or its client has gone.
    let Ok(_room) = state.room.try_acquire() else {
        let mut response =
            ApiError::because(ProblemKind::Unavailable, "too much is asked for at once").error_response();
        response.headers_mut().insert(RETRY_AFTER, HeaderValue::from_static("1"));
        return Ok(request.into_response(response).map_into_right_body());
    };
    Ok(next.call(request).await?.map_into_left_body())
}
