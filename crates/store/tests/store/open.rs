use headproof_store::{Error, Store};

use crate::bench::{Bench, Outcome, job, shop};

#[tokio::test]
async fn what_was_accepted_is_there_after_reopening() -> Outcome {
    let bench = Bench::new()?;
    let store = bench.open().await?;
    let accepted = store.submit_job(job("cold-store", "H-1")).await?;
    drop(store);
    let store = bench.open().await?;
    assert_eq!(store.job(&shop("cold-store"), accepted.id).await?, Some(accepted));
    store.close().await;
    Ok(())
}

#[tokio::test]
async fn two_handles_on_one_directory_see_each_others_work() -> Outcome {
    let bench = Bench::new()?;
    let (api, worker) = (bench.open().await?, bench.open().await?);
    let accepted = api.submit_job(job("cold-store", "H-1")).await?;
    let claim = crate::bench::claim_of(&worker, accepted.id).await?;
    worker.finish(&claim, b"sheet".to_vec()).await?;
    let seen = api.job(&shop("cold-store"), accepted.id).await?.ok_or("the job is gone")?;
    assert_eq!(api.read_artifact(&seen.sheet.ok_or("no sheet")?).await?, b"sheet");
    Ok(())
}

#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn many_may_create_the_same_directory_at_once() -> Outcome {
    let bench = Bench::new()?;
    let fresh = bench.directory.path().join("not/yet/there");
    let opening: Vec<_> = (0..8).map(|_| tokio::spawn(Store::open(fresh.clone()))).collect();
    for opened in opening {
        opened.await??.ready().await?;
    }
    Ok(())
}

#[tokio::test]
async fn ready_fails_when_the_artifacts_directory_is_gone() -> Outcome {
    let bench = Bench::new()?;
    let store = bench.open().await?;
    store.ready().await?;
    assert_eq!(bench.files()?, [""; 0]);
    std::fs::remove_dir(bench.directory.path().join("artifacts"))?;
    assert!(store.ready().await.is_err());
    Ok(())
}

#[tokio::test]
async fn a_file_that_is_no_database_is_reported_as_damage() -> Outcome {
    let bench = Bench::new()?;
    std::fs::write(bench.directory.path().join("headproof.sqlite3"), "this is no database".repeat(99))?;
    let refused = bench.open().await;
    assert!(matches!(refused, Err(Error::Corrupt(_))), "{refused:?}");
    Ok(())
}
