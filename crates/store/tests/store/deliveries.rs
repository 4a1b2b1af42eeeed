use std::collections::BTreeSet;
use std::time::Duration;

use headproof_store::{DeliveryState, Error, Page, Place};

use crate::bench::{ALL, Bench, LEASE, Outcome, by, shop};
use crate::receivers::{SHOP, deliver, enter, failure, happen, seen};

on_all_kinds! {
    a_message_gets_through_once
    a_lease_that_ran_out_is_taken_by_another
    at_most_four_are_under_way_to_one_receiver
    receivers_take_turns
    what_was_sent_again_is_another_try
    deliveries_are_listed_in_pages_and_forgotten_when_old
    of_many_workers_no_two_get_the_same_message
}

async fn a_message_gets_through_once(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let id = enter(&store, "a", "").await?;
    assert_eq!(store.claim_delivery(LEASE).await?, None);
    happen(&store, 1).await?;
    assert_eq!(store.backlog().await?.deliveries, 1);
    let claim = deliver(&store).await?;
    assert_eq!((claim.attempt, claim.receiver.id), (1, id));
    assert_eq!(store.claim_delivery(LEASE).await?, None);
    assert_eq!(store.deliveries(&shop(SHOP), id, Some(DeliveryState::Running), ALL).await?.len(), 1);
    store.delivered(&claim, 204).await?;
    let twice = store.delivered(&claim, 204).await;
    assert!(matches!(twice, Err(Error::Fenced { attempt: 1, .. })), "{twice:?}");
    let over = store.deliveries(&shop(SHOP), id, None, ALL).await?.remove(0);
    assert_eq!((over.state, over.attempt, over.status), (DeliveryState::Delivered, 1, Some(204)));
    assert!(over.finished_at.is_some() && over.reason.is_none());
    assert_eq!(over.message, claim.message);
    bench.pass(3600);
    assert_eq!(store.claim_delivery(LEASE).await?, None);
    assert_eq!(store.backlog().await?.deliveries, 0);
    Ok(())
}

async fn a_lease_that_ran_out_is_taken_by_another(bench: Bench) -> Outcome {
    let (slow, quick) = (bench.open().await?, bench.open().await?);
    let id = enter(&slow, "a", "").await?;
    happen(&slow, 1).await?;
    let lost = deliver(&slow).await?;
    bench.pass(29);
    assert_eq!(quick.claim_delivery(LEASE).await?, None);
    bench.pass(1);
    let held = deliver(&quick).await?;
    assert_eq!((held.message.id, held.attempt), (lost.message.id, 2));
    let late = slow.delivered(&lost, 200).await;
    assert!(matches!(late, Err(Error::Fenced { attempt: 1, .. })), "{late:?}");
    let late = slow.not_delivered(&lost, &failure(None)).await;
    assert!(matches!(late, Err(Error::Fenced { attempt: 1, .. })), "{late:?}");
    assert_eq!(seen(&slow, id).await?.state.failing_since, None, "who was late says nothing");
    quick.delivered(&held, 200).await?;
    Ok(())
}

async fn at_most_four_are_under_way_to_one_receiver(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    enter(&store, "a", "").await?;
    happen(&store, 6).await?;
    let mut under_way = Vec::new();
    for _ in 0..4 {
        under_way.push(deliver(&store).await?);
    }
    assert_eq!(store.claim_delivery(LEASE).await?, None);
    store.delivered(&under_way[2], 200).await?;
    deliver(&store).await?;
    assert_eq!(store.claim_delivery(LEASE).await?, None);
    // Of those whose worker has stopped, all are free again, and taken four at a time.
    bench.pass(30);
    for _ in 0..4 {
        deliver(&store).await?;
    }
    assert_eq!(store.claim_delivery(LEASE).await?, None);
    Ok(())
}

async fn receivers_take_turns(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let busy = enter(&store, "busy", "").await?;
    happen(&store, 2).await?;
    bench.pass(1);
    let calm = enter(&store, "calm", "").await?;
    happen(&store, 2).await?;
    let mut served = Vec::new();
    while let Some(claim) = store.claim_delivery(LEASE).await? {
        served.push(claim.receiver.id);
    }
    assert_eq!(served.len(), 6);
    assert_eq!(served.iter().take(4).filter(|id| **id == calm).count(), 2, "{served:?} of {busy} and {calm}");
    Ok(())
}

async fn what_was_sent_again_is_another_try(bench: Bench) -> Outcome {
    let (store, frozen) = (bench.open().await?, bench.open().await?);
    let (owner, stranger) = (shop(SHOP), shop("cold-store"));
    let id = enter(&store, "a", "").await?;
    happen(&store, 3).await?;
    let lost = deliver(&frozen).await?;
    bench.pass(30);
    let mut claims = Vec::new();
    for _ in 0..3 {
        claims.push(deliver(&store).await?);
    }
    for claim in &claims {
        if claim.message.id == lost.message.id {
            store.not_delivered(claim, &failure(None)).await?;
        } else {
            store.delivered(claim, 200).await?;
        }
    }
    let dead = store.deliveries(&owner, id, Some(DeliveryState::Dead), ALL).await?.remove(0);
    assert_eq!((dead.message.id, dead.attempt, dead.status), (lost.message.id, 2, Some(503)));
    assert_eq!(dead.reason.as_deref(), Some("answered 503"));
    assert_eq!(store.send_again(&stranger, id, None).await?, 0);
    assert_eq!(store.send_again(&owner, id, None).await?, 1, "only what is dead");
    assert_eq!(store.send_again(&owner, id, None).await?, 0);
    bench.pass(1);
    let again = deliver(&store).await?;
    assert_eq!((&again.message, again.attempt), (&lost.message, 1), "the same message, tried anew");
    // The first one to try has the same number, and has been away since.
    let late = frozen.delivered(&lost, 200).await;
    assert!(matches!(late, Err(Error::Fenced { .. })), "{late:?}");
    store.delivered(&again, 200).await?;
    assert_eq!(store.send_again(&owner, id, None).await?, 0);
    assert_eq!(store.send_again(&owner, id, Some(again.message.id)).await?, 1, "one that got through too");
    assert_eq!(store.send_again(&owner, id, Some(uuid::Uuid::now_v7())).await?, 0);
    assert_eq!(deliver(&store).await?.message.id, again.message.id);
    Ok(())
}

async fn deliveries_are_listed_in_pages_and_forgotten_when_old(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop(SHOP);
    let id = enter(&store, "a", "").await?;
    for number in 0..5 {
        bench.pass(i64::from(number % 2 == 0));
        happen(&store, 1).await?;
    }
    let all = store.deliveries(&owner, id, None, ALL).await?;
    let (mut seen, mut after) = (Vec::new(), None);
    loop {
        let page = store.deliveries(&owner, id, None, Page { after, most: 2 }).await?;
        let Some(last) = page.last() else { break };
        after = Some(Place { at: last.message.occurred_at, id: last.message.id });
        seen.extend(page);
    }
    assert_eq!((seen.len(), &seen), (5, &all));
    for status in [200, 204] {
        let claim = deliver(&store).await?;
        store.delivered(&claim, status).await?;
        bench.pass(60);
    }
    assert_eq!(store.forget_deliveries(Duration::from_secs(120)).await?, 0);
    assert_eq!(store.forget_deliveries(Duration::from_secs(119)).await?, 1);
    assert_eq!(store.forget_deliveries(Duration::ZERO).await?, 1);
    assert_eq!(store.deliveries(&owner, id, None, ALL).await?.len(), 3, "what is open stays");
    assert!(store.remove_receiver(&owner, id, &by()).await?);
    Ok(())
}

async fn of_many_workers_no_two_get_the_same_message(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    for name in ["a", "b", "c"] {
        enter(&store, name, "").await?;
    }
    happen(&store, 10).await?;
    let mut pools = Vec::new();
    for _ in 0..6 {
        pools.push(bench.open().await?);
    }
    let mut workers = Vec::new();
    for worker in pools {
        workers.push(tokio::spawn(async move {
            let (mut got, mut idle) = (Vec::new(), 0);
            // Nothing may be to be had only because others are just taking it.
            while idle < 20 {
                match worker.claim_delivery(LEASE).await? {
                    Some(claim) => {
                        idle = 0;
                        got.push(claim.message.id);
                    }
                    None => {
                        idle += 1;
                        tokio::time::sleep(Duration::from_millis(5)).await;
                    }
                }
            }
            Ok::<_, Error>(got)
        }));
    }
    let mut got = Vec::new();
    for worker in workers {
        got.extend(worker.await??);
    }
    // Nobody says what came of it: four to each receiver, whoever asks at the same time.
    assert_eq!(got.len(), 12);
    assert_eq!(got.into_iter().collect::<BTreeSet<_>>().len(), 12);
    Ok(())
}
