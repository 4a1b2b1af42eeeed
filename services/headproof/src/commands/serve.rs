//! The service: api, worker, or both in one process.

use std::error::Error;
use std::io;
use std::net::SocketAddr;
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;

use actix_web::dev::ServerHandle;
use headproof_api::{Access, ApiState, Signatures, Webhooks, bind, operator};
use headproof_client::ClientError;
use headproof_seal::{Secret, canonical, digest};
use headproof_store::{Error as StoreError, NewProfile, Options, ShopId, Store};
use headproof_wire::examples::PROFILES;
use headproof_worker::{DeliveryOptions, Duties, Nudge, Retention, SigningOptions};
use tokio::runtime::Runtime;
use tokio::signal::unix::{Signal, SignalKind, signal};
use tokio::sync::watch;
use tokio::task::{JoinError, JoinHandle};

use super::files::print;
use super::{examples, first_start, renderer};
use crate::config::{AccessMode, Config};
use crate::metrics::Metrics;

/// What runs in this process.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Parts {
    /// API and worker.
    Both,
    /// API only.
    Api,
    /// Worker only.
    Worker,
}

/// The shop of the first key.
pub(crate) const SHOP: &str = "shop";
/// The shop of whoever shows no key where none is asked for: one of its own, so that keys made by anybody open nothing but
/// what anybody has posted.
const OPEN_SHOP: &str = "open";

/// Runs until a signal says stop. A part that ends by itself ends the process, with an exit code that
/// tells whoever watches over it to start it anew: half a service looks alive and does nothing.
pub(crate) fn run(runtime: &Runtime, config: Config, parts: Parts) -> Result<ExitCode, Box<dyn Error>> {
    runtime.block_on(async {
        // Before anyone can know of the service, so that an early signal is not the end of it.
        let mut signals = Signals::new()?;
        let mut service = Service::start(&config, parts).await?;
        if let Some(address) = service.address {
            print(&format!("headproof listens on http://{address}"))?;
        }
        if let Some(path) = &service.first_key {
            let path = path.display();
            print(&format!("The first key is in {path}: make others with it, then put it away."))?;
        }
        let code = tokio::select! {
            () = signals.received() => {
                tracing::info!("stopping");
                ExitCode::SUCCESS
            }
            end = service.unexpected_end() => {
                tracing::error!(part = end.part, cause = end.cause, "a part ended by itself, stopping");
                ExitCode::FAILURE
            }
        };
        service.stop().await;
        Ok(code)
    })
}

/// The runtime of the whole process.
pub(crate) fn runtime() -> io::Result<Runtime> {
    tokio::runtime::Builder::new_multi_thread().enable_all().build()
}

/// A running service.
pub(crate) struct Service {
    /// Where the api listens, if it runs here.
    pub(crate) address: Option<SocketAddr>,
    /// Where the first key is, if it was made just now.
    pub(crate) first_key: Option<PathBuf>,
    api: Option<(ServerHandle, JoinHandle<io::Result<()>>)>,
    worker: Option<JoinHandle<Result<(), ClientError>>>,
    metrics: Option<Metrics>,
    stop: watch::Sender<bool>,
    store: Store,
}

impl Service {
    /// Opens the store and starts the parts.
    pub(crate) async fn start(config: &Config, parts: Parts) -> Result<Self, Box<dyn Error>> {
        let store = open(config).await?;
        let metrics = Metrics::start(&config.metrics, store.clone())?;
        let path = config.signing.secret_path(&config.store.dir);
        if config.signing.secret_file.is_none() || config.api.access == AccessMode::Keys {
            first_start::directory(&config.store.dir)?;
        }
        let signatures = Signatures {
            secret: Arc::new(first_start::secret(&path, &store).await?),
            rules: config.signing.rules(),
            timestamp_authorities: config.signing.timestamp_authorities()?,
        };
        let (stop, stopped) = watch::channel(false);
        let nudge = Nudge::default();
        let (store_of_worker, first_key) = (store.clone(), None);
        let mut service = Self { address: None, first_key, api: None, worker: None, metrics, stop, store };
        if parts != Parts::Worker {
            service.make_firsts(config, &signatures.secret).await?;
            service.start_api(config, signatures.clone(), nudge.clone())?;
        }
        if parts != Parts::Api {
            service.worker = Some(start_worker(store_of_worker, config, signatures, nudge, stopped)?);
        }
        Ok(service)
    }

    /// What there has to be before the first request.
    async fn make_firsts(&mut self, config: &Config, secret: &Secret) -> Result<(), Box<dyn Error>> {
        let access = config.api.access;
        let shop = ShopId::new(if access == AccessMode::Keys { SHOP } else { OPEN_SHOP });
        ship_profiles(&self.store, &shop).await?;
        first_start::authority(&self.store, &shop, config.signing.organisation.as_deref(), secret).await?;
        if access == AccessMode::Keys {
            let directory = &config.store.dir;
            let found = first_start::tidy(&self.store, directory).await?;
            self.first_key = first_start::key(&self.store, &shop, directory).await?.or(found);
        }
        Ok(())
    }

    fn start_api(
        &mut self,
        config: &Config,
        signatures: Signatures,
        nudge: Nudge,
    ) -> Result<(), Box<dyn Error>> {
        let access = match config.api.access {
            AccessMode::Keys => Access::Keys(config.oidc.provider()),
            AccessMode::Open => Access::Open(ShopId::new(OPEN_SHOP)),
        };
        let wake = Arc::new(move || nudge.now());
        let webhooks = Webhooks { guard: config.webhooks.guard(), overlap: config.webhooks.overlap() };
        // Where the system keeps temporary files in memory, a large batch had better not be one.
        let dir = &config.store.dir;
        let spool = if dir.is_dir() { dir.clone() } else { std::env::temp_dir() };
        let store = self.store.clone();
        let state = ApiState::new(store, access, config.limits(), wake, signatures, webhooks, spool)?;
        let bound = bind(state, config.api.listen, config.api.threads)
            .map_err(|error| format!("api.listen {}: {error}", config.api.listen))?;
        tracing::info!(address = %bound.address, "listening");
        self.address = Some(bound.address);
        self.api = Some((bound.server.handle(), tokio::spawn(bound.server)));
        Ok(())
    }

    /// Waits until a part ends that nobody told to.
    async fn unexpected_end(&mut self) -> End {
        let server = self.api.as_mut().map(|(_, server)| server);
        let (end, which) = tokio::select! {
            outcome = ended(server) => (End::of_api(outcome), Parts::Api),
            outcome = ended(self.worker.as_mut()) => (End::of_worker(outcome), Parts::Worker),
        };
        // It must not be waited for again.
        match which {
            Parts::Api => self.api = None,
            _ => self.worker = None,
        }
        end
    }

    /// Ends requests and tasks under way, then stops.
    pub(crate) async fn stop(self) {
        let _ = self.stop.send(true);
        if let Some((handle, server)) = self.api {
            handle.stop(true).await;
            let _ = server.await;
        }
        if let Some(worker) = self.worker {
            let _ = worker.await;
        }
        if let Some(metrics) = self.metrics {
            metrics.stop().await;
        }
        self.store.close().await;
    }
}

/// The end of a part, and what is known of its cause.
#[derive(Debug, PartialEq, Eq)]
struct End {
    part: &'static str,
    cause: String,
}

impl End {
    fn of_api(outcome: Result<io::Result<()>, JoinError>) -> Self {
        Self { part: "api", cause: cause(outcome) }
    }

    fn of_worker(outcome: Result<Result<(), ClientError>, JoinError>) -> Self {
        Self { part: "worker", cause: cause(outcome) }
    }
}

fn cause<E: std::fmt::Display>(outcome: Result<Result<(), E>, JoinError>) -> String {
    match outcome {
        Ok(Ok(())) => "it returned".to_owned(),
        Ok(Err(error)) => error.to_string(),
        Err(stopped) => stopped.to_string(),
    }
}

/// The outcome of a task; of a part that does not run here, never.
async fn ended<T>(task: Option<&mut JoinHandle<T>>) -> Result<T, JoinError> {
    match task {
        Some(task) => task.await,
        None => std::future::pending().await,
    }
}

/// The store that is configured.
pub(super) async fn open(config: &Config) -> Result<Store, Box<dyn Error>> {
    let options = Options { max_attempts: config.store.max_attempts, ..Options::default() };
    let opened = Store::open_with(config.store.location()?, options).await;
    // The address of a server may hold a password.
    let at = match config.store.is_elsewhere() {
        true => "store".to_owned(),
        false => format!("store.dir {}", config.store.dir.display()),
    };
    Ok(opened.map_err(|error| format!("{at}: {error}"))?)
}

fn start_worker(
    store: Store,
    config: &Config,
    signatures: Signatures,
    nudge: Nudge,
    stopped: watch::Receiver<bool>,
) -> io::Result<JoinHandle<Result<(), ClientError>>> {
    let command = renderer::command(&config.sheet)?;
    let deliveries = DeliveryOptions {
        at_once: config.webhooks.at_once,
        guard: config.webhooks.guard(),
        secret: Arc::clone(&signatures.secret),
        public_url: config.api.public_url.clone(),
        disable_after: config.webhooks.disable_after(),
        haste: config.webhooks.haste,
    };
    let signing = SigningOptions {
        secret: signatures.secret,
        timestamp_url: config.signing.timestamp_url.clone(),
        timestamp_authorities: signatures.timestamp_authorities,
        public_url: config.api.public_url.clone(),
    };
    let retention = Retention { heads: config.store.retention(), by: operator() };
    let duties = Duties { signing, deliveries, retention };
    let options = config.worker_options();
    let work = headproof_worker::run(store, options, command, duties, nudge, stopped);
    Ok(tokio::spawn(work))
}

/// The demo profiles are there from the start, clearly marked as such.
async fn ship_profiles(store: &Store, shop: &ShopId) -> Result<(), Box<dyn Error>> {
    for shipped in PROFILES {
        let profile = examples::profile(shipped)?;
        let document = canonical(&profile)?;
        let digest = digest(&document);
        let (id, revision) = (profile.id, profile.revision);
        let new = NewProfile { id, revision, document, digest };
        match store.put_profile(shop, new, &operator(), None).await {
            Ok(_) => {}
            Err(error @ StoreError::Conflict { .. }) => {
                tracing::warn!(%error, "the store keeps the demo profile it had");
            }
            Err(error) => return Err(error.into()),
        }
    }
    Ok(())
}

/// The signals of a person or of the system to stop.
struct Signals {
    interrupt: Signal,
    terminate: Signal,
}

impl Signals {
    fn new() -> io::Result<Self> {
        Ok(Self { interrupt: signal(SignalKind::interrupt())?, terminate: signal(SignalKind::terminate())? })
    }

    async fn received(&mut self) {
        tokio::select! {
            _ = self.interrupt.recv() => {}
            _ = self.terminate.recv() => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::*;
    use crate::commands::demo::Scratch;

    type Outcome = Result<(), Box<dyn Error>>;

    async fn start(store: &Scratch, parts: Parts) -> Result<Service, Box<dyn Error>> {
        let mut config = Config::for_demo();
        config.store.dir = store.0.clone();
        Service::start(&config, parts).await
    }

    #[tokio::test(flavor = "multi_thread")]
    async fn a_worker_that_panics_is_noticed_and_the_rest_can_be_stopped() -> Outcome {
        let store = Scratch::new()?;
        let mut service = start(&store, Parts::Api).await?;
        service.worker = Some(tokio::spawn(async { panic!("for this test") }));
        let end = service.unexpected_end().await;
        assert_eq!(end.part, "worker");
        assert!(end.cause.contains("panicked"), "{end:?}");
        service.stop().await;
        Ok(())
    }

    #[tokio::test(flavor = "multi_thread")]
    async fn an_api_that_ends_is_noticed_and_one_that_runs_is_let_be() -> Outcome {
        let store = Scratch::new()?;
        let mut service = start(&store, Parts::Both).await?;
        let quiet = tokio::time::timeout(Duration::from_millis(300), service.unexpected_end()).await;
        assert!(quiet.is_err(), "{quiet:?}");
        if let Some((handle, _)) = &service.api {
            handle.stop(true).await;
        }
        let end = service.unexpected_end().await;
        assert_eq!(end, End { part: "api", cause: "it returned".to_owned() });
        service.stop().await;
        Ok(())
    }
}
