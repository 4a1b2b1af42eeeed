//! One request, made once or more often.

use std::time::Duration;

use headproof_wire::Problem;
use reqwest::header::{CONTENT_TYPE, HeaderMap, HeaderName, HeaderValue};
use reqwest::{Method, Response, StatusCode};
use serde::de::DeserializeOwned;

use crate::retry::{Attempt, Failure, again};
use crate::retry_after::retry_after;
use crate::upload::Upload;
use crate::{Client, ClientError, IdempotencyKey};

/// How long something large may take on its way.
pub(crate) const LONGEST_TRANSFER: Duration = Duration::from_secs(3600);
/// How long any other answer may take.
pub(crate) const PATIENCE: Duration = Duration::from_secs(60);

/// The largest answer that is taken into memory, in bytes: that of a list of jobs or a document. What is larger is
/// streamed.
const LARGEST: usize = 256 << 20;

/// What a request has to say.
#[derive(Debug)]
pub(crate) enum Content {
    None,
    /// Bytes and their media type.
    Bytes(Vec<u8>, &'static str),
    Upload(Upload),
}

/// A request.
#[derive(Debug)]
pub(crate) struct Call<'a> {
    client: &'a Client,
    method: Method,
    link: String,
    headers: HeaderMap,
    content: Content,
    is_named: bool,
}

/// A whole answer.
#[derive(Debug)]
pub(crate) struct Whole {
    pub(crate) status: StatusCode,
    pub(crate) headers: HeaderMap,
    pub(crate) body: Vec<u8>,
}

impl<'a> Call<'a> {
    /// Asks for what is behind a link.
    pub(crate) fn get(client: &'a Client, link: impl Into<String>) -> Self {
        Self::new(client, Method::GET, link.into(), Content::None)
    }

    /// Posts something by which nothing is made, or nothing more by the second time.
    pub(crate) fn post(client: &'a Client, link: impl Into<String>, content: Content) -> Self {
        Self::new(client, Method::POST, link.into(), content)
    }

    /// Posts something by which something is made.
    pub(crate) fn create(
        client: &'a Client,
        link: impl Into<String>,
        content: Content,
        key: &IdempotencyKey,
    ) -> Self {
        let call = Self::post(client, link, content);
        Self { is_named: true, ..call.with(HeaderName::from_static("idempotency-key"), key.header()) }
    }

    fn new(client: &'a Client, method: Method, link: String, content: Content) -> Self {
        Self { client, method, link, headers: HeaderMap::new(), content, is_named: false }
    }

    /// The same with one more header.
    pub(crate) fn with(mut self, name: HeaderName, value: HeaderValue) -> Self {
        self.headers.insert(name, value);
        self
    }

    /// The answer, without what stands in it: only its head was received, and it is a good one.
    pub(crate) async fn head(&mut self, left: Duration, longest: Duration) -> Result<Response, Failure> {
        let request = self.client.request(self.method.clone(), &self.link).headers(self.headers.clone());
        let (request, longest) = match &self.content {
            Content::None => (request, longest),
            Content::Bytes(bytes, media_type) => {
                (request.header(CONTENT_TYPE, *media_type).body(bytes.clone()), longest)
            }
            Content::Upload(upload) => (upload.put_into(request).await?, LONGEST_TRANSFER),
        };
        let longest = if longest == LONGEST_TRANSFER { longest } else { longest.min(left) };
        let response = request.timeout(longest).send().await?;
        if response.status().is_success() {
            return Ok(response);
        }
        let (status, after) = (response.status(), retry_after(response.headers()));
        let again = again(status, after, self.is_named);
        Err(Failure { error: problem(status, &whole(response).await?), again })
    }

    /// The whole answer.
    pub(crate) async fn answer(mut self) -> Result<Whole, ClientError> {
        let retries = match &self.content {
            Content::Upload(upload) if !upload.can_be_repeated() => crate::Retries::NONE,
            _ => self.client.retries,
        };
        crate::retry::persist(retries, &mut self).await
    }

    /// The whole answer, as a document.
    pub(crate) async fn document<T: DeserializeOwned>(self) -> Result<T, ClientError> {
        self.answer().await?.document()
    }

    /// The document of an answer that says that something was accepted, and where it is.
    pub(crate) async fn accepted<T: DeserializeOwned>(self) -> Result<T, ClientError> {
        let answer = self.answer().await?;
        if answer.status != StatusCode::ACCEPTED || !answer.headers.contains_key(reqwest::header::LOCATION) {
            return Err(ClientError::Unexpected(format!("{} without a location", answer.status)));
        }
        answer.document()
    }
}

impl Attempt for Call<'_> {
    type Output = Whole;

    async fn make(&mut self, left: Duration) -> Result<Whole, Failure> {
        let response = self.head(left, PATIENCE).await?;
        let (status, headers) = (response.status(), response.headers().clone());
        Ok(Whole { status, headers, body: whole(response).await? })
    }
}

impl Whole {
    pub(crate) fn document<T: DeserializeOwned>(&self) -> Result<T, ClientError> {
        serde_json::from_slice(&self.body).map_err(|error| ClientError::Unexpected(error.to_string()))
    }
}

async fn whole(mut response: Response) -> Result<Vec<u8>, Failure> {
    let mut bytes = Vec::new();
    while let Some(piece) = response.chunk().await? {
        if bytes.len() + piece.len() > LARGEST {
            return Err(ClientError::Unexpected(format!("more than {LARGEST} bytes")).into());
        }
        bytes.extend_from_slice(&piece);
    }
    Ok(bytes)
}

fn problem(status: StatusCode, body: &[u8]) -> ClientError {
    match serde_json::from_slice::<Problem>(body) {
        Ok(problem) => ClientError::Problem(Box::new(problem)),
        Err(_) => ClientError::Unexpected(status.to_string()),
    }
}
