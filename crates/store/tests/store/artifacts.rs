use std::time::Duration;

use headproof_store::{ArtifactKind, Error};
use uuid::Uuid;

use crate::bench::{Bench, Outcome, claim_of, job, shop};

#[tokio::test]
async fn a_finished_sheet_is_described_and_read_back() -> Outcome {
    let bench = Bench::new()?;
    let store = bench.open().await?;
    let id = store.submit_job(job("pump-works", "H-1")).await?.id;
    let claim = claim_of(&store, id).await?;
    let made = store.finish(&claim, b"abc".to_vec()).await?;
    assert_eq!((made.owner, made.kind, made.size), (id, ArtifactKind::Sheet, 3));
    // The example "abc" of FIPS 180-4, published with its digest by NIST.
    assert_eq!(made.sha256, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    assert_eq!(store.artifact(&shop("pump-works"), id, ArtifactKind::Sheet).await?, Some(made.clone()));
    assert_eq!(store.artifact(&shop("pump-works"), id, ArtifactKind::BatchReport).await?, None);
    assert_eq!(std::fs::read(store.artifact_path(&made))?, b"abc");
    Ok(())
}

#[tokio::test]
async fn finishing_twice_under_one_claim_changes_nothing() -> Outcome {
    let bench = Bench::new()?;
    let store = bench.open().await?;
    let id = store.submit_job(job("pump-works", "H-1")).await?.id;
    let claim = claim_of(&store, id).await?;
    let made = store.finish(&claim, b"sheet".to_vec()).await?;
    assert_eq!(store.finish(&claim, b"again".to_vec()).await?, made);
    assert_eq!(bench.files()?, [made.path.as_str()]);
    assert_eq!(store.read_artifact(&made).await?, b"sheet");
    Ok(())
}

#[tokio::test]
async fn a_changed_or_lost_file_is_reported_as_damage() -> Outcome {
    let bench = Bench::new()?;
    let store = bench.open().await?;
    let id = store.submit_job(job("pump-works", "H-1")).await?.id;
    let claim = claim_of(&store, id).await?;
    let made = store.finish(&claim, b"sheet".to_vec()).await?;
    std::fs::write(store.artifact_path(&made), b"shoot")?;
    assert!(matches!(store.read_artifact(&made).await, Err(Error::Corrupt(_))));
    std::fs::remove_file(store.artifact_path(&made))?;
    assert!(matches!(store.read_artifact(&made).await, Err(Error::Corrupt(_))));
    Ok(())
}

#[tokio::test]
async fn a_sweep_removes_only_old_files_that_no_artifact_names() -> Outcome {
    const HOUR: Duration = Duration::from_secs(3600);
    let bench = Bench::new()?;
    let store = bench.open().await?;
    let id = store.submit_job(job("pump-works", "H-1")).await?.id;
    let claim = claim_of(&store, id).await?;
    let made = store.finish(&claim, b"sheet".to_vec()).await?;
    let artifacts = bench.directory.path().join("artifacts");
    for number in 0..150 {
        std::fs::write(artifacts.join(format!(".{number}.part")), b"half a she")?;
    }
    assert_eq!(store.sweep(HOUR).await?, 0, "all files are young");
    bench.pass(3700);
    let young = std::fs::File::create(artifacts.join("young"))?;
    young.set_modified(std::time::SystemTime::now() + HOUR)?;
    assert_eq!(store.sweep(HOUR).await?, 150);
    let mut left = bench.files()?;
    left.sort_unstable();
    assert_eq!(left, [made.path.as_str(), "young"]);
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
