//! The bound on the memory of this process.

use std::{io, panic, process};

use rustix::process::{Resource, Rlimit, getrlimit, setrlimit};

/// What the standard library says before it ends a process that got no memory.
pub(super) const NO_MEMORY: &str = "memory allocation of ";
/// With less than this left, it is want of memory that a panic is put down to.
const LEAST: usize = 16 << 20;

/// Has a panic end the process as an allocation that failed does, if there is no memory left: some libraries panic
/// then.
pub(super) fn end_in_panics_without_it() {
    let usual = panic::take_hook();
    panic::set_hook(Box::new(move |said| {
        usual(said);
        if Vec::<u8>::new().try_reserve_exact(LEAST).is_err() {
            eprintln!("{NO_MEMORY}{LEAST} bytes failed");
            process::abort();
        }
    }));
}

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
