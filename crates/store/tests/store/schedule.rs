//! Workers that finish, fail, stop, and come back too late, in an order drawn from fixed numbers.

use std::{
    collections::{BTreeMap, BTreeSet},
    time::Duration,
};

use headproof_store::{ArtifactKind, Claim, Error, Retry, ShopId, TaskState};
use uuid::Uuid;

use crate::bench::{Bench, LEASE, Outcome, batch, job, shop, submit_batch};

on_all_kinds! {
    one_schedule
    another_schedule
    a_third_schedule
}

/// The generator xorshift64 of G. Marsaglia, "Xorshift RNGs" (2003), shifts 13, 7, 17.
struct Draws(u64);

impl Draws {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % limit
    }
}

async fn one_schedule(bench: Bench) -> Outcome {
    run(bench, 3).await
}

async fn another_schedule(bench: Bench) -> Outcome {
    run(bench, 20_260_801).await
}

async fn a_third_schedule(bench: Bench) -> Outcome {
    run(bench, 0xdead_beef).await
}

async fn run(bench: Bench, start: u64) -> Outcome {
    let mut draws = Draws(start);
    let stores = [bench.open_with_attempts(3).await?, bench.open_with_attempts(3).await?];
    let mut owners: BTreeMap<Uuid, (ShopId, ArtifactKind)> = BTreeMap::new();
    for (number, name) in ["pump-works", "cold-store", "pump-works", "mill"].into_iter().enumerate() {
        let single = stores[0].submit_job(job(name, "H-1")).await?.into_inner();
        let many = submit_batch(&stores[1], batch(name, &["H-1", "H-2", "H-3"][..1 + number % 3])).await?;
        owners.insert(many.id, (shop(name), ArtifactKind::BatchReport));
        for id in many.jobs.iter().map(|job| job.id).chain([single.id]) {
            owners.insert(id, (shop(name), ArtifactKind::Sheet));
        }
    }

    let mut in_hand: Vec<Claim> = Vec::new();
    let mut attempts: BTreeSet<(Uuid, u32)> = BTreeSet::new();
    let mut finished: BTreeMap<Uuid, Vec<u8>> = BTreeMap::new();
    let mut idle = 0;
    // 20 idle steps of at least 2 s: by then every lease of 30 s has run out and every delay has passed.
    while idle < 20 {
        let store = &stores[draws.below(2) as usize];
        bench.pass(2 + draws.below(10) as i64);
        match store.claim(LEASE).await? {
            Some(claim) => {
                idle = 0;
                assert!(attempts.insert((claim.task, claim.attempt)), "an attempt was handed out twice");
                if claim.kind == ArtifactKind::BatchReport {
                    let batch = store.batch(&claim.shop, claim.owner).await?.ok_or("the batch is gone")?;
                    let open = batch.progress.queued + batch.progress.running;
                    assert_eq!(open, 0, "the report came too early");
                }
                in_hand.push(claim);
            }
            None => idle += 1,
        }
        if in_hand.is_empty() {
            continue;
        }
        let drawn = draws.below(in_hand.len() as u64) as usize;
        match draws.below(10) {
            0..=2 => {
                let claim = in_hand.swap_remove(drawn);
                let bytes = format!("{} {}", claim.owner, claim.attempt).into_bytes();
                match store.finish(&claim, bytes.clone()).await {
                    Ok(_) => assert_eq!(finished.insert(claim.owner, bytes), None, "finished twice"),
                    Err(Error::Fenced { .. }) => {}
                    Err(other) => return Err(other.into()),
                }
            }
            3 => {
                let claim = in_hand.swap_remove(drawn);
                let retry = Retry::After(Duration::from_secs(draws.below(35)));
                match store.fail(&claim, "drawn", retry).await {
                    Ok(_) => idle = 0,
                    Err(Error::Fenced { .. }) => {}
                    Err(other) => return Err(other.into()),
                }
            }
            4 if store.heartbeat(&in_hand[drawn], LEASE).await? => idle = 0,
            // The worker is slow, or has stopped for good.
            _ => {}
        }
    }

    let mut kept = BTreeSet::new();
    let mut failed = 0;
    for (owner, (shop, kind)) in &owners {
        let status = match kind {
            ArtifactKind::Sheet | ArtifactKind::SignedSheet => {
                stores[0].job(shop, *owner).await?.ok_or("the job is gone")?.task
            }
            ArtifactKind::BatchReport => {
                stores[0].batch(shop, *owner).await?.ok_or("the batch is gone")?.task
            }
        };
        let artifact = stores[0].artifact(shop, *owner, *kind).await?;
        match (status.state, artifact) {
            (TaskState::Done, Some(artifact)) => {
                assert_eq!(Some(&stores[1].read_artifact(&artifact).await?), finished.get(owner));
                kept.insert(artifact.path);
            }
            (TaskState::Failed, None) => {
                assert!(status.reason.is_some() && !finished.contains_key(owner));
                failed += 1;
            }
            (state, artifact) => panic!("{owner} ended {state:?} with {artifact:?}"),
        }
    }
    assert!(failed > 0 && !kept.is_empty(), "the schedule must try both ends");
    assert_eq!(bench.names().await?.into_iter().collect::<BTreeSet<_>>(), kept, "files without a record");
    Ok(())
}
