//! One task, from claim to end.

use std::time::Duration;

use headproof_store::{ArtifactKind, Claim, Error as StoreError, JobRecord, Retry, Store, TaskState};
use headproof_wire::Paper;

use crate::WorkerOptions;
use crate::render::{Documents, RenderError, report, sheet};

/// Does the work of a claim and ends it. A vanished subject or a lost lease is not an error.
pub(crate) async fn perform(store: &Store, claim: &Claim, options: WorkerOptions) {
    let outcome = tokio::select! {
        outcome = make(store, claim) => outcome,
        () = hold(store, claim, options.lease) => {
            tracing::warn!("the lease was lost, another worker has the task");
            return;
        }
    };
    let ended = match outcome {
        Ok(bytes) => finish(store, claim, bytes).await,
        Err(error) => fail(store, claim, &error, options).await,
    };
    match ended {
        Ok(()) => {}
        Err(StoreError::Fenced { .. }) => tracing::warn!("the task was taken by another worker"),
        // The lease runs out and the task is taken up again.
        Err(error) => tracing::error!(%error, "the end of the task could not be recorded"),
    }
}

async fn finish(store: &Store, claim: &Claim, bytes: Vec<u8>) -> Result<(), StoreError> {
    let artifact = store.finish(claim, bytes).await?;
    tracing::info!(bytes = artifact.size, "task done");
    Ok(())
}

async fn fail(
    store: &Store,
    claim: &Claim,
    error: &RenderError,
    options: WorkerOptions,
) -> Result<(), StoreError> {
    let retry = match error {
        RenderError::Sheet(_) => Retry::Never,
        _ => Retry::After(backoff(claim.attempt, options.first_backoff)),
    };
    match store.fail(claim, &error.to_string(), retry).await? {
        TaskState::Failed => tracing::error!(%error, "task failed for good"),
        _ => tracing::warn!(%error, "task failed, will be tried again"),
    }
    Ok(())
}

/// Doubles with every attempt, up to five minutes.
fn backoff(attempt: u32, first: Duration) -> Duration {
    const LONGEST: Duration = Duration::from_secs(300);
    first.saturating_mul(1 << attempt.saturating_sub(1).min(16)).min(LONGEST)
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

async fn make(store: &Store, claim: &Claim) -> Result<Vec<u8>, RenderError> {
    match claim.kind {
        ArtifactKind::Sheet => make_sheet(store, claim).await,
        ArtifactKind::BatchReport => make_report(store, claim).await,
    }
}

async fn make_sheet(store: &Store, claim: &Claim) -> Result<Vec<u8>, RenderError> {
    let job = store.job(&claim.shop, claim.owner).await?.ok_or_else(|| vanished("job"))?;
    let stored = store.job_documents(&claim.shop, claim.owner).await?.ok_or_else(|| vanished("documents"))?;
    let paper = paper(&job);
    blocking(move || sheet(&Documents::read(&stored)?, paper)).await
}

async fn make_report(store: &Store, claim: &Claim) -> Result<Vec<u8>, RenderError> {
    let batch = store.batch(&claim.shop, claim.owner).await?.ok_or_else(|| vanished("batch"))?;
    let (mut stored, mut failed) = (Vec::new(), Vec::new());
    for job in &batch.jobs {
        if job.task.state == TaskState::Done {
            stored
                .push(store.job_documents(&claim.shop, job.id).await?.ok_or_else(|| vanished("documents"))?);
        } else {
            failed.push((job.head_reference.clone(), job.task.reason.clone().unwrap_or_default()));
        }
    }
    // One paper for the whole report: that of its first head.
    let paper = batch.jobs.first().map(paper).unwrap_or_default();
    let label = batch.id.to_string();
    blocking(move || {
        let documents = stored.iter().map(Documents::read).collect::<Result<Vec<_>, _>>()?;
        tracing::debug!(
            heads = documents.len(),
            first = documents.first().map(Documents::serial),
            "batch report"
        );
        report(&label, &documents, failed, paper)
    })
    .await
}

fn vanished(what: &str) -> RenderError {
    RenderError::Store(StoreError::Corrupt(format!("the {what} of a task is gone")))
}

fn paper(job: &JobRecord) -> Paper {
    match job.paper.as_str() {
        "letter" => Paper::Letter,
        _ => Paper::A4,
    }
}

/// Rendering takes a thread of its own; a panic there is a failed attempt.
async fn blocking<F>(work: F) -> Result<Vec<u8>, RenderError>
where
    F: FnOnce() -> Result<Vec<u8>, RenderError> + Send + 'static,
{
    let span = tracing::Span::current();
    let task = tokio::task::spawn_blocking(move || span.in_scope(work));
    task.await.map_err(|error| {
        tracing::error!(%error, "the renderer stopped");
        RenderError::Panicked
    })?
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn backoff_doubles_and_is_bounded() {
        let first = Duration::from_secs(1);
        let waits: Vec<u64> = (1..=10).map(|attempt| backoff(attempt, first).as_secs()).collect();
        assert_eq!(waits, [1, 2, 4, 8, 16, 32, 64, 128, 256, 300]);
        assert_eq!(backoff(u32::MAX, first).as_secs(), 300);
    }
}
