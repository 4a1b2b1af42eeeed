//! Signals that a terminal or a service manager sends to a whole group of processes.

use std::io;

/// Keeps them from ending this process for as long as it runs.
///
/// # Errors
/// When the system refuses.
#[cfg(unix)]
pub(super) fn kept_from_ending() -> io::Result<impl Sized> {
    use tokio::signal::unix::{SignalKind, signal};

    Ok([signal(SignalKind::interrupt())?, signal(SignalKind::terminate())?])
}

/// Elsewhere there are none.
///
/// # Errors
/// None.
#[cfg(not(unix))]
pub(super) fn kept_from_ending() -> io::Result<impl Sized> {
    Ok(())
}
