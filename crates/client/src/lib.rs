//! A typed client of the service's HTTP interface, as a shop system would use it.

use std::time::{Duration, Instant};

use headproof_wire::{Batch, Job, JobRequest, Problem, TaskState};
use reqwest::header::{CONTENT_TYPE, LOCATION};
use reqwest::{Method, Response, StatusCode};
use serde::Serialize;
use serde::de::DeserializeOwned;

/// Why a request did not give what was asked for.
#[derive(Debug, thiserror::Error)]
pub enum ClientError {
    /// No answer.
    #[error("the service did not answer: {0}")]
    Transport(#[from] reqwest::Error),
    /// The service refused.
    #[error("{status} {title}: {detail}", status = .0.status, title = .0.title, detail = .0.detail.as_deref().unwrap_or(""))]
    Problem(Box<Problem>),
    /// An answer that is none of the service's.
    #[error("unexpected answer: {0}")]
    Unexpected(String),
    /// It took longer than the caller wanted to wait.
    #[error("{0} is still not finished")]
    TimedOut(String),
}

/// A client of one service.
#[derive(Debug, Clone)]
pub struct Client {
    base: String,
    http: reqwest::Client,
}

/// How long the service is asked to hold a status request open.
const LONG_POLL_SECONDS: u64 = 10;

impl Client {
    /// A client of the service at `base`, such as `http://127.0.0.1:8080`.
    ///
    /// # Errors
    /// [`ClientError::Transport`] when no HTTP client can be set up.
    pub fn new(base: impl Into<String>) -> Result<Self, ClientError> {
        let http = reqwest::Client::builder().no_proxy().timeout(Duration::from_secs(60)).build()?;
        Ok(Self { base: base.into().trim_end_matches('/').to_owned(), http })
    }

    /// Posts one set to be judged, kept and turned into a sheet.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn submit(&self, request: &JobRequest) -> Result<Job, ClientError> {
        let response = self.http.post(self.address("/v1/jobs")).json(request).send().await?;
        accepted(response).await
    }

    /// Posts several sets as one batch.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn submit_batch(&self, requests: &[JobRequest]) -> Result<Batch, ClientError> {
        let mut lines = Vec::new();
        for request in requests {
            lines.extend(json(request)?);
            lines.push(b'\n');
        }
        let request =
            self.http.post(self.address("/v1/batches")).header(CONTENT_TYPE, "application/x-ndjson");
        accepted(request.body(lines).send().await?).await
    }

    /// Waits until a job's sheet is there or has failed.
    ///
    /// # Errors
    /// [`ClientError::TimedOut`] after `longest`, else [`ClientError`].
    pub async fn wait(&self, job: &Job, longest: Duration) -> Result<Job, ClientError> {
        self.poll(&job.links.this, longest, |job: &Job| job.state).await
    }

    /// Waits until a batch's report is there or has failed.
    ///
    /// # Errors
    /// [`ClientError::TimedOut`] after `longest`, else [`ClientError`].
    pub async fn wait_batch(&self, batch: &Batch, longest: Duration) -> Result<Batch, ClientError> {
        self.poll(&batch.links.this, longest, |batch: &Batch| batch.state).await
    }

    /// The bytes behind a link of a resource (evaluation, sheet, report).
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn fetch(&self, link: &str) -> Result<Vec<u8>, ClientError> {
        let response = self.http.get(self.address(link)).send().await?;
        Ok(checked(response).await?.bytes().await?.to_vec())
    }

    async fn poll<T: DeserializeOwned>(
        &self,
        link: &str,
        longest: Duration,
        state: impl Fn(&T) -> TaskState,
    ) -> Result<T, ClientError> {
        let deadline = Instant::now() + longest;
        while Instant::now() < deadline {
            let request = self.http.request(Method::GET, self.address(link));
            let response = request.header("Prefer", format!("wait={LONG_POLL_SECONDS}")).send().await?;
            let resource: T = checked(response).await?.json().await?;
            if !matches!(state(&resource), TaskState::Queued | TaskState::Running) {
                return Ok(resource);
            }
        }
        Err(ClientError::TimedOut(link.to_owned()))
    }

    fn address(&self, link: &str) -> String {
        format!("{}{link}", self.base)
    }
}

fn json(document: &impl Serialize) -> Result<Vec<u8>, ClientError> {
    serde_json::to_vec(document).map_err(|error| ClientError::Unexpected(error.to_string()))
}

async fn accepted<T: DeserializeOwned>(response: Response) -> Result<T, ClientError> {
    let response = checked(response).await?;
    if response.status() != StatusCode::ACCEPTED || response.headers().get(LOCATION).is_none() {
        return Err(ClientError::Unexpected(format!("{} without a location", response.status())));
    }
    Ok(response.json().await?)
}

async fn checked(response: Response) -> Result<Response, ClientError> {
    let status = response.status();
    if status.is_success() {
        return Ok(response);
    }
    let body = response.bytes().await?;
    match serde_json::from_slice(&body) {
        Ok(problem) => Err(ClientError::Problem(Box::new(problem))),
        Err(_) => Err(ClientError::Unexpected(status.to_string())),
    }
}
