//! Figures for whoever watches over the service, in the text format of Prometheus.
//!
//! They are counted where things happen, by the names that are listed here; without a recorder that is in vain, and costs
//! next to nothing.

use std::error::Error;
use std::io;
use std::net::{SocketAddr, TcpListener};
use std::time::Duration;

use actix_web::dev::{Server, ServerHandle};
use actix_web::{App, HttpResponse, HttpServer, web};
use headproof_store::{Backlog, Store};
use metrics::{describe_counter, describe_gauge, describe_histogram, gauge, set_global_recorder};
use metrics_exporter_prometheus::{Matcher, PrometheusBuilder, PrometheusHandle};
use tokio::task::JoinHandle;

use crate::config::MetricsConfig;

/// What only grows.
const COUNTERS: [(&str, &str); 6] = [
    ("headproof_http_requests_total", "Requests that were answered, by method, route and status."),
    ("headproof_jobs_accepted_total", "Jobs that were accepted and are on disk, by disposition."),
    ("headproof_verdicts_total", "Rows in the evaluations of accepted jobs, by verdict."),
    ("headproof_lines_refused_total", "Lines of batches that were refused."),
    ("headproof_tasks_finished_total", "Attempts at tasks that came to an end, by kind and outcome."),
    ("headproof_webhook_deliveries_total", "Attempts to deliver an event to a shop system, by outcome."),
];

/// What goes up and down.
const GAUGES: [(&str, &str); 4] = [
    ("headproof_requests_in_flight", "Requests that are not answered yet."),
    ("headproof_queue_tasks", "Tasks in the store, by state."),
    ("headproof_queue_age_seconds", "How long the oldest task that is due has been waiting."),
    ("headproof_webhook_queue", "Messages in the store that are not delivered yet."),
];

/// What is spread, and where its buckets end, in seconds.
const HISTOGRAMS: [(&str, &str, &[f64]); 3] = [
    (
        "headproof_http_request_duration_seconds",
        "Time until the answer to a request began, by route.",
        &[0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0, 30.0],
    ),
    (
        "headproof_render_duration_seconds",
        "Time until a renderer had made pages, or had not, by kind.",
        &[0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0, 30.0, 60.0, 300.0, 600.0],
    ),
    (
        "headproof_webhook_lag_seconds",
        "Time from an event to its delivery.",
        &[0.1, 0.5, 1.0, 5.0, 10.0, 60.0, 300.0, 3600.0, 21_600.0, 86_400.0],
    ),
];

/// How often what is not counted as it happens is looked at.
const EACH: Duration = Duration::from_secs(5);

/// Figures of this process, for whoever asks.
pub(crate) struct Metrics {
    handle: ServerHandle,
    server: JoinHandle<io::Result<()>>,
    sampling: JoinHandle<()>,
}

impl Metrics {
    /// Counts from now on, if that is configured; once in a process.
    ///
    /// # Errors
    /// When the address cannot be bound, or somebody counts already.
    pub(crate) fn start(config: &MetricsConfig, store: Store) -> Result<Option<Self>, Box<dyn Error>> {
        let Some(listen) = config.listen else { return Ok(None) };
        let (server, address, figures) =
            serve(listen).map_err(|error| format!("metrics.listen {listen}: {error}"))?;
        tracing::info!(%address, "metrics listen");
        let sampling = tokio::spawn(sample(move || {
            figures.run_upkeep();
            let store = store.clone();
            async move { look_at(&store).await }
        }));
        Ok(Some(Self { handle: server.handle(), server: tokio::spawn(server), sampling }))
    }

    /// Answers nobody any more.
    pub(crate) async fn stop(self) {
        self.sampling.abort();
        self.handle.stop(false).await;
        let _ = self.server.await;
    }
}

/// Counts from now on, and makes a server that tells of it.
fn serve(listen: SocketAddr) -> Result<(Server, SocketAddr, PrometheusHandle), Box<dyn Error>> {
    let listener = TcpListener::bind(listen)?;
    let address = listener.local_addr()?;
    let figures = count()?;
    let told = figures.clone();
    let server = HttpServer::new(move || {
        let figures = told.clone();
        let tell = move || {
            let text = figures.render();
            async move { HttpResponse::Ok().content_type("text/plain; version=0.0.4; charset=utf-8").body(text) }
        };
        App::new().route("/metrics", web::get().to(tell))
    });
    Ok((server.workers(1).disable_signals().listen(listener)?.run(), address, figures))
}

fn count() -> Result<PrometheusHandle, Box<dyn Error>> {
    let mut builder = PrometheusBuilder::new();
    for (name, _, buckets) in HISTOGRAMS {
        builder = builder.set_buckets_for_metric(Matcher::Full(name.to_owned()), buckets)?;
    }
    let recorder = builder.build_recorder();
    let figures = recorder.handle();
    set_global_recorder(recorder).map_err(|_| "this process counts already")?;
    for (name, words) in COUNTERS {
        describe_counter!(name, words);
    }
    for (name, words) in GAUGES {
        describe_gauge!(name, words);
    }
    for (name, words, _) in HISTOGRAMS {
        describe_histogram!(name, words);
    }
    Ok(figures)
}

/// What waits in the store. While that does not answer, the figures stay as they were.
async fn look_at(store: &Store) {
    let Ok(Backlog { queued, running, age, deliveries }) = store.backlog().await else { return };
    for (state, tasks) in [("queued", queued), ("running", running)] {
        gauge!("headproof_queue_tasks", "state" => state).set(tasks as f64);
    }
    gauge!("headproof_queue_age_seconds").set(age.as_secs_f64());
    gauge!("headproof_webhook_queue").set(deliveries as f64);
}

/// Looks at once, and again and again.
async fn sample<F: Future<Output = ()>>(look: impl Fn() -> F) {
    loop {
        look().await;
        tokio::time::sleep(EACH).await;
    }
}
