use headproof_store::{JobsOf, Page, Place, Retry, ShopId, Store, TaskState};
use uuid::Uuid;

use crate::bench::{ALL, Anything, Bench, Outcome, batch, by, claim_of, shop, submit, submit_batch};

on_all_kinds! {
    jobs_are_listed_by_state_head_and_batch
    a_list_is_read_page_by_page_with_nothing_left_out
}

async fn ids(store: &Store, shop: &ShopId, of: JobsOf<'_>) -> Result<Vec<Uuid>, Anything> {
    Ok(store.jobs(shop, of, ALL).await?.into_iter().map(|job| job.id).collect())
}

async fn jobs_are_listed_by_state_head_and_batch(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop("pump-works");
    let done = submit(&store, "pump-works", "H-1").await?.id;
    let claim = claim_of(&store, done).await?;
    store.finish(&claim, b"sheet".to_vec()).await?;
    bench.pass(1);
    let failed = submit(&store, "pump-works", "H-2").await?.id;
    let claim = claim_of(&store, failed).await?;
    store.fail(&claim, "no font", Retry::Never).await?;
    bench.pass(1);
    let running = submit(&store, "pump-works", "H-1").await?.id;
    claim_of(&store, running).await?;
    bench.pass(1);
    let cancelled = submit(&store, "pump-works", "H-3").await?.id;
    store.cancel_job(&owner, cancelled, &by()).await?;
    bench.pass(1);
    let accepted = submit_batch(&store, batch("pump-works", &["H-1", "H-2"])).await?;
    let [first, second] = [0, 1].map(|line| accepted.jobs[line].id);
    let strangers = submit(&store, "cold-store", "H-1").await?.id;

    let of = JobsOf::default();
    assert_eq!(ids(&store, &owner, of).await?, [done, failed, running, cancelled, first, second]);
    for (state, expected) in [
        (TaskState::Done, vec![done]),
        (TaskState::Failed, vec![failed]),
        (TaskState::Running, vec![running]),
        (TaskState::Cancelled, vec![cancelled]),
        (TaskState::Queued, vec![first, second]),
    ] {
        assert_eq!(ids(&store, &owner, JobsOf { state: Some(state), ..of }).await?, expected, "{state:?}");
    }
    let head = JobsOf { head: Some("H-1"), ..of };
    assert_eq!(ids(&store, &owner, head).await?, [done, running, first]);
    let batch = JobsOf { batch: Some(accepted.id), ..of };
    assert_eq!(ids(&store, &owner, batch).await?, [first, second]);
    let all = JobsOf { state: Some(TaskState::Queued), head: Some("H-2"), batch: Some(accepted.id) };
    assert_eq!(ids(&store, &owner, all).await?, [second]);
    assert_eq!(
        ids(&store, &owner, JobsOf { head: Some("h-1"), ..of }).await?,
        [] as [Uuid; 0],
        "a reference is exact"
    );
    assert_eq!(ids(&store, &shop("cold-store"), of).await?, [strangers]);
    assert_eq!(ids(&store, &shop("cold-store"), batch).await?, [] as [Uuid; 0]);
    Ok(())
}

async fn a_list_is_read_page_by_page_with_nothing_left_out(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop("pump-works");
    let mut all = Vec::new();
    for number in 0..13 {
        // Several within the same millisecond: then ids, which grow, say the order.
        bench.pass(i64::from(number % 4 == 0));
        all.push(submit(&store, "pump-works", &format!("H-{number}")).await?.id);
    }
    for most in [1, 5, 13, 20] {
        let (mut seen, mut after) = (Vec::new(), None);
        loop {
            let page = store.jobs(&owner, JobsOf::default(), Page { after, most }).await?;
            assert!(page.len() <= most as usize);
            let Some(last) = page.last() else { break };
            after = Some(Place { at: last.created_at, id: last.id });
            seen.extend(page.into_iter().map(|job| job.id));
        }
        assert_eq!(seen, all, "{most} at a time");
    }
    Ok(())
}
