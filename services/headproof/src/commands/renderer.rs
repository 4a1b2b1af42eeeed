//! How the worker starts its renderers: this program again.

use std::io;
use std::path::PathBuf;

use headproof_worker::RendererCommand;

use crate::config::SheetConfig;

/// What the allocator takes from the system at a time, in KiB; its usual gigabyte would leave the bound on the
/// memory of a renderer without effect. Source: mimalloc's documentation of its environment options.
const ARENA: (&str, &str) = ("MIMALLOC_ARENA_RESERVE", "32768");

/// This program as a renderer, with the same typefaces.
///
/// # Errors
/// When the system does not tell where this program is.
pub(super) fn command(pages: &SheetConfig) -> io::Result<RendererCommand> {
    let typefaces = pages.typefaces.iter().map(|file| format!("--typeface={file}"));
    Ok(RendererCommand {
        program: this_program()?,
        arguments: std::iter::once("render".to_owned()).chain(typefaces).collect(),
        environment: vec![(ARENA.0, ARENA.1.to_owned())],
    })
}

/// On Linux, the very file that runs, though it may have been replaced by another edition since: worker and
/// renderer have to be of one edition.
fn this_program() -> io::Result<PathBuf> {
    if cfg!(target_os = "linux") { Ok(PathBuf::from("/proc/self/exe")) } else { std::env::current_exe() }
}
