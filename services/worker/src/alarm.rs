//! Alarms: receivers are told when a control chart signals with the newest head.

use headproof_store::{Claim, Store};
use headproof_survey::newest;
use headproof_wire::WebhookEvent;

use crate::error::TaskError;
use crate::together::if_sums_hold;

/// Tells whoever wants to know if anything signals with the head of this job. Once for each job, however often its task is
/// done.
pub(crate) async fn alarm(store: &Store, claim: &Claim) -> Result<(), TaskError> {
    let event = WebhookEvent::ChartSignal.as_str();
    if !store.wants(&claim.shop, event).await? {
        return Ok(());
    }
    let newest =
        if_sums_hold(newest(store, &claim.shop, claim.owner).await, "no chart could be looked at")?.flatten();
    let signals = newest.map_or(0, |newest| newest.signals.len());
    if signals > 0 {
        let receivers = store.tell_once(&claim.shop, event, claim.owner, &claim.origin).await?;
        tracing::info!(signals, receivers, "control charts signal with this head");
    }
    Ok(())
}
