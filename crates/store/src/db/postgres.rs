//! A PostgreSQL server that several machines share.

use std::io::ErrorKind;
use std::str::FromStr;
use std::time::{Duration, Instant};

use sqlx::postgres::{PgConnectOptions, PgPoolOptions};
use sqlx::{Connection, Executor, PgPool};
use tokio::time::timeout;

use super::Database;
use crate::{Error, Result, migrations};

/// Between two tries to reach a server that is not there yet.
const PAUSE: Duration = Duration::from_millis(500);

/// How long an answer is waited for. Longer than the server takes to give a statement up by itself: then nothing comes any
/// more, though nobody has ended the connection (a cable, a firewall, a machine that went).
const ANSWER: Duration = Duration::from_secs(35);
/// How long a connection that is given back may take to show that it is good, and how long the last ones are waited for.
const LAST_WORDS: Duration = Duration::from_secs(5);

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
        // Else one that gives no answer would keep its place until the system gives it up, which takes a quarter of an hour.
        .after_release(|connection, _| {
            Box::pin(async move {
                let good = timeout(LAST_WORDS, connection.ping()).await;
                good.map_err(|_| sqlx::Error::Io(ErrorKind::TimedOut.into()))?.map(|()| true)
            })
        })
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

/// What a server answers, unless it takes too long.
pub(super) async fn patiently<T>(answer: impl Future<Output = sqlx::Result<T>>) -> sqlx::Result<T> {
    timeout(ANSWER, answer).await.map_err(|_| sqlx::Error::Io(ErrorKind::TimedOut.into()))?
}

/// Waits for what is under way, but not for connections that give no answer.
pub(super) async fn close(pool: &PgPool) {
    if timeout(LAST_WORDS, pool.close()).await.is_err() {
        tracing::warn!("a connection to the database gave no answer and was let be");
    }
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
