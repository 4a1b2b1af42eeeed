//! What every test needs: a store of some kind that goes away with the test, a clock, and what is submitted.

use std::{
    collections::BTreeMap,
    error::Error,
    path::PathBuf,
    str::FromStr,
    sync::{
        Arc,
        atomic::{AtomicI64, Ordering},
    },
    time::Duration,
};

use headproof_store::{
    Artifacts, BatchRecord, Bucket, By, Claim, Clock, JobContent, JobRecord, Line, LineContent, Location,
    Made, NewBatch, NewEvaluation, NewJob, Observations, Once, Options, Origin, Page, Priority, Records,
    Server, ShopId, Store, Who,
};
use object_store::{ClientOptions, ObjectStore, ObjectStoreExt, aws::AmazonS3, path::Path as Name};
use sqlx::{AssertSqlSafe, ConnectOptions, Connection, Executor, PgConnection, postgres::PgConnectOptions};
use time::OffsetDateTime;
use tokio::task::LocalSet;
use uuid::Uuid;

pub(crate) type Anything = Box<dyn Error + Send + Sync>;
pub(crate) type Outcome = Result<(), Anything>;

pub(crate) const LEASE: Duration = Duration::from_secs(30);

/// The whole list at once.
pub(crate) const ALL: Page = Page { after: None, most: 1000 };

/// Where a store keeps what it is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// SQLite and files.
    Embedded,
    /// PostgreSQL and files.
    Server,
    /// PostgreSQL and a bucket.
    Line,
}

impl Kind {
    pub(crate) fn embedded() -> Self {
        Self::Embedded
    }

    pub(crate) fn server() -> Self {
        Self::Server
    }

    pub(crate) fn line() -> Self {
        Self::Line
    }
}

/// The places of one test.
pub(crate) struct Bench {
    pub(crate) directory: tempfile::TempDir,
    /// The address of the database that was made for this test.
    pub(crate) url: Option<String>,
    bucket: Option<Bucket>,
    seconds: Arc<AtomicI64>,
}

/// Runs a test on a bench of a kind, and takes away what it has left, however it ended.
pub(crate) async fn run<T: Future<Output = Outcome> + 'static>(
    kind: Kind,
    test: impl FnOnce(Bench) -> T,
) -> Outcome {
    let bench = Bench::new(kind).await?;
    let (url, bucket) = (bench.url.clone(), bench.bucket.clone());
    let local = LocalSet::new();
    let running = local.spawn_local(test(bench));
    let ended = local.run_until(running).await;
    drop(local);
    if let Some(url) = url {
        let name = PgConnectOptions::from_str(&url)?.get_database().ok_or("no database")?.to_owned();
        admin(format!("DROP DATABASE {name} WITH (FORCE)")).await?;
    }
    if let Some(bucket) = bucket {
        let objects = objects_of(&bucket)?;
        for name in objects.list_with_delimiter(Some(&Name::from(bucket.prefix))).await?.objects {
            objects.delete(&name.location).await?;
        }
    }
    match ended {
        Ok(outcome) => outcome,
        Err(ended) => std::panic::resume_unwind(ended.into_panic()),
    }
}

/// What a variable says that the tests cannot do without.
fn needed(variable: &str, what: &str) -> Result<String, Anything> {
    let how = "run tests/harness/with_servers.py cargo test …, which starts one";
    Ok(std::env::var(variable).map_err(|_| format!("{variable} must be the address of {what}: {how}"))?)
}

pub(crate) fn postgres() -> Result<PgConnectOptions, Anything> {
    Ok(needed("HEADPROOF_TEST_POSTGRES", "a PostgreSQL server whose user may make databases")?.parse()?)
}

async fn admin(statement: String) -> Outcome {
    let mut connection = PgConnection::connect_with(&postgres()?).await?;
    connection.execute(AssertSqlSafe(statement)).await?;
    connection.close().await?;
    Ok(())
}

fn objects_of(bucket: &Bucket) -> Result<AmazonS3, Anything> {
    // The first one stays; a second is the same.
    let _ = rustls::crypto::ring::default_provider().install_default();
    let builder = object_store::aws::AmazonS3Builder::new()
        .with_bucket_name(&bucket.name)
        .with_endpoint(bucket.endpoint.clone().unwrap_or_default())
        .with_region(&bucket.region)
        .with_access_key_id(&bucket.access_key_id)
        .with_secret_access_key(&bucket.secret_access_key)
        .with_client_options(ClientOptions::new().with_allow_http(true));
    Ok(builder.build()?)
}

impl Bench {
    async fn new(kind: Kind) -> Result<Self, Anything> {
        let own = format!("test_{}", Uuid::now_v7().simple());
        let mut url = None;
        if kind != Kind::Embedded {
            admin(format!("CREATE DATABASE {own}")).await?;
            url = Some(postgres()?.database(&own).to_url_lossy().to_string());
        }
        let mut bucket = None;
        if kind == Kind::Line {
            let endpoint = needed("HEADPROOF_TEST_S3", "a service of S3 that has a bucket headproof-test")?;
            bucket = Some(Bucket {
                name: "headproof-test".to_owned(),
                prefix: own,
                endpoint: Some(endpoint),
                region: "us-east-1".to_owned(),
                access_key_id: "key-of-a-test".to_owned(),
                secret_access_key: "secret-of-a-test".to_owned(),
            });
        }
        let start = OffsetDateTime::now_utc().unix_timestamp();
        Ok(Self { directory: tempfile::tempdir()?, url, bucket, seconds: Arc::new(start.into()) })
    }

    /// Where a store of this bench is.
    pub(crate) fn location(&self) -> Location {
        let records = match &self.url {
            None => Records::Embedded,
            Some(url) => Records::Server(Server {
                url: url.clone(),
                connections: 4,
                patience: Duration::from_secs(20),
                at_start: Duration::from_secs(20),
            }),
        };
        let artifacts = self.bucket.clone().map_or(Artifacts::Files, Artifacts::Bucket);
        Location { directory: self.directory.path().to_owned(), records, artifacts }
    }

    pub(crate) async fn open(&self) -> headproof_store::Result<Store> {
        self.open_with(Options::default().max_attempts, 0).await
    }

    pub(crate) async fn open_with_attempts(&self, max_attempts: u32) -> headproof_store::Result<Store> {
        self.open_with(max_attempts, 0).await
    }

    /// A store of a machine whose clock is behind by so many seconds.
    pub(crate) async fn open_behind(&self, behind: i64) -> headproof_store::Result<Store> {
        self.open_with(Options::default().max_attempts, behind).await
    }

    async fn open_with(&self, max_attempts: u32, behind: i64) -> headproof_store::Result<Store> {
        let seconds = Arc::clone(&self.seconds);
        let clock = Clock::from_fn(move || {
            OffsetDateTime::UNIX_EPOCH + time::Duration::seconds(seconds.load(Ordering::SeqCst) - behind)
        });
        Store::open_with(self.location(), Options { clock, max_attempts }).await
    }

    pub(crate) fn pass(&self, seconds: i64) {
        self.seconds.fetch_add(seconds, Ordering::SeqCst);
    }

    /// The directory of the files of artifacts, where they are files.
    pub(crate) fn artifacts(&self) -> PathBuf {
        self.directory.path().join("artifacts")
    }

    /// The names of all that is kept of artifacts, files or objects, in their order.
    pub(crate) async fn names(&self) -> Result<Vec<String>, Anything> {
        let mut names = Vec::new();
        if let Some(bucket) = &self.bucket {
            let prefix = Name::from(bucket.prefix.as_str());
            for object in objects_of(bucket)?.list_with_delimiter(Some(&prefix)).await?.objects {
                names.push(object.location.filename().unwrap_or_default().to_owned());
            }
        } else {
            for entry in std::fs::read_dir(self.artifacts())? {
                names.push(entry?.file_name().to_string_lossy().into_owned());
            }
        }
        names.sort_unstable();
        Ok(names)
    }

    /// Puts bytes under a name behind the back of the store.
    pub(crate) async fn write(&self, name: &str, bytes: &'static [u8]) -> Outcome {
        match &self.bucket {
            Some(bucket) => {
                let name = Name::from(format!("{}/{name}", bucket.prefix));
                objects_of(bucket)?.put(&name, bytes.into()).await?;
            }
            None => std::fs::write(self.artifacts().join(name), bytes)?,
        }
        Ok(())
    }

    /// Removes what has a name behind the back of the store.
    pub(crate) async fn remove(&self, name: &str) -> Outcome {
        match &self.bucket {
            Some(bucket) => {
                objects_of(bucket)?.delete(&Name::from(format!("{}/{name}", bucket.prefix))).await?;
            }
            None => std::fs::remove_file(self.artifacts().join(name))?,
        }
        Ok(())
    }

    /// Runs a statement behind the back of the store.
    pub(crate) async fn execute(&self, statement: &str) -> sqlx::Result<u64> {
        let statement = AssertSqlSafe(statement.to_owned());
        Ok(match &self.url {
            Some(url) => PgConnection::connect(url).await?.execute(statement).await?.rows_affected(),
            None => {
                let file = self.directory.path().join("headproof.sqlite3");
                let options = sqlx::sqlite::SqliteConnectOptions::new().filename(file).foreign_keys(true);
                options.connect().await?.execute(statement).await?.rows_affected()
            }
        })
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

pub(crate) fn origin(request_id: &str) -> Origin {
    Origin { request_id: request_id.to_owned(), trace_parent: None }
}

pub(crate) fn once(operation: &'static str, key: &str, fingerprint: &str) -> Once {
    Once { operation, key: key.to_owned(), fingerprint: fingerprint.to_owned() }
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
        observations: Observations {
            measured_at: OffsetDateTime::UNIX_EPOCH,
            profile: "profile".to_owned(),
            document: b"observations".to_vec(),
        },
        paper: "a4".to_owned(),
        locale: "en".to_owned(),
    }
}

pub(crate) fn job(shop_name: &str, head: &str) -> NewJob {
    NewJob {
        shop: shop(shop_name),
        who: who(),
        origin: origin("request 1"),
        once: None,
        priority: Priority::Normal,
        content: content(head),
    }
}

/// A batch that came in and was ended.
#[derive(Debug)]
pub(crate) struct Accepted {
    pub(crate) id: Uuid,
    pub(crate) record: BatchRecord,
    pub(crate) jobs: Vec<JobRecord>,
}

/// A batch with its lines.
#[derive(Debug, Clone)]
pub(crate) struct Lines {
    pub(crate) new: NewBatch,
    pub(crate) jobs: BTreeMap<u32, JobContent>,
}

/// A batch of a key of its own.
pub(crate) fn batch(shop_name: &str, heads: &[&str]) -> Lines {
    let jobs = (1..).zip(heads.iter().map(|head| content(head))).collect();
    Lines { new: new_batch(shop_name, &Uuid::now_v7().to_string()), jobs }
}

pub(crate) fn new_batch(shop_name: &str, key: &str) -> NewBatch {
    NewBatch {
        shop: shop(shop_name),
        who: who(),
        origin: origin("request 2"),
        once: once("batch", key, "digest of the lines"),
    }
}

pub(crate) fn line(number: u32, head: &str) -> Line {
    Line { number, outcome: LineContent::Job(Box::new(content(head)), Priority::Normal) }
}

pub(crate) async fn submit_batch(store: &Store, lines: Lines) -> Result<Accepted, Anything> {
    let Lines { new, jobs } = lines;
    let mut open = store.begin_batch(&new).await?.into_inner();
    let lines: Vec<Line> = jobs
        .into_iter()
        .map(|(number, content)| Line {
            number,
            outcome: LineContent::Job(Box::new(content), Priority::Normal),
        })
        .collect();
    store.add_lines(&new, &mut open, &lines).await?;
    let record = store.end_batch(&new, &open).await?.ok_or("nothing is left of the batch")?;
    let jobs = store.jobs_of_batch(&new.shop, record.id, 0, 1000).await?;
    Ok(Accepted { id: record.id, record, jobs })
}

/// Submits a job of a head.
pub(crate) async fn submit(store: &Store, shop: &str, head: &str) -> Result<JobRecord, Anything> {
    Ok(store.submit_job(job(shop, head)).await?.into_inner())
}

/// Claims, expecting a certain owner.
pub(crate) async fn claim_of(store: &Store, owner: Uuid) -> Result<Claim, Anything> {
    let claim = store.claim(LEASE).await?.ok_or("nothing to claim")?;
    assert_eq!(claim.owner, owner);
    Ok(claim)
}

/// What was made just now.
pub(crate) fn new<T: std::fmt::Debug>(made: Made<T>) -> T {
    match made {
        Made::New(made) => made,
        Made::Before(made) => panic!("{made:?} was there before"),
    }
}

/// What was there before.
pub(crate) fn before<T: std::fmt::Debug>(made: Made<T>) -> T {
    match made {
        Made::Before(made) => made,
        Made::New(made) => panic!("{made:?} was made"),
    }
}
