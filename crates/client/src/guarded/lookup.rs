//! From names to addresses that may be called.

use std::fmt;
use std::future::Future;
use std::io;
use std::net::{IpAddr, SocketAddr};
use std::pin::Pin;
use std::sync::Arc;

use reqwest::dns::{Addrs, Name, Resolve, Resolving};

use super::Guard;

/// What a look-up gives: all addresses of a name.
pub type Found = Pin<Box<dyn Future<Output = io::Result<Vec<IpAddr>>> + Send>>;

/// Finds the addresses of a name.
pub trait Lookup: fmt::Debug + Send + Sync {
    /// All of them, in the order in which they shall be tried.
    fn look_up(&self, name: &str) -> Found;
}

/// As the system does it, see getaddrinfo(3).
#[derive(Debug, Clone, Copy, Default)]
pub struct SystemLookup;

impl Lookup for SystemLookup {
    fn look_up(&self, name: &str) -> Found {
        let name = name.to_owned();
        Box::pin(async move {
            let found = tokio::net::lookup_host((name.as_str(), 0)).await?;
            Ok(found.map(|address| address.ip()).collect())
        })
    }
}

/// No address of a name may be called.
#[derive(Debug, Clone, Copy, thiserror::Error)]
#[error("no address of that name may be called")]
pub(super) struct NoneLeft;

/// Looks up, and keeps what may be called. The connection is made to what it gives and to nothing else, so that a name which
/// means another address a moment later changes nothing.
#[derive(Debug, Clone)]
pub(super) struct Checked {
    pub(super) lookup: Arc<dyn Lookup>,
    pub(super) guard: Arc<Guard>,
    /// Is the connection encrypted?
    pub(super) encrypted: bool,
}

impl Resolve for Checked {
    fn resolve(&self, name: Name) -> Resolving {
        let checked = self.clone();
        Box::pin(async move {
            let found = checked.lookup.look_up(name.as_str()).await?;
            if found.is_empty() {
                return Err(io::Error::new(io::ErrorKind::NotFound, "a name without an address").into());
            }
            let may_be_called = |address: &IpAddr| checked.guard.lets(*address, checked.encrypted);
            // Port 0 is replaced by that of the address of the receiver.
            let kept: Vec<_> =
                found.into_iter().filter(may_be_called).map(|address| SocketAddr::new(address, 0)).collect();
            if kept.is_empty() {
                return Err(NoneLeft.into());
            }
            Ok(Box::new(kept.into_iter()) as Addrs)
        })
    }
}
