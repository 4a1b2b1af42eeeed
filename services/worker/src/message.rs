//! What a message says. It is made when it is sent, from what is kept and does not change any more, so that it is the same
//! at every try. Only signals are told as they stand then, since later heads and corrections change them.

use headproof_store::{ArtifactKind, Message, Store};
use headproof_survey::{Newest, newest};
use headproof_wire::{WebhookData, WebhookMessage};
use time::format_description::well_known::Rfc3339;

use crate::deliver::Trouble;

/// The body of a message.
pub(crate) async fn body(
    store: &Store,
    message: &Message,
    public_url: Option<&str>,
) -> Result<Vec<u8>, Trouble> {
    let timestamp = message.occurred_at.format(&Rfc3339).map_err(|_| Trouble::Message)?;
    let data = data(store, message, public_url.unwrap_or_default().trim_end_matches('/')).await?;
    let message = WebhookMessage { event: message.event.clone(), timestamp, data };
    serde_json::to_vec(&message).map_err(|_| Trouble::Message)
}

async fn data(store: &Store, message: &Message, base: &str) -> Result<WebhookData, Trouble> {
    let Message { shop, owner, event, origin, .. } = message;
    let (subject, outcome) = event.split_once('.').unwrap_or_default();
    let blank = |place: &str| WebhookData {
        id: *owner,
        link: format!("{base}/v1/{place}/{owner}"),
        request_id: origin.request_id.clone(),
        head_serial: None,
        disposition: None,
        client_reference: None,
        batch: None,
        reason: None,
        code: None,
        job: None,
        stage: None,
        profile: None,
        signals: None,
    };
    let reason = async |kind| {
        let task = if outcome == "failed" { store.task(shop, *owner, kind).await? } else { None };
        Ok::<_, Trouble>(task.and_then(|task| task.reason))
    };
    Ok(match subject {
        "job" => {
            let reason = reason(ArtifactKind::Sheet).await?;
            // Of a job that was disposed of meanwhile, the id is left.
            match store.job(shop, *owner).await? {
                Some(job) => WebhookData {
                    head_serial: Some(job.head_reference),
                    disposition: Some(job.disposition),
                    client_reference: job.client_reference,
                    batch: job.batch,
                    reason,
                    ..blank("jobs")
                },
                None => blank("jobs"),
            }
        }
        "batch" => WebhookData { reason: reason(ArtifactKind::BatchReport).await?, ..blank("batches") },
        "sign_off" => {
            let reason = reason(ArtifactKind::SignedSheet).await?;
            let signed = store.sign_off(shop, *owner).await?;
            let (code, job) = signed.map(|signed| (signed.content.code, signed.job)).unzip();
            WebhookData { reason, code, job, ..blank("sign-offs") }
        }
        "chart" => {
            let job = store.job(shop, *owner).await?;
            let newest = newest(store, shop, *owner).await?;
            let link = format!("{base}/v1/statistics{}", newest.as_ref().map(selecting).unwrap_or_default());
            let (of, signals) = newest.map(|newest| ((newest.stage, newest.profile), newest.signals)).unzip();
            let (stage, profile) = of.unzip();
            WebhookData {
                link,
                head_serial: job.map(|job| job.head_reference),
                stage,
                profile,
                signals: Some(signals.unwrap_or_default()),
                ..blank("jobs")
            }
        }
        _ => blank("webhooks"),
    })
}

/// The query that selects the heads a chart is made of. Ids of profiles have nothing that needs to be encoded.
fn selecting(newest: &Newest) -> String {
    format!("?profile={}&stage={}", newest.profile, newest.stage.word())
}
