//! What can go wrong, sorted by what the caller can do about it.

use std::{error::Error as StdError, io};

use uuid::Uuid;

type Source = Box<dyn StdError + Send + Sync>;

/// The result of an operation of the store.
pub type Result<T, E = Error> = std::result::Result<T, E>;

/// Why the store refused or failed.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// The id and revision are taken by another document; choose a new revision.
    #[error("profile {id} revision {revision} is already stored with digest {stored}, not {offered}")]
    Conflict {
        /// The profile's id.
        id: String,
        /// The profile's revision.
        revision: String,
        /// The digest of the stored document.
        stored: String,
        /// The digest of the document that was refused.
        offered: String,
    },
    /// The job named as the earlier one is unknown to the shop or belongs to another head.
    #[error("job {0} is not an earlier job of this head")]
    NotEarlier(Uuid),
    /// The shop has no such job.
    #[error("there is no such job")]
    NoSuchJob,
    /// The person is unknown, signs no longer, or has no certificate.
    #[error("nobody of this shop who could sign")]
    NoSigner,
    /// The same person has said the same of this job before.
    #[error("the person has signed this before")]
    AlreadySigned,
    /// The certificate was kept before.
    #[error("the certificate was brought before")]
    CertificateKnown,
    /// Tokens of the subject speak for another person already.
    #[error("the subject speaks for another person")]
    SubjectTaken,
    /// The key of the request came with another request before.
    #[error("the key of the request came with another request before")]
    KeyReused,
    /// Another request is at it just now.
    #[error("another request is at it just now")]
    StillRunning,
    /// What is to be called off is over.
    #[error("it is over")]
    AlreadyOver,
    /// The lease was lost to another worker or the task has ended; drop the work.
    #[error("attempt {attempt} no longer holds task {task}")]
    Fenced {
        /// The task.
        task: Uuid,
        /// The attempt that was refused.
        attempt: u32,
    },
    /// What is stored cannot be read back; an operator has to look.
    #[error("stored data is damaged: {0}")]
    Corrupt(String),
    /// No room on the disk; try again when there is.
    #[error("no space left in the data directory")]
    Full(#[source] Source),
    /// Other processes held the database for too long; try again.
    #[error("the database is busy")]
    Busy(#[source] Source),
    /// The database or the bucket cannot be reached; try again.
    #[error("the database does not answer")]
    Away(#[source] Source),
    /// Anything else.
    #[error(transparent)]
    Other(Source),
}

// Result codes of SQLite, https://www.sqlite.org/rescode.html
const BUSY: i32 = 5;
const LOCKED: i32 = 6;
const CORRUPT: i32 = 11;
const FULL: i32 = 13;
const NOT_A_DATABASE: i32 = 26;
/// The shared-memory file beside the database could not grow: in practice a full disk.
const IOERR_SHMSIZE: i32 = 4874;

impl From<sqlx::Error> for Error {
    fn from(error: sqlx::Error) -> Self {
        use sqlx::Error as Sql;
        match &error {
            Sql::PoolTimedOut => Self::Busy(error.into()),
            Sql::Io(_) | Sql::Tls(_) | Sql::Protocol(_) | Sql::WorkerCrashed | Sql::PoolClosed => {
                Self::Away(error.into())
            }
            Sql::Database(refusal) if refusal.code().is_some_and(|code| code.len() == 5) => {
                of_server(&refusal.code().unwrap_or_default())(error.into())
            }
            Sql::ColumnDecode { .. } | Sql::Decode(_) => Self::Corrupt(error.to_string()),
            Sql::Database(refusal) => {
                let extended: i32 = refusal.code().and_then(|code| code.parse().ok()).unwrap_or(0);
                match extended & 0xff {
                    BUSY | LOCKED => Self::Busy(error.into()),
                    CORRUPT | NOT_A_DATABASE => Self::Corrupt(error.to_string()),
                    FULL => Self::Full(error.into()),
                    _ if extended == IOERR_SHMSIZE => Self::Full(error.into()),
                    _ => Self::Other(error.into()),
                }
            }
            _ => Self::Other(error.into()),
        }
    }
}

/// What a state of a PostgreSQL server means: <https://www.postgresql.org/docs/15/errcodes-appendix.html>. Its codes have
/// five characters; those of SQLite are numbers of fewer.
fn of_server(code: &str) -> fn(Source) -> Error {
    match code {
        "53100" => Error::Full,
        // Statements that waited too long or were in each other's way, and a server that has no connection left.
        "40001" | "40P01" | "55P03" | "57014" | "53000" | "53200" | "53300" => Error::Busy,
        // A server that stops, starts or has let go of a connection; and one that only reads, because another has taken
        // its place.
        "57P01" | "57P02" | "57P03" | "57P05" | "25P03" | "25006" => Error::Away,
        _ if code.starts_with("08") => Error::Away,
        _ => Error::Other,
    }
}

impl From<sqlx::migrate::MigrateError> for Error {
    fn from(error: sqlx::migrate::MigrateError) -> Self {
        use sqlx::migrate::MigrateError as Migrate;
        match error {
            Migrate::Execute(error) | Migrate::ExecuteMigration(error, _) => error.into(),
            other => Self::Other(other.into()),
        }
    }
}

impl From<io::Error> for Error {
    fn from(error: io::Error) -> Self {
        match error.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => Self::Full(error.into()),
            _ => Self::Other(error.into()),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::io::Write;

    use sqlx::{ConnectOptions, Connection, Executor, sqlite::SqliteConnectOptions};

    use super::*;

    /// `/dev/full` answers every write with ENOSPC, see full(4) of the Linux manual.
    #[test]
    #[cfg(target_os = "linux")]
    fn a_full_disk_is_told_apart_for_files() -> std::io::Result<()> {
        let mut full = std::fs::File::options().write(true).open("/dev/full")?;
        let refused = full.write_all(b"sheet").map_err(Error::from);
        assert!(matches!(refused, Err(Error::Full(_))), "{refused:?}");
        Ok(())
    }

    /// A database limited to a few pages gives the same result code as a full disk.
    #[tokio::test]
    async fn a_full_disk_is_told_apart_for_the_database() -> sqlx::Result<()> {
        let options = SqliteConnectOptions::new().in_memory(true).pragma("max_page_count", "4");
        let mut connection = options.connect().await?;
        connection.execute("CREATE TABLE t (b BLOB)").await?;
        let refused = connection.execute("INSERT INTO t VALUES (zeroblob(100000))").await;
        assert!(matches!(refused.map_err(Error::from), Err(Error::Full(_))));
        connection.close().await
    }

    #[tokio::test]
    async fn a_held_lock_is_busy_and_a_file_of_another_kind_is_corrupt() -> Result<(), Source> {
        let directory = tempfile::tempdir()?;
        let file = SqliteConnectOptions::new()
            .filename(directory.path().join("held"))
            .create_if_missing(true)
            .busy_timeout(std::time::Duration::ZERO);
        let (mut holder, mut other) = (file.connect().await?, file.connect().await?);
        holder.execute("BEGIN EXCLUSIVE").await?;
        let refused = other.execute("BEGIN IMMEDIATE").await;
        assert!(matches!(refused.map_err(Error::from), Err(Error::Busy(_))));

        let text = directory.path().join("text");
        std::fs::write(&text, "this is no database".repeat(100))?;
        let mut connection = SqliteConnectOptions::new().filename(text).connect().await?;
        let refused = connection.execute("SELECT * FROM sqlite_schema").await;
        assert!(matches!(refused.map_err(Error::from), Err(Error::Corrupt(_))));
        Ok(())
    }

    /// The meanings of the codes: <https://www.postgresql.org/docs/15/errcodes-appendix.html>
    #[test]
    fn what_a_server_says_is_sorted_by_what_can_be_done_about_it() {
        let sorted = |code: &str| match of_server(code)("refused".into()) {
            Error::Full(_) => "full",
            Error::Busy(_) => "busy",
            Error::Away(_) => "away",
            Error::Other(_) => "other",
            another => panic!("{another:?}"),
        };
        for (code, meaning, kind) in [
            ("53100", "disk_full", "full"),
            ("53000", "insufficient_resources", "busy"),
            ("53200", "out_of_memory", "busy"),
            ("53300", "too_many_connections", "busy"),
            ("40001", "serialization_failure", "busy"),
            ("40P01", "deadlock_detected", "busy"),
            ("55P03", "lock_not_available", "busy"),
            ("57014", "query_canceled", "busy"),
            ("57P01", "admin_shutdown", "away"),
            ("57P02", "crash_shutdown", "away"),
            ("57P03", "cannot_connect_now", "away"),
            ("57P05", "idle_session_timeout", "away"),
            ("25P03", "idle_in_transaction_session_timeout", "away"),
            ("25006", "read_only_sql_transaction", "away"),
            ("08000", "connection_exception", "away"),
            ("08006", "connection_failure", "away"),
            ("23505", "unique_violation", "other"),
            ("28P01", "invalid_password", "other"),
            ("3D000", "invalid_catalog_name", "other"),
            ("42P01", "undefined_table", "other"),
        ] {
            assert_eq!(sorted(code), kind, "{meaning}");
        }
    }

    #[test]
    fn a_connection_that_breaks_is_away_and_one_that_is_not_to_be_had_is_busy() {
        let reset = || io::Error::from(io::ErrorKind::ConnectionReset);
        for away in [sqlx::Error::Io(reset()), sqlx::Error::WorkerCrashed, sqlx::Error::PoolClosed] {
            assert!(matches!(Error::from(away), Error::Away(_)));
        }
        assert!(matches!(Error::from(sqlx::Error::PoolTimedOut), Error::Busy(_)));
        assert!(matches!(Error::from(sqlx::Error::RowNotFound), Error::Other(_)));
        let cut_off = sqlx::Error::Decode("cut off".into());
        assert!(matches!(Error::from(cut_off), Error::Corrupt(_)));
    }
}
