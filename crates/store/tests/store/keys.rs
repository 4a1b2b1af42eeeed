use headproof_store::{Error, NewCertificate, NewKey, NewPerson};
use uuid::Uuid;

use crate::bench::{Bench, Outcome, by, shop};

on_all_kinds! {
    the_first_key_is_made_once_and_others_as_often_as_one_likes
    who_leaves_takes_their_keys_and_the_right_to_their_subject_along
    the_newest_certificate_is_in_use_and_the_others_are_known
}

fn key(person: Option<Uuid>) -> NewKey {
    NewKey {
        id: Uuid::now_v7(),
        label: "front desk".to_owned(),
        scopes: "submit read".to_owned(),
        person,
        secret_sha256: vec![7; 32],
        expires_at: None,
    }
}

fn certificate(fingerprint: &str) -> NewCertificate {
    NewCertificate { fingerprint: fingerprint.to_owned(), chain: vec![vec![1]], locked_key: vec![2] }
}

fn named(name: &str, subject: Option<&str>) -> NewPerson {
    NewPerson { name: name.to_owned(), role: "inspector".to_owned(), subject: subject.map(str::to_owned) }
}

async fn the_first_key_is_made_once_and_others_as_often_as_one_likes(bench: Bench) -> Outcome {
    let (store, other) = (bench.open().await?, bench.open().await?);
    let (mine, theirs) = (shop("pump-works"), shop("cold-store"));
    assert!(!store.has_key(&mine, "read").await?);
    let first = key(None);
    let by = by();
    let both = tokio::join!(
        store.keep_first_key(&mine, "read", first.clone(), &by),
        other.keep_first_key(&mine, "read", key(None), &by),
    );
    assert_eq!(usize::from(both.0?) + usize::from(both.1?), 1);
    let second = store.keep_key(&theirs, key(None), &by, None).await?.into_inner();
    assert_eq!(store.key(second.content.id).await?.as_ref(), Some(&second));
    assert_eq!(store.keys(&theirs).await?, std::slice::from_ref(&second));

    assert!(!store.revoke_key(&mine, second.content.id, &by).await?, "it is not theirs to revoke");
    assert!(store.revoke_key(&theirs, second.content.id, &by).await?);
    assert!(store.revoke_key(&theirs, second.content.id, &by).await?, "once more is no fault");
    let revoked = store.key(second.content.id).await?.ok_or("gone")?;
    assert!(revoked.revoked_at.is_some());
    Ok(())
}

async fn who_leaves_takes_their_keys_and_the_right_to_their_subject_along(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop("pump-works");
    let id = Uuid::now_v7();
    store.enter_person(&owner, id, named("N. N.", Some("sub-1")), certificate("a"), &by(), None).await?;
    let taken = store
        .enter_person(&owner, Uuid::now_v7(), named("M. M.", Some("sub-1")), certificate("b"), &by(), None)
        .await;
    assert!(matches!(taken, Err(Error::SubjectTaken)), "{taken:?}");
    assert_eq!(store.certificate_of(&owner, "b").await?, None, "nothing of it was stored");
    let theirs = store.keep_key(&owner, key(Some(id)), &by(), None).await?.into_inner();
    assert_eq!(store.person_of_subject(&owner, "sub-1").await?.map(|person| person.id), Some(id));

    assert!(store.person_leaves(&owner, id, &by()).await?);
    assert!(store.key(theirs.content.id).await?.ok_or("gone")?.revoked_at.is_some());
    assert_eq!(store.person_of_subject(&owner, "sub-1").await?, None);
    let new = store
        .enter_person(&owner, Uuid::now_v7(), named("N. N.", Some("sub-1")), certificate("c"), &by(), None)
        .await?;
    assert_eq!(store.people(&owner).await?.len(), 2);
    let new = new.into_inner();
    assert_ne!(new.id, id);
    assert!(!store.person_leaves(&shop("another"), new.id, &by()).await?);
    Ok(())
}

async fn the_newest_certificate_is_in_use_and_the_others_are_known(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop("pump-works");
    assert!(store.keep_first_certificate(&owner, certificate("a"), &by()).await?);
    assert!(!store.keep_first_certificate(&owner, certificate("b"), &by()).await?);
    bench.pass(1);
    store.keep_certificate(&owner, None, certificate("c"), &by()).await?;
    let newest = store.certificate(&owner, None).await?.ok_or("none")?;
    assert_eq!(newest.content, certificate("c"));
    let all = store.shop_certificates(&owner).await?;
    let known: Vec<&str> = all.iter().map(|one| one.content.fingerprint.as_str()).collect();
    assert_eq!(known, ["c", "a"]);
    assert_eq!(store.certificate_of(&shop("another"), "a").await?, None);
    Ok(())
}
