//! What every test needs: a directory, a clock, and jobs to submit.

use std::{
    error::Error,
    sync::{
        Arc,
        atomic::{AtomicI64, Ordering},
    },
    time::Duration,
};

use headproof_store::{
    By, Claim, Clock, JobContent, NewBatch, NewEvaluation, NewJob, Options, ShopId, Store, Who,
};
use time::OffsetDateTime;
use uuid::Uuid;

pub(crate) type Outcome = Result<(), Box<dyn Error>>;

pub(crate) const LEASE: Duration = Duration::from_secs(30);

/// A data directory that goes away with the test.
pub(crate) struct Bench {
    pub(crate) directory: tempfile::TempDir,
    seconds: Arc<AtomicI64>,
}

impl Bench {
    pub(crate) fn new() -> std::io::Result<Self> {
        let start = OffsetDateTime::now_utc().unix_timestamp();
        Ok(Self { directory: tempfile::tempdir()?, seconds: Arc::new(start.into()) })
    }

    pub(crate) async fn open(&self) -> headproof_store::Result<Store> {
        self.open_with_attempts(Options::default().max_attempts).await
    }

    pub(crate) async fn open_with_attempts(&self, max_attempts: u32) -> headproof_store::Result<Store> {
        let seconds = Arc::clone(&self.seconds);
        let clock = Clock::from_fn(move || {
            OffsetDateTime::UNIX_EPOCH + time::Duration::seconds(seconds.load(Ordering::SeqCst))
        });
        Store::open_with(self.directory.path(), Options { clock, max_attempts }).await
    }

    pub(crate) fn pass(&self, seconds: i64) {
        self.seconds.fetch_add(seconds, Ordering::SeqCst);
    }

    /// The files in the artifacts directory.
    pub(crate) fn files(&self) -> std::io::Result<Vec<String>> {
        let entries = std::fs::read_dir(self.directory.path().join("artifacts"))?;
        entries.map(|entry| Ok(entry?.file_name().to_string_lossy().into_owned())).collect()
    }
}

pub(crate) fn shop(name: &str) -> ShopId {
    ShopId::new(name)
}

pub(crate) fn who() -> Who {
    Who { kind: "key".to_owned(), id: "1".to_owned(), name: "front desk".to_owned() }
}

pub(crate) fn by() -> By {
    By { who: who(), request: None }
}

pub(crate) fn content(head: &str) -> JobContent {
    JobContent {
        head_reference: head.to_owned(),
        client_reference: Some(format!("order {head}")),
        stage: "as-received".to_owned(),
        follows: None,
        // No text in any encoding: the store must not care.
        measurement_set: vec![0, 159, 146, 150],
        profile: vec![255; 3],
        evaluation: NewEvaluation {
            document: b"evaluation".to_vec(),
            digest: "digest".to_owned(),
            disposition: "rework".to_owned(),
        },
        plan: None,
        paper: "a4".to_owned(),
        locale: "en".to_owned(),
    }
}

pub(crate) fn job(shop_name: &str, head: &str) -> NewJob {
    NewJob { shop: shop(shop_name), who: who(), request_id: "request 1".to_owned(), content: content(head) }
}

pub(crate) fn batch(shop_name: &str, heads: &[&str]) -> NewBatch {
    let jobs = (1..).zip(heads.iter().map(|head| content(head))).collect();
    NewBatch { shop: shop(shop_name), who: who(), request_id: "request 2".to_owned(), jobs }
}

/// Claims, expecting a certain owner.
pub(crate) async fn claim_of(store: &Store, owner: Uuid) -> Result<Claim, Box<dyn Error>> {
    let claim = store.claim(LEASE).await?.ok_or("nothing to claim")?;
    assert_eq!(claim.owner, owner);
    Ok(claim)
}
