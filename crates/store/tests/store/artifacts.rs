use std::time::Duration;

use headproof_store::{ArtifactKind, Error};
use uuid::Uuid;

use crate::bench::{Bench, LEASE, Outcome, claim_of, job, shop};

on_all_kinds! {
    a_finished_sheet_is_described_and_read_back
    finishing_twice_under_one_claim_changes_nothing
    a_changed_or_lost_file_is_reported_as_damage
    a_sweep_removes_only_old_files_that_no_artifact_names
    a_sweep_and_those_who_finish_do_not_meet
}

on_kinds! {
    [embedded server]
    a_young_file_is_not_swept
}

async fn a_finished_sheet_is_described_and_read_back(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let id = store.submit_job(job("pump-works", "H-1")).await?.into_inner().id;
    let claim = claim_of(&store, id).await?;
    let made = store.finish(&claim, b"abc".to_vec()).await?;
    assert_eq!((made.owner, made.kind, made.size), (id, ArtifactKind::Sheet, 3));
    // The example "abc" of FIPS 180-4, published with its digest by NIST.
    assert_eq!(made.sha256, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    assert_eq!(store.artifact(&shop("pump-works"), id, ArtifactKind::Sheet).await?, Some(made.clone()));
    assert_eq!(store.artifact(&shop("pump-works"), id, ArtifactKind::BatchReport).await?, None);
    assert_eq!(store.read_artifact(&made).await?, b"abc");
    if let Some(file) = store.artifact_path(&made) {
        assert_eq!(std::fs::read(file)?, b"abc");
    }
    Ok(())
}

async fn finishing_twice_under_one_claim_changes_nothing(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let id = store.submit_job(job("pump-works", "H-1")).await?.into_inner().id;
    let claim = claim_of(&store, id).await?;
    let made = store.finish(&claim, b"sheet".to_vec()).await?;
    assert_eq!(store.finish(&claim, b"again".to_vec()).await?, made);
    assert_eq!(bench.names().await?, [made.path.as_str()]);
    assert_eq!(store.read_artifact(&made).await?, b"sheet");
    Ok(())
}

async fn a_changed_or_lost_file_is_reported_as_damage(bench: Bench) -> Outcome {
    let store = bench.open().await?;
    let id = store.submit_job(job("pump-works", "H-1")).await?.into_inner().id;
    let claim = claim_of(&store, id).await?;
    let made = store.finish(&claim, b"sheet".to_vec()).await?;
    bench.write(&made.path, b"shoot").await?;
    assert!(matches!(store.read_artifact(&made).await, Err(Error::Corrupt(_))));
    bench.remove(&made.path).await?;
    assert!(matches!(store.read_artifact(&made).await, Err(Error::Corrupt(_))));
    Ok(())
}

async fn a_sweep_removes_only_old_files_that_no_artifact_names(bench: Bench) -> Outcome {
    const HOUR: Duration = Duration::from_secs(3600);
    let store = bench.open().await?;
    let id = store.submit_job(job("pump-works", "H-1")).await?.into_inner().id;
    let claim = claim_of(&store, id).await?;
    let made = store.finish(&claim, b"sheet".to_vec()).await?;
    for number in 0..45 {
        bench.write(&format!(".{number}.part"), b"half a she").await?;
    }
    assert_eq!(store.sweep(HOUR).await?, 0, "all files are young");
    bench.pass(3700);
    assert_eq!(store.sweep(HOUR).await?, 45);
    assert_eq!(bench.names().await?, [made.path.as_str()]);
    assert_eq!(store.read_artifact(&made).await?, b"sheet");
    Ok(())
}

#[test]
fn a_kind_owns_its_names_and_type() {
    for (kind, name, file) in [
        (ArtifactKind::Sheet, "sheet", "sheet-00000000-0000-0000-0000-000000000000.pdf"),
        (ArtifactKind::BatchReport, "batch-report", "batch-report-00000000-0000-0000-0000-000000000000.pdf"),
    ] {
        assert_eq!(kind.as_str(), name);
        assert_eq!(kind.file_name(Uuid::nil()), file);
        assert_eq!(kind.content_type(), "application/pdf");
    }
}

async fn a_young_file_is_not_swept(bench: Bench) -> Outcome {
    const HOUR: Duration = Duration::from_secs(3600);
    let store = bench.open().await?;
    let young = std::fs::File::create(bench.artifacts().join("young"))?;
    bench.pass(3700);
    young.set_modified(std::time::SystemTime::now() + HOUR)?;
    assert_eq!(store.sweep(HOUR).await?, 0);
    young.set_modified(std::time::SystemTime::now())?;
    assert_eq!(store.sweep(HOUR).await?, 1);
    Ok(())
}

/// What is swept here is young, which it never is in use: so the two meet as often as they can.
async fn a_sweep_and_those_who_finish_do_not_meet(bench: Bench) -> Outcome {
    let (store, sweeper) = (bench.open().await?, bench.open().await?);
    for number in 0..10 {
        store.submit_job(job("pump-works", &format!("H-{number}"))).await?;
    }
    bench.pass(3600);
    let sweeping = tokio::spawn(async move {
        loop {
            match sweeper.sweep(Duration::ZERO).await {
                Ok(_) | Err(Error::Busy(_)) => tokio::time::sleep(Duration::from_millis(1)).await,
                Err(other) => return other,
            }
        }
    });
    let mut kept = Vec::new();
    while let Some(claim) = store.claim(LEASE).await? {
        for _ in 0..100 {
            // It was swept away before it was named: then the call says so.
            if let Ok(made) = store.finish(&claim, claim.owner.as_bytes().to_vec()).await {
                kept.push(made);
                break;
            }
        }
    }
    assert_eq!(kept.len(), 10);
    for made in &kept {
        assert_eq!(store.read_artifact(made).await?, made.owner.as_bytes());
    }
    assert!(!sweeping.is_finished(), "{:?}", sweeping.await);
    sweeping.abort();
    Ok(())
}
