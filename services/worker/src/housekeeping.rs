//! What has outlived its use is forgotten: keys of requests, messages that are over, and old heads where that is wished.

use std::time::Duration;

use headproof_store::{By, Error, Store};
use tokio::sync::watch;

/// How often it is looked for.
const EVERY: Duration = Duration::from_secs(3600);
/// A request can be sent again for this long without making anything twice.
const KEYS: Duration = Duration::from_secs(72 * 3600);
/// Messages are shown for this long after they are over.
const MESSAGES: Duration = Duration::from_secs(30 * 24 * 3600);

/// What is disposed of.
#[derive(Debug, Clone)]
pub struct Retention {
    /// Heads that nothing was heard of for this long; none without.
    pub heads: Option<Duration>,
    /// Who it is to the audit trail.
    pub by: By,
}

/// Keeps house until `stop` becomes true. Of several workers each does; what one has done the next finds done.
pub(crate) async fn run(store: Store, retention: Retention, mut stop: watch::Receiver<bool>) {
    while !*stop.borrow() {
        if let Err(error) = tidy(&store, &retention).await {
            tracing::warn!(%error, "not everything could be tidied up");
        }
        tokio::select! {
            () = tokio::time::sleep(EVERY) => {}
            _ = stop.changed() => {}
        }
    }
}

async fn tidy(store: &Store, retention: &Retention) -> Result<(), Error> {
    let ended = store.end_left_batches(KEYS).await?;
    if ended > 0 {
        tracing::warn!(batches = ended, "batches that nobody went on with were ended");
    }
    store.forget_keys(KEYS).await?;
    store.forget_deliveries(MESSAGES).await?;
    let Some(age) = retention.heads else { return Ok(()) };
    for shop in store.shops().await? {
        let jobs = store.dispose(&shop, age, &retention.by).await?;
        if jobs > 0 {
            tracing::info!(%shop, jobs, "old jobs were disposed of");
        }
    }
    Ok(())
}
