//! Webhooks: a shop system is told of events (Standard Webhooks 1.0.0).

use std::fmt;

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;
use uuid::Uuid;

use crate::convert::{LONGEST, texts_in};
use crate::statistics::{RunRule, Track};
use crate::{Fault, Links, Service, Stage};

/// The longest address.
const LONGEST_ADDRESS: usize = 2000;

/// What can be told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, ToSchema)]
pub enum WebhookEvent {
    /// The sheet of a job is there.
    #[serde(rename = "job.done")]
    JobDone,
    /// The sheet of a job could not be made.
    #[serde(rename = "job.failed")]
    JobFailed,
    /// A job was called off.
    #[serde(rename = "job.cancelled")]
    JobCancelled,
    /// The report of a batch is there.
    #[serde(rename = "batch.done")]
    BatchDone,
    /// The report of a batch could not be made.
    #[serde(rename = "batch.failed")]
    BatchFailed,
    /// A batch was called off.
    #[serde(rename = "batch.cancelled")]
    BatchCancelled,
    /// The signed sheet of a sign-off is there.
    #[serde(rename = "sign_off.done")]
    SignOffDone,
    /// The signed sheet of a sign-off could not be made.
    #[serde(rename = "sign_off.failed")]
    SignOffFailed,
    /// A control chart signals with the newest head.
    #[serde(rename = "chart.signal")]
    ChartSignal,
    /// Somebody wanted to see whether messages get through.
    #[serde(rename = "webhook.test")]
    Test,
}

impl WebhookEvent {
    /// All events.
    pub const ALL: [Self; 10] = [
        Self::JobDone,
        Self::JobFailed,
        Self::JobCancelled,
        Self::BatchDone,
        Self::BatchFailed,
        Self::BatchCancelled,
        Self::SignOffDone,
        Self::SignOffFailed,
        Self::ChartSignal,
        Self::Test,
    ];

    /// Its name.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::JobDone => "job.done",
            Self::JobFailed => "job.failed",
            Self::JobCancelled => "job.cancelled",
            Self::BatchDone => "batch.done",
            Self::BatchFailed => "batch.failed",
            Self::BatchCancelled => "batch.cancelled",
            Self::SignOffDone => "sign_off.done",
            Self::SignOffFailed => "sign_off.failed",
            Self::ChartSignal => "chart.signal",
            Self::Test => "webhook.test",
        }
    }

    /// The event of a name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|event| event.as_str() == name)
    }
}

/// An address to be told of events.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WebhookRequest {
    /// The address, http or https, that takes a POST.
    #[schema(min_length = 1, max_length = 2000)]
    pub url: String,
    /// What it is, for people.
    #[schema(max_length = 200)]
    pub description: Option<String>,
    /// What it is told of; of all without.
    #[schema(max_items = 20)]
    pub events: Option<Vec<WebhookEvent>>,
}

/// Every fault of an address that is to be told of events, with its JSON Pointer.
pub(crate) fn webhook_faults(request: &WebhookRequest) -> Vec<Fault> {
    let description = request.description.as_ref().map(|text| ("description", text, LONGEST));
    let texts: Vec<_> = std::iter::once(("url", &request.url, LONGEST_ADDRESS)).chain(description).collect();
    texts_in(&texts)
}

/// An address that is told of events, without its secret.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Webhook {
    /// Its id.
    pub id: Uuid,
    /// The address.
    pub url: String,
    /// What it is.
    pub description: Option<String>,
    /// What it is told of; of all without.
    pub events: Option<Vec<WebhookEvent>>,
    /// Whether it is told of anything.
    pub enabled: bool,
    /// Why not, or what went wrong last.
    pub reason: Option<String>,
    /// Since when nothing has got through.
    #[schema(format = "date-time")]
    pub failing_since: Option<String>,
    /// Until when messages are signed with the secret before the last one, too.
    #[schema(format = "date-time")]
    pub old_secret_until: Option<String>,
    /// When it was entered.
    #[schema(format = "date-time")]
    pub created_at: String,
    /// Where its parts are.
    pub links: Links,
}

/// An address that was just entered, or has a new secret.
#[derive(Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct MadeWebhook {
    /// What messages to it are signed with: `whsec_` and base64. It is shown this once.
    pub secret: String,
    /// The address.
    pub webhook: Webhook,
}

impl fmt::Debug for MadeWebhook {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // Its secret belongs into no log.
        f.debug_struct("MadeWebhook").field("webhook", &self.webhook).finish_non_exhaustive()
    }
}

/// Where a message stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum DeliveryState {
    /// It waits for its first or next try.
    Queued,
    /// It is under way.
    Running,
    /// It got through.
    Delivered,
    /// It was given up, until somebody has it sent again.
    Dead,
}

/// A message that was or is to be sent.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Delivery {
    /// Its id, the same at every try: `webhook-id`.
    pub id: Uuid,
    /// What it tells.
    pub event: String,
    /// The job, batch, sign-off or webhook it is about.
    pub subject: Uuid,
    /// When that happened.
    #[schema(format = "date-time")]
    pub occurred_at: String,
    /// Where it stands.
    pub state: DeliveryState,
    /// How often it was tried.
    pub attempts: u32,
    /// When it is tried next, while it waits.
    #[schema(format = "date-time")]
    pub next_try: Option<String>,
    /// The status of the last answer.
    pub status: Option<u16>,
    /// Why the last try failed.
    pub reason: Option<String>,
    /// When it came to its end.
    #[schema(format = "date-time")]
    pub finished_at: Option<String>,
}

/// How many messages are sent again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct SentAgain {
    /// So many.
    pub messages: u64,
}

/// What is told: the body of a message.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct WebhookMessage {
    /// The name of the event.
    #[serde(rename = "type")]
    pub event: String,
    /// When it happened.
    #[schema(format = "date-time")]
    pub timestamp: String,
    /// What it is about.
    pub data: WebhookData,
}

/// What a message is about. It says where to look; what stands there is the truth.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct WebhookData {
    /// The job, batch, sign-off or webhook.
    pub id: Uuid,
    /// Where it is; of signals, where the charts are.
    pub link: String,
    /// The request that was the beginning of it.
    pub request_id: String,
    /// Serial of the head, of a job.
    pub head_serial: Option<String>,
    /// What follows for the head, of a job.
    pub disposition: Option<String>,
    /// The client's own reference, of a job.
    pub client_reference: Option<String>,
    /// The batch it came in, of a job.
    pub batch: Option<Uuid>,
    /// Why it failed.
    pub reason: Option<String>,
    /// The code of a sign-off.
    pub code: Option<String>,
    /// The job of a sign-off.
    pub job: Option<Uuid>,
    /// The stage whose charts signal.
    pub stage: Option<Stage>,
    /// Id of the profile whose charts signal.
    pub profile: Option<String>,
    /// What signals with the head of the job, as it stands when the message is sent; empty when nothing does any more.
    pub signals: Option<Vec<HeadSignal>>,
}

/// A run rule that is broken with one head, at the point that completes the breach.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct HeadSignal {
    /// Which characteristic.
    pub characteristic: String,
    /// Of which ports; absent for what belongs to no port.
    pub service: Option<Service>,
    /// Which rule.
    pub rule: RunRule,
    /// On which of the two charts.
    pub track: Track,
    /// What is drawn of the head: a mean, a single value, or a measure of spread.
    pub value: f64,
    /// Lower control limit there.
    pub lower: f64,
    /// Upper control limit there.
    pub upper: f64,
    /// Unit of the three.
    pub unit: String,
}
