//! Webhooks: what may be entered, and how it is shown.

use std::time::Duration;

use headproof_client::{Guard, GuardedClient};
use headproof_seal::{WebhookSecret, webhook_purpose};
use headproof_store::{DeliveryRecord, DeliveryState as Stored, ReceiverRecord};
use headproof_wire::{Delivery, DeliveryState, Fault, Links, Webhook, WebhookEvent};
use uuid::Uuid;

use crate::present::instant;
use crate::{ApiError, ApiState};

/// What is asked of addresses that are told of events.
#[derive(Debug, Clone)]
pub struct Webhooks {
    /// What may be called.
    pub guard: Guard,
    /// How long an old secret goes on signing.
    pub overlap: Duration,
}

/// What is held against addresses.
#[derive(Debug, Clone)]
pub(crate) struct Checks {
    pub(crate) client: GuardedClient,
    pub(crate) overlap: Duration,
}

impl Checks {
    pub(crate) fn new(webhooks: Webhooks) -> Result<Self, reqwest::Error> {
        let Webhooks { guard, overlap } = webhooks;
        Ok(Self { client: GuardedClient::new(guard, Duration::from_secs(1))?, overlap })
    }
}

/// Refuses an address that may not be called, as far as can be told without looking up its name; that is done each time
/// it is called.
pub(crate) fn url_fault(state: &ApiState, url: &str) -> Result<(), ApiError> {
    state.webhooks.client.check(url).map_err(|error| {
        ApiError::faults(vec![Fault::new("/url".to_owned(), error.to_string(), Some(url.into()))])
    })
}

/// A new secret as it is shown, and as it is kept.
pub(crate) fn new_secret(state: &ApiState, receiver: Uuid) -> Result<(String, Vec<u8>), ApiError> {
    let secret = WebhookSecret::random().map_err(|error| ApiError::internal(&error))?;
    let text = secret.to_text().to_string();
    let wrapped = state.signatures.secret.wrap(&webhook_purpose(receiver), text.as_bytes());
    Ok((text, wrapped.map_err(|error| ApiError::internal(&error))?))
}

/// Events as they are kept: their names, apart by spaces; nothing for all.
pub(crate) fn events_kept(events: Option<&[WebhookEvent]>) -> String {
    let mut events = events.unwrap_or_default().to_vec();
    events.sort_unstable();
    events.dedup();
    events.iter().map(|event| event.as_str()).collect::<Vec<_>>().join(" ")
}

/// An address as a resource.
pub(crate) fn shown(record: &ReceiverRecord) -> Result<Webhook, ApiError> {
    let this = format!("/v1/webhooks/{}", record.id);
    let content = &record.content;
    let events: Vec<_> = content.events.split_whitespace().filter_map(WebhookEvent::named).collect();
    let old_until = record.old_secret.as_ref().map(|(_, until)| *until);
    Ok(Webhook {
        id: record.id,
        url: content.url.clone(),
        description: Some(content.description.clone()).filter(|text| !text.is_empty()),
        events: Some(events).filter(|events| !events.is_empty()),
        enabled: record.state.enabled,
        reason: record.state.reason.clone(),
        failing_since: record.state.failing_since.map(instant).transpose()?,
        old_secret_until: old_until.map(instant).transpose()?,
        created_at: instant(record.created_at)?,
        links: Links { deliveries: Some(format!("{this}/deliveries")), ..Links::to(this) },
    })
}

/// A message as a resource.
pub(crate) fn shown_delivery(record: &DeliveryRecord) -> Result<Delivery, ApiError> {
    let state = match record.state {
        Stored::Queued => DeliveryState::Queued,
        Stored::Running => DeliveryState::Running,
        Stored::Delivered => DeliveryState::Delivered,
        Stored::Dead => DeliveryState::Dead,
    };
    let waits = record.state == Stored::Queued;
    Ok(Delivery {
        id: record.message.id,
        event: record.message.event.clone(),
        subject: record.message.owner,
        occurred_at: instant(record.message.occurred_at)?,
        state,
        attempts: record.attempt,
        next_try: Some(record.not_before).filter(|_| waits).map(instant).transpose()?,
        status: record.status,
        reason: record.reason.clone(),
        finished_at: record.finished_at.map(instant).transpose()?,
    })
}
