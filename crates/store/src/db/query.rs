//! A statement with its values.

use sqlx::{Postgres, Sqlite};
use uuid::Uuid;

use super::postgres::patiently;
use super::{Get, Row, Tx};

/// A statement; its parameters are written `$1`, `$2`, …, which both databases read.
pub(crate) fn query<'q>(sql: &'static str) -> Query<'q> {
    Query { sql, values: Vec::new() }
}

/// What [`query`] gives.
pub(crate) struct Query<'q> {
    sql: &'static str,
    values: Vec<Value<'q>>,
}

/// A value of a parameter.
pub(crate) enum Value<'q> {
    Text(Option<&'q str>),
    Owned(Option<String>),
    Integer(Option<i64>),
    Bytes(Option<&'q [u8]>),
}

/// Gives the statement its values, for one of the databases.
macro_rules! bound {
    ($database:ty, $query:expr) => {{
        let mut bound = sqlx::query::<$database>($query.sql);
        for value in $query.values {
            bound = match value {
                Value::Text(text) => bound.bind(text),
                Value::Owned(text) => bound.bind(text),
                Value::Integer(number) => bound.bind(number),
                Value::Bytes(bytes) => bound.bind(bytes),
            };
        }
        bound
    }};
}

impl<'q> Query<'q> {
    pub(crate) fn bind(mut self, value: impl Into<Value<'q>>) -> Self {
        self.values.push(value.into());
        self
    }

    /// How many rows it changed.
    pub(crate) async fn execute(self, tx: &mut Tx) -> sqlx::Result<u64> {
        Ok(match tx {
            Tx::Sqlite(tx) => bound!(Sqlite, self).execute(&mut **tx).await?.rows_affected(),
            Tx::Postgres(tx) => patiently(bound!(Postgres, self).execute(&mut **tx)).await?.rows_affected(),
        })
    }

    pub(crate) async fn fetch_optional(self, tx: &mut Tx) -> sqlx::Result<Option<Row>> {
        Ok(match tx {
            Tx::Sqlite(tx) => bound!(Sqlite, self).fetch_optional(&mut **tx).await?.map(Row::Sqlite),
            Tx::Postgres(tx) => {
                patiently(bound!(Postgres, self).fetch_optional(&mut **tx)).await?.map(Row::Postgres)
            }
        })
    }

    pub(crate) async fn fetch_one(self, tx: &mut Tx) -> sqlx::Result<Row> {
        self.fetch_optional(tx).await?.ok_or(sqlx::Error::RowNotFound)
    }

    pub(crate) async fn fetch_all(self, tx: &mut Tx) -> sqlx::Result<Vec<Row>> {
        Ok(match tx {
            Tx::Sqlite(tx) => {
                bound!(Sqlite, self).fetch_all(&mut **tx).await?.into_iter().map(Row::Sqlite).collect()
            }
            Tx::Postgres(tx) => patiently(bound!(Postgres, self).fetch_all(&mut **tx))
                .await?
                .into_iter()
                .map(Row::Postgres)
                .collect(),
        })
    }

    /// The one column `value` of the one row.
    pub(crate) async fn value<T: Get>(self, tx: &mut Tx) -> sqlx::Result<T> {
        self.fetch_one(tx).await?.get("value")
    }

    /// Whether there is a row.
    pub(crate) async fn exists(self, tx: &mut Tx) -> sqlx::Result<bool> {
        Ok(self.fetch_optional(tx).await?.is_some())
    }

    /// Every row as something else.
    pub(crate) async fn all<T>(
        self,
        tx: &mut Tx,
        read: impl Fn(&Row) -> sqlx::Result<T>,
    ) -> sqlx::Result<Vec<T>> {
        self.fetch_all(tx).await?.iter().map(read).collect()
    }

    /// The row as something else, if there is one.
    pub(crate) async fn optional<T>(
        self,
        tx: &mut Tx,
        read: impl Fn(&Row) -> sqlx::Result<T>,
    ) -> sqlx::Result<Option<T>> {
        self.fetch_optional(tx).await?.as_ref().map(read).transpose()
    }
}

impl<'q> From<&'q str> for Value<'q> {
    fn from(text: &'q str) -> Self {
        Self::Text(Some(text))
    }
}

impl<'q> From<&'q String> for Value<'q> {
    fn from(text: &'q String) -> Self {
        Self::Text(Some(text))
    }
}

impl<'q> From<Option<&'q str>> for Value<'q> {
    fn from(text: Option<&'q str>) -> Self {
        Self::Text(text)
    }
}

impl<'q> From<&'q Option<String>> for Value<'q> {
    fn from(text: &'q Option<String>) -> Self {
        Self::Text(text.as_deref())
    }
}

impl From<String> for Value<'_> {
    fn from(text: String) -> Self {
        Self::Owned(Some(text))
    }
}

impl From<Uuid> for Value<'_> {
    fn from(id: Uuid) -> Self {
        Self::Owned(Some(id.to_string()))
    }
}

impl From<Option<Uuid>> for Value<'_> {
    fn from(id: Option<Uuid>) -> Self {
        Self::Owned(id.map(|id| id.to_string()))
    }
}

impl From<i64> for Value<'_> {
    fn from(number: i64) -> Self {
        Self::Integer(Some(number))
    }
}

impl From<Option<i64>> for Value<'_> {
    fn from(number: Option<i64>) -> Self {
        Self::Integer(number)
    }
}

impl From<u32> for Value<'_> {
    fn from(number: u32) -> Self {
        Self::Integer(Some(i64::from(number)))
    }
}

impl From<Option<u32>> for Value<'_> {
    fn from(number: Option<u32>) -> Self {
        Self::Integer(number.map(i64::from))
    }
}

impl<'q> From<&'q [u8]> for Value<'q> {
    fn from(bytes: &'q [u8]) -> Self {
        Self::Bytes(Some(bytes))
    }
}

impl<'q> From<Option<&'q [u8]>> for Value<'q> {
    fn from(bytes: Option<&'q [u8]>) -> Self {
        Self::Bytes(bytes)
    }
}
