//! The service: api, worker, or both in one process.

use std::error::Error;
use std::net::SocketAddr;
use std::process::ExitCode;
use std::sync::Arc;

use headproof_api::{ApiState, bind};
use headproof_seal::{canonical, digest};
use headproof_store::{Error as StoreError, NewProfile, Options, ShopId, Store};
use headproof_worker::{Nudge, WorkerOptions};
use tokio::sync::watch;
use tokio::task::JoinHandle;

use super::examples;
use crate::config::Config;

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

/// The one shop of an installation without access control.
const SHOP: &str = "shop";

/// Runs until a signal says stop.
pub(crate) fn run(config: Config, parts: Parts) -> Result<ExitCode, Box<dyn Error>> {
    runtime()?.block_on(async {
        let service = Service::start(&config, parts).await?;
        if let Some(address) = service.address {
            println!("headproof listens on http://{address}");
        }
        signalled().await?;
        tracing::info!("stopping");
        service.stop().await;
        Ok(ExitCode::SUCCESS)
    })
}

/// The runtime of the whole process.
pub(crate) fn runtime() -> std::io::Result<tokio::runtime::Runtime> {
    tokio::runtime::Builder::new_multi_thread().enable_all().build()
}

/// A running service.
pub(crate) struct Service {
    /// Where the api listens, if it runs here.
    pub(crate) address: Option<SocketAddr>,
    api: Option<(actix_web::dev::ServerHandle, JoinHandle<std::io::Result<()>>)>,
    worker: Option<JoinHandle<()>>,
    stop: watch::Sender<bool>,
    store: Store,
}

impl Service {
    /// Opens the store and starts the parts.
    pub(crate) async fn start(config: &Config, parts: Parts) -> Result<Self, Box<dyn Error>> {
        let options = Options { max_attempts: config.store.max_attempts, ..Options::default() };
        let store = Store::open_with(&config.store.dir, options).await?;
        let (stop, stopped) = watch::channel(false);
        let nudge = Nudge::default();
        let mut service = Self { address: None, api: None, worker: None, stop, store: store.clone() };
        if parts != Parts::Worker {
            ship_profiles(&store).await?;
            service.start_api(config, nudge.clone())?;
        }
        if parts != Parts::Api {
            service.worker = Some(start_worker(store, config.worker_options(), nudge, stopped));
        }
        Ok(service)
    }

    fn start_api(&mut self, config: &Config, nudge: Nudge) -> Result<(), Box<dyn Error>> {
        let state = ApiState {
            store: self.store.clone(),
            shop: ShopId::new(SHOP),
            limits: config.limits(),
            wake: Arc::new(move || nudge.now()),
        };
        let bound = bind(state, config.api.listen, config.api.threads)
            .map_err(|error| format!("api.listen {}: {error}", config.api.listen))?;
        tracing::info!(address = %bound.address, "listening");
        self.address = Some(bound.address);
        self.api = Some((bound.server.handle(), tokio::spawn(bound.server)));
        Ok(())
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
        self.store.close().await;
    }
}

fn start_worker(
    store: Store,
    options: WorkerOptions,
    nudge: Nudge,
    stopped: watch::Receiver<bool>,
) -> JoinHandle<()> {
    tokio::spawn(headproof_worker::run(store, options, nudge, stopped))
}

/// The demo profiles are there from the start, clearly marked as such.
async fn ship_profiles(store: &Store) -> Result<(), Box<dyn Error>> {
    for shipped in examples::PROFILES {
        let profile = examples::profile(shipped)?;
        let document = canonical(&profile)?;
        let digest = digest(&document);
        let (id, revision) = (profile.id, profile.revision);
        let new = NewProfile { id, revision, document, digest };
        match store.put_profile(&ShopId::new(SHOP), new).await {
            Ok(_) => {}
            Err(error @ StoreError::Conflict { .. }) => {
                tracing::warn!(%error, "the store keeps the demo profile it had");
            }
            Err(error) => return Err(error.into()),
        }
    }
    Ok(())
}

/// Waits for the signal of a person or of the system.
async fn signalled() -> std::io::Result<()> {
    use tokio::signal::unix::{SignalKind, signal};
    let mut terminate = signal(SignalKind::terminate())?;
    tokio::select! {
        outcome = tokio::signal::ctrl_c() => outcome,
        _ = terminate.recv() => Ok(()),
    }
}
