//! One task, from claim to end.

use std::time::Duration;

use headproof_sheet::Rendered;
use headproof_store::{ArtifactKind, Claim, Error as StoreError, JobRecord, Retry, Store, TaskState};
use headproof_wire::{Language, Paper, SheetOptions};

use crate::WorkerOptions;
use crate::error::{Chain, TaskError};
use crate::render::{Documents, report, sheet};

/// Does the work of a claim and ends it, or gives the task back. A lost lease is not an error.
pub(crate) async fn perform(store: &Store, claim: &Claim, options: WorkerOptions) {
    let made = tokio::select! {
        made = make(store, claim) => made,
        () = hold(store, claim, options.lease) => {
            tracing::warn!("the lease was lost, another worker has the task");
            return;
        }
    };
    let ended = match made {
        Ok(bytes) => match store.finish(claim, bytes).await {
            Ok(artifact) => {
                tracing::info!(bytes = artifact.size, "task done");
                Ok(())
            }
            Err(lost @ StoreError::Fenced { .. }) => Err(lost),
            Err(error) => give_back(store, claim, &TaskError::not_kept(claim.kind, error), options).await,
        },
        Err(error) => give_back(store, claim, &error, options).await,
    };
    match ended {
        Ok(()) => {}
        Err(StoreError::Fenced { .. }) => tracing::warn!("the task was taken by another worker"),
        // The lease runs out and the task is taken up again.
        Err(error) => tracing::error!(error = %Chain(&error), "the end of the task could not be recorded"),
    }
}

/// Records why the task is not done, and whether it is worth another try.
async fn give_back(
    store: &Store,
    claim: &Claim,
    error: &TaskError,
    options: WorkerOptions,
) -> Result<(), StoreError> {
    let retry = error.retry(claim.attempt, options.first_backoff);
    let state = store.fail(claim, &error.to_string(), retry).await;
    // Logged also when it could not be recorded: the log is the only place then.
    let error = Chain(error);
    match (&state, retry) {
        (Ok(TaskState::Failed), _) => tracing::error!(%error, "task failed for good"),
        (_, Retry::Uncounted(_)) => tracing::warn!(%error, "the store failed, the attempt does not count"),
        _ => tracing::warn!(%error, "task failed, will be tried again"),
    }
    state.map(|_| ())
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

async fn make(store: &Store, claim: &Claim) -> Result<Vec<u8>, TaskError> {
    let made = match claim.kind {
        ArtifactKind::Sheet => make_sheet(store, claim).await,
        ArtifactKind::BatchReport => make_report(store, claim).await,
    }?;
    if let Some(code_points) = made.unshown_code_points() {
        // Of which job or batch, the span says.
        tracing::warn!(code_points, "characters could not be shown");
    }
    Ok(made.bytes)
}

async fn make_sheet(store: &Store, claim: &Claim) -> Result<Rendered, TaskError> {
    let job = store.job(&claim.shop, claim.owner).await?.ok_or(TaskError::Vanished("job"))?;
    let stored = store.job_documents(&claim.shop, claim.owner).await?.ok_or(TaskError::Vanished("job"))?;
    let look = look(&job);
    blocking(move || sheet(&Documents::read(stored)?, look)).await
}

async fn make_report(store: &Store, claim: &Claim) -> Result<Rendered, TaskError> {
    let batch = store.batch(&claim.shop, claim.owner).await?.ok_or(TaskError::Vanished("batch"))?;
    let (mut stored, mut failed) = (Vec::new(), Vec::new());
    for job in &batch.jobs {
        if job.task.state == TaskState::Done {
            stored.push(store.job_documents(&claim.shop, job.id).await?.ok_or(TaskError::Vanished("job"))?);
        } else {
            failed.push((job.head_reference.clone(), job.task.reason.clone().unwrap_or_default()));
        }
    }
    // One paper and language for the whole report: those of its first head.
    let look = batch.jobs.first().map(look).unwrap_or_default();
    let label = batch.id.to_string();
    blocking(move || {
        let documents = stored.into_iter().map(Documents::read).collect::<Result<Vec<_>, _>>()?;
        tracing::debug!(
            heads = documents.len(),
            first = documents.first().map(Documents::serial),
            "batch report"
        );
        report(&label, &documents, failed, look)
    })
    .await
}

fn look(job: &JobRecord) -> SheetOptions {
    let paper = match job.paper.as_str() {
        "letter" => Paper::Letter,
        _ => Paper::A4,
    };
    let language = match job.locale.as_str() {
        "de" => Language::De,
        _ => Language::En,
    };
    SheetOptions { paper, language }
}

/// Rendering takes a thread of its own; a panic there is a failed attempt.
async fn blocking<F>(work: F) -> Result<Rendered, TaskError>
where
    F: FnOnce() -> Result<Rendered, TaskError> + Send + 'static,
{
    let span = tracing::Span::current();
    let task = tokio::task::spawn_blocking(move || span.in_scope(work));
    task.await.map_err(|error| {
        tracing::error!(%error, "the renderer stopped");
        TaskError::Panicked
    })?
}
