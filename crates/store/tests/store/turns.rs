use std::collections::BTreeMap;
use std::time::Duration;

use headproof_store::{Backlog, Claim, Error, NewJob, Priority, Retry, Store};

use crate::bench::{Anything, Bench, LEASE, Outcome, batch, claim_of, job, shop, submit, submit_batch};

on_all_kinds! {
    shops_take_turns_and_each_is_served_in_order
    no_two_workers_get_the_same_task
    the_urgent_goes_before_the_normal_and_that_before_bulk
    what_is_open_and_what_waits_is_counted
    many_workers_serve_many_shops_and_forget_none
}

async fn shops_take_turns_and_each_is_served_in_order(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    for number in 0..4 {
        store.submit_job(job("busy", &format!("B-{number}"))).await?.into_inner();
    }
    for number in 0..2 {
        bench.pass(1);
        store.submit_job(job("calm", &format!("C-{number}"))).await?.into_inner();
    }
    let mut served = Vec::new();
    while let Some(claim) = store.claim(LEASE).await? {
        served.push(store.job(&claim.shop, claim.owner).await?.ok_or("the job is gone")?.head_reference);
    }
    assert_eq!(served, ["B-0", "C-0", "B-1", "C-1", "B-2", "B-3"]);
    Ok(())
}

async fn no_two_workers_get_the_same_task(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    submit_batch(&store, batch("pump-works", &["H"; 30])).await?;
    let mut workers = Vec::new();
    for _ in 0..4 {
        let worker = bench.open().await?;
        workers.push(tokio::spawn(async move {
            let mut owners = Vec::new();
            while let Some(claim) = worker.claim(LEASE).await? {
                owners.push(claim.owner);
            }
            Ok::<_, Error>(owners)
        }));
    }
    let mut owners = Vec::new();
    for worker in workers {
        owners.extend(worker.await??);
    }
    owners.sort_unstable();
    owners.dedup();
    assert_eq!(owners.len(), 30);
    Ok(())
}

async fn the_urgent_goes_before_the_normal_and_that_before_bulk(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let of = |shop_name: &str, head: &str, priority| NewJob { priority, ..job(shop_name, head) };
    for (head, priority) in [
        ("bulk 1", Priority::Bulk),
        ("normal 1", Priority::Normal),
        ("urgent 1", Priority::Urgent),
        ("bulk 2", Priority::Bulk),
        ("urgent 2", Priority::Urgent),
        ("normal 2", Priority::Normal),
    ] {
        store.submit_job(of("busy", head, priority)).await?;
        bench.pass(1);
    }
    assert_eq!(
        heads(&store).await?,
        ["urgent 1", "urgent 2", "normal 1", "normal 2", "bulk 1", "bulk 2"],
        "by priority and then by age"
    );
    // What is urgent to one shop takes no turn away from another.
    for head in ["B-1", "B-2"] {
        store.submit_job(of("busy", head, Priority::Urgent)).await?;
        store.submit_job(of("calm", head, Priority::Bulk)).await?;
    }
    let mut shops = Vec::new();
    while let Some(claim) = store.claim(LEASE).await? {
        shops.push(claim.shop.to_string());
    }
    assert_eq!(shops, ["calm", "busy", "calm", "busy"]);
    Ok(())
}

async fn heads(store: &Store) -> Result<Vec<String>, Anything> {
    let mut heads = Vec::new();
    while let Some(claim) = store.claim(LEASE).await? {
        heads.push(store.job(&claim.shop, claim.owner).await?.ok_or("the job is gone")?.head_reference);
    }
    Ok(heads)
}

async fn what_is_open_and_what_waits_is_counted(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop("pump-works");
    let nothing = Backlog { queued: 0, running: 0, age: Duration::ZERO, deliveries: 0 };
    assert_eq!(store.backlog().await?, nothing);
    // Three sheets and a report.
    let accepted = submit_batch(&store, batch("pump-works", &["H-1", "H-2", "H-3"])).await?;
    bench.pass(7);
    submit(&store, "cold-store", "H-1").await?;
    assert_eq!(store.backlog().await?, Backlog { queued: 5, age: Duration::from_secs(7), ..nothing });
    for (most, open) in [(100, 4), (4, 4), (3, 3), (0, 0)] {
        assert_eq!(store.open_tasks(&owner, most).await?, open);
    }
    let mut claims: Vec<Claim> = Vec::new();
    for _ in 0..2 {
        claims.push(store.claim(LEASE).await?.ok_or("nothing to claim")?);
    }
    let seen = store.backlog().await?;
    assert_eq!((seen.queued, seen.running), (3, 2));
    for claim in &claims {
        // What is to be tried again later does not wait for a worker yet.
        store.fail(claim, "no font", Retry::After(Duration::from_secs(60))).await?;
    }
    for job in &accepted.jobs {
        let _ = store.cancel_job(&owner, job.id, &crate::bench::by()).await?;
    }
    let report = claim_of(&store, accepted.id).await?;
    store.finish(&report, b"report".to_vec()).await?;
    assert_eq!(store.backlog().await?, Backlog { queued: 1, ..nothing });
    assert_eq!(store.open_tasks(&owner, 100).await?, 0);
    assert_eq!(store.open_tasks(&shop("cold-store"), 100).await?, 1);
    Ok(())
}

/// Twelve shops, more than a worker looks at in one go, and six workers with connections of their own.
async fn many_workers_serve_many_shops_and_forget_none(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    for number in 0..12 {
        submit_batch(&store, batch(&format!("shop-{number}"), &["H-1", "H-2", "H-3", "H-4"])).await?;
    }
    let mut pools = Vec::new();
    for _ in 0..6 {
        pools.push(bench.open().await?);
    }
    let mut workers = Vec::new();
    for worker in pools {
        workers.push(tokio::spawn(async move {
            let mut done = Vec::new();
            let mut idle = 0;
            // Nothing may be to be had only because others are just taking it.
            while idle < 20 {
                match worker.claim(LEASE).await {
                    Ok(Some(claim)) => {
                        idle = 0;
                        worker.finish(&claim, claim.owner.as_bytes().to_vec()).await?;
                        done.push((claim.task, claim.shop.to_string()));
                    }
                    Ok(None) | Err(Error::Busy(_)) => {
                        idle += 1;
                        tokio::time::sleep(Duration::from_millis(20)).await;
                    }
                    Err(other) => return Err(other),
                }
            }
            Ok::<_, Error>(done)
        }));
    }
    let mut served: BTreeMap<String, Vec<_>> = BTreeMap::new();
    for worker in workers {
        for (task, shop) in worker.await?? {
            served.entry(shop).or_default().push(task);
        }
    }
    assert_eq!(served.len(), 12);
    for (shop, mut tasks) in served {
        tasks.sort_unstable();
        tasks.dedup();
        assert_eq!(tasks.len(), 5, "four sheets and a report of {shop}");
    }
    Ok(())
}
