use headproof_store::{
    Artifacts, Error, Location, NewCertificate, NewPerson, NewProfile, NewSignOff, Options, Plan, Signing,
    SigningContext, Store,
};
use uuid::Uuid;

use crate::bench::{Bench, LEASE, Outcome, by, job, origin, shop, submit, who};

on_all_kinds! {
    what_was_accepted_is_there_after_reopening
    two_handles_on_one_store_see_each_others_work
    many_may_create_the_same_store_at_once
    the_database_itself_refuses_to_change_what_was_accepted
}

on_kinds! {
    [embedded server]
    ready_fails_when_the_artifacts_directory_is_gone
}

on_kinds! {
    [embedded]
    a_file_that_is_no_database_is_reported_as_damage
}

on_kinds! {
    [line]
    ready_fails_when_the_bucket_is_gone
}

async fn what_was_accepted_is_there_after_reopening(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let accepted = store.submit_job(job("cold-store", "H-1")).await?.into_inner();
    drop(store);
    let store = bench.open().await?;
    assert_eq!(store.job(&shop("cold-store"), accepted.id).await?, Some(accepted));
    store.close().await;
    Ok(())
}

async fn two_handles_on_one_store_see_each_others_work(bench: Bench) -> Outcome {
    let (api, worker) = (bench.open().await?, bench.open().await?);
    let accepted = api.submit_job(job("cold-store", "H-1")).await?.into_inner();
    let claim = crate::bench::claim_of(&worker, accepted.id).await?;
    worker.finish(&claim, b"sheet".to_vec()).await?;
    let seen = api.job(&shop("cold-store"), accepted.id).await?.ok_or("the job is gone")?;
    assert_eq!(api.read_artifact(&seen.sheet.ok_or("no sheet")?).await?, b"sheet");
    Ok(())
}

async fn many_may_create_the_same_store_at_once(bench: Bench) -> Outcome {
    let fresh = Location { directory: bench.directory.path().join("not/yet/there"), ..bench.location() };
    let open = || Store::open_with(fresh.clone(), Options::default());
    let opening: Vec<_> = (0..8).map(|_| tokio::spawn(open())).collect();
    for opened in opening {
        opened.await??.ready().await?;
    }
    Ok(())
}

async fn ready_fails_when_the_artifacts_directory_is_gone(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    store.ready().await?;
    assert_eq!(bench.names().await?, [""; 0]);
    std::fs::remove_dir(bench.artifacts())?;
    assert!(store.ready().await.is_err());
    Ok(())
}

async fn a_file_that_is_no_database_is_reported_as_damage(bench: Bench) -> Outcome {
    std::fs::write(bench.directory.path().join("headproof.sqlite3"), "this is no database".repeat(99))?;
    let refused = bench.open().await;
    assert!(matches!(refused, Err(Error::Corrupt(_))), "{refused:?}");
    Ok(())
}

async fn ready_fails_when_the_bucket_is_gone(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    store.ready().await?;
    let mut elsewhere = bench.location();
    let Artifacts::Bucket(bucket) = &mut elsewhere.artifacts else { panic!("no bucket") };
    // The discard port of a machine that has no such service.
    bucket.endpoint = Some("http://127.0.0.1:9".to_owned());
    let store = Store::open_with(elsewhere, Options::default()).await?;
    let away = store.ready().await;
    assert!(matches!(away, Err(Error::Away(_))), "{away:?}");
    submit(&store, "cold-store", "H-1").await?;
    let claim = store.claim(LEASE).await?.ok_or("nothing to claim")?;
    let away = store.finish(&claim, b"sheet".to_vec()).await;
    assert!(matches!(away, Err(Error::Away(_))), "{away:?}");
    Ok(())
}

/// Statements that go round the store, as a hand at the database would.
async fn the_database_itself_refuses_to_change_what_was_accepted(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let owner = shop("cold-store");
    let mut planned = job("cold-store", "H-1");
    planned.content.plan = Some(Plan { document: vec![1], digest: "digest of the plan".to_owned() });
    let job = store.submit_job(planned).await?.into_inner().id;
    let new = NewProfile {
        id: "p".to_owned(),
        revision: "1".to_owned(),
        document: vec![1],
        digest: "digest of the profile".to_owned(),
    };
    store.put_profile(&owner, new, &by(), None).await?;
    let person = Uuid::now_v7();
    let name = NewPerson { name: "N. N.".to_owned(), role: "inspector".to_owned(), subject: None };
    let certificate =
        NewCertificate { fingerprint: "f".to_owned(), chain: vec![vec![1]], locked_key: vec![2] };
    store.enter_person(&owner, person, name, certificate, &by(), None).await?;
    let signing = Signing {
        shop: owner,
        job,
        person,
        meaning: "inspected".to_owned(),
        who: who(),
        origin: origin("request 3"),
        once: None,
    };
    let write = |_: &SigningContext| {
        Ok::<_, Error>(NewSignOff { document: vec![1], digest: "d".to_owned(), code: "c".to_owned() })
    };
    store.sign(signing, write).await?;
    for (table, change) in [
        ("job", "paper = 'letter'"),
        ("evaluation", "disposition = 'accept'"),
        ("plan", "digest = 'another'"),
        ("profile", "digest = 'another'"),
        ("sign_off", "meaning = 'released'"),
        ("certificate", "fingerprint = 'another'"),
        ("audit", "digest = 'another'"),
    ] {
        let refused = bench.execute(&format!("UPDATE {table} SET {change}")).await;
        assert!(refused.is_err_and(|error| error.to_string().contains("is immutable")), "{table}");
        if table != "profile" {
            let refused = bench.execute(&format!("DELETE FROM {table}")).await;
            assert!(refused.is_err_and(|error| error.to_string().contains("is kept")), "{table}");
        }
    }
    Ok(())
}
