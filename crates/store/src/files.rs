//! Files and directories of this machine.

use std::{
    fs::{self, File},
    io::{self, Write},
    path::Path,
    time::SystemTime,
};

use uuid::Uuid;

use crate::{Error, Result};

/// Runs blocking file work beside the asynchronous threads.
pub(crate) async fn blocking<T: Send + 'static>(
    work: impl FnOnce() -> io::Result<T> + Send + 'static,
) -> Result<T> {
    let outcome = tokio::task::spawn_blocking(work).await;
    Ok(outcome.map_err(|stopped| Error::Other(stopped.into()))??)
}

/// Makes a directory that nobody else may look into; one that is there stays as it is.
pub(crate) fn create_private(directory: &Path) -> io::Result<()> {
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(directory)
}

/// A new or renamed entry is only on disk when its directory is.
pub(crate) fn sync_directory(directory: &Path) -> io::Result<()> {
    File::open(directory)?.sync_all()
}

/// Shows that the directory takes a file.
pub(crate) fn probe(directory: &Path) -> io::Result<()> {
    let path = directory.join(format!(".{}.probe", Uuid::now_v7()));
    let written = File::create_new(&path).and_then(|mut file| file.write_all(b"?"));
    remove(&path);
    written
}

/// The names of the files last written before `limit`.
pub(crate) fn older_than(directory: &Path, limit: SystemTime) -> io::Result<Vec<String>> {
    let mut names = Vec::new();
    for entry in fs::read_dir(directory)? {
        let entry = entry?;
        let metadata = match entry.metadata() {
            Ok(metadata) => metadata,
            // Finished or removed by another process meanwhile.
            Err(gone) if gone.kind() == io::ErrorKind::NotFound => continue,
            Err(other) => return Err(other),
        };
        if metadata.is_file()
            && metadata.modified()? <= limit
            && let Ok(name) = entry.file_name().into_string()
        {
            names.push(name);
        }
    }
    Ok(names)
}

/// Removes a file that is in nobody's way if it stays; says whether it did.
pub(crate) fn remove(path: &Path) -> bool {
    match fs::remove_file(path) {
        Ok(()) => true,
        Err(error) => {
            if error.kind() != io::ErrorKind::NotFound {
                tracing::warn!(path = %path.display(), %error, "a file was left behind");
            }
            false
        }
    }
}
