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
    ])
}

/// Those of a server: the first one makes all that the embedded database had by then.
pub(crate) fn postgres() -> Migrator {
    migrator(&[(4, "all", include_str!("../migrations/postgres/0004_all.sql"))])
}

fn migrator(files: &[File]) -> Migrator {
    let migration = |&(version, name, text): &File| {
        Migration::new(version, name.into(), MigrationType::Simple, text.into_sql_str(), false)
    };
    Migrator::with_migrations(files.iter().map(migration).collect())
}
