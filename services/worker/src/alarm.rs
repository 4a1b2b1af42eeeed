//! Alarms: receivers are told when a control chart signals with the newest head.

use headproof_store::{Claim, Store};
use headproof_survey::{SurveyError, newest};
use headproof_wire::WebhookEvent;

use crate::error::TaskError;
use crate::refusal::{Cause, Refusal};

/// Tells whoever wants to know if anything signals with the head of this job. Once for each job, however often its task is
/// done.
pub(crate) async fn alarm(store: &Store, claim: &Claim) -> Result<(), TaskError> {
    let event = WebhookEvent::ChartSignal.as_str();
    if !store.wants(&claim.shop, event).await? {
        return Ok(());
    }
    let newest = match newest(store, &claim.shop, claim.owner).await {
        Ok(newest) => newest,
        Err(SurveyError::Store(error)) => return Err(error.into()),
        Err(error @ (SurveyError::TooMany | SurveyError::Overflow)) => {
            tracing::warn!(%error, "no chart could be looked at");
            None
        }
        Err(error @ SurveyError::Interrupted) => return Err(Refusal::Stopped(Cause::of(&error)).into()),
    };
    let signals = newest.map_or(0, |newest| newest.signals.len());
    if signals > 0 {
        let receivers = store.tell_once(&claim.shop, event, claim.owner, &claim.origin).await?;
        tracing::info!(signals, receivers, "control charts signal with this head");
    }
    Ok(())
}
