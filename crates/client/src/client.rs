//! Whom to ask, and as whom.

use std::time::{Duration, Instant};

use reqwest::header::{HeaderName, HeaderValue};
use reqwest::{Method, RequestBuilder};
use serde::de::DeserializeOwned;

use crate::call::{Call, PATIENCE};
use crate::{ClientError, Retries, outgoing};

/// How long the service is asked to hold a status request open.
const LONG_POLL_SECONDS: u64 = 10;
/// How long that is where somebody looks on.
const LOOKED_AT_SECONDS: u64 = 2;
/// How long to wait at least between two such requests: the service need not hold them.
const SHORTEST_PAUSE: Duration = Duration::from_millis(200);

/// A client of one service.
#[derive(Debug, Clone)]
pub struct Client {
    base: String,
    http: reqwest::Client,
    /// What it shows to be let in.
    key: Option<String>,
    traceparent: Option<HeaderValue>,
    pub(crate) retries: Retries,
}

impl Client {
    /// A client of the service at `base`, such as `http://127.0.0.1:8080`.
    ///
    /// # Errors
    /// [`ClientError::Transport`] when no HTTP client can be set up.
    pub fn new(base: impl Into<String>) -> Result<Self, ClientError> {
        let base = base.into().trim_end_matches('/').to_owned();
        let retries = Retries::default();
        Ok(Self { base, http: outgoing(PATIENCE)?, key: None, traceparent: None, retries })
    }

    /// The same, showing a key with each request.
    #[must_use]
    pub fn with_key(&self, key: impl Into<String>) -> Self {
        Self { key: Some(key.into()), ..self.clone() }
    }

    /// The same, trying otherwise often and long.
    #[must_use]
    pub fn with_retries(&self, retries: Retries) -> Self {
        Self { retries, ..self.clone() }
    }

    /// The same, saying of which trace its requests are part (W3C Trace Context, `traceparent`).
    ///
    /// # Errors
    /// [`ClientError::Usage`] for what cannot stand in a header.
    pub fn with_traceparent(&self, traceparent: &str) -> Result<Self, ClientError> {
        let value = HeaderValue::from_str(traceparent)
            .map_err(|_| ClientError::Usage("a traceparent is printable ASCII"))?;
        Ok(Self { traceparent: Some(value), ..self.clone() })
    }

    /// Where a link of the service leads.
    #[must_use]
    pub fn url(&self, link: &str) -> String {
        format!("{}{link}", self.base)
    }

    /// The link of the service that an address stands for, so that a key is shown to nobody else.
    pub(crate) fn link_of(&self, address: &str) -> Option<String> {
        let link = address.strip_prefix(&self.base).unwrap_or(address);
        (link.starts_with('/') && !link.starts_with("//")).then(|| link.to_owned())
    }

    pub(crate) fn request(&self, method: Method, link: &str) -> RequestBuilder {
        let mut request = self.http.request(method, self.url(link));
        if let Some(traceparent) = &self.traceparent {
            request = request.header(HeaderName::from_static("traceparent"), traceparent);
        }
        match &self.key {
            Some(key) => request.bearer_auth(key),
            None => request,
        }
    }

    /// Asks again and again for a resource until it is over; tells somebody how it is each time.
    pub(crate) async fn poll<T: DeserializeOwned>(
        &self,
        link: &str,
        longest: Duration,
        is_over: impl Fn(&T) -> bool,
        mut tell: Option<&mut (dyn FnMut(&T) + Send)>,
    ) -> Result<T, ClientError> {
        let deadline = Instant::now() + longest;
        let held = if tell.is_some() { LOOKED_AT_SECONDS } else { LONG_POLL_SECONDS };
        loop {
            let asked = Instant::now();
            let left = deadline.saturating_duration_since(asked).as_secs();
            let wish = HeaderValue::from_str(&format!("wait={}", held.min(left)))
                .unwrap_or_else(|_| unreachable!("a number can stand in a header"));
            let resource: T =
                Call::get(self, link).with(HeaderName::from_static("prefer"), wish).document().await?;
            if let Some(tell) = &mut tell {
                tell(&resource);
            }
            if is_over(&resource) {
                return Ok(resource);
            }
            let next = (asked + SHORTEST_PAUSE).saturating_duration_since(Instant::now());
            if Instant::now() + next >= deadline {
                return Err(ClientError::TimedOut(link.to_owned()));
            }
            tokio::time::sleep(next).await;
        }
    }
}
