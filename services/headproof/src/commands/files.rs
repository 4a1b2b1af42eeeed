//! What commands that work on files have in common: reading documents, telling their faults, printing, writing.

use std::error::Error;
use std::io::{self, Read, Write};
use std::path::Path;
use std::process::ExitCode;

use headproof_sheet::Rendered;
use headproof_wire::{Document, Fault, ReadError, read};
use serde::de::DeserializeOwned;

/// Prints a text; a reader that has seen enough of it, `head` for example, is no failure.
pub(super) fn print(text: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    match writeln!(out, "{text}").and_then(|()| out.flush()) {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        outcome => outcome,
    }
}

/// Writes a file; what goes wrong is told with its name.
pub(super) fn write(path: &Path, content: impl AsRef<[u8]>) -> Result<(), Box<dyn Error>> {
    std::fs::write(path, content).map_err(|error| format!("{}: {error}", path.display()).into())
}

/// Writes pages; says on standard error which characters they could not show.
pub(super) fn write_pages(path: &Path, pages: &Rendered) -> Result<(), Box<dyn Error>> {
    write(path, &pages.bytes)?;
    if let Some(code_points) = pages.unshown_code_points() {
        eprintln!("{}: characters could not be shown: {code_points}", path.display());
    }
    Ok(())
}

/// Why a document was not taken.
pub(super) enum Refusal {
    /// What it says has faults.
    Faults(Vec<Fault>),
    /// It could not even be read.
    Other(Box<dyn Error>),
}

/// Shows the faults of all documents; a document that could not even be read is the greater evil.
pub(super) fn refused<const N: usize>(
    documents: [(&str, Option<Refusal>); N],
) -> Result<ExitCode, Box<dyn Error>> {
    let mut unreadable = None;
    for (what, refusal) in documents {
        match refusal {
            Some(Refusal::Faults(faults)) => show(what, &faults),
            Some(Refusal::Other(error)) => unreadable = unreadable.or(Some(error)),
            None => {}
        }
    }
    unreadable.map_or(Ok(ExitCode::from(2)), Err)
}

/// Reads a file, or standard input when its path is `-`; what goes wrong is told with its name.
pub(super) fn bytes(path: &Path) -> Result<Vec<u8>, Box<dyn Error>> {
    let mut bytes = Vec::new();
    let read = if path == Path::new("-") {
        io::stdin().read_to_end(&mut bytes).map(|_| bytes)
    } else {
        std::fs::read(path)
    };
    read.map_err(|error| format!("{}: {error}", path.display()).into())
}

/// Reads a document, of standard input when its path is `-`, and takes it into the domain.
pub(super) fn document<T: DeserializeOwned + Document, D>(
    path: &Path,
    take: impl FnOnce(&T) -> Result<D, Vec<Fault>>,
) -> Result<(T, D), Refusal> {
    let bytes = bytes(path).map_err(Refusal::Other)?;
    let document: T = read(&bytes).map_err(|error| match error {
        ReadError::Faults(faults) => Refusal::Faults(faults),
        ReadError::NotJson(_) => Refusal::Other(format!("{}: {error}", path.display()).into()),
    })?;
    let taken = take(&document).map_err(Refusal::Faults)?;
    Ok((document, taken))
}

/// Shows faults, one a line.
pub(super) fn show(what: &str, faults: &[Fault]) {
    for fault in faults {
        let value = fault.value.as_ref().map(|value| format!(" (is {value})")).unwrap_or_default();
        eprintln!("{what} {}: {}{value}", fault.pointer, fault.detail);
    }
}
