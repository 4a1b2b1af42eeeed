//! Requests to the collector, made like all others of this program.

use std::pin::Pin;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use headproof_client::outgoing;
use opentelemetry_http::{Bytes, HttpClient, HttpError, Request, Response};
use tokio::runtime::Handle;

/// No answer of a collector is longer.
const LARGEST: usize = 64 << 10;
/// The log is told of a collector that does not take spans once in this time.
const QUIET: Duration = Duration::from_secs(60);

/// Sends on the runtime of the service what a thread of its own has put together.
#[derive(Debug)]
pub(super) struct Sender {
    http: reqwest::Client,
    runtime: Handle,
    told: Mutex<Option<Instant>>,
}

impl Sender {
    /// To be called inside of a runtime.
    ///
    /// # Errors
    /// When the certificates of the system cannot be read.
    pub(super) fn new(patience: Duration) -> Result<Self, reqwest::Error> {
        Ok(Self { http: outgoing(patience)?, runtime: Handle::current(), told: Mutex::default() })
    }

    async fn send(&self, request: Request<Bytes>) -> Result<Response<Bytes>, HttpError> {
        let (http, request) = (self.http.clone(), reqwest::Request::try_from(request)?);
        let outcome = self.runtime.spawn(async move { answered(http.execute(request).await?).await }).await?;
        match &outcome {
            Ok(response) if response.status().is_success() => {}
            Ok(response) => self.tell(&response.status()),
            Err(error) => self.tell(error),
        }
        outcome
    }

    /// Says that spans were not taken, now and then.
    fn tell(&self, why: &dyn std::fmt::Display) {
        let mut told = self.told.lock().unwrap_or_else(PoisonError::into_inner);
        if told.is_none_or(|at| at.elapsed() >= QUIET) {
            *told = Some(Instant::now());
            tracing::warn!(%why, "the collector does not take spans, some may be lost");
        }
    }
}

async fn answered(mut response: reqwest::Response) -> Result<Response<Bytes>, HttpError> {
    let mut bytes = Vec::new();
    while let Some(piece) = response.chunk().await? {
        if bytes.len() + piece.len() > LARGEST {
            return Err("its answer is too long".into());
        }
        bytes.extend_from_slice(&piece);
    }
    let mut answer = Response::new(Bytes::from(bytes));
    *answer.status_mut() = response.status();
    *answer.headers_mut() = std::mem::take(response.headers_mut());
    Ok(answer)
}

/// What the client gives for an answer.
type Answer<'a> = Pin<Box<dyn Future<Output = Result<Response<Bytes>, HttpError>> + Send + 'a>>;

impl HttpClient for Sender {
    fn send_bytes<'a, 'b>(&'a self, request: Request<Bytes>) -> Answer<'b>
    where
        'a: 'b,
        Self: 'b,
    {
        Box::pin(self.send(request))
    }
}
