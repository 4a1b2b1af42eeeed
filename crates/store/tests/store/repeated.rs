use std::time::Duration;

use headproof_store::{Error, Made, NewJob, NewKey, NewProfile, PutProfile};
use uuid::Uuid;

use crate::bench::{ALL, Bench, Outcome, before, by, job, new, once, shop};

on_all_kinds! {
    a_request_that_is_repeated_makes_nothing_again
    a_key_with_another_request_is_refused
    of_many_requests_of_one_key_one_makes_something
    keys_are_forgotten_when_they_are_old
    what_was_refused_leaves_no_key
}

fn keyed(shop_name: &str, key: &str, fingerprint: &str) -> NewJob {
    NewJob { once: Some(once("job", key, fingerprint)), ..job(shop_name, "H-1") }
}

fn access_key() -> NewKey {
    NewKey {
        id: Uuid::now_v7(),
        label: "front desk".to_owned(),
        scopes: "read".to_owned(),
        person: None,
        secret_sha256: vec![7; 32],
        expires_at: None,
    }
}

fn profile(document: &str) -> NewProfile {
    NewProfile {
        id: "diesel".to_owned(),
        revision: "A".to_owned(),
        document: document.as_bytes().to_vec(),
        digest: document.to_owned(),
    }
}

async fn a_request_that_is_repeated_makes_nothing_again(bench: Bench) -> Outcome {
    let (store, other) = (bench.open().await?, bench.open().await?);
    let owner = shop("pump-works");
    let first = new(store.submit_job(keyed("pump-works", "k", "f")).await?);
    let trail = store.checkpoint(&owner).await?;
    for again in [&other, &store] {
        assert_eq!(before(again.submit_job(keyed("pump-works", "k", "f")).await?), first);
    }
    assert_eq!(store.jobs(&owner, Default::default(), ALL).await?, [first]);
    assert_eq!(store.checkpoint(&owner).await?, trail);
    // Keys of other shops, other keys, other operations and requests without one are apart.
    new(store.submit_job(keyed("cold-store", "k", "f")).await?);
    new(store.submit_job(keyed("pump-works", "l", "f")).await?);
    new(store.submit_job(job("pump-works", "H-1")).await?);
    let of_key = once("key", "k", "f");
    let kept = new(store.keep_key(&owner, access_key(), &by(), Some(&of_key)).await?);
    assert_eq!(before(store.keep_key(&owner, access_key(), &by(), Some(&of_key)).await?), kept);
    assert_eq!(store.keys(&owner).await?, [kept]);
    let of_profile = once("profile", "k", "f");
    for stored in [PutProfile::Stored, PutProfile::AlreadyThere, PutProfile::AlreadyThere] {
        assert_eq!(store.put_profile(&owner, profile("one"), &by(), Some(&of_profile)).await?, stored);
    }
    Ok(())
}

async fn a_key_with_another_request_is_refused(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop("pump-works");
    let first = new(store.submit_job(keyed("pump-works", "k", "f")).await?);
    let refused = store.submit_job(keyed("pump-works", "k", "g")).await;
    assert!(matches!(refused, Err(Error::KeyReused)), "{refused:?}");
    assert_eq!(store.jobs(&owner, Default::default(), ALL).await?, [first]);
    let once = |fingerprint| once("profile", "k", fingerprint);
    store.put_profile(&owner, profile("one"), &by(), Some(&once("f"))).await?;
    let mut another = profile("two");
    another.revision = "B".to_owned();
    let refused = store.put_profile(&owner, another, &by(), Some(&once("g"))).await;
    assert!(matches!(refused, Err(Error::KeyReused)), "{refused:?}");
    assert_eq!(store.profiles(&owner).await?.len(), 1);
    Ok(())
}

async fn of_many_requests_of_one_key_one_makes_something(bench: Bench) -> Outcome {
    let stores = [bench.open().await?, bench.open().await?];
    for round in 0..5 {
        let submitting: Vec<_> = (0..8)
            .map(|number| {
                let store = stores[number % 2].clone();
                let submitted = keyed("pump-works", &format!("k{round}"), "f");
                tokio::spawn(async move { store.submit_job(submitted).await })
            })
            .collect();
        let (mut made, mut ids) = (0, Vec::new());
        for submitted in submitting {
            let submitted = submitted.await??;
            made += usize::from(matches!(submitted, Made::New(_)));
            ids.push(submitted.into_inner().id);
        }
        ids.dedup();
        assert_eq!((made, ids.len()), (1, 1));
    }
    assert_eq!(stores[0].jobs(&shop("pump-works"), Default::default(), ALL).await?.len(), 5);
    Ok(())
}

async fn keys_are_forgotten_when_they_are_old(bench: Bench) -> Outcome {
    const DAY: Duration = Duration::from_secs(86_400);
    let store = bench.open().await?;
    let first = new(store.submit_job(keyed("pump-works", "k", "f")).await?);
    bench.pass(86_400);
    new(store.submit_job(keyed("pump-works", "l", "f")).await?);
    assert_eq!(store.forget_keys(DAY).await?, 0);
    bench.pass(1);
    assert_eq!(store.forget_keys(DAY).await?, 1);
    before(store.submit_job(keyed("pump-works", "l", "f")).await?);
    assert_ne!(new(store.submit_job(keyed("pump-works", "k", "g")).await?).id, first.id);
    Ok(())
}

async fn what_was_refused_leaves_no_key(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let mut faulty = keyed("pump-works", "k", "f");
    faulty.content.follows = Some(Uuid::now_v7());
    assert!(matches!(store.submit_job(faulty).await, Err(Error::NotEarlier(_))));
    new(store.submit_job(keyed("pump-works", "k", "g")).await?);
    Ok(())
}
