//! Opening a data directory, and whether it can be used.

use std::{
    path::{Path, PathBuf},
    sync::Arc,
    time::{Duration, Instant},
};

use sqlx::{
    Connection, SqlitePool, SqliteTransaction,
    sqlite::{SqliteConnectOptions, SqliteJournalMode, SqlitePoolOptions, SqliteSynchronous},
};

use crate::{Clock, Error, Result, files, sql};

/// How long a statement waits for another process that is writing.
const BUSY_TIMEOUT: Duration = Duration::from_secs(5);
/// How long an operation waits for its turn within this process.
const TURN_TIMEOUT: Duration = Duration::from_secs(10);
/// How long opening is tried again while another process is creating the same database.
const OPEN_TIMEOUT: Duration = Duration::from_secs(10);
const READERS: u32 = 4;

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

/// A data directory in use. Clones share it.
#[derive(Debug, Clone)]
pub struct Store {
    /// One connection, so that writers of this process queue up instead of polling for the lock.
    writer: SqlitePool,
    reader: SqlitePool,
    artifacts: Arc<Path>,
    pub(crate) clock: Clock,
    pub(crate) max_attempts: u32,
}

impl Store {
    /// Opens the data directory, creating and migrating it as needed.
    ///
    /// # Errors
    /// [`Error::Corrupt`] for a file that is no database, [`Error::Full`], [`Error::Busy`] when
    /// another process keeps it locked, [`Error::Other`] also for a database of a newer version.
    pub async fn open(data_dir: impl Into<PathBuf>) -> Result<Self> {
        Self::open_with(data_dir, Options::default()).await
    }

    /// Like [`Store::open`], with another clock or number of attempts.
    ///
    /// # Errors
    /// As for [`Store::open`].
    pub async fn open_with(data_dir: impl Into<PathBuf>, options: Options) -> Result<Self> {
        let data_dir = data_dir.into();
        let artifacts = data_dir.join("artifacts");
        files::blocking({
            let (data_dir, artifacts) = (data_dir.clone(), artifacts.clone());
            move || {
                files::create_private(&data_dir)?;
                std::fs::create_dir_all(&artifacts)?;
                files::sync_directory(&data_dir)
            }
        })
        .await?;

        let database = SqliteConnectOptions::new()
            .filename(data_dir.join("headproof.sqlite3"))
            .create_if_missing(true)
            .busy_timeout(BUSY_TIMEOUT)
            .journal_mode(SqliteJournalMode::Wal)
            // NORMAL could lose the last commits when the power fails: https://sqlite.org/wal.html
            .synchronous(SqliteSynchronous::Full)
            .foreign_keys(true);
        let started = Instant::now();
        let writer = loop {
            // Switching a new database to WAL does not wait for other processes, it only fails.
            match Self::writer(database.clone()).await {
                Err(Error::Busy(_)) if started.elapsed() < OPEN_TIMEOUT => {
                    tokio::time::sleep(Duration::from_millis(50)).await;
                }
                outcome => break outcome?,
            }
        };
        let reader = pool(READERS).connect_with(database).await?;
        let Options { clock, max_attempts } = options;
        Ok(Self { writer, reader, artifacts: artifacts.into(), clock, max_attempts: max_attempts.max(1) })
    }

    async fn writer(database: SqliteConnectOptions) -> Result<SqlitePool> {
        let writer = pool(1).connect_with(database).await?;
        // One transaction around all migrations: of several processes, one migrates.
        let mut tx = writer.begin_with("BEGIN IMMEDIATE").await?;
        sql::migrate(&mut tx).await?;
        tx.commit().await?;
        Ok(writer)
    }

    /// Whether the store can be used: the database answers and the artifacts directory takes a file.
    ///
    /// # Errors
    /// Whatever hinders it.
    pub async fn ready(&self) -> Result<()> {
        sqlx::query("SELECT EXISTS (SELECT 1 FROM task)").execute(&self.reader).await?;
        let directory = Arc::clone(&self.artifacts);
        files::blocking(move || files::probe(&directory)).await
    }

    /// Waits for running operations and closes the database, for all clones.
    pub async fn close(&self) {
        self.reader.close().await;
        self.writer.close().await;
    }

    /// A writing transaction. It takes the write lock at once, so that it never fails half-way
    /// because what it has read was changed meanwhile.
    pub(crate) async fn write(&self) -> Result<SqliteTransaction<'static>> {
        Ok(self.writer.begin_with("BEGIN IMMEDIATE").await?)
    }

    /// A reading transaction: all its statements see the same state.
    pub(crate) async fn read(&self) -> Result<SqliteTransaction<'static>> {
        Ok(self.reader.begin().await?)
    }

    pub(crate) fn artifacts_dir(&self) -> &Arc<Path> {
        &self.artifacts
    }
}

/// A pool that replaces a connection on which a transaction is still being counted as open.
///
/// After some faults, a full disk among them, SQLite rolls a transaction back by itself; the rollback
/// that follows fails and is not counted, and every later transaction would be refused as a nested one:
/// <https://www.sqlite.org/lang_transaction.html>, "Response To Errors Within A Transaction".
fn pool(connections: u32) -> SqlitePoolOptions {
    // Asked after a ping has passed every rollback that was still under way.
    let options = SqlitePoolOptions::new().test_before_acquire(true);
    let options = options.before_acquire(|connection, _| {
        let in_order = !connection.is_in_transaction();
        Box::pin(async move { Ok(in_order) })
    });
    options.max_connections(connections).acquire_timeout(TURN_TIMEOUT)
}

#[cfg(test)]
mod tests {
    use sqlx::query_scalar;

    use super::*;

    type Outcome = Result<(), Box<dyn std::error::Error>>;

    /// Values as documented at https://www.sqlite.org/pragma.html: 2 is FULL, 1 is on.
    #[tokio::test]
    async fn every_connection_commits_durably_and_checks_references() -> Outcome {
        let directory = tempfile::tempdir()?;
        let store = Store::open(directory.path()).await?;
        for pool in [&store.writer, &store.reader] {
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
            sqlx::query(insert).execute(&store.writer).await?;
            if let Some(change) = change {
                let refused = sqlx::query(change).execute(&store.writer).await;
                assert!(refused.is_err_and(|error| error.to_string().contains("immutable")), "{change}");
            }
        }
        for kept in ["DELETE FROM job", "DELETE FROM plan"] {
            let refused = sqlx::query(kept).execute(&store.writer).await;
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
            sqlx::query("PRAGMA max_page_count = 1").execute(&store.writer).await?;
            let refused = store.put_profile(&shop, profile(revision, 1_000_000), &by).await;
            assert!(matches!(refused, Err(Error::Full(_))), "{refused:?}");
            sqlx::query("PRAGMA max_page_count = 1000000").execute(&store.writer).await?;
            let stored = store.put_profile(&shop, profile(revision, 1_000), &by).await?;
            assert_eq!(stored, crate::PutProfile::Stored);
        }
        Ok(())
    }
}
