//! Deliveries: receivers are told of events (Standard Webhooks 1.0.0), at least once each and in no order.

use std::sync::Arc;
use std::time::Duration;

use headproof_client::{Answer, DeliveryError, Guard, GuardedClient};
use headproof_seal::{Secret, WebhookSecret, sign_webhook, webhook_purpose};
use headproof_store::{DeliveryClaim, Error as StoreError, Failure, Message, ReceiverRecord, Store};
use headproof_survey::SurveyError;
use metrics::{counter, histogram};
use reqwest::header::{CONTENT_TYPE, HeaderMap, HeaderName, HeaderValue, USER_AGENT};
use time::OffsetDateTime;
use tokio::sync::{Semaphore, watch};
use tracing::Instrument;

use crate::message::body;
use crate::run::{Nudge, idle};

/// Longest wait for an answer: what the specification recommends.
const PATIENCE: Duration = Duration::from_secs(15);
/// A delivery is another worker's when this one is silent for so long.
const LEASE: Duration = Duration::from_secs(30);
/// Waits between the tries of one message, 75 hours in all: those that the specification gives as an example.
const WAITS: [Duration; 9] = [
    Duration::from_secs(5),
    Duration::from_secs(5 * 60),
    Duration::from_secs(30 * 60),
    Duration::from_secs(2 * 3600),
    Duration::from_secs(5 * 3600),
    Duration::from_secs(10 * 3600),
    Duration::from_secs(14 * 3600),
    Duration::from_secs(20 * 3600),
    Duration::from_secs(24 * 3600),
];
/// Wait after a fault of the store: it may pass at any time.
const OURS: Duration = Duration::from_secs(2);
/// A receiver can ask not to be tried for this long at the most.
const LONGEST_ASKED: Duration = Duration::from_secs(24 * 3600);

/// How receivers are told.
#[derive(Debug, Clone)]
pub struct DeliveryOptions {
    /// Messages under way at the same time.
    pub at_once: usize,
    /// What may be called.
    pub guard: Guard,
    /// What their secrets are wrapped with.
    pub secret: Arc<Secret>,
    /// Where the service is to be found from outside, for links.
    pub public_url: Option<String>,
    /// A receiver is disabled when nothing has got through for this long.
    pub disable_after: Duration,
    /// The waits are divided by this; 1 but for tests.
    pub haste: u32,
}

/// Whoever delivers.
pub(crate) struct Deliverer {
    store: Store,
    options: DeliveryOptions,
    client: GuardedClient,
}

impl Deliverer {
    pub(crate) fn new(store: Store, options: DeliveryOptions) -> Result<Self, reqwest::Error> {
        let client = GuardedClient::new(options.guard.clone(), PATIENCE)?;
        Ok(Self { store, options, client })
    }

    /// Delivers until `stop` becomes true, then ends what is under way.
    pub(crate) async fn run(self, nudge: Nudge, poll: Duration, mut stop: watch::Receiver<bool>) {
        let hands = Arc::new(Semaphore::new(self.options.at_once.max(1)));
        let all = u32::try_from(self.options.at_once.max(1)).unwrap_or(u32::MAX);
        let this = Arc::new(self);
        while !*stop.borrow() {
            let Ok(hand) = Arc::clone(&hands).acquire_owned().await else { break };
            match this.store.claim_delivery(LEASE).await {
                Ok(Some(claim)) => {
                    let span = tracing::info_span!(
                        "delivery",
                        message = %claim.message.id,
                        event = claim.message.event,
                        receiver = %claim.receiver.id,
                        attempt = claim.attempt,
                        request_id = claim.message.origin.request_id,
                    );
                    let (this, nudge) = (Arc::clone(&this), nudge.clone());
                    let delivering = async move {
                        this.deliver(&claim).await;
                        drop(hand);
                        // There may be more for this receiver, which only takes some at a time.
                        nudge.now();
                    };
                    tokio::spawn(delivering.instrument(span));
                }
                Ok(None) => idle(&nudge, poll, &mut stop).await,
                Err(error) => {
                    tracing::error!(%error, "no delivery could be claimed");
                    idle(&Nudge::default(), poll, &mut stop).await;
                }
            }
        }
        let _ = hands.acquire_many(all).await;
    }

    async fn deliver(&self, claim: &DeliveryClaim) {
        let outcome = match self.send(claim).await {
            Ok(Answer { status, .. }) if (200..300).contains(&status) => {
                tracing::info!(status, "delivered");
                let lag = OffsetDateTime::now_utc() - claim.message.occurred_at;
                histogram!("headproof_webhook_lag_seconds").record(lag.as_seconds_f64().max(0.0));
                count("delivered");
                self.store.delivered(claim, status).await
            }
            Err(Trouble::Store(error)) => {
                tracing::warn!(%error, "a message could not be written, the try does not count");
                self.store.put_delivery_back(claim, OURS).await
            }
            failed => {
                let failure = self.failure(claim.attempt, failed);
                tracing::warn!(status = failure.status, reason = failure.reason, "not delivered");
                count(if failure.again.is_some() && !failure.gone { "put-back" } else { "dead" });
                self.store.not_delivered(claim, &failure).await
            }
        };
        match outcome {
            Ok(()) => {}
            Err(StoreError::Fenced { .. }) => tracing::warn!("another worker has the delivery"),
            // The lease runs out, and it is sent again.
            Err(error) => tracing::error!(%error, "the end of a delivery could not be recorded"),
        }
    }

    async fn send(&self, claim: &DeliveryClaim) -> Result<Answer, Trouble> {
        let message = &claim.message;
        let body = body(&self.store, message, self.options.public_url.as_deref()).await?;
        let now = OffsetDateTime::now_utc();
        let secrets = self.secrets(&claim.receiver, now)?;
        let id = format!("msg_{}", message.id.simple());
        let signatures = sign_webhook(&secrets, &id, now.unix_timestamp(), &body);
        let headers = headers(message, &id, now.unix_timestamp(), &signatures)?;
        Ok(self.client.deliver(&claim.receiver.content.url, headers, body).await?)
    }

    /// The secret of a receiver, and for a while the one before it.
    fn secrets(&self, receiver: &ReceiverRecord, now: OffsetDateTime) -> Result<Vec<WebhookSecret>, Trouble> {
        let old = receiver.old_secret.as_ref().filter(|(_, until)| *until > now).map(|(secret, _)| secret);
        let purpose = webhook_purpose(receiver.id);
        let open = |wrapped: &Vec<u8>| {
            let bytes = self.options.secret.unwrap(&purpose, wrapped).map_err(|_| Trouble::Secret)?;
            let text = std::str::from_utf8(&bytes).map_err(|_| Trouble::Secret)?;
            WebhookSecret::from_text(text).map_err(|_| Trouble::Secret)
        };
        std::iter::once(&receiver.content.secret).chain(old).map(open).collect()
    }

    fn failure(&self, attempt: u32, outcome: Result<Answer, Trouble>) -> Failure {
        let index = usize::try_from(attempt).unwrap_or(usize::MAX).saturating_sub(1);
        let usual = WAITS.get(index).map(|wait| *wait / self.options.haste.max(1));
        let disable_after = self.options.disable_after;
        match outcome {
            Ok(Answer { status, retry_after }) => {
                let asked = retry_after.map(|asked| asked.min(LONGEST_ASKED));
                let again = usual.map(|usual| asked.map_or(usual, |asked| asked.max(usual)));
                let reason = format!("the answer was {status}");
                Failure { status: Some(status), reason, again, gone: status == 410, disable_after }
            }
            Err(trouble) => Failure {
                status: None,
                reason: trouble.to_string(),
                again: usual,
                gone: false,
                disable_after,
            },
        }
    }
}

fn count(outcome: &'static str) {
    counter!("headproof_webhook_deliveries_total", "outcome" => outcome).increment(1);
}

/// Why there is no answer. Whoever owns the receiver reads it.
#[derive(Debug, thiserror::Error)]
pub(crate) enum Trouble {
    #[error(transparent)]
    Client(#[from] DeliveryError),
    #[error("the message could not be written")]
    Store(#[from] StoreError),
    #[error("the message could not be written")]
    Message,
    #[error("the secret cannot be read")]
    Secret,
}

impl From<SurveyError> for Trouble {
    fn from(error: SurveyError) -> Self {
        match error {
            SurveyError::Store(error) => Self::Store(error),
            SurveyError::TooMany
            | SurveyError::TooManyPoints
            | SurveyError::Overflow
            | SurveyError::Interrupted => Self::Message,
        }
    }
}

fn headers(message: &Message, id: &str, seconds: i64, signatures: &str) -> Result<HeaderMap, Trouble> {
    let mut headers = HeaderMap::new();
    let value = |text: &str| HeaderValue::from_str(text).map_err(|_| Trouble::Message);
    headers.insert(CONTENT_TYPE, HeaderValue::from_static("application/json"));
    headers.insert(USER_AGENT, HeaderValue::from_static(concat!("headproof/", env!("CARGO_PKG_VERSION"))));
    headers.insert(HeaderName::from_static("webhook-id"), value(id)?);
    headers.insert(HeaderName::from_static("webhook-timestamp"), value(&seconds.to_string())?);
    headers.insert(HeaderName::from_static("webhook-signature"), value(signatures)?);
    headers.insert(HeaderName::from_static("x-request-id"), value(&message.origin.request_id)?);
    if let Some(parent) = &message.origin.trace_parent {
        headers.insert(HeaderName::from_static("traceparent"), value(parent)?);
    }
    Ok(headers)
}
