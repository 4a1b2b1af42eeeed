//! Traces for a collector: OpenTelemetry Protocol over HTTP.
//!
//! Spans wait in a queue that is bounded: while nobody takes them, some are lost and the service goes on.

mod sender;

use std::error::Error;
use std::time::Duration;

use opentelemetry::trace::TracerProvider;
use opentelemetry_otlp::{SpanExporter, WithExportConfig, WithHttpConfig};
use opentelemetry_sdk::Resource;
use opentelemetry_sdk::trace::{Sampler, SdkTracerProvider};
use tracing::{Level, Subscriber};
use tracing_subscriber::Layer;
use tracing_subscriber::filter::Targets;
use tracing_subscriber::registry::LookupSpan;

use self::sender::Sender;
use crate::config::TelemetryConfig;

/// How long a collector may take.
const PATIENCE: Duration = Duration::from_secs(5);

/// What sends spans, where somebody wants them.
pub(crate) struct Telemetry(Option<SdkTracerProvider>);

impl Telemetry {
    /// Sends nothing.
    pub(crate) const fn none() -> Self {
        Self(None)
    }

    /// Sends spans to the collector that is configured; to be called inside of a runtime.
    ///
    /// # Errors
    /// When no client for it can be made.
    pub(crate) fn start(config: &TelemetryConfig) -> Result<Self, Box<dyn Error>> {
        let Some(endpoint) = &config.otlp_endpoint else { return Ok(Self::none()) };
        let exporter = SpanExporter::builder()
            .with_http()
            .with_endpoint(format!("{}/v1/traces", endpoint.trim_end_matches('/')))
            .with_timeout(PATIENCE)
            .with_http_client(Sender::new(PATIENCE)?)
            .build()?;
        // Whether a trace is recorded is for who began it to say; one that begins here is.
        let provider = SdkTracerProvider::builder()
            .with_batch_exporter(exporter)
            .with_sampler(Sampler::ParentBased(Box::new(Sampler::AlwaysOn)))
            .with_resource(Resource::builder().with_service_name("headproof").build())
            .build();
        Ok(Self(Some(provider)))
    }

    /// What tells it of the spans of this program, whatever the log leaves out.
    pub(crate) fn layer<S>(&self) -> Option<impl Layer<S> + use<S>>
    where
        S: Subscriber + for<'a> LookupSpan<'a>,
    {
        let provider = self.0.as_ref()?;
        let ours = Targets::new().with_target("headproof", Level::INFO);
        let layer = tracing_opentelemetry::layer()
            .with_tracer(provider.tracer("headproof"))
            .with_location(false)
            .with_threads(false)
            .with_tracked_inactivity(false);
        Some(layer.with_filter(ours))
    }

    /// Sends what is left, as long as that does not take long; to be called while the runtime still runs.
    pub(crate) fn stop(self) {
        if let Some(Err(error)) = self.0.map(|provider| provider.shutdown_with_timeout(PATIENCE)) {
            tracing::warn!(%error, "the last spans may not have reached the collector");
        }
    }
}
