//! Bodies: their media type, their size, and what they say.

use actix_web::dev::{Decompress, Payload};
use actix_web::error::PayloadError;
use actix_web::http::header::{CONTENT_LENGTH, CONTENT_TYPE};
use actix_web::web::{Bytes, Data};
use actix_web::{FromRequest, HttpMessage, HttpRequest};
use futures_util::future::LocalBoxFuture;
use futures_util::stream;
use futures_util::{Stream, StreamExt};
use headproof_wire::{Document, read};
use serde::de::DeserializeOwned;

use crate::once::{self, BodyDigest};
use crate::{ApiError, ApiState, ProblemKind};

/// Bytes given to decompression at once. A piece can grow a thousandfold before its size is known.
const PIECE: usize = 2048;

/// One JSON document, read and checked for its form.
pub(crate) struct Posted<T>(pub(crate) T);

impl<T: DeserializeOwned + Document + 'static> FromRequest for Posted<T> {
    type Error = ApiError;
    type Future = LocalBoxFuture<'static, Result<Self, ApiError>>;

    fn from_request(request: &HttpRequest, payload: &mut Payload) -> Self::Future {
        let (request, payload) = (request.clone(), payload.take());
        Box::pin(async move {
            media_type(&request, &["application/json"])?;
            let limit = state(&request)?.limits.document_bytes;
            let body = collect(&request, payload, limit).await?;
            if request.headers().contains_key(once::HEADER) {
                request.extensions_mut().insert(BodyDigest(headproof_seal::digest(&body)));
            }
            Ok(Self(read(&body)?))
        })
    }
}

impl<T: Document> Posted<T> {
    /// The document, if what it says has no fault that can be seen in itself.
    pub(crate) fn checked(self) -> Result<T, ApiError> {
        let faults = self.0.content_faults();
        if faults.is_empty() { Ok(self.0) } else { Err(ApiError::faults(faults)) }
    }
}

/// A PDF file, read as it is.
pub(crate) struct File(pub(crate) Bytes);

impl FromRequest for File {
    type Error = ApiError;
    type Future = LocalBoxFuture<'static, Result<Self, ApiError>>;

    fn from_request(request: &HttpRequest, payload: &mut Payload) -> Self::Future {
        let (request, payload) = (request.clone(), payload.take());
        Box::pin(async move {
            media_type(&request, &["application/pdf"])?;
            let limit = state(&request)?.limits.file_bytes;
            Ok(Self(collect(&request, payload, limit).await?))
        })
    }
}

fn state(request: &HttpRequest) -> Result<&Data<ApiState>, ApiError> {
    request.app_data().ok_or_else(|| ApiError::new(ProblemKind::Internal))
}

/// The whole body, decompressed, as long as it stays within the limit.
async fn collect(request: &HttpRequest, payload: Payload, limit: usize) -> Result<Bytes, ApiError> {
    let too_large = || ApiError::new(ProblemKind::TooLarge);
    if told_length(request).is_some_and(|length| length > limit) {
        return Err(too_large());
    }
    let mut body = decompressed(request, payload);
    let mut bytes = Vec::new();
    while let Some(piece) = body.next().await {
        let broken = |_| ApiError::because(ProblemKind::BadRequest, "the body could not be read to its end");
        let piece = piece.map_err(broken)?;
        if bytes.len() + piece.len() > limit {
            return Err(too_large());
        }
        if bytes.capacity() - bytes.len() < piece.len() {
            // Twice as much as is there, but never room for more than may come.
            let wanted = (bytes.len() * 2).clamp(bytes.len() + piece.len(), limit);
            bytes.reserve_exact(wanted - bytes.len());
        }
        bytes.extend_from_slice(&piece);
    }
    Ok(bytes.into())
}

/// The length that a request announces.
pub(crate) fn told_length(request: &HttpRequest) -> Option<usize> {
    request.headers().get(CONTENT_LENGTH)?.to_str().ok()?.parse().ok()
}

/// The body of a request in small pieces, each decompressed where the request says that it is compressed.
pub(crate) fn decompressed(
    request: &HttpRequest,
    payload: Payload,
) -> impl Stream<Item = Result<Bytes, PayloadError>> + Unpin {
    Decompress::from_headers(Box::pin(payload.flat_map(in_pieces)), request.headers())
}

/// One buffer of the network as several small ones.
fn in_pieces(buffer: Result<Bytes, PayloadError>) -> impl Stream<Item = Result<Bytes, PayloadError>> {
    let pieces = match buffer {
        Ok(buffer) => {
            let starts = (0..buffer.len()).step_by(PIECE);
            starts.map(|start| Ok(buffer.slice(start..buffer.len().min(start + PIECE)))).collect()
        }
        Err(error) => vec![Err(error)],
    };
    stream::iter(pieces)
}

/// The media type of a request, if it is one of those that are wanted.
pub(crate) fn media_type<'w>(request: &HttpRequest, wanted: &[&'w str]) -> Result<&'w str, ApiError> {
    let given = request.headers().get(CONTENT_TYPE).and_then(|value| value.to_str().ok()).unwrap_or_default();
    let essence = given.split(';').next().unwrap_or_default().trim();
    if let Some(wanted) = wanted.iter().find(|wanted| essence.eq_ignore_ascii_case(wanted)) {
        return Ok(wanted);
    }
    Err(ApiError::because(ProblemKind::UnsupportedMediaType, format!("send {}", wanted[0])))
}
