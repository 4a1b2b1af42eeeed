use std::time::Duration;

use headproof_store::{ArtifactKind, Error, Retry, TaskState};

use crate::bench::{Bench, LEASE, Outcome, batch, claim_of, job, shop, submit_batch};

on_all_kinds! {
    a_worker_that_lost_its_lease_can_do_nothing_more
    a_heartbeat_keeps_the_lease
    a_task_that_kills_its_workers_fails_and_frees_the_report
    a_failed_attempt_is_repeated_after_its_delay_until_none_is_left
    an_attempt_given_back_uncounted_leaves_the_last_one_counted
    a_batch_report_waits_for_every_sheet_of_its_batch
}

on_kinds! {
    [embedded server]
    an_absence_of_the_artifacts_directory_uses_no_attempt_up
}

async fn a_worker_that_lost_its_lease_can_do_nothing_more(bench: Bench) -> Outcome {
    let (slow, quick) = (bench.open().await?, bench.open().await?);
    let id = slow.submit_job(job("pump-works", "H-1")).await?.into_inner().id;
    let lost = claim_of(&slow, id).await?;
    assert_eq!(quick.claim(LEASE).await?, None, "the lease still runs");
    bench.pass(31);
    let held = claim_of(&quick, id).await?;
    assert_eq!((lost.attempt, held.attempt), (1, 2));

    assert!(!slow.heartbeat(&lost, LEASE).await?);
    assert!(matches!(slow.finish(&lost, b"late".to_vec()).await, Err(Error::Fenced { attempt: 1, .. })));
    let failed = slow.fail(&lost, "late", Retry::Never).await;
    assert!(matches!(failed, Err(Error::Fenced { attempt: 1, .. })));
    assert_eq!(bench.names().await?, [""; 0], "the late file was dropped");

    let made = quick.finish(&held, b"sheet".to_vec()).await?;
    assert!(matches!(slow.finish(&lost, b"late".to_vec()).await, Err(Error::Fenced { .. })));
    assert_eq!(bench.names().await?, [made.path.as_str()]);
    assert_eq!(slow.read_artifact(&made).await?, b"sheet");
    let seen = slow.job(&shop("pump-works"), id).await?.ok_or("the job is gone")?;
    assert_eq!((seen.task.state, seen.task.attempt, seen.sheet), (TaskState::Done, 2, Some(made)));
    Ok(())
}

async fn a_heartbeat_keeps_the_lease(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let id = store.submit_job(job("pump-works", "H-1")).await?.into_inner().id;
    let claim = claim_of(&store, id).await?;
    for _ in 0..5 {
        bench.pass(20);
        assert!(store.heartbeat(&claim, LEASE).await?);
        assert_eq!(store.claim(LEASE).await?, None);
    }
    bench.pass(30);
    assert_eq!(claim_of(&store, id).await?.attempt, 2);
    Ok(())
}

async fn a_task_that_kills_its_workers_fails_and_frees_the_report(bench: Bench) -> Outcome {
    let store = bench.open_with_attempts(3).await?;
    let accepted = submit_batch(&store, batch("pump-works", &["H-1"])).await?;
    let poison = accepted.jobs[0].id;
    for attempt in 1..=3 {
        assert_eq!(claim_of(&store, poison).await?.attempt, attempt);
        bench.pass(30);
    }
    // The same call gives the sheet up and hands out the report that waited for it.
    let report = claim_of(&store, accepted.id).await?;
    assert_eq!(report.kind, ArtifactKind::BatchReport);
    let seen = store.job(&shop("pump-works"), poison).await?.ok_or("the job is gone")?;
    assert_eq!((seen.task.state, seen.task.attempt), (TaskState::Failed, 3));
    assert_eq!(seen.task.reason.as_deref(), Some("the worker stopped 3 times while rendering"));
    assert!(seen.task.finished_at.is_some());
    Ok(())
}

async fn a_failed_attempt_is_repeated_after_its_delay_until_none_is_left(bench: Bench) -> Outcome {
    let store = bench.open_with_attempts(2).await?;
    let id = store.submit_job(job("pump-works", "H-1")).await?.into_inner().id;
    let again = Retry::After(Duration::from_secs(60));
    let first = claim_of(&store, id).await?;
    assert_eq!(store.fail(&first, "no font", again).await?, TaskState::Queued);
    let waiting = store.job(&shop("pump-works"), id).await?.ok_or("the job is gone")?;
    assert_eq!(waiting.task.reason.as_deref(), Some("no font"));
    bench.pass(59);
    assert_eq!(store.claim(LEASE).await?, None);
    bench.pass(1);
    let second = claim_of(&store, id).await?;
    assert_eq!(store.fail(&second, "no font", again).await?, TaskState::Failed);
    bench.pass(3600);
    assert_eq!(store.claim(LEASE).await?, None);

    let hopeless = store.submit_job(job("pump-works", "H-2")).await?.into_inner().id;
    let claim = claim_of(&store, hopeless).await?;
    assert_eq!(store.fail(&claim, "no such paper", Retry::Never).await?, TaskState::Failed);
    assert_eq!(store.claim(LEASE).await?, None);
    Ok(())
}

/// A missing directory stands for every fault of the store that passes: a full disk gives an error too.
async fn an_absence_of_the_artifacts_directory_uses_no_attempt_up(bench: Bench) -> Outcome {
    let store = bench.open_with_attempts(2).await?;
    let id = store.submit_job(job("pump-works", "H-1")).await?.into_inner().id;
    let (artifacts, away) = (bench.artifacts(), bench.directory.path().join("away"));
    std::fs::rename(&artifacts, &away)?;
    let wait = Retry::Uncounted(Duration::from_secs(15));
    let mut given_back = Vec::new();
    for attempt in 1..=6 {
        let claim = claim_of(&store, id).await?;
        assert_eq!((claim.attempt, claim.max_attempts), (attempt, attempt + 1));
        let refused = store.finish(&claim, b"sheet".to_vec()).await;
        assert!(matches!(refused, Err(Error::Other(_))), "{refused:?}");
        assert_eq!(store.fail(&claim, "no room", wait).await?, TaskState::Queued);
        bench.pass(14);
        assert_eq!(store.claim(LEASE).await?, None, "the delay still runs");
        bench.pass(1);
        given_back.push(claim);
    }
    let seen = store.job(&shop("pump-works"), id).await?.ok_or("the job is gone")?.task;
    assert_eq!((seen.state, seen.attempt, seen.reason.as_deref()), (TaskState::Queued, 6, Some("no room")));
    std::fs::rename(&away, &artifacts)?;

    // Two counted attempts are left, as in the beginning.
    let again = Retry::After(Duration::ZERO);
    let first = claim_of(&store, id).await?;
    assert_eq!(store.fail(&first, "no font", again).await?, TaskState::Queued);
    let held = claim_of(&store, id).await?;
    for claim in given_back {
        let late = store.fail(&claim, "late", wait).await;
        assert!(matches!(late, Err(Error::Fenced { .. })), "the number of the attempt still fences off");
    }
    let made = store.finish(&held, b"sheet".to_vec()).await?;
    let seen = store.job(&shop("pump-works"), id).await?.ok_or("the job is gone")?;
    assert_eq!((seen.task.state, seen.task.reason, seen.sheet), (TaskState::Done, None, Some(made)));
    Ok(())
}

async fn an_attempt_given_back_uncounted_leaves_the_last_one_counted(bench: Bench) -> Outcome {
    let store = bench.open_with_attempts(1).await?;
    let id = store.submit_job(job("pump-works", "H-1")).await?.into_inner().id;
    let claim = claim_of(&store, id).await?;
    store.fail(&claim, "no room", Retry::Uncounted(Duration::ZERO)).await?;
    let last = claim_of(&store, id).await?;
    let ended = store.fail(&last, "no font", Retry::After(Duration::ZERO)).await?;
    assert_eq!(ended, TaskState::Failed);
    let seen = store.task(&shop("pump-works"), id, ArtifactKind::Sheet).await?.ok_or("no task")?;
    assert_eq!((seen.state, seen.reason.as_deref()), (TaskState::Failed, Some("no font")));
    assert_eq!(store.task(&shop("mill"), id, ArtifactKind::Sheet).await?, None);
    assert_eq!(store.task(&shop("pump-works"), id, ArtifactKind::BatchReport).await?, None);
    Ok(())
}

async fn a_batch_report_waits_for_every_sheet_of_its_batch(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let accepted = submit_batch(&store, batch("pump-works", &["H-1", "H-2", "H-3"])).await?;
    let [first, second, third] = [0, 1, 2].map(|line| accepted.jobs[line].id);
    let done = claim_of(&store, first).await?;
    store.finish(&done, b"sheet".to_vec()).await?;
    let failed = claim_of(&store, second).await?;
    store.fail(&failed, "no such paper", Retry::Never).await?;
    let delayed = claim_of(&store, third).await?;
    assert_eq!(store.claim(LEASE).await?, None, "one sheet is running");
    store.fail(&delayed, "no font", Retry::After(Duration::from_secs(5))).await?;
    assert_eq!(store.claim(LEASE).await?, None, "one sheet is queued");
    bench.pass(5);
    let retried = claim_of(&store, third).await?;
    store.finish(&retried, b"sheet".to_vec()).await?;

    let report = claim_of(&store, accepted.id).await?;
    let made = store.finish(&report, b"report".to_vec()).await?;
    let seen = store.batch(&shop("pump-works"), accepted.id).await?.ok_or("the batch is gone")?;
    assert_eq!((seen.task.state, seen.report), (TaskState::Done, Some(made)));
    assert_eq!(store.claim(LEASE).await?, None);
    Ok(())
}
