//! The loop: claim, work, sleep.

use std::sync::Arc;
use std::time::Duration;

use headproof_client::ClientError;
use headproof_store::{Claim, Store};
use headproof_trace::{TraceParent, join};
use tokio::sync::{Notify, Semaphore, watch};
use tracing::{Instrument, Span};

use crate::deliver::{Deliverer, DeliveryOptions};
use crate::housekeeping::{self, Retention};
use crate::renderer::{Bounds, RendererCommand, Renderers};
use crate::signing::{Signers, SigningOptions};
use crate::work::{MOST_WITH_SHEETS, Means, perform};

/// How a worker works.
#[derive(Debug, Clone, Copy)]
pub struct WorkerOptions {
    /// Tasks at the same time.
    pub tasks: usize,
    /// How long a claim is good for without a sign of life.
    pub lease: Duration,
    /// How long an idle worker sleeps before it looks again.
    pub poll: Duration,
    /// Wait after a first failed attempt; doubles with each.
    pub first_backoff: Duration,
    /// What one sheet may take.
    pub sheet: Bounds,
    /// What the report of one batch may take.
    pub report: Bounds,
}

impl Default for WorkerOptions {
    fn default() -> Self {
        Self {
            tasks: 1,
            lease: Duration::from_secs(60),
            poll: Duration::from_millis(500),
            first_backoff: Duration::from_secs(1),
            sheet: Bounds { time: Duration::from_secs(60), memory_mebibytes: 1024 },
            report: Bounds { time: Duration::from_secs(600), memory_mebibytes: 4096 },
        }
    }
}

/// What a worker does besides making pages.
#[derive(Debug, Clone)]
pub struct Duties {
    /// Signing them.
    pub signing: SigningOptions,
    /// Telling of it.
    pub deliveries: DeliveryOptions,
    /// Disposing of what is old.
    pub retention: Retention,
}

/// A hint that there may be work, from an api in the same process. Missing it costs one poll.
#[derive(Debug, Clone, Default)]
pub struct Nudge(Arc<Notify>);

impl Nudge {
    /// There may be work.
    pub fn now(&self) {
        self.0.notify_one();
    }
}

/// Files of crashed renderings are swept away when they are this old.
const LEFTOVER_AGE: Duration = Duration::from_secs(3600);

/// Works until `stop` becomes true, then ends what is under way. Pages are made in processes that are started as the
/// command says.
///
/// # Errors
/// Before anything is done, when no client for a timestamp authority can be made.
pub async fn run(
    store: Store,
    options: WorkerOptions,
    command: RendererCommand,
    duties: Duties,
    nudge: Nudge,
    stop: watch::Receiver<bool>,
) -> Result<(), ClientError> {
    let Duties { signing, deliveries, retention } = duties;
    let (renderers, signers) = (Renderers::new(command), Signers::new(signing, options.first_backoff)?);
    let deliverer = Deliverer::new(store.clone(), deliveries)?;
    let events = Nudge::default();
    let most_with_sheets = MOST_WITH_SHEETS;
    let means = Means { options, renderers, signers, events: events.clone(), most_with_sheets };
    tokio::join!(
        run_with(store.clone(), means, nudge, stop.clone()),
        housekeeping::run(store, retention, stop.clone()),
        deliverer.run(events, options.poll, stop),
    );
    Ok(())
}

/// The same with means that may be of another kind.
pub(crate) async fn run_with(store: Store, means: Means, nudge: Nudge, mut stop: watch::Receiver<bool>) {
    let options = means.options;
    match store.sweep(LEFTOVER_AGE).await {
        Ok(0) => {}
        Ok(files) => tracing::info!(files, "leftover files swept away"),
        Err(error) => tracing::warn!(%error, "leftover files could not be swept away"),
    }
    let hands = Arc::new(Semaphore::new(options.tasks.max(1)));
    while !*stop.borrow() {
        let Ok(hand) = Arc::clone(&hands).acquire_owned().await else { break };
        if *stop.borrow() {
            break;
        }
        match store.claim(options.lease).await {
            Ok(Some(claim)) => {
                let (store, means) = (store.clone(), means.clone());
                let span = span_of(&claim);
                let work = async move {
                    perform(&store, &claim, &means).await;
                    drop(hand);
                };
                tokio::spawn(work.instrument(span));
            }
            Ok(None) => idle(&nudge, options.poll, &mut stop).await,
            Err(error) => {
                tracing::error!(%error, "no task could be claimed");
                idle(&Nudge::default(), options.poll, &mut stop).await;
            }
        }
    }
    // Every hand back means that nothing is under way.
    let all = u32::try_from(options.tasks.max(1)).unwrap_or(u32::MAX);
    let _ = hands.acquire_many(all).await;
    tracing::info!("worker stopped");
}

/// The span of a task, in the trace that its request belonged to; in a new one without it.
fn span_of(claim: &Claim) -> Span {
    let span = tracing::info_span!(
        "task",
        task = %claim.task,
        kind = claim.kind.as_str(),
        owner = %claim.owner,
        attempt = claim.attempt,
        request_id = claim.origin.request_id,
        trace_id = tracing::field::Empty,
    );
    join(&span, claim.origin.trace_parent.as_deref().and_then(TraceParent::read));
    span
}

pub(crate) async fn idle(nudge: &Nudge, poll: Duration, stop: &mut watch::Receiver<bool>) {
    tokio::select! {
        () = nudge.0.notified() => {}
        () = tokio::time::sleep(poll) => {}
        _ = stop.changed() => {}
    }
}
