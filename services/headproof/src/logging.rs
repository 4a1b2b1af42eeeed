//! Structured logs on standard error, and spans for whoever collects traces.

use std::error::Error;
use std::io::IsTerminal;

use tracing_subscriber::layer::SubscriberExt;
use tracing_subscriber::util::SubscriberInitExt;
use tracing_subscriber::{EnvFilter, Layer};

use crate::config::{LogConfig, LogFormat};
use crate::telemetry::Telemetry;

/// Starts logging; to be called once. Gives back what sends spans, to be stopped in the end.
pub(crate) fn start(config: &LogConfig, telemetry: Telemetry) -> Result<Telemetry, Box<dyn Error>> {
    let filter = EnvFilter::try_new(wanted(&config.level))?;
    let lines = tracing_subscriber::fmt::layer().with_writer(std::io::stderr);
    let lines = match config.format {
        LogFormat::Text => lines.with_ansi(std::io::stderr().is_terminal()).with_filter(filter).boxed(),
        LogFormat::Json => lines.json().with_filter(filter).boxed(),
    };
    tracing_subscriber::registry().with(telemetry.layer()).with(lines).try_init()?;
    Ok(telemetry)
}

/// What is wanted of the log. Requests that are no HTTP are not told of, unless somebody wants to hear of them: anybody who
/// can reach the service can send them without end.
fn wanted(level: &str) -> String {
    if level.contains("actix_http") {
        level.to_owned()
    } else {
        format!("{level},actix_http::h1::dispatcher=off")
    }
}
