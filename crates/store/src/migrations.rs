//! How the schema came to be, for each database. A migration that was released is never edited; add one instead.
//!
//! On a server old and new editions of the program run side by side while machines are renewed, so a migration only adds:
//! tables, columns with a default, indexes. What is to go away goes with the edition after the one that no longer uses it.
//!
//! Listed by hand: the macro that reads the directory would compile SQLite a second time, for the compiler's own use.

use sqlx::SqlSafeStr;
use sqlx::migrate::{Migration, MigrationType, Migrator};

type File = (i64, &'static str, &'static str);

/// Those of the embedded database, oldest first.
pub(crate) fn sqlite() -> Migrator {
    migrator(&[
        (1, "first", include_str!("../migrations/sqlite/0001_first.sql")),
        (2, "plans", include_str!("../migrations/sqlite/0002_plans.sql")),
        (3, "sign-off", include_str!("../migrations/sqlite/0003_sign_off.sql")),
        (4, "many", include_str!("../migrations/sqlite/0004_many.sql")),
        (5, "observations", include_str!("../migrations/sqlite/0005_observations.sql")),
        (6, "newest", include_str!("../migrations/sqlite/0006_newest.sql")),
    ])
}

/// Those of a server: the first one makes all that the embedded database had by then.
pub(crate) fn postgres() -> Migrator {
    migrator(&[
        (4, "all", include_str!("../migrations/postgres/0004_all.sql")),
        (5, "observations", include_str!("../migrations/postgres/0005_observations.sql")),
        (6, "newest", include_str!("../migrations/postgres/0006_newest.sql")),
    ])
}

fn migrator(files: &[File]) -> Migrator {
    let migration = |&(version, name, text): &File| {
        Migration::new(version, name.into(), MigrationType::Simple, text.into_sql_str(), false)
    };
    Migrator::with_migrations(files.iter().map(migration).collect())
}

#[cfg(test)]
mod tests {
    use sqlx::{ConnectOptions, Connection, SqliteConnection, sqlite::SqliteConnectOptions};
    use uuid::Uuid;

    use super::*;
    use crate::{JobDocuments, Progress, ShopId, Store};

    type Outcome = Result<(), Box<dyn std::error::Error>>;

    const JOB: &str = "0190a5c8-0000-7000-8000-000000000000";
    const BATCH: &str = "0190a5c8-0000-7000-8000-000000000001";

    /// A data directory as an earlier edition left it, after that many migrations, with what these statements put in.
    async fn edition(directory: &std::path::Path, migrations: usize, rows: &[&'static str]) -> Outcome {
        let file = directory.join("headproof.sqlite3");
        let options = SqliteConnectOptions::new().filename(file).create_if_missing(true);
        let mut db: SqliteConnection = options.connect().await?;
        let first = sqlite().iter().take(migrations).cloned().collect();
        Migrator::with_migrations(first).run_direct(None, &mut db, false).await?;
        for row in rows {
            sqlx::query(*row).bind(JOB).bind(BATCH).execute(&mut db).await?;
        }
        db.close().await?;
        Ok(())
    }

    #[tokio::test]
    async fn what_the_first_edition_kept_is_there_after_the_migrations() -> Outcome {
        let directory = tempfile::tempdir()?;
        let rows = [
            "INSERT INTO head VALUES ('h', 's', 'H-1')",
            "INSERT INTO job VALUES (?1, 's', 'h', NULL, NULL, NULL, 'final', 1, NULL, 'a4', 'en', 'r', 0,
                                     x'01', x'02')",
            "INSERT INTO evaluation VALUES (?1, 's', 'd', 'accept', x'03')",
            "INSERT INTO task (id, shop_id, kind, owner_id, state, max_attempts, not_before, request_id,
                               created_at) VALUES (?1, 's', 'sheet', ?1, 'queued', 5, 0, 'r', 0)",
        ];
        edition(directory.path(), 1, &rows).await?;
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

    #[tokio::test]
    async fn a_batch_of_the_third_edition_has_all_its_lines_and_is_ended() -> Outcome {
        let directory = tempfile::tempdir()?;
        let rows = [
            "INSERT INTO head VALUES ('h', 's', 'H-1')",
            "INSERT INTO batch VALUES (?2, 's', 5000)",
            "INSERT INTO job VALUES (?1, 's', 'h', ?2, 4, NULL, 'final', 1, NULL, 'a4', 'en', 'r', 5000,
                                     x'01', x'02')",
            "INSERT INTO evaluation VALUES (?1, 's', 'd', 'accept', x'03')",
            "INSERT INTO shop_turn (shop_id) VALUES ('s')",
            "INSERT INTO task (id, shop_id, kind, owner_id, batch_id, state, max_attempts, not_before, request_id,
                               created_at) VALUES (?1, 's', 'sheet', ?1, ?2, 'queued', 5, 5000, 'r', 5000)",
            "INSERT INTO task (id, shop_id, kind, owner_id, state, max_attempts, not_before, request_id, created_at)
             VALUES (?2, 's', 'batch-report', ?2, 'queued', 5, 5000, 'r', 5000)",
        ];
        edition(directory.path(), 3, &rows).await?;
        let store = Store::open(directory.path()).await?;
        let (shop, batch) = (ShopId::new("s"), Uuid::parse_str(BATCH)?);
        let record = store.batch(&shop, batch).await?.ok_or("the batch is gone")?;
        assert!(record.closed);
        assert_eq!(record.progress, Progress { queued: 1, ..Progress::default() });
        let lines = store.jobs_of_batch(&shop, batch, 0, 10).await?;
        assert_eq!(lines.iter().map(|job| job.line).collect::<Vec<_>>(), [Some(4)]);
        // The sheet, and then the report.
        for owner in [JOB, BATCH] {
            let claim = store.claim(std::time::Duration::from_secs(30)).await?.ok_or("nothing to claim")?;
            assert_eq!(claim.owner.to_string(), owner);
            store.finish(&claim, b"made".to_vec()).await?;
        }
        Ok(())
    }
}
