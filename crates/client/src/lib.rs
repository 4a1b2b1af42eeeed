//! A typed client of the service's HTTP interface, as a shop system would use it.

mod outgoing;

use std::time::{Duration, Instant};

use headproof_wire::{
    Batch, Job, JobRequest, KeyRequest, MadeKey, Person, PersonRequest, Problem, SignOffRequest,
    SignOffStatus, TaskState, Verification,
};
use reqwest::header::{CONTENT_TYPE, IF_MATCH, LOCATION};
use reqwest::{Method, RequestBuilder, Response, StatusCode};
use serde::Serialize;
use serde::de::DeserializeOwned;

pub use outgoing::{body_up_to, is_address, is_safe_address, outgoing};

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
    /// What it shows to be let in.
    key: Option<String>,
}

/// How long the service is asked to hold a status request open.
const LONG_POLL_SECONDS: u64 = 10;

impl Client {
    /// A client of the service at `base`, such as `http://127.0.0.1:8080`.
    ///
    /// # Errors
    /// [`ClientError::Transport`] when no HTTP client can be set up.
    pub fn new(base: impl Into<String>) -> Result<Self, ClientError> {
        let http = outgoing(Duration::from_secs(60))?;
        Ok(Self { base: base.into().trim_end_matches('/').to_owned(), http, key: None })
    }

    /// The same, showing a key with each request.
    #[must_use]
    pub fn with_key(&self, key: impl Into<String>) -> Self {
        Self { key: Some(key.into()), ..self.clone() }
    }

    /// Posts one set to be judged, kept and turned into a sheet.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn submit(&self, request: &JobRequest) -> Result<Job, ClientError> {
        let response = self.request(Method::POST, "/v1/jobs").json(request).send().await?;
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
        let request = self.request(Method::POST, "/v1/batches").header(CONTENT_TYPE, "application/x-ndjson");
        accepted(request.body(lines).send().await?).await
    }

    /// Enters a person who signs.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn enter_person(&self, request: &PersonRequest) -> Result<Person, ClientError> {
        let response = self.request(Method::POST, "/v1/people").json(request).send().await?;
        Ok(checked(response).await?.json().await?)
    }

    /// Makes a key.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn make_key(&self, request: &KeyRequest) -> Result<MadeKey, ClientError> {
        let response = self.request(Method::POST, "/v1/keys").json(request).send().await?;
        Ok(checked(response).await?.json().await?)
    }

    /// Signs the evaluation of a job, as the person the key speaks for.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn sign(&self, job: &Job, request: &SignOffRequest) -> Result<SignOffStatus, ClientError> {
        let request = self.request(Method::POST, &format!("{}/sign-offs", job.links.this)).json(request);
        let tag = format!("\"{}\"", job.evaluation_digest);
        accepted(request.header(IF_MATCH, tag).send().await?).await
    }

    /// Waits until a signed sheet is there or has failed.
    ///
    /// # Errors
    /// [`ClientError::TimedOut`] after `longest`, else [`ClientError`].
    pub async fn wait_signed(
        &self,
        signed: &SignOffStatus,
        longest: Duration,
    ) -> Result<SignOffStatus, ClientError> {
        self.poll(&signed.links.this, longest, |signed: &SignOffStatus| signed.state).await
    }

    /// Learns what a PDF file is.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn verify(&self, file: Vec<u8>) -> Result<Verification, ClientError> {
        let request = self.request(Method::POST, "/v1/verify").header(CONTENT_TYPE, "application/pdf");
        Ok(checked(request.body(file).send().await?).await?.json().await?)
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
        let response = self.request(Method::GET, link).send().await?;
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
            let request = self.request(Method::GET, link);
            let response = request.header("Prefer", format!("wait={LONG_POLL_SECONDS}")).send().await?;
            let resource: T = checked(response).await?.json().await?;
            if !matches!(state(&resource), TaskState::Queued | TaskState::Running) {
                return Ok(resource);
            }
        }
        Err(ClientError::TimedOut(link.to_owned()))
    }

    fn request(&self, method: Method, link: &str) -> RequestBuilder {
        let request = self.http.request(method, format!("{}{link}", self.base));
        match &self.key {
            Some(key) => request.bearer_auth(key),
            None => request,
        }
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
