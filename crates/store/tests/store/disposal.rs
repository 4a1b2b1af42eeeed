use std::time::Duration;

use headproof_store::{
    ArtifactKind, By, Error, Made, NewCertificate, NewPerson, NewSignOff, Signing, SigningContext, Store,
};
use headproof_trail::{Entry, Event, verify};
use uuid::Uuid;

use crate::bench::{
    ALL, Anything, Bench, LEASE, Outcome, batch, by, claim_of, job, new, once, origin, shop, submit,
    submit_batch, who,
};

on_all_kinds! {
    old_heads_go_with_their_files_and_batches
    what_is_signed_young_or_open_stays
    many_heads_go_one_lot_after_the_other
    a_job_that_is_not_disposed_of_cannot_be_deleted
}

const SHOP: &str = "pump-works";
const YEAR: Duration = Duration::from_secs(365 * 86_400);

fn operator() -> By {
    let mut by = by();
    by.who.kind = "operator".to_owned();
    by
}

async fn make_all(store: &Store) -> Outcome {
    while let Some(claim) = store.claim(LEASE).await? {
        store.finish(&claim, claim.owner.as_bytes().to_vec()).await?;
    }
    Ok(())
}

async fn sign(store: &Store, job: Uuid) -> Result<Uuid, Anything> {
    let (owner, person) = (shop(SHOP), Uuid::now_v7());
    let name = NewPerson { name: "N. N.".to_owned(), role: "inspector".to_owned(), subject: None };
    let certificate =
        NewCertificate { fingerprint: person.to_string(), chain: vec![vec![1]], locked_key: vec![2] };
    store.enter_person(&owner, person, name, certificate, &by(), None).await?;
    let meaning = "inspected".to_owned();
    let signing = Signing { shop: owner, job, person, meaning, who: who(), origin: origin("r"), once: None };
    let write = |context: &SigningContext| {
        let (digest, code) = (context.id.to_string(), context.id.to_string());
        Ok::<_, Error>(NewSignOff { document: vec![1], digest, code })
    };
    Ok(store.sign(signing, write).await?.into_inner().id)
}

async fn old_heads_go_with_their_files_and_batches(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop(SHOP);
    let mut first = job(SHOP, "H-1");
    first.once = Some(once("job", "k", "f"));
    first.content.plan = Some(headproof_store::Plan { document: vec![1], digest: "p".to_owned() });
    let repeated = first.clone();
    let first = store.submit_job(first).await?.into_inner().id;
    let mut next = job(SHOP, "H-1");
    next.content.follows = Some(first);
    next.content.evaluation.digest = "digest of the next".to_owned();
    let next = store.submit_job(next).await?.into_inner().id;
    let mut lines = batch(SHOP, &["H-2", "H-3"]);
    lines.new.once.key = "b".to_owned();
    let again = lines.new.clone();
    let accepted = submit_batch(&store, lines).await?;
    let strangers = submit(&store, "cold-store", "H-1").await?.id;
    make_all(&store).await?;
    assert_eq!(bench.names().await?.len(), 6);
    let before = store.trail(&owner, 0).await?.len();
    assert_eq!(store.dispose(&owner, YEAR, &operator()).await?, 0);
    bench.pass(365 * 86_400 + 1);
    assert_eq!(store.dispose(&owner, YEAR, &operator()).await?, 4);
    assert_eq!(store.dispose(&owner, YEAR, &operator()).await?, 0);

    assert_eq!(store.jobs(&owner, Default::default(), ALL).await?, []);
    assert_eq!(store.batches(&owner, ALL).await?, []);
    assert_eq!(store.batch(&owner, accepted.id).await?, None);
    for (id, digest) in [(first, "digest"), (next, "digest of the next"), (accepted.jobs[1].id, "digest")] {
        assert_eq!(store.job(&owner, id).await?, None);
        assert_eq!(store.job_documents(&owner, id).await?, None);
        assert_eq!(store.artifact(&owner, id, ArtifactKind::Sheet).await?, None);
        assert_eq!(store.task(&owner, id, ArtifactKind::Sheet).await?, None);
        let left = store.disposed(&owner, id).await?.ok_or("nothing is left of it")?;
        assert_eq!((left.job, left.digest.as_str()), (id, digest));
        assert_eq!(store.disposed(&shop("cold-store"), id).await?, None);
    }
    // The file of the other shop is all that there is.
    let kept =
        store.job(&shop("cold-store"), strangers).await?.and_then(|job| job.sheet).ok_or("no sheet")?;
    assert_eq!(bench.names().await?, [kept.path.as_str()]);
    assert_eq!(store.read_artifact(&kept).await?, strangers.as_bytes());
    assert_eq!(store.disposed(&shop("cold-store"), strangers).await?, None);
    assert_eq!(store.shops().await?, [shop("cold-store"), owner.clone()]);

    let lines = store.trail(&owner, 0).await?;
    verify(&lines, &[])?;
    let entries = lines[before..].iter().map(|line| serde_json::from_slice(line));
    let mut said: Vec<(Event, String, String, Option<String>)> = Vec::new();
    for entry in entries.collect::<Result<Vec<Entry>, _>>()? {
        said.push((entry.what, entry.who.kind, entry.to, entry.digest));
    }
    assert_eq!(said.len(), 4);
    let expected = (
        Event::Disposed,
        "operator".to_owned(),
        format!("job {next}"),
        Some("digest of the next".to_owned()),
    );
    assert!(said.contains(&expected), "{said:?}");

    // A key says nothing of what is gone, and the head begins anew.
    let anew = new(store.submit_job(repeated).await?);
    assert_eq!((anew.revision, anew.head_reference.as_str()), (1, "H-1"));
    assert!(matches!(store.begin_batch(&again).await?, Made::New(_)));
    Ok(())
}

async fn what_is_signed_young_or_open_stays(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop(SHOP);
    let signed = submit(&store, SHOP, "signed").await?.id;
    let signed_later = submit(&store, SHOP, "signed").await?.id;
    sign(&store, signed).await?;
    let gone = submit(&store, SHOP, "gone").await?.id;
    let young = submit(&store, SHOP, "young").await?.id;
    // Of a batch of which one head is signed, the other goes.
    let mixed = submit_batch(&store, batch(SHOP, &["signed too", "goes"])).await?;
    sign(&store, mixed.jobs[0].id).await?;
    make_all(&store).await?;
    let open = submit(&store, SHOP, "open").await?.id;
    bench.pass(365 * 86_400 + 1);
    let younger = submit(&store, SHOP, "young").await?.id;
    assert_eq!(store.dispose(&owner, YEAR, &operator()).await?, 2);
    for kept in [signed, signed_later, young, younger, open, mixed.jobs[0].id] {
        assert!(store.job(&owner, kept).await?.is_some(), "{kept}");
        assert!(store.job_documents(&owner, kept).await?.is_some());
        assert_eq!(store.disposed(&owner, kept).await?, None);
    }
    for disposed in [gone, mixed.jobs[1].id] {
        assert_eq!(store.job(&owner, disposed).await?, None);
    }
    let batch = store.batch(&owner, mixed.id).await?.ok_or("the batch is gone")?;
    assert!(batch.report.is_some());
    assert_eq!(batch.progress.accepted(), 1);
    // Once its sheet is made, it goes as well.
    let claim = claim_of(&store, open).await?;
    store.finish(&claim, b"sheet".to_vec()).await?;
    assert_eq!(store.dispose(&owner, YEAR, &operator()).await?, 1);
    Ok(())
}

async fn many_heads_go_one_lot_after_the_other(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    for number in 0..45 {
        submit(&store, SHOP, &format!("H-{number}")).await?;
    }
    for job in store.jobs(&shop(SHOP), Default::default(), ALL).await? {
        store.cancel_job(&shop(SHOP), job.id, &by()).await?;
    }
    bench.pass(1);
    assert_eq!(store.dispose(&shop(SHOP), Duration::ZERO, &operator()).await?, 45);
    assert_eq!(store.jobs(&shop(SHOP), Default::default(), ALL).await?, []);
    Ok(())
}

async fn a_job_that_is_not_disposed_of_cannot_be_deleted(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let old = submit(&store, SHOP, "H-1").await?.id;
    store.cancel_job(&shop(SHOP), old, &by()).await?;
    bench.pass(10);
    submit(&store, SHOP, "H-2").await?;
    assert_eq!(store.dispose(&shop(SHOP), Duration::from_secs(5), &operator()).await?, 1);
    for table in ["job", "evaluation", "disposal"] {
        let refused = bench.execute(&format!("DELETE FROM {table}")).await;
        assert!(refused.is_err_and(|error| error.to_string().contains("is kept")), "{table}");
    }
    for (table, column) in [("job", "paper"), ("disposal", "digest")] {
        let refused = bench.execute(&format!("UPDATE {table} SET {column} = 'a'")).await;
        assert!(refused.is_err_and(|error| error.to_string().contains("is immutable")), "{table}");
    }
    Ok(())
}
