//! Requests to addresses that clients have given, such as receivers of webhooks: they reach the internet, and nothing that
//! only this machine can see.

mod lookup;
mod networks;
#[cfg(test)]
mod tests;

use std::error::Error;
use std::net::IpAddr;
use std::sync::Arc;
use std::time::Duration;

use ipnet::IpNet;
use reqwest::Url;
use reqwest::header::HeaderMap;
use reqwest::redirect::Policy;

use self::lookup::{Checked, NoneLeft};
use crate::outgoing::{parsed, with_provider};
use crate::retry_after::retry_after;

pub use self::lookup::{Found, Lookup, SystemLookup};

/// What may be called.
#[derive(Debug, Clone, Default)]
pub struct Guard {
    /// Networks that may be called although they are not of the internet. Link-local addresses, and those where a machine
    /// learns its secrets, may not be called even if they are among them.
    pub allowed: Vec<IpNet>,
    /// Shall every request be encrypted? Otherwise those to the networks that are allowed need not be.
    pub https_only: bool,
}

impl Guard {
    /// May this address be called?
    fn lets(&self, address: IpAddr, encrypted: bool) -> bool {
        let allowed = networks::is_among(&self.allowed, address);
        let fits =
            if encrypted { allowed || networks::is_public(address) } else { allowed && !self.https_only };
        fits && !networks::is_never_allowed(address)
    }
}

/// A client for addresses that clients have given. It follows no redirect and no proxy of the environment, holds no
/// connection open, and reads nothing of what a receiver says but its status and when to come again.
#[derive(Debug, Clone)]
pub struct GuardedClient {
    guard: Arc<Guard>,
    encrypted: reqwest::Client,
    plain: reqwest::Client,
}

/// What a receiver answered; what else it said was not read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Answer {
    /// The HTTP status, whichever it is.
    pub status: u16,
    /// How long it wants not to be asked.
    pub retry_after: Option<Duration>,
}

/// Why there is no answer. No message tells an address that a name was found to have.
#[derive(Debug, thiserror::Error)]
pub enum DeliveryError {
    /// No address of the web, or one with a name and a password.
    #[error("not an address that could be called")]
    Address,
    /// It has to be encrypted.
    #[error("the address has to begin with https")]
    NotEncrypted,
    /// It leads where nothing may be called.
    #[error("the address leads to a network that may not be called")]
    Refused,
    /// It took too long.
    #[error("no answer in time")]
    TimedOut,
    /// The receiver is not there, or does not speak HTTP.
    #[error("no answer")]
    Transport(#[source] reqwest::Error),
}

impl GuardedClient {
    /// A client that waits so long for an answer.
    ///
    /// # Errors
    /// When the certificates of the system cannot be read.
    pub fn new(guard: Guard, patience: Duration) -> Result<Self, reqwest::Error> {
        Self::with_lookup(guard, patience, Arc::new(SystemLookup))
    }

    /// The same with another way to find the addresses of names.
    ///
    /// # Errors
    /// As [`Self::new`].
    pub fn with_lookup(
        guard: Guard,
        patience: Duration,
        lookup: Arc<dyn Lookup>,
    ) -> Result<Self, reqwest::Error> {
        let guard = Arc::new(guard);
        let client = |encrypted: bool| {
            let checked = Checked { lookup: Arc::clone(&lookup), guard: Arc::clone(&guard), encrypted };
            with_provider()
                .timeout(patience)
                .redirect(Policy::none())
                .no_proxy()
                .referer(false)
                .https_only(encrypted)
                // Every request is checked when it connects.
                .pool_max_idle_per_host(0)
                .dns_resolver(Arc::new(checked))
                .build()
        };
        Ok(Self { encrypted: client(true)?, plain: client(false)?, guard })
    }

    /// Could this address be called, as far as can be told without looking up its name?
    ///
    /// # Errors
    /// [`DeliveryError::Address`], [`DeliveryError::NotEncrypted`] or [`DeliveryError::Refused`].
    pub fn check(&self, url: &str) -> Result<(), DeliveryError> {
        self.checked(url).map(|_| ())
    }

    /// Posts a message.
    ///
    /// # Errors
    /// [`DeliveryError`]; any answer at all is none.
    pub async fn deliver(
        &self,
        url: &str,
        headers: HeaderMap,
        body: impl Into<Vec<u8>>,
    ) -> Result<Answer, DeliveryError> {
        let url = self.checked(url)?;
        let http = if url.scheme() == "https" { &self.encrypted } else { &self.plain };
        let request = http.post(url).headers(headers).body(body.into());
        let response = request.send().await.map_err(DeliveryError::of)?;
        Ok(Answer { status: response.status().as_u16(), retry_after: retry_after(response.headers()) })
    }

    fn checked(&self, url: &str) -> Result<Url, DeliveryError> {
        let url = parsed(url).ok_or(DeliveryError::Address)?;
        let encrypted = url.scheme() == "https";
        if !encrypted && (self.guard.https_only || self.guard.allowed.is_empty()) {
            return Err(DeliveryError::NotEncrypted);
        }
        // Nothing is looked up for an address that is one already.
        match literal(&url) {
            Some(address) if !self.guard.lets(address, encrypted) => Err(DeliveryError::Refused),
            _ => Ok(url),
        }
    }
}

/// The address of a URL that has no name. Other ways to write an address of IPv4 (`0x7f.1`) were understood when it was parsed.
fn literal(url: &Url) -> Option<IpAddr> {
    let host = url.host_str()?;
    host.strip_prefix('[').and_then(|host| host.strip_suffix(']')).unwrap_or(host).parse().ok()
}

impl DeliveryError {
    fn of(error: reqwest::Error) -> Self {
        let mut source: Option<&(dyn Error + 'static)> = error.source();
        while let Some(cause) = source {
            if cause.is::<NoneLeft>() {
                return Self::Refused;
            }
            source = cause.source();
        }
        if error.is_timeout() { Self::TimedOut } else { Self::Transport(error.without_url()) }
    }
}
