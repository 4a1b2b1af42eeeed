//! One core for everything that is held against each other.

use std::error::Error;
use std::process::Command;

use super::finished;

/// Does something on the last core this process may use, with all processes started meanwhile; gives the core's number
/// with what came of it.
pub(crate) fn pinned<T>(
    work: impl FnOnce() -> Result<T, Box<dyn Error>>,
) -> Result<(String, T), Box<dyn Error>> {
    let status = std::fs::read_to_string("/proc/thread-self/status")?;
    let usual = status.lines().find_map(|line| line.strip_prefix("Cpus_allowed_list:"));
    let usual = usual.ok_or("the kernel does not say which cores there are")?.trim();
    let core = usual.rsplit([',', '-']).next().unwrap_or(usual);
    allow(core)?;
    let outcome = work();
    allow(usual)?;
    Ok((core.to_owned(), outcome?))
}

/// Sets the cores of this thread, which what it starts takes over.
fn allow(cores: &str) -> Result<(), Box<dyn Error>> {
    let thread = std::fs::read_link("/proc/thread-self")?;
    let thread = thread.file_name().ok_or("the kernel does not number its threads")?;
    finished(Command::new("taskset").args(["--cpu-list", "--pid", cores]).arg(thread))?;
    Ok(())
}
