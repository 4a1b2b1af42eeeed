//! A copy of an embedded store, taken while it is used.

use std::path::Path;

use crate::db::Database;
use crate::{Error, Result, Store, files, sql};

/// Names that are looked up at once.
const AT_ONCE: u32 = 1000;

/// What was copied.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Copied {
    /// Files that are there.
    pub files: u64,
    /// Files that the database names and that are not there.
    pub missing: u64,
}

impl Store {
    /// Copies database and files into a directory, from which a store can be opened. The copy is of one moment: what is
    /// submitted meanwhile is not in it. Files never change once they are named, so they are copied afterwards.
    ///
    /// # Errors
    /// [`Error::Other`] for a store on a server, or when the directory has a database already.
    pub async fn copy_to(&self, directory: &Path) -> Result<Copied> {
        let Database::Sqlite { reader, .. } = &self.database else {
            return Err(Error::Other("a server is copied with its own means".into()));
        };
        let target = directory.to_owned();
        files::blocking(move || {
            files::create_private(&target)?;
            std::fs::create_dir(target.join("artifacts"))
        })
        .await?;
        let file = directory.join("headproof.sqlite3");
        // https://www.sqlite.org/lang_vacuum.html, "VACUUM with an INTO clause": as of one moment, also while others write.
        sqlx::query("VACUUM INTO $1").bind(file.to_string_lossy().into_owned()).execute(reader).await?;
        let copy = Self::open(directory).await?;
        let copied = self.copy_files(&copy).await;
        copy.close().await;
        copied
    }

    async fn copy_files(&self, copy: &Self) -> Result<Copied> {
        let mut copied = Copied::default();
        let mut after = String::new();
        loop {
            let names = sql::artifacts::names(&mut copy.read().await?, &after, AT_ONCE).await?;
            let Some(last) = names.last() else { return Ok(copied) };
            after.clone_from(last);
            for name in names {
                match self.objects.get(&name).await? {
                    Some(bytes) => {
                        copy.objects.put(&name, bytes).await?;
                        copied.files += 1;
                    }
                    None => copied.missing += 1,
                }
            }
        }
    }
}
