//! Both databases have the same tables, columns and rules: the two ways there cannot part.

use std::collections::BTreeSet;

use sqlx::{
    AssertSqlSafe, ConnectOptions, Connection, PgConnection, Row, SqliteConnection,
    sqlite::SqliteConnectOptions,
};

use crate::bench::{Anything, Bench, Outcome};

on_kinds! {
    [server]
    both_databases_have_the_same_columns
    both_databases_have_the_same_indexes
    both_databases_refuse_the_same_changes
}

/// A store of each kind, of which nothing but the schema is looked at.
async fn both(bench: &Bench) -> Result<(tempfile::TempDir, SqliteConnection, PgConnection), Anything> {
    bench.open().await?;
    let directory = tempfile::tempdir()?;
    headproof_store::Store::open(directory.path()).await?.close().await;
    let sqlite =
        SqliteConnectOptions::new().filename(directory.path().join("headproof.sqlite3")).connect().await?;
    let postgres = PgConnection::connect(bench.url.as_deref().ok_or("no server")?).await?;
    Ok((directory, sqlite, postgres))
}

async fn sqlite_says(
    connection: &mut SqliteConnection,
    statement: &str,
) -> Result<BTreeSet<String>, Anything> {
    let rows = sqlx::query(AssertSqlSafe(statement.to_owned())).fetch_all(connection).await?;
    Ok(rows.iter().map(|row| row.try_get("said")).collect::<Result<_, _>>()?)
}

async fn postgres_says(connection: &mut PgConnection, statement: &str) -> Result<BTreeSet<String>, Anything> {
    let rows = sqlx::query(AssertSqlSafe(statement.to_owned())).fetch_all(connection).await?;
    Ok(rows.iter().map(|row| row.try_get("said")).collect::<Result<_, _>>()?)
}

/// Name, type, whether there is always something, and what there is unless said otherwise.
async fn both_databases_have_the_same_columns(bench: Bench) -> Outcome {
    let (_directory, mut sqlite, mut postgres) = both(&bench).await?;
    let embedded = sqlite_says(
        &mut sqlite,
        "SELECT t.name || '.' || c.name || ' ' || lower(c.type)
                || CASE WHEN c.\"notnull\" THEN ' not null' ELSE '' END
                || coalesce(' default ' || c.dflt_value, '') AS said
         FROM sqlite_schema AS t JOIN pragma_table_info(t.name) AS c
         WHERE t.type = 'table' AND t.name NOT LIKE '\\_%' ESCAPE '\\' AND t.name NOT LIKE 'sqlite%'",
    )
    .await?;
    let server = postgres_says(
        &mut postgres,
        "SELECT table_name || '.' || column_name || ' '
                || CASE data_type WHEN 'bigint' THEN 'integer' WHEN 'bytea' THEN 'blob' ELSE data_type END
                || CASE is_nullable WHEN 'NO' THEN ' not null' ELSE '' END
                || coalesce(' default ' || trim(both '''' from replace(column_default, '::bigint', '')), '') AS said
         FROM information_schema.columns
         WHERE table_schema = 'public' AND table_name NOT LIKE '\\_%'",
    )
    .await?;
    assert!(embedded.len() > 100, "{}", embedded.len());
    assert_eq!(embedded, server);
    Ok(())
}

/// Only those that were given a name; the others follow from keys.
async fn both_databases_have_the_same_indexes(bench: Bench) -> Outcome {
    let (_directory, mut sqlite, mut postgres) = both(&bench).await?;
    let embedded = sqlite_says(
        &mut sqlite,
        "SELECT tbl_name || ' ' || name || CASE WHEN sql LIKE 'CREATE UNIQUE%' THEN ' unique' ELSE '' END AS said
         FROM sqlite_schema WHERE type = 'index' AND sql IS NOT NULL AND tbl_name NOT LIKE '\\_%' ESCAPE '\\'",
    )
    .await?;
    let server = postgres_says(
        &mut postgres,
        "SELECT tablename || ' ' || indexname || CASE WHEN indexdef LIKE 'CREATE UNIQUE%' THEN ' unique' ELSE '' END
                AS said
         FROM pg_indexes WHERE schemaname = 'public' AND tablename NOT LIKE '\\_%'
           AND indexname NOT LIKE '%\\_pkey' AND indexname NOT LIKE '%\\_key'",
    )
    .await?;
    assert!(embedded.len() > 15, "{}", embedded.len());
    assert_eq!(embedded, server);
    Ok(())
}

async fn both_databases_refuse_the_same_changes(bench: Bench) -> Outcome {
    let (_directory, mut sqlite, mut postgres) = both(&bench).await?;
    let embedded = sqlite_says(
        &mut sqlite,
        "SELECT tbl_name || ' ' || name || CASE WHEN sql LIKE '%BEFORE UPDATE%' THEN ' UPDATE' ELSE ' DELETE' END AS said
         FROM sqlite_schema WHERE type = 'trigger'",
    )
    .await?;
    let server = postgres_says(
        &mut postgres,
        "SELECT event_object_table || ' ' || trigger_name || ' ' || event_manipulation AS said
         FROM information_schema.triggers WHERE trigger_schema = 'public'",
    )
    .await?;
    assert!(embedded.len() > 10, "{}", embedded.len());
    assert_eq!(embedded, server);
    // Which values there may be, and what belongs to what: in both as often.
    let references = "SELECT count(*) AS said FROM sqlite_schema AS t JOIN pragma_foreign_key_list(t.name)
                      WHERE t.type = 'table'";
    let embedded: i64 = sqlx::query(references).fetch_one(&mut sqlite).await?.try_get("said")?;
    let references = "SELECT count(*) AS said FROM pg_constraint
                      WHERE contype = 'f' AND connamespace = 'public'::regnamespace";
    let server: i64 = sqlx::query(references).fetch_one(&mut postgres).await?.try_get("said")?;
    assert_eq!(embedded, server);
    assert!(embedded > 5);
    sqlite.close().await?;
    Ok(())
}
