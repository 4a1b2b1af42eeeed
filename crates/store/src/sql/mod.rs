//! Every statement, by topic. Nothing outside this module knows a table.

pub(crate) mod artifacts;
pub(crate) mod audit;
pub(crate) mod batches;
pub(crate) mod certificates;
pub(crate) mod jobs;
pub(crate) mod keys;
pub(crate) mod people;
pub(crate) mod profiles;
pub(crate) mod queue;
pub(crate) mod sign_offs;

use sqlx::{
    Row, SqlSafeStr, SqliteConnection,
    migrate::{MigrateError, Migration, MigrationType, Migrator},
    sqlite::SqliteRow,
};
use time::OffsetDateTime;
use uuid::Uuid;

use crate::{ShopId, clock::from_unix_ms};

/// What all rows of one request have in common.
pub(crate) struct Submission<'a> {
    pub(crate) shop: &'a ShopId,
    pub(crate) request_id: &'a str,
    pub(crate) now: i64,
    pub(crate) max_attempts: u32,
}

/// Brings the schema up to date.
pub(crate) async fn migrate(db: &mut SqliteConnection) -> Result<(), MigrateError> {
    // Not `run`: given a connection instead of a pool, its future cannot be proven `Send`.
    migrations().run_direct(None, db, false).await
}

/// The migrations, oldest first. One that was released is never edited; add a file instead.
///
/// Listed by hand: the macro that reads the directory would compile SQLite a second time, for the
/// compiler's own use.
fn migrations() -> Migrator {
    let files = [
        (1, "first", include_str!("../../migrations/0001_first.sql")),
        (2, "plans", include_str!("../../migrations/0002_plans.sql")),
        (3, "sign-off", include_str!("../../migrations/0003_sign_off.sql")),
    ];
    let migration = |(version, name, text): (i64, &'static str, &'static str)| {
        Migration::new(version, name.into(), MigrationType::Simple, text.into_sql_str(), false)
    };
    Migrator::with_migrations(files.into_iter().map(migration).collect())
}

fn unreadable(column: &str, source: impl Into<sqlx::error::BoxDynError>) -> sqlx::Error {
    sqlx::Error::ColumnDecode { index: column.to_owned(), source: source.into() }
}

fn optional_id(row: &SqliteRow, column: &str) -> sqlx::Result<Option<Uuid>> {
    let text: Option<&str> = row.try_get(column)?;
    text.map(|text| Uuid::parse_str(text).map_err(|fault| unreadable(column, fault))).transpose()
}

fn id(row: &SqliteRow, column: &str) -> sqlx::Result<Uuid> {
    optional_id(row, column)?.ok_or_else(|| unreadable(column, "no id"))
}

fn optional_time(row: &SqliteRow, column: &str) -> sqlx::Result<Option<OffsetDateTime>> {
    let ms: Option<i64> = row.try_get(column)?;
    ms.map(|ms| from_unix_ms(ms).map_err(|fault| unreadable(column, fault))).transpose()
}

fn time(row: &SqliteRow, column: &str) -> sqlx::Result<OffsetDateTime> {
    optional_time(row, column)?.ok_or_else(|| unreadable(column, "no time"))
}

/// A name of an enum.
fn named<T>(row: &SqliteRow, column: &str, parse: impl Fn(&str) -> Option<T>) -> sqlx::Result<T> {
    let name: &str = row.try_get(column)?;
    parse(name).ok_or_else(|| unreadable(column, format!("unknown name {name:?}")))
}

#[cfg(test)]
mod tests {
    use sqlx::{Connection, sqlite::SqliteConnectOptions};

    use super::*;
    use crate::{JobDocuments, Store};

    type Outcome = Result<(), Box<dyn std::error::Error>>;

    const JOB: &str = "0190a5c8-0000-7000-8000-000000000000";

    /// A data directory as the first edition left it, with one job in it.
    async fn first_edition(directory: &std::path::Path) -> Outcome {
        let file = directory.join("headproof.sqlite3");
        let options = SqliteConnectOptions::new().filename(file).create_if_missing(true);
        let mut db = SqliteConnection::connect_with(&options).await?;
        let first = migrations().iter().take(1).cloned().collect();
        Migrator::with_migrations(first).run_direct(None, &mut db, false).await?;
        for statement in [
            "INSERT INTO head VALUES ('h', 's', 'H-1')",
            "INSERT INTO job VALUES (?1, 's', 'h', NULL, NULL, NULL, 'final', 1, NULL, 'a4', 'en', 'r', 0,
                                     x'01', x'02')",
            "INSERT INTO evaluation VALUES (?1, 's', 'd', 'accept', x'03')",
            "INSERT INTO task (id, shop_id, kind, owner_id, state, max_attempts, not_before, request_id,
                               created_at) VALUES (?1, 's', 'sheet', ?1, 'queued', 5, 0, 'r', 0)",
        ] {
            sqlx::query(statement).bind(JOB).execute(&mut db).await?;
        }
        db.close().await?;
        Ok(())
    }

    #[tokio::test]
    async fn what_the_first_edition_kept_is_there_after_the_migrations() -> Outcome {
        let directory = tempfile::tempdir()?;
        first_edition(directory.path()).await?;
        let store = Store::open(directory.path()).await?;
        let (shop, job) = (ShopId::new("s"), Uuid::parse_str(JOB)?);
        let record = store.job(&shop, job).await?.ok_or("the job is gone")?;
        assert_eq!((record.head_reference.as_str(), record.plan_digest), ("H-1", None));
        let expected = JobDocuments {
            measurement_set: vec![1],
            profile: vec![2],
            evaluation: vec![3],
            digest: "d".to_owned(),
            plan: None,
        };
        assert_eq!(store.job_documents(&shop, job).await?, Some(expected));
        Ok(())
    }
}
