//! What whoever watches over the service is told.

use std::net::SocketAddr;

use headproof_client::is_address;
use serde::Deserialize;

/// Figures for whoever watches over the service, in the text format of Prometheus.
#[derive(Debug, Clone, Default, Deserialize, PartialEq)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct MetricsConfig {
    /// `HEADPROOF_METRICS_LISTEN`: address and port; port 0 takes a free one, and the log says which. Default none: nothing
    /// is counted.
    pub(crate) listen: Option<SocketAddr>,
    /// `HEADPROOF_METRICS_OPEN_NETWORK`: let others than this machine read them; nobody is asked for a key. Default false.
    pub(crate) open_network: bool,
}

/// Traces.
#[derive(Debug, Clone, Default, Deserialize, PartialEq)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct TelemetryConfig {
    /// `HEADPROOF_TELEMETRY_OTLP_ENDPOINT`: a collector that takes OTLP over HTTP, without the path `/v1/traces`. Default
    /// none: traces are in the log by their ids only.
    pub(crate) otlp_endpoint: Option<String>,
}

impl TelemetryConfig {
    /// What is wrong with the endpoint.
    pub(super) fn fault(&self) -> Option<&'static str> {
        let endpoint = self.otlp_endpoint.as_deref()?;
        if cfg!(not(feature = "telemetry")) {
            return Some("this program was built without the feature telemetry");
        }
        (!is_address(endpoint)).then_some("must be http or https")
    }
}
