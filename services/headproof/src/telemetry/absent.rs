//! Where the program is built without the feature `telemetry`.

use std::error::Error;

use tracing_subscriber::layer::Identity;

use crate::config::TelemetryConfig;

/// Nothing is sent anywhere.
pub(crate) struct Telemetry;

impl Telemetry {
    /// Sends nothing.
    pub(crate) const fn none() -> Self {
        Self
    }

    /// The same: an endpoint is refused with the configuration.
    pub(crate) fn start(_: &TelemetryConfig) -> Result<Self, Box<dyn Error>> {
        Ok(Self)
    }

    /// Nothing for a subscriber.
    pub(crate) fn layer(&self) -> Identity {
        Identity::new()
    }

    /// There is nothing to stop.
    pub(crate) const fn stop(self) {}
}
