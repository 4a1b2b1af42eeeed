use headproof_store::{
    ArtifactKind, Error, JobRecord, NewCertificate, NewPerson, NewSignOff, SignOffRecord, Signing,
    SigningContext, Store, TaskState,
};
use headproof_trail::{Checkpoint, Entry, Event, verify};
use uuid::Uuid;

use crate::bench::{Bench, Outcome, by, claim_of, job, origin, shop, who};

on_all_kinds! {
    a_sign_off_is_read_back_with_a_task_of_its_own_and_said_once
    a_refusal_of_the_record_stores_nothing
    only_who_is_there_signs_what_is_there
    a_later_stage_takes_the_place_of_an_earlier_one_and_the_chain_shows
    what_is_done_stands_in_the_trail_of_its_shop_and_hangs_together
}

const SHOP: &str = "pump-works";

fn certificate(fingerprint: &str) -> NewCertificate {
    NewCertificate {
        fingerprint: fingerprint.to_owned(),
        chain: vec![b"leaf".to_vec(), vec![0, 159]],
        locked_key: vec![255; 3],
    }
}

/// A person with a certificate.
async fn person(store: &Store, name: &str) -> headproof_store::Result<Uuid> {
    let id = Uuid::now_v7();
    let new = NewPerson { name: name.to_owned(), role: "inspector".to_owned(), subject: None };
    store.enter_person(&shop(SHOP), id, new, certificate(&id.to_string()), &by(), None).await?;
    Ok(id)
}

fn signing(job: &JobRecord, person: Uuid, meaning: &str) -> Signing {
    Signing {
        shop: shop(SHOP),
        job: job.id,
        person,
        meaning: meaning.to_owned(),
        who: who(),
        origin: origin("request 3"),
        once: None,
    }
}

fn write(context: &SigningContext) -> Result<NewSignOff, Error> {
    let document = format!("sign-off {}", context.id).into_bytes();
    Ok(NewSignOff { digest: context.id.to_string(), code: context.id.to_string(), document })
}

async fn sign(store: &Store, job: &JobRecord, person: Uuid, meaning: &str) -> Result<SignOffRecord, Error> {
    Ok(store.sign(signing(job, person, meaning), write).await?.into_inner())
}

fn staged(head: &str, stage: &str) -> headproof_store::NewJob {
    let mut job = job(SHOP, head);
    job.content.stage = stage.to_owned();
    job
}

async fn a_sign_off_is_read_back_with_a_task_of_its_own_and_said_once(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let head = store.submit_job(job(SHOP, "H-1")).await?.into_inner();
    let inspector = person(&store, "N. N.").await?;
    let signed = sign(&store, &head, inspector, "inspected").await?;
    assert_eq!((signed.job, signed.person.id, signed.meaning.as_str()), (head.id, inspector, "inspected"));
    assert_eq!((signed.task.state, signed.revision), (TaskState::Queued, 1));
    assert_eq!(store.sign_off(&shop(SHOP), signed.id).await?.as_ref(), Some(&signed));
    assert_eq!(store.sign_off_of_code(&shop(SHOP), &signed.content.code).await?.as_ref(), Some(&signed));
    assert_eq!(store.sign_off(&shop("another"), signed.id).await?, None);

    assert!(matches!(sign(&store, &head, inspector, "inspected").await, Err(Error::AlreadySigned)));
    let other = person(&store, "M. M.").await?;
    let second = sign(&store, &head, other, "inspected").await?;
    assert_eq!(store.sign_offs(&shop(SHOP), head.id).await?, [signed.clone(), second]);

    // Somebody waits for it at the counter: it goes before the sheet.
    let claim = claim_of(&store, signed.id).await?;
    assert_eq!(claim.kind, ArtifactKind::SignedSheet);
    let made = store.finish(&claim, b"signed".to_vec()).await?;
    assert_eq!(store.artifact_of_digest(&shop(SHOP), &made.sha256).await?, Some(made.clone()));
    assert_eq!(store.artifact_of_digest(&shop("another"), &made.sha256).await?, None);
    let sheet = store.sign_off(&shop(SHOP), signed.id).await?.and_then(|signed| signed.sheet);
    assert_eq!(sheet, Some(made));
    Ok(())
}

async fn a_refusal_of_the_record_stores_nothing(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let head = store.submit_job(job(SHOP, "H-1")).await?.into_inner();
    let inspector = person(&store, "N. N.").await?;
    let before = store.checkpoint(&shop(SHOP)).await?;
    let refused = store.sign(signing(&head, inspector, "released"), |_| Err(Error::NoSigner)).await;
    assert!(matches!(refused, Err(Error::NoSigner)));
    assert_eq!(store.sign_offs(&shop(SHOP), head.id).await?, []);
    assert_eq!(store.checkpoint(&shop(SHOP)).await?, before);
    Ok(())
}

async fn only_who_is_there_signs_what_is_there(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let head = store.submit_job(job(SHOP, "H-1")).await?.into_inner();
    let inspector = person(&store, "N. N.").await?;
    let strangers = store.submit_job(job("another", "H-1")).await?.into_inner();
    assert!(matches!(sign(&store, &strangers, inspector, "inspected").await, Err(Error::NoSuchJob)));
    assert!(matches!(sign(&store, &head, Uuid::now_v7(), "inspected").await, Err(Error::NoSigner)));
    let foreign = Signing { shop: shop("another"), ..signing(&strangers, inspector, "inspected") };
    assert!(matches!(store.sign(foreign, write).await, Err(Error::NoSigner)));
    assert!(store.person_leaves(&shop(SHOP), inspector, &by()).await?);
    assert!(matches!(sign(&store, &head, inspector, "inspected").await, Err(Error::NoSigner)));
    Ok(())
}

async fn a_later_stage_takes_the_place_of_an_earlier_one_and_the_chain_shows(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop(SHOP);
    let inspector = person(&store, "N. N.").await?;
    let received = store.submit_job(staged("H-1", "as-received")).await?.into_inner();
    let first = sign(&store, &received, inspector, "inspected").await?;
    assert_eq!(store.successor(&owner, received.id).await?, None);
    bench.pass(60);
    let corrected = store.submit_job(staged("H-1", "as-received")).await?.into_inner();
    assert_eq!(store.newest_revision(&owner, received.id).await?, Some(2));
    let second = sign(&store, &corrected, inspector, "inspected").await?;
    bench.pass(60);
    let done = store.submit_job(staged("H-1", "final")).await?.into_inner();
    store.submit_job(staged("H-2", "final")).await?.into_inner();
    let mut in_force = Vec::new();
    let third = store
        .sign(signing(&done, inspector, "released"), |context| {
            in_force = context.in_force.iter().map(|one| one.id).collect();
            write(context)
        })
        .await?
        .into_inner();
    assert_eq!(in_force, [second.id], "the first was superseded by the second");
    for (earlier, later) in [(&first, &second), (&second, &third)] {
        let successor = store.successor(&owner, earlier.job).await?.ok_or("none")?;
        assert_eq!(successor.id, later.id);
    }
    assert_eq!(store.successor(&owner, done.id).await?, None);
    Ok(())
}

async fn what_is_done_stands_in_the_trail_of_its_shop_and_hangs_together(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let head = store.submit_job(job(SHOP, "H-1")).await?.into_inner();
    let inspector = person(&store, "N. N.").await?;
    let mut seen = None;
    let signed = store
        .sign(signing(&head, inspector, "inspected"), |context| {
            seen = Some(context.checkpoint.clone());
            write(context)
        })
        .await?
        .into_inner();
    let claim = claim_of(&store, signed.id).await?;
    store.finish(&claim, b"sheet".to_vec()).await?;
    store.submit_job(job("another", "H-1")).await?.into_inner();

    let lines = store.trail(&shop(SHOP), 0).await?;
    let entries = lines.iter().map(|line| serde_json::from_slice(line)).collect::<Result<Vec<Entry>, _>>()?;
    let events: Vec<Event> = entries.iter().map(|entry| entry.what).collect();
    let expected = [
        Event::Submitted,
        Event::Evaluated,
        Event::PersonEntered,
        Event::CertificateKept,
        Event::Signed,
        Event::Rendered,
    ];
    assert_eq!(events, expected);
    assert_eq!(entries[4].digest.as_deref(), Some(signed.content.digest.as_str()));
    let seen: Checkpoint = seen.ok_or("no checkpoint")?;
    assert_eq!(seen.size, 4);
    assert_eq!(verify(&lines, &[seen])?, store.checkpoint(&shop(SHOP)).await?);
    assert_eq!(store.trail(&shop(SHOP), 5).await?, lines[5..]);
    assert_eq!(store.checkpoint(&shop("another")).await?.size, 2);
    Ok(())
}
