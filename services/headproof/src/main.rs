//! headproof: judges the measurements of reconditioned cylinder heads and makes their inspection sheets.

mod cli;
mod commands;
mod config;
mod logging;
mod metrics;
#[cfg(feature = "telemetry")]
mod telemetry;
#[cfg(not(feature = "telemetry"))]
#[path = "telemetry/absent.rs"]
mod telemetry;

use std::process::ExitCode;

/// A request takes and gives back a megabyte in small pieces; the system's allocator gives it back to the
/// kernel each time and faults it in again. It asks for no huge pages: with them a worker held twice the memory, and was
/// no quicker.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    match cli::run() {
        Ok(code) => code,
        Err(error) => {
            eprintln!("headproof: {error}");
            let mut source = error.source();
            while let Some(cause) = source {
                eprintln!("  because: {cause}");
                source = cause.source();
            }
            ExitCode::from(2)
        }
    }
}
