use std::time::Duration;

use headproof_store::{NewJob, ObservationsOf, ObservationsRecord, Page, Place, Store};
use time::OffsetDateTime;
use uuid::Uuid;

use crate::bench::{ALL, Anything, Bench, Outcome, batch, job, shop, submit, submit_batch};

on_all_kinds! {
    they_come_in_the_order_of_measurement_page_by_page
    batch_stage_profile_and_time_say_which
    a_later_revision_supersedes_and_other_stages_do_not
    they_belong_to_their_shop_and_go_with_their_job
    a_job_of_an_earlier_edition_has_none
    the_last_up_to_a_place_are_of_one_stage_and_profile
}

const SHOP: &str = "pump-works";

/// The moment so many seconds after the first.
fn at(second: i64) -> OffsetDateTime {
    OffsetDateTime::UNIX_EPOCH + time::Duration::seconds(second)
}

fn measured(head: &str, second: i64) -> NewJob {
    let mut job = job(SHOP, head);
    job.content.observations.measured_at = at(second);
    job.content.observations.document = head.as_bytes().to_vec();
    job
}

async fn keep(store: &Store, job: NewJob) -> Result<Uuid, Anything> {
    Ok(store.submit_job(job).await?.into_inner().id)
}

async fn all(store: &Store, of: ObservationsOf<'_>) -> Result<Vec<ObservationsRecord>, Anything> {
    Ok(store.observations(&shop(SHOP), of, ALL).await?)
}

fn heads(records: &[ObservationsRecord]) -> Vec<&str> {
    records.iter().map(|record| record.head_reference.as_str()).collect()
}

async fn they_come_in_the_order_of_measurement_page_by_page(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    for (head, second) in [("C", 30), ("A", 10), ("D", 40), ("B", 20), ("E", 40)] {
        keep(&store, measured(head, second)).await?;
    }
    let mut found = Vec::new();
    let mut after = None;
    loop {
        let page = Page { after, most: 2 };
        let records = store.observations(&shop(SHOP), ObservationsOf::default(), page).await?;
        let Some(last) = records.last() else { break };
        after = Some(Place { at: last.measured_at, id: last.job });
        found.extend(records);
    }
    // Ids rise with time, so that of equal ones the first posted is first.
    assert_eq!(heads(&found), ["A", "B", "C", "D", "E"]);
    assert_eq!(found[2].document, b"C");
    assert_eq!((found[2].revision, found[2].measured_at), (1, at(30)));
    Ok(())
}

async fn batch_stage_profile_and_time_say_which(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let accepted = submit_batch(&store, batch(SHOP, &["X", "Y"])).await?;
    let mut other = measured("Z", 50);
    other.content.stage = "final".to_owned();
    other.content.observations.profile = "other".to_owned();
    keep(&store, other).await?;
    let of = ObservationsOf::default();
    let of_batch = all(&store, ObservationsOf { batch: Some(accepted.id), ..of }).await?;
    assert_eq!(heads(&of_batch), ["X", "Y"]);
    for only in [
        ObservationsOf { stage: Some("final"), ..of },
        ObservationsOf { profile: Some("other"), ..of },
        ObservationsOf { from: Some(at(50)), ..of },
        ObservationsOf { from: Some(at(1)), to: Some(at(51)), ..of },
    ] {
        assert_eq!(heads(&all(&store, only).await?), ["Z"], "{only:?}");
    }
    let before = ObservationsOf { to: Some(at(50)), ..of };
    assert_eq!(heads(&all(&store, before).await?), ["X", "Y"], "the end is not in it");
    Ok(())
}

async fn a_later_revision_supersedes_and_other_stages_do_not(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    keep(&store, measured("A", 1)).await?;
    keep(&store, measured("A", 2)).await?;
    let mut last = measured("A", 3);
    last.content.stage = "final".to_owned();
    keep(&store, last).await?;
    let records = all(&store, ObservationsOf::default()).await?;
    let seen: Vec<_> = records.iter().map(|record| (record.revision, record.is_superseded)).collect();
    assert_eq!(seen, [(1, true), (2, false), (1, false)]);
    assert!(records.iter().all(|record| (record.signed, record.with_concession) == (0, 0)));
    Ok(())
}

async fn they_belong_to_their_shop_and_go_with_their_job(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    keep(&store, measured("A", 1)).await?;
    submit(&store, "others", "B").await?;
    assert_eq!(heads(&all(&store, ObservationsOf::default()).await?), ["A"]);
    // Whatever waits is made, or it would not be old.
    while let Some(claim) = store.claim(Duration::from_secs(30)).await? {
        store.finish(&claim, b"made".to_vec()).await?;
    }
    bench.pass(86_400);
    assert_eq!(store.dispose(&shop(SHOP), Duration::from_secs(60), &crate::bench::by()).await?, 1);
    assert_eq!(all(&store, ObservationsOf::default()).await?, []);
    Ok(())
}

async fn a_job_of_an_earlier_edition_has_none(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    keep(&store, measured("A", 1)).await?;
    keep(&store, measured("B", 2)).await?;
    assert_eq!(store.jobs_without_observations(&shop(SHOP), ObservationsOf::default()).await?, 0);
    bench.execute("DELETE FROM observation WHERE measured_at = 1000").await?;
    assert_eq!(store.jobs_without_observations(&shop(SHOP), ObservationsOf::default()).await?, 1);
    assert_eq!(heads(&all(&store, ObservationsOf::default()).await?), ["B"]);
    Ok(())
}

async fn the_last_up_to_a_place_are_of_one_stage_and_profile(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop(SHOP);
    let mut other_profile = measured("P", 21);
    other_profile.content.observations.profile = "other".to_owned();
    let mut other_stage = measured("S", 22);
    other_stage.content.stage = "final".to_owned();
    for job in [measured("C", 30), measured("D", 40), measured("A", 10), other_profile, other_stage] {
        keep(&store, job).await?;
    }
    let first = keep(&store, measured("B", 20)).await?;
    let newest = keep(&store, measured("E", 40)).await?;
    keep(&store, measured("F", 40)).await?;
    let (stage, profile) = {
        let NewJob { content, .. } = measured("A", 10);
        (content.stage, content.observations.profile)
    };
    let last = Place { at: at(40), id: newest };
    let up_to = async |most| store.observations_up_to(&owner, &stage, &profile, last, most).await;
    assert_eq!(heads(&up_to(10).await?), ["A", "B", "C", "D", "E"]);
    assert_eq!(heads(&up_to(3).await?), ["C", "D", "E"], "the last of them");
    let of_job = store.observations_of_job(&owner, first).await?.ok_or("none")?;
    assert_eq!((of_job.job, of_job.measured_at, of_job.is_superseded), (first, at(20), false));
    assert_eq!(of_job, up_to(10).await?[1]);
    keep(&store, measured("B", 60)).await?;
    assert_eq!(heads(&up_to(10).await?), ["A", "C", "D", "E"], "a correction was measured later");
    assert!(store.observations_of_job(&owner, first).await?.is_some_and(|one| one.is_superseded));
    let stranger = shop("others");
    assert_eq!(store.observations_of_job(&stranger, first).await?, None);
    assert_eq!(store.observations_up_to(&stranger, &stage, &profile, last, 10).await?, []);
    Ok(())
}
