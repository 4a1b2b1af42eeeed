//! Structured logs on standard error.

use std::error::Error;
use std::io::IsTerminal;

use tracing_subscriber::EnvFilter;

use crate::config::{LogConfig, LogFormat};

/// Starts logging; to be called once.
pub(crate) fn start(config: &LogConfig) -> Result<(), Box<dyn Error>> {
    let filter = EnvFilter::try_new(&config.level)?;
    let builder = tracing_subscriber::fmt().with_env_filter(filter).with_writer(std::io::stderr);
    let colour = std::io::stderr().is_terminal();
    match config.format {
        LogFormat::Text => builder.with_ansi(colour).try_init().map_err(|error| error.to_string())?,
        LogFormat::Json => builder.json().try_init().map_err(|error| error.to_string())?,
    }
    Ok(())
}
