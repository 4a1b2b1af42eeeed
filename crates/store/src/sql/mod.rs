//! Every statement, by topic. Nothing outside this module knows a table.

pub(crate) mod artifacts;
pub(crate) mod batches;
pub(crate) mod jobs;
pub(crate) mod profiles;
pub(crate) mod queue;

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
    let files = [(1, "first", include_str!("../../migrations/0001_first.sql"))];
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
