//! The body of a batch, laid down in a file without a name before anything is made of it. So a slow client holds no
//! lock, a broken one leaves nothing, and what was sent twice is known by its digest.

use std::fs::File;
use std::io::{self, Seek, Write};
use std::path::PathBuf;
use std::sync::Arc;

use actix_web::dev::Payload;
use actix_web::web::{self, Data};
use actix_web::{FromRequest, HttpRequest};
use futures_util::StreamExt;
use futures_util::future::LocalBoxFuture;
use sha2::{Digest, Sha256};
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

use super::Form;
use crate::body::{decompressed, media_type, told_length};
use crate::{ApiError, ApiState, ProblemKind};

/// Bytes that are laid down at once.
const PIECE: usize = 256 << 10;
/// Batches that come in at the same time.
const AT_ONCE: usize = 4;

/// Where bodies are laid down, and how many at once. Clones share it.
#[derive(Debug, Clone)]
pub(crate) struct Spool {
    directory: Arc<PathBuf>,
    places: Arc<Semaphore>,
}

impl Spool {
    /// In this directory.
    pub(crate) fn new(directory: PathBuf) -> Self {
        Self { directory: Arc::new(directory), places: Arc::new(Semaphore::new(AT_ONCE)) }
    }
}

/// A body that is all there.
pub(crate) struct Spooled {
    /// Its lines are in this form.
    pub(crate) form: Form,
    /// It, from its beginning.
    pub(crate) file: File,
    /// Its SHA-256 in hex, with its form: the same bytes say something else as another.
    pub(crate) digest: String,
    /// Given back with it.
    pub(crate) place: OwnedSemaphorePermit,
}

impl FromRequest for Spooled {
    type Error = ApiError;
    type Future = LocalBoxFuture<'static, Result<Self, ApiError>>;

    fn from_request(request: &HttpRequest, payload: &mut Payload) -> Self::Future {
        let (request, payload) = (request.clone(), payload.take());
        Box::pin(async move {
            let form = Form::of(media_type(&request, &Form::MEDIA_TYPES)?);
            let state: &Data<ApiState> =
                request.app_data().ok_or_else(|| ApiError::new(ProblemKind::Internal))?;
            let place = Arc::clone(&state.spool.places).try_acquire_owned().map_err(|_| {
                ApiError::because(ProblemKind::Unavailable, "too many batches come in at once")
            })?;
            let limit = state.limits.batch_bytes;
            if told_length(&request).is_some_and(|length| length > limit) {
                return Err(ApiError::new(ProblemKind::TooLarge));
            }
            let directory = Arc::clone(&state.spool.directory);
            let (file, digest) = lay_down(&request, payload, directory, limit).await?;
            Ok(Self { form, file, digest: format!("{}:{digest}", form.name()), place })
        })
    }
}

async fn lay_down(
    request: &HttpRequest,
    payload: Payload,
    directory: Arc<PathBuf>,
    limit: usize,
) -> Result<(File, String), ApiError> {
    let mut file = blocking(move || tempfile::tempfile_in(&*directory)).await?;
    let mut body = decompressed(request, payload);
    let (mut digest, mut piece, mut length) = (Sha256::new(), Vec::with_capacity(PIECE), 0);
    loop {
        let next = body.next().await.transpose();
        let broken = |_| ApiError::because(ProblemKind::BadRequest, "the body could not be read to its end");
        let next = next.map_err(broken)?;
        length += next.as_ref().map_or(0, |bytes| bytes.len());
        if length > limit {
            return Err(ApiError::new(ProblemKind::TooLarge));
        }
        let is_last = next.is_none();
        piece.extend_from_slice(&next.unwrap_or_default());
        if piece.len() >= PIECE || (is_last && !piece.is_empty()) {
            (file, digest, piece) = blocking(move || {
                digest.update(&piece);
                file.write_all(&piece)?;
                piece.clear();
                Ok((file, digest, piece))
            })
            .await?;
        }
        if is_last {
            break;
        }
    }
    let file = blocking(move || file.rewind().map(|()| file)).await?;
    Ok((file, data_encoding::HEXLOWER.encode(&digest.finalize())))
}

/// File work beside the threads that serve requests. A full disk passes.
async fn blocking<T: Send + 'static>(
    work: impl FnOnce() -> io::Result<T> + Send + 'static,
) -> Result<T, ApiError> {
    let done = web::block(work).await.map_err(|stopped| ApiError::internal(&stopped))?;
    done.map_err(|error| {
        tracing::error!(%error, "a batch could not be laid down");
        ApiError::new(ProblemKind::Unavailable)
    })
}
