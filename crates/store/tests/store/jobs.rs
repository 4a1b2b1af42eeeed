use headproof_store::{ArtifactKind, Error, JobDocuments, JobsOf, Plan, TaskState};
use uuid::Uuid;

use crate::bench::{ALL, Bench, Outcome, batch, content, job, shop, submit_batch};

on_all_kinds! {
    a_submitted_job_is_read_back_unchanged
    a_plan_is_kept_with_the_job_that_has_one_and_with_no_other
    revisions_count_up_for_each_head_and_stage
    concurrent_corrections_get_different_revisions
    a_job_follows_only_a_job_of_the_same_head_and_shop
    lines_are_accepted_all_or_none
    another_shop_sees_nothing
    a_clock_that_is_behind_changes_no_order
}

async fn a_submitted_job_is_read_back_unchanged(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let accepted = store.submit_job(job("pump-works", "H-7")).await?.into_inner();
    assert_eq!(accepted.head_reference, "H-7");
    assert_eq!(accepted.client_reference.as_deref(), Some("order H-7"));
    assert_eq!((accepted.revision, accepted.batch, accepted.line), (1, None, None));
    assert_eq!((accepted.paper.as_str(), accepted.locale.as_str()), ("a4", "en"));
    assert_eq!((accepted.digest.as_str(), accepted.disposition.as_str()), ("digest", "rework"));
    assert_eq!((accepted.task.state, accepted.task.attempt), (TaskState::Queued, 0));
    assert_eq!(accepted.task.max_attempts, 5);

    let owner = shop("pump-works");
    let documents = store.job_documents(&owner, accepted.id).await?;
    let expected = JobDocuments {
        measurement_set: vec![0, 159, 146, 150],
        profile: vec![255; 3],
        evaluation: b"evaluation".to_vec(),
        digest: "digest".to_owned(),
        plan: None,
    };
    assert_eq!(documents, Some(expected));
    assert_eq!(store.job(&owner, accepted.id).await?, Some(accepted));
    Ok(())
}

async fn a_plan_is_kept_with_the_job_that_has_one_and_with_no_other(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    // No text in any encoding, as for every document.
    let plan = Plan { document: vec![0, 159, 146, 150], digest: "digest of the plan".to_owned() };
    let mut planned = job("pump-works", "H-7");
    planned.content.plan = Some(plan.clone());
    let mut lines = batch("pump-works", &["H-8", "H-9"]);
    lines.jobs.entry(2).and_modify(|content| content.plan = Some(plan.clone()));
    let planned = store.submit_job(planned).await?.into_inner();
    let plain = store.submit_job(job("pump-works", "H-7")).await?.into_inner();
    let in_batch = submit_batch(&store, lines).await?;

    let owner = shop("pump-works");
    let [first, second] = [&in_batch.jobs[0], &in_batch.jobs[1]];
    for (accepted, expected) in
        [(&planned, Some(&plan)), (&plain, None), (first, None), (second, Some(&plan))]
    {
        assert_eq!(accepted.plan_digest.as_ref(), expected.map(|plan| &plan.digest));
        let documents = store.job_documents(&owner, accepted.id).await?.ok_or("the job is gone")?;
        assert_eq!(documents.plan.as_ref(), expected);
        assert_eq!(store.job(&owner, accepted.id).await?.as_ref(), Some(accepted));
    }
    Ok(())
}

async fn revisions_count_up_for_each_head_and_stage(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let mut final_stage = job("pump-works", "H-1");
    final_stage.content.stage = "final".to_owned();
    for (submitted, revision) in [
        (job("pump-works", "H-1"), 1),
        (job("pump-works", "H-1"), 2),
        (final_stage, 1),
        (job("pump-works", "H-2"), 1),
        (job("cold-store", "H-1"), 1),
        (job("pump-works", "H-1"), 3),
    ] {
        assert_eq!(store.submit_job(submitted).await?.into_inner().revision, revision);
    }
    Ok(())
}

async fn concurrent_corrections_get_different_revisions(bench: Bench) -> Outcome {
    let stores = [bench.open().await?, bench.open().await?];
    let submitting: Vec<_> = (0..20)
        .map(|number| {
            let store = stores[number % 2].clone();
            tokio::spawn(async move { store.submit_job(job("pump-works", "H-1")).await })
        })
        .collect();
    let mut revisions = Vec::new();
    for submitted in submitting {
        revisions.push(submitted.await??.into_inner().revision);
    }
    revisions.sort_unstable();
    assert_eq!(revisions, (1..=20).collect::<Vec<_>>());
    Ok(())
}

async fn a_job_follows_only_a_job_of_the_same_head_and_shop(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let earlier = store.submit_job(job("pump-works", "H-1")).await?.into_inner().id;
    let following = |shop_name: &str, head: &str, follows: Uuid| {
        let mut next = job(shop_name, head);
        next.content.follows = Some(follows);
        next
    };
    let accepted = store.submit_job(following("pump-works", "H-1", earlier)).await?.into_inner();
    assert_eq!(accepted.follows, Some(earlier));
    for refused in [
        following("pump-works", "H-2", earlier),
        following("cold-store", "H-1", earlier),
        following("pump-works", "H-1", Uuid::now_v7()),
    ] {
        let refused = store.submit_job(refused).await;
        assert!(matches!(refused, Err(Error::NotEarlier(_))), "{refused:?}");
    }
    Ok(())
}

async fn lines_are_accepted_all_or_none(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let mut submitted = batch("pump-works", &["H-1", "H-2"]);
    // A line left out of the request, and one far behind.
    submitted.jobs.insert(40, content("H-1"));
    let accepted = submit_batch(&store, submitted).await?;
    let lines: Vec<_> =
        accepted.jobs.iter().map(|job| (job.line, job.head_reference.as_str(), job.revision)).collect();
    assert_eq!(lines, [(Some(1), "H-1", 1), (Some(2), "H-2", 1), (Some(40), "H-1", 2)]);
    assert!(accepted.jobs.iter().all(|job| job.batch == Some(accepted.id)));
    assert_eq!(store.batch(&shop("pump-works"), accepted.id).await?, Some(accepted.record));

    let mut faulty = batch("cold-store", &["H-1", "H-2"]);
    faulty.jobs.entry(2).and_modify(|content| content.follows = Some(Uuid::now_v7()));
    let refused = submit_batch(&store, faulty).await.err().ok_or("it was accepted")?;
    assert!(matches!(refused.downcast_ref(), Some(Error::NotEarlier(_))), "{refused:?}");
    // Had the first line been kept, this would be its second revision.
    assert_eq!(store.submit_job(job("cold-store", "H-1")).await?.into_inner().revision, 1);
    Ok(())
}

async fn another_shop_sees_nothing(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let accepted = submit_batch(&store, batch("pump-works", &["H-1"])).await?;
    let job = accepted.jobs[0].id;
    let claim = crate::bench::claim_of(&store, job).await?;
    store.finish(&claim, b"sheet".to_vec()).await?;

    let (owner, stranger) = (shop("pump-works"), shop("cold-store"));
    assert!(store.artifact(&owner, job, ArtifactKind::Sheet).await?.is_some());
    assert_eq!(store.artifact(&stranger, job, ArtifactKind::Sheet).await?, None);
    assert_eq!(store.job(&stranger, job).await?, None);
    assert_eq!(store.job_documents(&stranger, job).await?, None);
    assert_eq!(store.batch(&stranger, accepted.id).await?, None);
    Ok(())
}

async fn a_clock_that_is_behind_changes_no_order(bench: Bench) -> Outcome {
    let (ahead, behind) = (bench.open().await?, bench.open_behind(3600).await?);
    let owner = shop("pump-works");
    let mut ids = Vec::new();
    for store in [&ahead, &behind, &ahead, &behind, &behind] {
        ids.push(store.submit_job(job("pump-works", "H-1")).await?.into_inner());
    }
    assert_eq!(ids.iter().map(|job| job.revision).collect::<Vec<_>>(), [1, 2, 3, 4, 5]);
    assert!(ids.is_sorted_by(|one, next| one.created_at < next.created_at));
    for job in &ids[..4] {
        let last = ahead.later_job(&owner, job.id).await?;
        assert_eq!(last.map(|last| last.id), Some(ids[4].id));
        assert_eq!(ahead.newest_revision(&owner, job.id).await?, Some(5));
    }
    assert_eq!(ahead.later_job(&owner, ids[4].id).await?, None);
    assert_eq!(ahead.jobs(&owner, JobsOf::default(), ALL).await?, ids);

    // A head of its own is not bound by others.
    let other = behind.submit_job(job("pump-works", "H-2")).await?.into_inner();
    assert!(other.created_at < ids[0].created_at);
    Ok(())
}
