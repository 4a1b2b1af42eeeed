//! One task, from claim to end.

use std::sync::Arc;
use std::time::{Duration, Instant};

use headproof_seal::Identity;
use headproof_sheet::HeadInIndex;
use headproof_store::{
    ArtifactKind, Claim, Error as StoreError, JobDocuments, JobRecord, NewSignOff, Retry, Store, TaskState,
};
use headproof_wire::SheetOptions;
use metrics::{counter, histogram};
use tracing::Instrument;
use uuid::Uuid;

use crate::alarm::alarm;
use crate::error::{Chain, TaskError};
use crate::refusal::{Cause, Refusal};
use crate::render::{Earlier, Head, OnPages, Order, SignedFor, Work, in_index};
use crate::renderer::{Renderers, Request};
use crate::signing::Signers;
use crate::together::together;
use crate::{Nudge, WorkerOptions};

/// Jobs that are looked up at once.
const AT_ONCE: u32 = 100;

/// The most heads of a batch whose report has their sheets. A report of more, some thousand pages, is not read as one,
/// and the sheets of a batch are in its archive (`GET /v1/batches/{id}/sheets`): it has an index instead, for which
/// neither worker nor renderer holds the documents of all heads.
pub(crate) const MOST_WITH_SHEETS: u64 = 200;

/// What a task is done with.
#[derive(Clone)]
pub(crate) struct Means {
    /// How.
    pub(crate) options: WorkerOptions,
    /// Who makes the pages.
    pub(crate) renderers: Renderers,
    /// Who signs them.
    pub(crate) signers: Signers,
    /// Whoever tells of what was done.
    pub(crate) events: Nudge,
    /// The most heads of a batch whose report has their sheets.
    pub(crate) most_with_sheets: u64,
}

/// Does the work of a claim and ends it, or gives the task back. A lost lease is not an error.
pub(crate) async fn perform(store: &Store, claim: &Claim, means: &Means) {
    let options = means.options;
    let made = tokio::select! {
        made = made(store, claim, means) => made,
        () = hold(store, claim, options.lease) => {
            tracing::warn!("the lease was lost, another worker has the task");
            return finished(claim, "lost");
        }
    };
    let ended = match made {
        Ok(bytes) => match store.finish(claim, bytes).await {
            Ok(artifact) => {
                tracing::info!(bytes = artifact.size, "task done");
                Ok(TaskState::Done)
            }
            Err(lost @ StoreError::Fenced { .. }) => Err(lost),
            Err(error) => give_back(store, claim, &TaskError::not_kept(claim.kind, error), options).await,
        },
        Err(error) => give_back(store, claim, &error, options).await,
    };
    means.events.now();
    let outcome = match ended {
        Ok(TaskState::Done) => "done",
        Ok(TaskState::Failed) => "failed",
        Ok(_) => "put-back",
        Err(StoreError::Fenced { .. }) => {
            tracing::warn!("the task was taken by another worker");
            "lost"
        }
        // The lease runs out and the task is taken up again.
        Err(error) => {
            tracing::error!(error = %Chain(&error), "the end of the task could not be recorded");
            "lost"
        }
    };
    finished(claim, outcome);
}

/// Counts an attempt that came to its end.
fn finished(claim: &Claim, outcome: &'static str) {
    let kind = claim.kind.as_str();
    counter!("headproof_tasks_finished_total", "kind" => kind, "outcome" => outcome).increment(1);
}

/// Records why the task is not done, and whether it is worth another try.
async fn give_back(
    store: &Store,
    claim: &Claim,
    error: &TaskError,
    options: WorkerOptions,
) -> Result<TaskState, StoreError> {
    let retry = error.retry(claim.attempt, options.first_backoff);
    let state = store.fail(claim, &error.to_string(), retry).await;
    // Logged also when it could not be recorded: the log is the only place then.
    let error = Chain(error);
    match (&state, retry) {
        (Ok(TaskState::Failed), _) => tracing::error!(%error, "task failed for good"),
        (_, Retry::Uncounted(_)) => {
            tracing::warn!(%error, "task could not be worked on, the attempt does not count")
        }
        _ => tracing::warn!(%error, "task failed, will be tried again"),
    }
    state
}

/// Renews the lease for as long as it is ours; ends when it is not.
async fn hold(store: &Store, claim: &Claim, lease: Duration) {
    loop {
        tokio::time::sleep(lease / 3).await;
        match store.heartbeat(claim, lease).await {
            Ok(true) => {}
            Ok(false) => return,
            Err(error) => tracing::warn!(%error, "the lease could not be renewed, trying again"),
        }
    }
}

/// What is made, once all is told that has to be before the task is done: afterwards nobody would come back to it.
async fn made(store: &Store, claim: &Claim, means: &Means) -> Result<Vec<u8>, TaskError> {
    let bytes = make(store, claim, means).await?;
    if claim.kind == ArtifactKind::Sheet {
        alarm(store, claim).await?;
    }
    Ok(bytes)
}

async fn make(
    store: &Store,
    claim: &Claim,
    Means { options, renderers, signers, most_with_sheets, .. }: &Means,
) -> Result<Vec<u8>, TaskError> {
    let mut signer = None;
    let (request, bounds) = match claim.kind {
        ArtifactKind::Sheet => (sheet(store, claim, claim.owner, None).await?, options.sheet),
        ArtifactKind::SignedSheet => {
            let (request, identity) = signed_sheet(store, claim, signers).await?;
            signer = Some(identity);
            (request, options.sheet)
        }
        ArtifactKind::BatchReport => (report(store, claim, *most_with_sheets).await?, options.report),
    };
    let begun = Instant::now();
    let made = renderers.render(request, bounds).instrument(tracing::info_span!("render")).await;
    let kind = claim.kind.as_str();
    histogram!("headproof_render_duration_seconds", "kind" => kind).record(begun.elapsed());
    let made = made?;
    if let Some(code_points) = made.unshown_code_points() {
        // Of which job or batch, the span says.
        tracing::warn!(code_points, "characters could not be shown");
    }
    match signer {
        Some(signer) => signers.sign(made.bytes, &signer).instrument(tracing::info_span!("sign")).await,
        None => Ok(made.bytes),
    }
}

/// What a renderer needs for the sheet of a job.
async fn sheet(
    store: &Store,
    claim: &Claim,
    job: Uuid,
    sign_off: Option<SignedFor>,
) -> Result<Request, TaskError> {
    let job = store.job(&claim.shop, job).await?.ok_or(TaskError::Vanished("job"))?;
    let order = Order { work: Work::Sheet, look: look(&job) };
    let head = Head { sign_off, ..head(store, claim, &job).await? };
    Ok(Request { order, heads: vec![head] })
}

/// The same for the sheet of a sign-off, and who signs it.
async fn signed_sheet(
    store: &Store,
    claim: &Claim,
    signers: &Signers,
) -> Result<(Request, Arc<Identity>), TaskError> {
    signers.ready()?;
    let signed = store.sign_off(&claim.shop, claim.owner).await?.ok_or(TaskError::Vanished("sign-off"))?;
    let kept = store.certificate_by_id(&claim.shop, signed.certificate).await?;
    let identity = signers.unlock(&kept.ok_or(TaskError::Vanished("certificate"))?).await?;
    let NewSignOff { document, digest, code } = signed.content;
    let (address, room) = (signers.address(&code), signers.room(&identity));
    let sign_off = SignedFor { document, on_pages: OnPages { digest, code, address, room } };
    Ok((sheet(store, claim, signed.job, Some(sign_off)).await?, identity))
}

/// What is kept of the head of a job.
async fn head(store: &Store, claim: &Claim, job: &JobRecord) -> Result<Head, TaskError> {
    let documents = async |id| store.job_documents(&claim.shop, id).await?.ok_or(TaskError::Vanished("job"));
    let earlier = match job.follows {
        Some(id) => {
            let JobDocuments { evaluation, digest, .. } = documents(id).await?;
            Some(Earlier { document: evaluation, digest })
        }
        None => None,
    };
    Ok(Head { stored: documents(job.id).await?, earlier, sign_off: None })
}

/// What a renderer needs for the report of a batch: the documents of its heads or, where they are too many, a few words
/// on each, of which the documents are not kept.
pub(crate) async fn report(
    store: &Store,
    claim: &Claim,
    most_with_sheets: u64,
) -> Result<Request, TaskError> {
    let batch = store.batch(&claim.shop, claim.owner).await?.ok_or(TaskError::Vanished("batch"))?;
    let is_index = batch.progress.accepted() > most_with_sheets;
    let (mut heads, mut indexed, mut failed) = (Vec::new(), Vec::new(), Vec::new());
    // One paper and language for the whole report: those of its first head.
    let (mut after, mut look_of_first) = (0, None);
    loop {
        let jobs = store.jobs_of_batch(&claim.shop, batch.id, after, AT_ONCE).await?;
        let Some(last) = jobs.last().and_then(|job| job.line) else { break };
        after = last;
        look_of_first = look_of_first.or_else(|| jobs.first().map(look));
        for job in &jobs {
            if job.task.state != TaskState::Done {
                failed.push((job.head_reference.clone(), job.task.reason.clone().unwrap_or_default()));
            } else if is_index {
                indexed.push(head_in_index(store, claim, job).await?);
            } else {
                heads.push(head(store, claim, job).await?);
            }
        }
    }
    let look = look_of_first.unwrap_or_default();
    let label = batch.id.to_string();
    let statistics = together(store, &claim.shop, batch.id).await?;
    let work = if is_index {
        Work::Index { label, heads: indexed, failed, statistics }
    } else {
        Work::Report { label, failed, statistics }
    };
    Ok(Request { order: Order { work, look }, heads })
}

/// What an index says of the head of a job. The documents are read where that holds up nothing else: a batch may have
/// ten thousands of them.
async fn head_in_index(store: &Store, claim: &Claim, job: &JobRecord) -> Result<HeadInIndex, TaskError> {
    let stored = store.job_documents(&claim.shop, job.id).await?.ok_or(TaskError::Vanished("job"))?;
    let line = job.line.unwrap_or_default();
    let reading = tokio::task::spawn_blocking(move || in_index(line, &stored));
    Ok(reading.await.map_err(|panic| Refusal::Stopped(Cause::of(&panic)))??)
}

/// How the pages of a job shall look, by the words that are kept of it.
fn look(job: &JobRecord) -> SheetOptions {
    SheetOptions {
        paper: job.paper.parse().unwrap_or_default(),
        language: job.locale.parse().unwrap_or_default(),
    }
}
