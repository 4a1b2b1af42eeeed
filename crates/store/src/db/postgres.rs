//! A PostgreSQL server that several machines share.

use std::str::FromStr;
use std::time::{Duration, Instant};

use sqlx::postgres::{PgConnectOptions, PgPoolOptions};
use sqlx::{Connection, Executor, PgPool};

use super::Database;
use crate::{Error, Result, migrations};

/// Between two tries to reach a server that is not there yet.
const PAUSE: Duration = Duration::from_millis(500);

/// What this process may take of a server, and how long it waits for it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Limits {
    /// Connections at most.
    pub(crate) connections: u32,
    /// How long an operation waits for a connection.
    pub(crate) patience: Duration,
    /// How long the server is waited for when the process starts.
    pub(crate) at_start: Duration,
}

/// What a session may take. A process that was frozen in the midst of a transaction must not keep others out for
/// long, and a statement that does not end is no better than none.
/// <https://www.postgresql.org/docs/15/runtime-config-client.html>
const SESSION: &str = "SET idle_in_transaction_session_timeout = '5s';
    SET lock_timeout = '5s';
    SET statement_timeout = '30s';
    SET synchronous_commit = on";

/// Connects, waiting for a server that only starts, and migrates as needed.
pub(crate) async fn open(url: &str, limits: Limits) -> Result<Database> {
    let options = PgConnectOptions::from_str(url)?.application_name("headproof");
    let pool = PgPoolOptions::new()
        .max_connections(limits.connections)
        .acquire_timeout(limits.patience)
        // A connection that a restart of the server has cut is found out before it is used.
        .test_before_acquire(true)
        .idle_timeout(Duration::from_secs(300))
        .after_connect(|connection, _| Box::pin(async move { connection.execute(SESSION).await.map(drop) }))
        .connect_lazy_with(options);
    let started = Instant::now();
    loop {
        match migrate(&pool).await {
            Ok(()) => return Ok(Database::Postgres(pool)),
            Err(error) if is_absent(&error) && started.elapsed() < limits.at_start => {
                tracing::warn!(%error, "the database is not there yet, trying again");
                tokio::time::sleep(PAUSE).await;
            }
            Err(error) => return Err(error),
        }
    }
}

/// The migrator holds a lock of its own, so that of several processes one migrates. A database that a newer edition has
/// migrated is taken as it is: migrations only ever add what an older edition does not miss.
async fn migrate(pool: &PgPool) -> Result<()> {
    let mut connection = pool.acquire().await.map_err(|error| no_turn(pool, error))?.detach();
    // A large table may take longer; a lock is waited for no longer than by others.
    connection.execute("SET statement_timeout = 0").await?;
    let mut migrator = migrations::postgres();
    migrator.set_ignore_missing(true);
    migrator.run_direct(None, &mut connection, false).await?;
    connection.close().await?;
    Ok(())
}

/// Why there was no connection: all are in use, or the server gives none. The pool tries again by itself until time is up,
/// and says the same of both.
pub(super) fn no_turn(pool: &PgPool, error: sqlx::Error) -> Error {
    match error {
        sqlx::Error::PoolTimedOut if pool.size() < pool.options().get_max_connections() => {
            Error::Away(error.into())
        }
        other => other.into(),
    }
}

fn is_absent(error: &Error) -> bool {
    matches!(error, Error::Away(_) | Error::Busy(_))
}
