//! A row of an answer. Both databases are asked for texts, whole numbers and bytes only.

use sqlx::postgres::PgRow;
use sqlx::sqlite::SqliteRow;
use sqlx::{Decode, Postgres, Row as _, Sqlite, Type};
use time::OffsetDateTime;
use uuid::Uuid;

use crate::clock::from_unix_ms;

/// A row of either.
pub(crate) enum Row {
    Sqlite(SqliteRow),
    Postgres(PgRow),
}

/// What can be had from a column.
pub(crate) trait Get: Sized {
    fn get(row: &Row, column: &str) -> sqlx::Result<Self>;
}

impl Row {
    pub(crate) fn get<T: Get>(&self, column: &str) -> sqlx::Result<T> {
        T::get(self, column)
    }

    /// A name of an enum.
    pub(crate) fn named<T>(&self, column: &str, parse: impl Fn(&str) -> Option<T>) -> sqlx::Result<T> {
        let name: String = self.get(column)?;
        parse(&name).ok_or_else(|| unreadable(column, format!("unknown name {name:?}")))
    }

    fn both<T>(&self, column: &str) -> sqlx::Result<T>
    where
        for<'r> T: Decode<'r, Sqlite> + Type<Sqlite> + Decode<'r, Postgres> + Type<Postgres>,
    {
        match self {
            Self::Sqlite(row) => row.try_get(column),
            Self::Postgres(row) => row.try_get(column),
        }
    }
}

/// A column whose content makes no sense.
pub(crate) fn unreadable(column: &str, source: impl Into<sqlx::error::BoxDynError>) -> sqlx::Error {
    sqlx::Error::ColumnDecode { index: column.to_owned(), source: source.into() }
}

macro_rules! as_they_are {
    ($($kind:ty),*) => {$(
        impl Get for $kind {
            fn get(row: &Row, column: &str) -> sqlx::Result<Self> {
                row.both(column)
            }
        }
    )*};
}
as_they_are!(String, Option<String>, i64, Option<i64>, Vec<u8>, Option<Vec<u8>>);

macro_rules! smaller {
    ($($kind:ty),*) => {$(
        impl Get for $kind {
            fn get(row: &Row, column: &str) -> sqlx::Result<Self> {
                let number: i64 = row.get(column)?;
                number.try_into().map_err(|fault| unreadable(column, fault))
            }
        }

        impl Get for Option<$kind> {
            fn get(row: &Row, column: &str) -> sqlx::Result<Self> {
                let number: Option<i64> = row.get(column)?;
                number.map(|number| number.try_into().map_err(|fault| unreadable(column, fault))).transpose()
            }
        }
    )*};
}
smaller!(u16, u32, u64);

impl Get for Option<Uuid> {
    fn get(row: &Row, column: &str) -> sqlx::Result<Self> {
        let text: Option<String> = row.get(column)?;
        text.map(|text| Uuid::parse_str(&text).map_err(|fault| unreadable(column, fault))).transpose()
    }
}

impl Get for Uuid {
    fn get(row: &Row, column: &str) -> sqlx::Result<Self> {
        row.get::<Option<Self>>(column)?.ok_or_else(|| unreadable(column, "no id"))
    }
}

impl Get for Option<OffsetDateTime> {
    fn get(row: &Row, column: &str) -> sqlx::Result<Self> {
        let ms: Option<i64> = row.get(column)?;
        ms.map(|ms| from_unix_ms(ms).map_err(|fault| unreadable(column, fault))).transpose()
    }
}

impl Get for OffsetDateTime {
    fn get(row: &Row, column: &str) -> sqlx::Result<Self> {
        row.get::<Option<Self>>(column)?.ok_or_else(|| unreadable(column, "no time"))
    }
}
