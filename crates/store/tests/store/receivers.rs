use std::time::Duration;

use headproof_store::{
    By, DeliveryClaim, DeliveryState, Failure, NewReceiver, Origin, ReceiverRecord, Store, TaskState,
};
use headproof_trail::{Entry, Event};
use uuid::Uuid;

use crate::bench::{
    ALL, Anything, Bench, LEASE, Outcome, before, by, claim_of, job, new, once, origin, shop, submit,
};

on_all_kinds! {
    a_receiver_is_entered_once_and_removed_with_what_it_was_to_be_told
    only_whom_it_concerns_is_told
    the_end_of_every_task_is_told
    one_receiver_is_told_what_nobody_asked_for
    a_new_secret_keeps_the_old_one_for_a_while
    an_owner_is_told_of_once_to_each_that_wants_it
}

pub(crate) const SHOP: &str = "pump-works";

pub(crate) fn receiver(name: &str, events: &str) -> NewReceiver {
    NewReceiver {
        url: format!("https://{name}.example/events"),
        description: name.to_owned(),
        events: events.to_owned(),
        secret: vec![0, 159],
    }
}

pub(crate) async fn enter(store: &Store, name: &str, events: &str) -> Result<Uuid, Anything> {
    let id = Uuid::now_v7();
    store.enter_receiver(&shop(SHOP), id, receiver(name, events), &by(), None).await?;
    Ok(id)
}

pub(crate) async fn seen(store: &Store, id: Uuid) -> Result<ReceiverRecord, Anything> {
    Ok(store.receiver(&shop(SHOP), id).await?.ok_or("no receiver")?)
}

pub(crate) async fn deliver(store: &Store) -> Result<DeliveryClaim, Anything> {
    Ok(store.claim_delivery(LEASE).await?.ok_or("nothing to deliver")?)
}

/// Ends so many jobs, so that receivers are told.
pub(crate) async fn happen(store: &Store, times: usize) -> Outcome {
    for _ in 0..times {
        let job = submit(store, SHOP, "H-1").await?;
        store.cancel_job(&shop(SHOP), job.id, &by()).await?;
    }
    Ok(())
}

pub(crate) fn failure(again: Option<u64>) -> Failure {
    Failure {
        status: Some(503),
        reason: "answered 503".to_owned(),
        again: again.map(Duration::from_secs),
        gone: false,
        disable_after: Duration::from_secs(86_400),
    }
}

async fn a_receiver_is_entered_once_and_removed_with_what_it_was_to_be_told(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop(SHOP);
    let once = once("receiver", "k", "f");
    let id = Uuid::now_v7();
    let by_desk = by();
    let enter = |id| store.enter_receiver(&owner, id, receiver("a", "job.done"), &by_desk, Some(&once));
    let entered = new(store.enter_receiver(&owner, id, receiver("a", ""), &by_desk, Some(&once)).await?);
    assert_eq!((entered.id, &entered.content), (id, &receiver("a", "")));
    assert!(entered.state.enabled && entered.old_secret.is_none());
    assert_eq!(before(enter(Uuid::now_v7()).await?), entered);
    bench.pass(1);
    let second = self::enter(&store, "b", "").await?;
    let listed = store.receivers(&owner).await?;
    assert_eq!(listed.iter().map(|one| one.id).collect::<Vec<_>>(), [id, second]);
    assert_eq!(store.receivers(&shop("cold-store")).await?, []);
    assert_eq!(store.receiver(&shop("cold-store"), id).await?, None);

    happen(&store, 2).await?;
    assert_eq!(store.backlog().await?.deliveries, 4);
    assert!(!store.remove_receiver(&shop("cold-store"), id, &by_desk).await?);
    assert!(store.remove_receiver(&owner, id, &by_desk).await?);
    assert!(!store.remove_receiver(&owner, id, &by_desk).await?);
    assert_eq!(store.backlog().await?.deliveries, 2);
    let lines = store.trail(&owner, 0).await?;
    let last: Entry = serde_json::from_slice(lines.last().ok_or("no trail")?)?;
    assert_eq!((last.what, last.note.as_deref()), (Event::ReceiverChanged, Some("removed")));
    // The key that entered it says nothing of one that is gone.
    new(enter(Uuid::now_v7()).await?);
    Ok(())
}

async fn only_whom_it_concerns_is_told(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop(SHOP);
    let all = enter(&store, "all", "").await?;
    let some = enter(&store, "some", "job.failed job.cancelled").await?;
    let none = enter(&store, "none", "batch.done job.done").await?;
    let part = enter(&store, "part", "job.cancelled.twice job").await?;
    let strangers = Uuid::now_v7();
    store.enter_receiver(&shop("cold-store"), strangers, receiver("all", ""), &by(), None).await?;
    let submitted = submit(&store, SHOP, "H-1").await?;
    let cancelling = By { request: Some("request 9".to_owned()), ..by() };
    store.cancel_job(&owner, submitted.id, &cancelling).await?;
    for (receiver, told) in [(all, 1), (some, 1), (none, 0), (part, 0)] {
        let deliveries = store.deliveries(&owner, receiver, None, ALL).await?;
        assert_eq!(deliveries.len(), told);
        for one in deliveries {
            assert_eq!((one.message.event.as_str(), one.message.owner), ("job.cancelled", submitted.id));
            assert_eq!((one.state, one.attempt, one.status), (DeliveryState::Queued, 0, None));
            assert_eq!((one.message.shop, one.message.origin), (owner.clone(), origin("request 9")));
        }
    }
    assert_eq!(store.deliveries(&shop("cold-store"), strangers, None, ALL).await?, []);
    assert_eq!(store.deliveries(&shop("cold-store"), all, None, ALL).await?, [], "of another shop");
    Ok(())
}

async fn the_end_of_every_task_is_told(bench: Bench) -> Outcome {
    let store = bench.open_with_attempts(1).await?;
    let id = enter(&store, "all", "").await?;
    let mut traced = job(SHOP, "H-1");
    let trace_parent = Some("00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01".to_owned());
    traced.origin = Origin { request_id: "request 7".to_owned(), trace_parent };
    let expected = traced.origin.clone();
    let done = store.submit_job(traced).await?.into_inner().id;
    let claim = claim_of(&store, done).await?;
    assert_eq!(claim.origin, expected);
    store.finish(&claim, b"sheet".to_vec()).await?;
    store.finish(&claim, b"sheet".to_vec()).await?;
    let failed = submit(&store, SHOP, "H-2").await?.id;
    let claim = claim_of(&store, failed).await?;
    let again = headproof_store::Retry::Uncounted(Duration::ZERO);
    assert_eq!(store.fail(&claim, "no room", again).await?, TaskState::Queued);
    let claim = claim_of(&store, failed).await?;
    store.fail(&claim, "no font", headproof_store::Retry::Never).await?;
    let stopped = submit(&store, SHOP, "H-3").await?.id;
    claim_of(&store, stopped).await?;
    bench.pass(30);
    assert_eq!(store.claim(LEASE).await?, None);
    let told = store.deliveries(&shop(SHOP), id, None, ALL).await?;
    assert_eq!(told[0].message.origin, expected);
    let told: Vec<_> = told.iter().map(|one| (one.message.event.as_str(), one.message.owner)).collect();
    assert_eq!(told, [("job.done", done), ("job.failed", failed), ("job.failed", stopped)]);
    Ok(())
}

async fn one_receiver_is_told_what_nobody_asked_for(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop(SHOP);
    let (one, other) = (enter(&store, "one", "job.done").await?, enter(&store, "other", "").await?);
    let sent = store.send_to(&owner, one, "ping", &origin("request 8")).await?.ok_or("not sent")?;
    assert_eq!(store.send_to(&owner, Uuid::now_v7(), "ping", &origin("r")).await?, None);
    assert_eq!(store.send_to(&shop("cold-store"), one, "ping", &origin("r")).await?, None);
    let claim = deliver(&store).await?;
    assert_eq!((claim.message.id, claim.message.owner, claim.receiver.id), (sent, one, one));
    assert_eq!(claim.receiver.content, receiver("one", "job.done"));
    assert_eq!(store.deliveries(&owner, other, None, ALL).await?, []);
    Ok(())
}

async fn an_owner_is_told_of_once_to_each_that_wants_it(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop(SHOP);
    assert!(!store.wants(&owner, "chart.signal").await?);
    let other = enter(&store, "other", "job.done").await?;
    assert!(!store.wants(&owner, "chart.signal").await?);
    let one = enter(&store, "one", "job.done chart.signal").await?;
    assert!(store.wants(&owner, "chart.signal").await?);
    assert!(!store.wants(&shop("cold-store"), "chart.signal").await?);
    let (job, next) = (Uuid::now_v7(), Uuid::now_v7());
    let from = origin("request 5");
    assert_eq!(store.tell_once(&shop("cold-store"), "chart.signal", job, &from).await?, 0);
    assert_eq!(store.tell_once(&owner, "chart.signal", job, &from).await?, 1);
    assert_eq!(store.tell_once(&owner, "chart.signal", job, &from).await?, 0, "again");
    store.delivered(&deliver(&store).await?, 204).await?;
    assert_eq!(store.tell_once(&owner, "chart.signal", job, &from).await?, 0, "after it was delivered");
    assert_eq!(store.tell_once(&owner, "job.done", job, &from).await?, 2, "of something else");
    let all = enter(&store, "all", "").await?;
    assert_eq!(store.tell_once(&owner, "chart.signal", job, &from).await?, 1, "whoever came later");
    assert_eq!(store.tell_once(&owner, "chart.signal", next, &from).await?, 2);
    for (receiver, told) in [(other, 1), (one, 3), (all, 2)] {
        let deliveries = store.deliveries(&owner, receiver, None, ALL).await?;
        assert_eq!(deliveries.len(), told);
        assert!(deliveries.iter().all(|one| one.message.origin == from));
    }
    Ok(())
}

async fn a_new_secret_keeps_the_old_one_for_a_while(bench: Bench) -> Outcome {
    const DAY: Duration = Duration::from_secs(86_400);
    let store = bench.open().await?;
    let owner = shop(SHOP);
    let id = enter(&store, "a", "").await?;
    let until = seen(&store, id).await?.created_at + DAY;
    assert!(!store.renew_receiver_secret(&shop("cold-store"), id, b"stolen", DAY, &by()).await?);
    assert!(store.renew_receiver_secret(&owner, id, b"second", DAY, &by()).await?);
    let renewed = seen(&store, id).await?;
    assert_eq!(renewed.content.secret, b"second");
    assert_eq!(renewed.old_secret, Some((vec![0, 159], until)));
    assert!(store.renew_receiver_secret(&owner, id, b"third", DAY, &by()).await?);
    let renewed = seen(&store, id).await?;
    assert_eq!(renewed.content.secret, b"third");
    assert_eq!(renewed.old_secret, Some((b"second".to_vec(), until)));
    Ok(())
}
