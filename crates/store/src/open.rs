//! Opening a store, and whether it can be used.

use std::path::PathBuf;
use std::time::Duration;

use crate::db::{Database, PostgresLimits, Tx, open_postgres, open_sqlite};
use crate::objects::Objects;
use crate::{Bucket, Clock, Result, ShopId, files};

/// What can be chosen when a store is opened.
#[derive(Debug, Clone)]
pub struct Options {
    /// Where the time comes from; the machine's clock unless said otherwise.
    pub clock: Clock,
    /// How often a task is handed out before it fails for good; 5 unless said otherwise.
    pub max_attempts: u32,
}

impl Default for Options {
    fn default() -> Self {
        Self { clock: Clock::system(), max_attempts: 5 }
    }
}

/// Where records are kept.
#[derive(Debug, Clone, Default)]
pub enum Records {
    /// In a database within the data directory.
    #[default]
    Embedded,
    /// On a PostgreSQL server that several machines share.
    Server(Server),
}

/// A PostgreSQL server.
#[derive(Clone)]
pub struct Server {
    /// Its address with database and user: `postgres://…`.
    pub url: String,
    /// Connections of this process at most.
    pub connections: u32,
    /// How long an operation waits for a connection.
    pub patience: Duration,
    /// How long the server is waited for at the start.
    pub at_start: Duration,
}

impl std::fmt::Debug for Server {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Server")
    }
}

/// Where files are kept.
#[derive(Debug, Clone, Default)]
pub enum Artifacts {
    /// In the data directory.
    #[default]
    Files,
    /// In a bucket that several machines share.
    Bucket(Bucket),
}

/// Where a store is.
#[derive(Debug, Clone)]
pub struct Location {
    /// The data directory.
    pub directory: PathBuf,
    /// Where records are kept.
    pub records: Records,
    /// Where files are kept.
    pub artifacts: Artifacts,
}

impl From<PathBuf> for Location {
    fn from(directory: PathBuf) -> Self {
        Self { directory, records: Records::default(), artifacts: Artifacts::default() }
    }
}

impl From<&std::path::Path> for Location {
    fn from(directory: &std::path::Path) -> Self {
        directory.to_owned().into()
    }
}

/// A store in use. Clones share it.
#[derive(Debug, Clone)]
pub struct Store {
    pub(crate) database: Database,
    pub(crate) objects: Objects,
    pub(crate) clock: Clock,
    pub(crate) max_attempts: u32,
}

impl Store {
    /// Opens the store in a data directory, creating and migrating it as needed.
    ///
    /// # Errors
    /// [`Error::Corrupt`](crate::Error::Corrupt) for a file that is no database, [`Error::Full`](crate::Error::Full),
    /// [`Error::Busy`](crate::Error::Busy) when another process keeps it locked, [`Error::Other`](crate::Error::Other)
    /// also for a database of a newer version.
    pub async fn open(data_dir: impl Into<PathBuf>) -> Result<Self> {
        Self::open_with(data_dir.into(), Options::default()).await
    }

    /// Like [`Store::open`], with another clock or number of attempts, or elsewhere.
    ///
    /// # Errors
    /// As for [`Store::open`]; [`Error::Away`](crate::Error::Away) when a server cannot be reached.
    pub async fn open_with(location: impl Into<Location>, options: Options) -> Result<Self> {
        let Location { directory, records, artifacts } = location.into();
        let is_used = matches!((&records, &artifacts), (Records::Embedded, _) | (_, Artifacts::Files));
        if is_used {
            let directory = directory.clone();
            files::blocking(move || {
                files::create_private(&directory)?;
                files::sync_directory(&directory)
            })
            .await?;
        }
        let objects = match &artifacts {
            Artifacts::Files => Objects::in_directory(directory.join("artifacts")).await?,
            Artifacts::Bucket(bucket) => Objects::in_bucket(bucket)?,
        };
        let database = match records {
            Records::Embedded => open_sqlite(&directory).await?,
            Records::Server(Server { url, connections, patience, at_start }) => {
                open_postgres(&url, PostgresLimits { connections, patience, at_start }).await?
            }
        };
        let Options { clock, max_attempts } = options;
        Ok(Self { database, objects, clock, max_attempts: max_attempts.max(1) })
    }

    /// Whether the store can be used: the database answers, and files can be kept.
    ///
    /// # Errors
    /// Whatever hinders it.
    pub async fn ready(&self) -> Result<()> {
        crate::db::query("SELECT 1 FROM task LIMIT 1").fetch_optional(&mut self.read().await?).await?;
        self.objects.ready().await
    }

    /// Waits for running operations and closes the database, for all clones.
    pub async fn close(&self) {
        self.database.close().await;
    }

    /// A writing transaction, with other writers of the shop shut out.
    pub(crate) async fn write(&self, shop: &ShopId) -> Result<Tx> {
        let mut tx = self.database.write().await?;
        tx.shut_out(shop).await?;
        Ok(tx)
    }

    /// A writing transaction of those whose rows guard themselves.
    pub(crate) async fn begin(&self) -> Result<Tx> {
        self.database.write().await
    }

    /// A reading transaction: all its statements see the same state.
    pub(crate) async fn read(&self) -> Result<Tx> {
        self.database.read().await
    }
}

#[cfg(test)]
mod tests {
    use sqlx::{SqlitePool, query_scalar};

    use super::*;
    use crate::Error;

    type Outcome = Result<(), Box<dyn std::error::Error>>;

    fn pools(store: &Store) -> (&SqlitePool, &SqlitePool) {
        match &store.database {
            Database::Sqlite { writer, reader } => (writer, reader),
            Database::Postgres(_) => panic!("the database is not embedded"),
        }
    }

    /// Values as documented at https://www.sqlite.org/pragma.html: 2 is FULL, 1 is on.
    #[tokio::test]
    async fn every_connection_commits_durably_and_checks_references() -> Outcome {
        let directory = tempfile::tempdir()?;
        let store = Store::open(directory.path()).await?;
        let (writer, reader) = pools(&store);
        for pool in [writer, reader] {
            let journal: String = query_scalar("PRAGMA journal_mode").fetch_one(pool).await?;
            let synchronous: i64 = query_scalar("PRAGMA synchronous").fetch_one(pool).await?;
            let references: i64 = query_scalar("PRAGMA foreign_keys").fetch_one(pool).await?;
            assert_eq!((journal.as_str(), synchronous, references), ("wal", 2, 1));
        }
        Ok(())
    }

    #[tokio::test]
    async fn the_database_itself_refuses_to_change_what_was_accepted() -> Outcome {
        let directory = tempfile::tempdir()?;
        let store = Store::open(directory.path()).await?;
        for (insert, change) in [
            ("INSERT INTO head VALUES ('h', 's', 'H-1')", None),
            (
                "INSERT INTO job VALUES ('j', 's', 'h', NULL, NULL, NULL, 'final', 1, NULL, 'a4', 'en', 'r', 0,
                                         x'00', x'00')",
                Some("UPDATE job SET profile = x'01'"),
            ),
            (
                "INSERT INTO evaluation VALUES ('j', 's', 'd', 'accept', x'00')",
                Some("UPDATE evaluation SET disposition = 'reject'"),
            ),
            ("INSERT INTO plan VALUES ('j', 's', 'd', x'00')", Some("UPDATE plan SET document = x'01'")),
            (
                "INSERT INTO profile VALUES ('s', 'p', '1', 'd', 0, x'00')",
                Some("UPDATE profile SET document = x'01'"),
            ),
        ] {
            sqlx::query(insert).execute(pools(&store).0).await?;
            if let Some(change) = change {
                let refused = sqlx::query(change).execute(pools(&store).0).await;
                assert!(refused.is_err_and(|error| error.to_string().contains("immutable")), "{change}");
            }
        }
        for kept in ["DELETE FROM job", "DELETE FROM plan"] {
            let refused = sqlx::query(kept).execute(pools(&store).0).await;
            assert!(refused.is_err_and(|error| error.to_string().contains("is kept")), "{kept}");
        }
        Ok(())
    }

    /// A database limited to its present size gives the same result code as a full disk, and SQLite
    /// rolls the transaction back by itself: https://www.sqlite.org/lang_transaction.html
    #[tokio::test]
    async fn the_store_goes_on_after_a_full_disk() -> Outcome {
        let directory = tempfile::tempdir()?;
        let store = Store::open(directory.path()).await?;
        let shop = crate::ShopId::new("s");
        let who = crate::Who { kind: "key".to_owned(), id: "1".to_owned(), name: "front desk".to_owned() };
        let by = crate::By { who, request: None };
        let profile = |revision: &str, size| crate::NewProfile {
            id: "p".to_owned(),
            revision: revision.to_owned(),
            document: vec![0; size],
            digest: format!("digest of {revision}"),
        };
        for revision in ["1", "2", "3"] {
            sqlx::query("PRAGMA max_page_count = 1").execute(pools(&store).0).await?;
            let refused = store.put_profile(&shop, profile(revision, 1_000_000), &by, None).await;
            assert!(matches!(refused, Err(Error::Full(_))), "{refused:?}");
            sqlx::query("PRAGMA max_page_count = 1000000").execute(pools(&store).0).await?;
            let stored = store.put_profile(&shop, profile(revision, 1_000), &by, None).await?;
            assert_eq!(stored, crate::PutProfile::Stored);
        }
        Ok(())
    }
}
