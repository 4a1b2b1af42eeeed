//! A copy of everything that is kept, taken while the service runs.

use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use super::files::print;
use super::serve::{open, runtime};
use crate::config::Config;

/// Copies database, files and the secret into a new directory, from which the service can be started.
///
/// First the database, as of one moment; then the files that it names, which never change once they are named. What is
/// disposed of between the two is told as missing.
pub(crate) fn run(config: &Config, out: &Path) -> Result<ExitCode, Box<dyn Error>> {
    if config.store.is_elsewhere() {
        return Err("what a server or a bucket keeps is backed up with their own means".into());
    }
    if out.exists() {
        return Err(format!("{} is there already", out.display()).into());
    }
    let secret = config.signing.secret_path(&config.store.dir);
    let copied = runtime()?.block_on(async {
        let store = open(config).await?;
        let copied = store.copy_to(out).await?;
        store.close().await;
        Ok::<_, Box<dyn Error>>(copied)
    })?;
    let into = out.join(secret.file_name().unwrap_or_default());
    copy_private(&secret, &into)?;
    print(&format!("{} files and the database are in {}", copied.files, out.display()))?;
    if copied.missing > 0 {
        eprintln!("{} files that the database names are not there", copied.missing);
        return Ok(ExitCode::FAILURE);
    }
    Ok(ExitCode::SUCCESS)
}

/// The secret keeps to its owner.
fn copy_private(from: &PathBuf, to: &Path) -> Result<(), Box<dyn Error>> {
    // The permissions are copied with it.
    fs::copy(from, to).map_err(|error| format!("{}: {error}", from.display()))?;
    fs::File::open(to)?.sync_all()?;
    Ok(())
}
