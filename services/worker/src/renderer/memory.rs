//! The bound on the memory of this process.

use std::io;

use rustix::process::{Resource, Rlimit, getrlimit, setrlimit};

/// Bounds the memory of this process, in mebibytes. What it has already stays; what it wants beyond the bound it does
/// not get.
///
/// Linux counts what a process alone can write to, see `RLIMIT_DATA` in setrlimit(2); address space that is only
/// reserved, as the C library does for each thread, is not counted. Other systems count less, or nothing.
///
/// # Errors
/// When the system refuses.
pub(super) fn bind(mebibytes: u64) -> io::Result<()> {
    let maximum = getrlimit(Resource::Data).maximum;
    let wanted = mebibytes.saturating_mul(1 << 20);
    let current = Some(maximum.map_or(wanted, |maximum| wanted.min(maximum)));
    Ok(setrlimit(Resource::Data, Rlimit { current, maximum })?)
}
