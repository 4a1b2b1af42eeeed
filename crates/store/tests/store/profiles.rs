use headproof_store::{Error, NewProfile, PutProfile};

use crate::bench::{Bench, Outcome, by, shop};

on_all_kinds! {
    a_stored_profile_never_changes
    of_many_storing_the_same_revision_at_once_one_is_first
}

fn profile(id: &str, revision: &str, document: &str) -> NewProfile {
    NewProfile {
        id: id.to_owned(),
        revision: revision.to_owned(),
        document: document.as_bytes().to_vec(),
        digest: format!("digest of {document}"),
    }
}

async fn a_stored_profile_never_changes(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let (owner, stranger) = (shop("pump-works"), shop("cold-store"));
    assert_eq!(
        store.put_profile(&owner, profile("diesel", "B", "one"), &by(), None).await?,
        PutProfile::Stored
    );
    assert_eq!(
        store.put_profile(&owner, profile("diesel", "B", "one"), &by(), None).await?,
        PutProfile::AlreadyThere
    );
    let refused = store.put_profile(&owner, profile("diesel", "B", "two"), &by(), None).await;
    assert!(
        matches!(&refused, Err(Error::Conflict { stored, offered, .. })
            if stored == "digest of one" && offered == "digest of two"),
        "{refused:?}"
    );
    bench.pass(1);
    assert_eq!(
        store.put_profile(&owner, profile("diesel", "A", "two"), &by(), None).await?,
        PutProfile::Stored
    );
    assert_eq!(
        store.put_profile(&stranger, profile("diesel", "B", "three"), &by(), None).await?,
        PutProfile::Stored
    );

    let stored = store.profile(&owner, "diesel", "B").await?.ok_or("no profile")?;
    assert_eq!(stored.document, b"one");
    assert_eq!(store.profile(&stranger, "diesel", "A").await?, None);
    let listed = store.profiles(&owner).await?;
    let names: Vec<_> = listed.iter().map(|profile| profile.revision.as_str()).collect();
    assert_eq!(names, ["B", "A"], "by age");
    Ok(())
}

async fn of_many_storing_the_same_revision_at_once_one_is_first(bench: Bench) -> Outcome {
    let stores = [bench.open().await?, bench.open().await?];
    for round in 0..20 {
        let storing: Vec<_> = (0..4)
            .map(|number| {
                let store = stores[number % 2].clone();
                let profile = profile("diesel", &round.to_string(), "one");
                tokio::spawn(
                    async move { store.put_profile(&shop("pump-works"), profile, &by(), None).await },
                )
            })
            .collect();
        let mut first = 0;
        for stored in storing {
            first += usize::from(stored.await?? == PutProfile::Stored);
        }
        assert_eq!(first, 1);
    }
    Ok(())
}
