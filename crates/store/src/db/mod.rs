//! One way to speak to both databases. The statements are the same text for both; what few words differ is chosen
//! by [`Tx::either`].

mod postgres;
mod query;
mod row;
mod sqlite;

use sqlx::{PgPool, PgTransaction, SqlitePool, SqliteTransaction};

use crate::{Result, ShopId};

pub(crate) use query::query;
pub(crate) use row::{Get, Row, unreadable};
pub(crate) use sqlite::open as open_sqlite;

use postgres::patiently;
pub(crate) use postgres::{Limits as PostgresLimits, open as open_postgres};

/// A database in use. Clones share it.
#[derive(Debug, Clone)]
pub(crate) enum Database {
    /// An embedded one. One connection writes, so that writers of this process queue up instead of polling for
    /// the lock.
    Sqlite {
        /// Writes.
        writer: SqlitePool,
        /// Read.
        reader: SqlitePool,
    },
    /// A server that several machines share.
    Postgres(PgPool),
}

/// What a transaction shuts out, on a database that has no one lock for all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Files {
    /// Files are named by records: no sweep meanwhile.
    Named,
    /// Files are swept away: no new names meanwhile.
    Swept,
}

impl Database {
    /// A writing transaction. Where there is one lock for all, it is taken at once, so that the transaction never
    /// fails half-way because what it has read was changed meanwhile.
    pub(crate) async fn write(&self) -> Result<Tx> {
        Ok(match self {
            Self::Sqlite { writer, .. } => Tx::Sqlite(writer.begin_with("BEGIN IMMEDIATE").await?),
            Self::Postgres(pool) => {
                Tx::Postgres(patiently(pool.begin()).await.map_err(|error| postgres::no_turn(pool, error))?)
            }
        })
    }

    /// A reading transaction: all its statements see the same state.
    pub(crate) async fn read(&self) -> Result<Tx> {
        Ok(match self {
            Self::Sqlite { reader, .. } => Tx::Sqlite(reader.begin().await?),
            Self::Postgres(pool) => {
                let begun = pool.begin_with("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY");
                Tx::Postgres(patiently(begun).await.map_err(|error| postgres::no_turn(pool, error))?)
            }
        })
    }

    pub(crate) async fn close(&self) {
        match self {
            Self::Sqlite { writer, reader } => {
                reader.close().await;
                writer.close().await;
            }
            Self::Postgres(pool) => postgres::close(pool).await,
        }
    }
}

/// A transaction; dropped without [`Tx::commit`], nothing of it happened.
pub(crate) enum Tx {
    /// Of the embedded database.
    Sqlite(SqliteTransaction<'static>),
    /// Of a server.
    Postgres(PgTransaction<'static>),
}

impl Tx {
    pub(crate) async fn commit(self) -> sqlx::Result<()> {
        match self {
            Self::Sqlite(tx) => tx.commit().await,
            Self::Postgres(tx) => patiently(tx.commit()).await,
        }
    }

    pub(crate) async fn rollback(self) -> sqlx::Result<()> {
        match self {
            Self::Sqlite(tx) => tx.rollback().await,
            Self::Postgres(tx) => patiently(tx.rollback()).await,
        }
    }

    /// The words for the embedded database, or those for a server.
    pub(crate) fn either(&self, sqlite: &'static str, postgres: &'static str) -> &'static str {
        match self {
            Self::Sqlite(_) => sqlite,
            Self::Postgres(_) => postgres,
        }
    }

    /// From now to its end, no other writer of this shop comes between. The embedded database has shut out all
    /// writers before.
    pub(crate) async fn shut_out(&mut self, shop: &ShopId) -> Result<()> {
        if let Self::Postgres(_) = self {
            let lock = query("SELECT pg_advisory_xact_lock(hashtextextended($1, 0))");
            lock.bind(shop.as_str()).execute(self).await?;
        }
        Ok(())
    }

    /// The same between those who name files and those who sweep them away.
    pub(crate) async fn shut_out_files(&mut self, files: Files) -> Result<()> {
        if let Self::Postgres(_) = self {
            let lock = match files {
                Files::Named => "SELECT pg_advisory_xact_lock_shared(1, 1)",
                Files::Swept => "SELECT pg_advisory_xact_lock(1, 1)",
            };
            query(lock).execute(self).await?;
        }
        Ok(())
    }
}
