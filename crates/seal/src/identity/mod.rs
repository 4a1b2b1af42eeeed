//! Who signs: a private key and the certificates that say whose it is.

mod bring;
mod issue;
mod lock;
mod pem;

use std::fmt;

pub(crate) use bring::Found;
pub use lock::Locked;
pub(crate) use pem::read as read_pem;

use crate::certificate::Certificate;
use crate::key::Key;
use crate::{Error, Result};

/// A private key with its certificate and those of the authorities above it.
///
/// [`Debug`](fmt::Debug) shows the certificates alone.
#[derive(Clone)]
pub struct Identity {
    key: Key,
    certificate: Certificate,
    /// The certificates above its own, each issued by the next.
    above: Vec<Certificate>,
}

impl Identity {
    /// Its own certificate.
    #[must_use]
    pub fn certificate(&self) -> &Certificate {
        &self.certificate
    }

    /// Its own certificate and those above it, each issued by the next.
    pub fn chain(&self) -> impl Iterator<Item = &Certificate> {
        std::iter::once(&self.certificate).chain(&self.above)
    }

    /// The private key.
    pub(crate) fn key(&self) -> &Key {
        &self.key
    }

    /// Puts a key and certificates in any order together; certificates that are not above the one of the key
    /// are left out.
    ///
    /// # Errors
    /// [`Error::Certificate`] when none of them is that of the key.
    fn assemble(key: Key, certificates: Vec<Certificate>) -> Result<Self> {
        let public = key.public()?;
        let is_own = |certificate: &Certificate| {
            certificate.public_key().subject_public_key == public.subject_public_key
        };
        let certificate = certificates.iter().find(|certificate| is_own(certificate)).cloned();
        let certificate =
            certificate.ok_or_else(|| Error::Certificate("none belongs to the key".to_owned()))?;
        let mut above: Vec<Certificate> = Vec::new();
        let mut last = &certificate;
        while let Some(issuer) = certificates.iter().find(|other| {
            **other != certificate && !above.contains(other) && last.verify_issued_by(other).is_ok()
        }) {
            above.push(issuer.clone());
            last = issuer;
        }
        Ok(Self { key, certificate, above })
    }
}

impl fmt::Debug for Identity {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.debug_list().entries(self.chain()).finish()
    }
}
