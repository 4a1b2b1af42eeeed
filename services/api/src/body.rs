//! Bodies: their media type, their size, and what they say.

use actix_web::dev::Payload;
use actix_web::error::PayloadError;
use actix_web::http::header::CONTENT_TYPE;
use actix_web::web::Bytes;
use actix_web::{FromRequest, HttpRequest};
use futures_util::future::LocalBoxFuture;
use headproof_wire::{Document, read};
use serde::de::DeserializeOwned;

use crate::{ApiError, ProblemKind};

/// One JSON document, read and checked for its form.
pub(crate) struct Posted<T>(pub(crate) T);

impl<T: DeserializeOwned + Document + 'static> FromRequest for Posted<T> {
    type Error = ApiError;
    type Future = LocalBoxFuture<'static, Result<Self, ApiError>>;

    fn from_request(request: &HttpRequest, payload: &mut Payload) -> Self::Future {
        let is_json = media_type(request, &["application/json"]);
        let bytes = Bytes::from_request(request, payload);
        Box::pin(async move {
            is_json?;
            let bytes = bytes.await.map_err(|error| too_large_or_broken(&error))?;
            Ok(Self(read(&bytes)?))
        })
    }
}

/// Newline-delimited JSON, read as it is.
pub(crate) struct Lines(pub(crate) Bytes);

impl FromRequest for Lines {
    type Error = ApiError;
    type Future = LocalBoxFuture<'static, Result<Self, ApiError>>;

    fn from_request(request: &HttpRequest, payload: &mut Payload) -> Self::Future {
        let is_ndjson = media_type(request, &["application/x-ndjson", "application/ndjson"]);
        let bytes = Bytes::from_request(request, payload);
        Box::pin(async move {
            is_ndjson?;
            Ok(Self(bytes.await.map_err(|error| too_large_or_broken(&error))?))
        })
    }
}

fn media_type(request: &HttpRequest, wanted: &[&str]) -> Result<(), ApiError> {
    let given = request.headers().get(CONTENT_TYPE).and_then(|value| value.to_str().ok()).unwrap_or_default();
    let essence = given.split(';').next().unwrap_or_default().trim();
    if wanted.iter().any(|wanted| essence.eq_ignore_ascii_case(wanted)) {
        return Ok(());
    }
    Err(ApiError::because(ProblemKind::UnsupportedMediaType, format!("send {}", wanted[0])))
}

fn too_large_or_broken(error: &actix_web::Error) -> ApiError {
    match error.as_error::<PayloadError>() {
        Some(PayloadError::Overflow) => ApiError::new(ProblemKind::TooLarge),
        _ if error.as_response_error().status_code() == 413 => ApiError::new(ProblemKind::TooLarge),
        _ => ApiError::because(ProblemKind::BadRequest, "the body could not be read to its end"),
    }
}
