//! Where the bytes of artifacts are: files of this machine, or a bucket that several machines share.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use object_store::aws::AmazonS3Builder;
use object_store::local::LocalFileSystem;
use object_store::path::Path as Name;
use object_store::{ClientOptions, ObjectStore, ObjectStoreExt, PutPayload, RetryConfig};
use time::OffsetDateTime;

use crate::{Error, Result, files};

/// How long one request to a bucket may take.
const REQUEST: Duration = Duration::from_secs(30);
/// How long a bucket may take to begin its answer where somebody waits for it.
const ANSWER: Duration = Duration::from_secs(4);
/// How long a request is tried again while it fails.
const RETRIES: Duration = Duration::from_secs(20);

/// A bucket.
#[derive(Clone)]
pub struct Bucket {
    /// Its name.
    pub name: String,
    /// What all names in it begin with; may be empty.
    pub prefix: String,
    /// Where the service is that has it; that of the region without.
    pub endpoint: Option<String>,
    /// The region.
    pub region: String,
    /// Who asks.
    pub access_key_id: String,
    /// What proves it.
    pub secret_access_key: String,
}

impl std::fmt::Debug for Bucket {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Bucket {}/{}", self.name, self.prefix)
    }
}

/// Artifacts by their names. Clones share it.
#[derive(Debug, Clone)]
pub(crate) struct Objects {
    store: Arc<dyn ObjectStore>,
    prefix: String,
    /// Where the files are, if they are files.
    directory: Option<Arc<Path>>,
}

impl Objects {
    /// Files in a directory, which is made as needed.
    pub(crate) async fn in_directory(directory: PathBuf) -> Result<Self> {
        let store = files::blocking({
            let directory = directory.clone();
            move || {
                std::fs::create_dir_all(&directory)?;
                // A file is there only when it and its name are on the disk.
                let store = LocalFileSystem::new_with_prefix(&directory).map_err(std::io::Error::other)?;
                Ok(store.with_fsync(true))
            }
        })
        .await?;
        Ok(Self { store: Arc::new(store), prefix: String::new(), directory: Some(directory.into()) })
    }

    /// Objects in a bucket, which has to be there.
    pub(crate) fn in_bucket(bucket: &Bucket) -> Result<Self> {
        // The first one stays; a second is the same.
        let _ = rustls::crypto::ring::default_provider().install_default();
        let client = ClientOptions::new()
            .with_timeout(REQUEST)
            .with_connect_timeout(Duration::from_secs(5))
            .with_allow_http(true);
        let retry = RetryConfig { max_retries: 3, retry_timeout: RETRIES, ..RetryConfig::default() };
        let mut builder = AmazonS3Builder::new()
            .with_bucket_name(&bucket.name)
            .with_region(&bucket.region)
            .with_access_key_id(&bucket.access_key_id)
            .with_secret_access_key(&bucket.secret_access_key)
            .with_client_options(client)
            .with_retry(retry);
        if let Some(endpoint) = &bucket.endpoint {
            builder = builder.with_endpoint(endpoint);
        }
        let prefix = bucket.prefix.trim_matches('/').to_owned();
        Ok(Self { store: Arc::new(builder.build()?), prefix, directory: None })
    }

    fn name(&self, name: &str) -> Name {
        if self.prefix.is_empty() { Name::from(name) } else { Name::from(format!("{}/{name}", self.prefix)) }
    }

    /// Where a file is, if it is one.
    pub(crate) fn file(&self, name: &str) -> Option<PathBuf> {
        self.directory.as_ref().map(|directory| directory.join(name))
    }

    /// Keeps bytes: after a crash there are either all of them under their name, or none.
    pub(crate) async fn put(&self, name: &str, bytes: Vec<u8>) -> Result<()> {
        if let Some(directory) = self.directory.clone() {
            // The library would make it anew: in the place where a volume belongs that is not there just now.
            files::blocking(move || std::fs::metadata(directory)).await?;
        }
        self.store.put(&self.name(name), PutPayload::from(bytes)).await?;
        Ok(())
    }

    /// The bytes of that name.
    pub(crate) async fn get(&self, name: &str) -> Result<Option<Vec<u8>>> {
        match soon(self.store.get(&self.name(name))).await? {
            Ok(found) => Ok(Some(found.bytes().await?.into())),
            Err(object_store::Error::NotFound { .. }) => Ok(None),
            Err(error) => Err(error.into()),
        }
    }

    /// Shows that there is something of that name.
    pub(crate) async fn must_have(&self, name: &str) -> Result<()> {
        self.store.head(&self.name(name)).await?;
        Ok(())
    }

    /// Removes what is in nobody's way if it stays; says whether it did.
    pub(crate) async fn remove(&self, name: &str) -> bool {
        // A file that was only half written has a name that the library does not take.
        if let Some(file) = self.file(name) {
            return files::blocking(move || Ok(files::remove(&file))).await.unwrap_or_default();
        }
        match self.store.delete(&self.name(name)).await {
            Ok(()) => true,
            Err(object_store::Error::NotFound { .. }) => false,
            Err(error) => {
                tracing::warn!(name, %error, "an object was left behind");
                false
            }
        }
    }

    /// The names of what was last written before `limit`, half-written files too.
    pub(crate) async fn older_than(&self, limit: OffsetDateTime) -> Result<Vec<String>> {
        if let Some(directory) = self.directory.clone() {
            return files::blocking(move || files::older_than(&directory, limit.into())).await;
        }
        let mut names = Vec::new();
        let all = self.store.list_with_delimiter(Some(&self.name(""))).await?;
        for object in all.objects {
            if object.last_modified.timestamp() <= limit.unix_timestamp()
                && let Some(name) = object.location.filename()
            {
                names.push(name.to_owned());
            }
        }
        Ok(names)
    }

    /// Whether bytes can be kept.
    pub(crate) async fn ready(&self) -> Result<()> {
        if let Some(directory) = self.directory.clone() {
            return files::blocking(move || files::probe(&directory)).await;
        }
        match soon(self.store.head(&self.name("is-it-there"))).await? {
            Ok(_) | Err(object_store::Error::NotFound { .. }) => Ok(()),
            Err(error) => Err(error.into()),
        }
    }
}

/// What comes of it, unless it takes too long.
async fn soon<T>(answer: impl Future<Output = T>) -> Result<T> {
    tokio::time::timeout(ANSWER, answer).await.map_err(|late| Error::Away(late.into()))
}

impl From<object_store::Error> for Error {
    fn from(error: object_store::Error) -> Self {
        let mut source: Option<&(dyn std::error::Error + 'static)> = Some(&error);
        while let Some(cause) = source {
            if let Some(io) = cause.downcast_ref::<std::io::Error>()
                && matches!(io.kind(), std::io::ErrorKind::StorageFull | std::io::ErrorKind::QuotaExceeded)
            {
                return Self::Full(error.into());
            }
            source = cause.source();
        }
        match error {
            // What the service did not answer, or answered with a fault of its own; what it refuses has other names.
            object_store::Error::Generic { store: "S3", .. } => Self::Away(error.into()),
            _ => Self::Other(error.into()),
        }
    }
}
