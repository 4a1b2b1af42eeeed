use std::time::Duration;

use headproof_store::{DeliveryState, Error, Failure};

use crate::bench::{ALL, Bench, LEASE, Outcome, by, shop};
use crate::receivers::{SHOP, deliver, enter, failure, happen, seen};

on_all_kinds! {
    a_message_that_failed_is_tried_again_later
    a_receiver_that_fails_keeps_no_other_waiting
    while_it_fails_a_receiver_gets_one_at_a_time
    one_that_gets_through_pulls_the_others_forward
    a_message_that_is_given_up_is_dead
    who_says_that_it_is_gone_is_told_no_more
    who_fails_for_too_long_is_told_no_more
    while_it_fails_many_workers_get_one_message
    a_try_that_was_not_the_receivers_fault_does_not_count
}

async fn a_message_that_failed_is_tried_again_later(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let id = enter(&store, "a", "").await?;
    happen(&store, 1).await?;
    let first = deliver(&store).await?;
    store.not_delivered(&first, &failure(Some(60))).await?;
    let late = store.not_delivered(&first, &failure(Some(60))).await;
    assert!(matches!(late, Err(Error::Fenced { .. })), "{late:?}");
    let waiting = store.deliveries(&shop(SHOP), id, None, ALL).await?.remove(0);
    assert_eq!((waiting.state, waiting.attempt, waiting.status), (DeliveryState::Queued, 1, Some(503)));
    assert_eq!(waiting.reason.as_deref(), Some("answered 503"));
    assert_eq!(waiting.not_before, waiting.message.occurred_at + Duration::from_secs(60));
    let state = seen(&store, id).await?.state;
    assert!(state.enabled);
    assert_eq!(state.reason.as_deref(), Some("answered 503"));
    assert_eq!(state.failing_since, Some(waiting.message.occurred_at));
    bench.pass(59);
    assert_eq!(store.claim_delivery(LEASE).await?, None);
    bench.pass(1);
    let second = deliver(&store).await?;
    assert_eq!((second.message.id, second.attempt), (first.message.id, 2));
    store.delivered(&second, 200).await?;
    let state = seen(&store, id).await?.state;
    assert_eq!((state.enabled, state.reason, state.failing_since), (true, None, None));
    Ok(())
}

async fn a_receiver_that_fails_keeps_no_other_waiting(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let bad = enter(&store, "bad", "").await?;
    let good = enter(&store, "good", "").await?;
    happen(&store, 5).await?;
    let mut through = 0;
    // Its messages are due at once; one failure is passed over, then it is let be for 1, 2, 4, 8, … seconds.
    let mut tried = Vec::new();
    for second in 0..20 {
        while let Some(claim) = store.claim_delivery(LEASE).await? {
            if claim.receiver.id == good {
                store.delivered(&claim, 200).await?;
                through += 1;
            } else {
                assert_eq!(claim.receiver.id, bad);
                store.not_delivered(&claim, &failure(Some(0))).await?;
                tried.push(second);
            }
        }
        if second == 0 {
            assert_eq!(through, 5, "all others have flowed");
        }
        bench.pass(1);
    }
    assert_eq!(tried, [0, 0, 1, 3, 7, 15]);
    assert_eq!(through, 5);
    Ok(())
}

async fn while_it_fails_a_receiver_gets_one_at_a_time(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    enter(&store, "a", "").await?;
    happen(&store, 6).await?;
    let mut under_way = Vec::new();
    for _ in 0..3 {
        under_way.push(deliver(&store).await?);
    }
    store.not_delivered(&under_way[0], &failure(Some(0))).await?;
    under_way.push(deliver(&store).await?);
    store.not_delivered(&under_way[1], &failure(Some(0))).await?;
    bench.pass(2);
    assert_eq!(store.claim_delivery(LEASE).await?, None, "two are still under way");
    for claim in &under_way[2..] {
        store.not_delivered(claim, &failure(Some(0))).await?;
    }
    bench.pass(300);
    let probe = deliver(&store).await?;
    assert_eq!(store.claim_delivery(LEASE).await?, None);
    store.delivered(&probe, 200).await?;
    for _ in 0..4 {
        deliver(&store).await?;
    }
    assert_eq!(store.claim_delivery(LEASE).await?, None);
    Ok(())
}

async fn one_that_gets_through_pulls_the_others_forward(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    enter(&store, "a", "").await?;
    happen(&store, 3).await?;
    for _ in 0..2 {
        let claim = deliver(&store).await?;
        store.not_delivered(&claim, &failure(Some(7200))).await?;
        bench.pass(3);
    }
    let last = deliver(&store).await?;
    store.delivered(&last, 200).await?;
    let mut got = vec![last.message.id];
    for _ in 0..2 {
        let claim = deliver(&store).await?;
        assert_eq!(claim.attempt, 2);
        got.push(claim.message.id);
    }
    got.sort_unstable();
    got.dedup();
    assert_eq!(got.len(), 3);
    Ok(())
}

async fn a_message_that_is_given_up_is_dead(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let id = enter(&store, "a", "").await?;
    happen(&store, 1).await?;
    let claim = deliver(&store).await?;
    let no_answer = Failure { status: None, reason: "no answer".to_owned(), ..failure(None) };
    store.not_delivered(&claim, &no_answer).await?;
    let dead = store.deliveries(&shop(SHOP), id, Some(DeliveryState::Dead), ALL).await?.remove(0);
    assert_eq!((dead.status, dead.reason.as_deref()), (None, Some("no answer")));
    assert!(dead.finished_at.is_some());
    bench.pass(86_400);
    assert_eq!(store.claim_delivery(LEASE).await?, None);
    assert_eq!(store.backlog().await?.deliveries, 0);
    Ok(())
}

async fn who_says_that_it_is_gone_is_told_no_more(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop(SHOP);
    let id = enter(&store, "a", "").await?;
    happen(&store, 2).await?;
    let claim = deliver(&store).await?;
    let gone = Failure { status: Some(410), gone: true, ..failure(Some(1)) };
    store.not_delivered(&claim, &gone).await?;
    let state = seen(&store, id).await?.state;
    assert!(!state.enabled && state.reason.is_some_and(|reason| reason.contains("410")));
    let dead = store.deliveries(&owner, id, Some(DeliveryState::Dead), ALL).await?;
    assert_eq!(dead.iter().map(|one| one.message.id).collect::<Vec<_>>(), [claim.message.id]);
    happen(&store, 1).await?;
    assert_eq!(store.deliveries(&owner, id, None, ALL).await?.len(), 2, "it is told of nothing new");
    bench.pass(86_400);
    assert_eq!(store.claim_delivery(LEASE).await?, None);

    assert!(!store.enable_receiver(&shop("cold-store"), id, &by()).await?);
    assert!(store.enable_receiver(&owner, id, &by()).await?);
    let state = seen(&store, id).await?.state;
    assert_eq!((state.enabled, state.reason, state.failing_since), (true, None, None));
    assert_ne!(deliver(&store).await?.message.id, claim.message.id, "what waited goes on");
    Ok(())
}

async fn who_fails_for_too_long_is_told_no_more(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let id = enter(&store, "a", "").await?;
    happen(&store, 1).await?;
    let hour = Failure { disable_after: Duration::from_secs(3600), ..failure(Some(1800)) };
    for _ in 0..3 {
        let claim = deliver(&store).await?;
        store.not_delivered(&claim, &hour).await?;
        assert!(seen(&store, id).await?.state.enabled);
        bench.pass(1800);
    }
    let claim = deliver(&store).await?;
    store.not_delivered(&claim, &hour).await?;
    assert!(!seen(&store, id).await?.state.enabled);
    assert_eq!(store.deliveries(&shop(SHOP), id, Some(DeliveryState::Queued), ALL).await?.len(), 1);
    Ok(())
}

async fn while_it_fails_many_workers_get_one_message(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    enter(&store, "a", "").await?;
    happen(&store, 8).await?;
    let mut pools = Vec::new();
    for _ in 0..6 {
        pools.push(bench.open().await?);
    }
    store.not_delivered(&deliver(&store).await?, &failure(Some(0))).await?;
    for round in 0..5 {
        let claim = deliver(&store).await?;
        store.not_delivered(&claim, &failure(Some(0))).await?;
        bench.pass(300);
        let claiming = pools.iter().cloned().map(|worker| async move { worker.claim_delivery(LEASE).await });
        let workers: Vec<_> = claiming.map(tokio::spawn).collect();
        let mut got = 0;
        for worker in workers {
            got += usize::from(worker.await??.is_some());
        }
        assert_eq!(got, 1, "in round {round}");
        // It does not come back.
        bench.pass(30);
    }
    Ok(())
}

async fn a_try_that_was_not_the_receivers_fault_does_not_count(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let id = enter(&store, "a", "").await?;
    happen(&store, 1).await?;
    let first = deliver(&store).await?;
    store.put_delivery_back(&first, Duration::from_secs(2)).await?;
    let late = store.put_delivery_back(&first, Duration::ZERO).await;
    assert!(matches!(late, Err(Error::Fenced { .. })), "{late:?}");
    assert_eq!(store.claim_delivery(LEASE).await?, None);
    assert_eq!(seen(&store, id).await?.state.failing_since, None);
    bench.pass(2);
    let second = deliver(&store).await?;
    assert_eq!((second.message.id, second.attempt), (first.message.id, 1));
    assert!(matches!(store.delivered(&first, 200).await, Err(Error::Fenced { .. })));
    store.delivered(&second, 200).await?;
    Ok(())
}
