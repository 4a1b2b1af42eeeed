use headproof_store::{ArtifactKind, Error, Progress, Retry, TaskState};
use headproof_trail::{Entry, Event};
use uuid::Uuid;

use crate::bench::{
    Bench, LEASE, Outcome, batch, by, claim_of, line, new, new_batch, shop, submit, submit_batch,
};

on_all_kinds! {
    what_waits_is_called_off_and_never_made
    who_is_at_it_learns_that_it_was_called_off
    what_is_over_stays_as_it_is
    a_batch_is_called_off_with_all_that_is_not_over
    a_report_does_not_wait_for_what_was_called_off
}

async fn what_waits_is_called_off_and_never_made(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop("pump-works");
    let job = submit(&store, "pump-works", "H-1").await?;
    assert_eq!(store.cancel_job(&shop("cold-store"), job.id, &by()).await?, None);
    assert_eq!(store.cancel_job(&owner, Uuid::now_v7(), &by()).await?, None);
    let cancelled = store.cancel_job(&owner, job.id, &by()).await?.ok_or("the job is gone")?;
    assert_eq!(cancelled.task.state, TaskState::Cancelled);
    assert!(cancelled.task.finished_at.is_some());
    assert_eq!(store.job(&owner, job.id).await?, Some(cancelled));
    assert_eq!(store.claim(LEASE).await?, None);
    assert!(store.job_documents(&owner, job.id).await?.is_some(), "its documents stay");
    let lines = store.trail(&owner, 2).await?;
    let entry: Entry = serde_json::from_slice(&lines[0])?;
    assert_eq!((lines.len(), entry.what, entry.to), (1, Event::Cancelled, format!("job {}", job.id)));
    Ok(())
}

async fn who_is_at_it_learns_that_it_was_called_off(bench: Bench) -> Outcome {
    let (api, worker) = (bench.open().await?, bench.open().await?);
    let owner = shop("pump-works");
    let job = submit(&api, "pump-works", "H-1").await?;
    let claim = claim_of(&worker, job.id).await?;
    assert!(worker.heartbeat(&claim, LEASE).await?);
    api.cancel_job(&owner, job.id, &by()).await?;
    assert!(!worker.heartbeat(&claim, LEASE).await?);
    let late = worker.finish(&claim, b"sheet".to_vec()).await;
    assert!(matches!(late, Err(Error::Fenced { .. })), "{late:?}");
    let late = worker.fail(&claim, "no font", Retry::Never).await;
    assert!(matches!(late, Err(Error::Fenced { .. })), "{late:?}");
    assert_eq!(bench.names().await?, [""; 0]);
    bench.pass(3600);
    assert_eq!(worker.claim(LEASE).await?, None);
    Ok(())
}

async fn what_is_over_stays_as_it_is(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop("pump-works");
    let done = submit(&store, "pump-works", "H-1").await?;
    let claim = claim_of(&store, done.id).await?;
    store.finish(&claim, b"sheet".to_vec()).await?;
    let failed = submit(&store, "pump-works", "H-2").await?;
    let claim = claim_of(&store, failed.id).await?;
    store.fail(&claim, "no font", Retry::Never).await?;
    let cancelled = submit(&store, "pump-works", "H-3").await?;
    store.cancel_job(&owner, cancelled.id, &by()).await?;
    let before = store.checkpoint(&owner).await?;
    for (id, state) in
        [(done.id, TaskState::Done), (failed.id, TaskState::Failed), (cancelled.id, TaskState::Cancelled)]
    {
        let refused = store.cancel_job(&owner, id, &by()).await;
        assert!(matches!(refused, Err(Error::AlreadyOver)), "{refused:?}");
        let seen = store.task(&owner, id, ArtifactKind::Sheet).await?.ok_or("no task")?;
        assert_eq!(seen.state, state);
    }
    assert_eq!(store.checkpoint(&owner).await?, before);
    Ok(())
}

async fn a_batch_is_called_off_with_all_that_is_not_over(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop("pump-works");
    let accepted = submit_batch(&store, batch("pump-works", &["H-1", "H-2", "H-3", "H-4"])).await?;
    let claim = claim_of(&store, accepted.jobs[0].id).await?;
    store.finish(&claim, b"sheet".to_vec()).await?;
    let running = claim_of(&store, accepted.jobs[1].id).await?;
    let before = store.checkpoint(&owner).await?.size;
    assert_eq!(store.cancel_batch(&shop("cold-store"), accepted.id, &by()).await?, None);
    let cancelled = store.cancel_batch(&owner, accepted.id, &by()).await?.ok_or("the batch is gone")?;
    assert_eq!(cancelled.progress, Progress { done: 1, cancelled: 3, ..Progress::default() });
    assert_eq!(cancelled.task.state, TaskState::Cancelled);
    assert!(!store.heartbeat(&running, LEASE).await?);
    assert_eq!(store.claim(LEASE).await?, None);
    let again = store.cancel_batch(&owner, accepted.id, &by()).await;
    assert!(matches!(again, Err(Error::AlreadyOver)), "{again:?}");
    assert_eq!(store.checkpoint(&owner).await?.size, before + 4, "the batch and three jobs");

    let open = new_batch("pump-works", "k");
    let mut lines = new(store.begin_batch(&open).await?);
    store.add_lines(&open, &mut lines, &[line(1, "H-5")]).await?;
    let early = store.cancel_batch(&owner, lines.id, &by()).await;
    assert!(matches!(early, Err(Error::StillRunning)), "{early:?}");
    Ok(())
}

async fn a_report_does_not_wait_for_what_was_called_off(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop("pump-works");
    let accepted = submit_batch(&store, batch("pump-works", &["H-1", "H-2"])).await?;
    store.cancel_job(&owner, accepted.jobs[0].id, &by()).await?;
    let claim = claim_of(&store, accepted.jobs[1].id).await?;
    store.finish(&claim, b"sheet".to_vec()).await?;
    let claim = claim_of(&store, accepted.id).await?;
    store.finish(&claim, b"report".to_vec()).await?;
    let over = store.cancel_batch(&owner, accepted.id, &by()).await;
    assert!(matches!(over, Err(Error::AlreadyOver)), "{over:?}");
    Ok(())
}
