//! The embedded database: one file beside the artifacts.

use std::path::Path;
use std::time::{Duration, Instant};

use sqlx::sqlite::{SqliteConnectOptions, SqliteJournalMode, SqlitePoolOptions, SqliteSynchronous};
use sqlx::{Connection, SqlitePool};

use super::Database;
use crate::{Error, Result, migrations};

/// How long a statement waits for another process that is writing.
const BUSY_TIMEOUT: Duration = Duration::from_secs(5);
/// How long an operation waits for its turn within this process.
const TURN_TIMEOUT: Duration = Duration::from_secs(10);
/// How long opening is tried again while another process is creating the same database.
const OPEN_TIMEOUT: Duration = Duration::from_secs(10);
const READERS: u32 = 4;

/// Opens the database in a directory, creating and migrating it as needed.
pub(crate) async fn open(directory: &Path) -> Result<Database> {
    let database = SqliteConnectOptions::new()
        .filename(directory.join("headproof.sqlite3"))
        .create_if_missing(true)
        .busy_timeout(BUSY_TIMEOUT)
        .journal_mode(SqliteJournalMode::Wal)
        // NORMAL could lose the last commits when the power fails: https://sqlite.org/wal.html
        .synchronous(SqliteSynchronous::Full)
        .foreign_keys(true);
    let started = Instant::now();
    let writer = loop {
        // Switching a new database to WAL does not wait for other processes, it only fails.
        match connect_writer(database.clone()).await {
            Err(Error::Busy(_)) if started.elapsed() < OPEN_TIMEOUT => {
                tokio::time::sleep(Duration::from_millis(50)).await;
            }
            outcome => break outcome?,
        }
    };
    let reader = pool(READERS).connect_with(database).await?;
    Ok(Database::Sqlite { writer, reader })
}

async fn connect_writer(database: SqliteConnectOptions) -> Result<SqlitePool> {
    let writer = pool(1).connect_with(database).await?;
    // One transaction around all migrations: of several processes, one migrates.
    let mut tx = writer.begin_with("BEGIN IMMEDIATE").await?;
    // Not `run`: given a connection instead of a pool, its future cannot be proven `Send`.
    migrations::sqlite().run_direct(None, &mut *tx, false).await?;
    tx.commit().await?;
    Ok(writer)
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
