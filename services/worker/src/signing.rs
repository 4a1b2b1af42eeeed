//! Signing finished pages.

use std::collections::HashMap;
use std::fmt;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use headproof_client::{ClientError, body_up_to, outgoing};
use headproof_seal::{
    Certificate, Error as SealError, Identity, Locked, PdfToSign, Secret, Signature, Trust, room_for,
};
use headproof_store::CertificateRecord;
use time::OffsetDateTime;
use uuid::Uuid;

use crate::error::TaskError;

/// How long a timestamp authority may take.
const PATIENCE: Duration = Duration::from_secs(5);
/// After it has failed it is let be for so many times the wait after a first failed attempt: what waits for a timestamp
/// must not keep a worker from other work.
const LET_BE: u32 = 30;
/// How far its clock may differ from ours.
const SKEW: time::Duration = time::Duration::minutes(5);
/// No timestamp with its certificates is larger.
const LARGEST: usize = 64 << 10;

/// What sheets are signed with.
#[derive(Debug, Clone)]
pub struct SigningOptions {
    /// What locks the keys of people.
    pub secret: Arc<Secret>,
    /// A timestamp authority (RFC 3161, by HTTP), where signatures shall have a timestamp.
    pub timestamp_url: Option<String>,
    /// Those that have to vouch for it.
    pub timestamp_authorities: Arc<[Certificate]>,
    /// Where the service can be reached, for the code on the sheet that leads to its sign-off.
    pub public_url: Option<String>,
}

/// Signs.
#[derive(Clone)]
pub(crate) struct Signers(Arc<Inner>);

struct Inner {
    options: SigningOptions,
    http: reqwest::Client,
    /// How long the timestamp authority is let be after it has failed.
    pause: Duration,
    /// Until when the timestamp authority is let be.
    let_be: Mutex<Option<Instant>>,
    /// Unlocking takes time on purpose; a key that was unlocked stays so.
    unlocked: Mutex<HashMap<Uuid, Arc<Identity>>>,
}

impl fmt::Debug for Signers {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Signers")
    }
}

impl Signers {
    /// Without any key yet; `first_backoff` is the wait after a first failed attempt.
    ///
    /// # Errors
    /// When no client for a timestamp authority can be made.
    pub(crate) fn new(options: SigningOptions, first_backoff: Duration) -> Result<Self, ClientError> {
        let http = outgoing(PATIENCE)?;
        let pause = first_backoff.saturating_mul(LET_BE);
        let (let_be, unlocked) = (Mutex::default(), Mutex::default());
        Ok(Self(Arc::new(Inner { options, http, pause, let_be, unlocked })))
    }

    /// What the square code of a sign-off says.
    pub(crate) fn address(&self, code: &str) -> String {
        match &self.0.options.public_url {
            Some(url) => format!("{}/v1/sign-offs/{code}", url.trim_end_matches('/')),
            None => code.to_owned(),
        }
    }

    /// Whether signing is worth a try: to be asked before pages are made for it.
    ///
    /// # Errors
    /// [`TaskError::NotStamped`] while the timestamp authority is let be.
    pub(crate) fn ready(&self) -> Result<(), TaskError> {
        let let_be = *self.0.let_be.lock().unwrap_or_else(PoisonError::into_inner);
        if let_be.is_some_and(|until| until > Instant::now()) {
            return Err(TaskError::NotStamped("it failed not long ago".into()));
        }
        Ok(())
    }

    /// The person of a certificate, with their key.
    pub(crate) async fn unlock(&self, kept: &CertificateRecord) -> Result<Arc<Identity>, TaskError> {
        let unlocked = || self.0.unlocked.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(identity) = unlocked().get(&kept.id) {
            return Ok(Arc::clone(identity));
        }
        let locked = Locked { key: kept.content.locked_key.clone(), chain: kept.content.chain.clone() };
        let secret = Arc::clone(&self.0.options.secret);
        let opened = tokio::task::spawn_blocking(move || Identity::unlock(&locked, &secret)).await;
        let identity = opened.map_err(|stopped| TaskError::Locked(Box::new(stopped)))?;
        let identity = Arc::new(identity.map_err(|error| TaskError::Locked(Box::new(error)))?);
        unlocked().insert(kept.id, Arc::clone(&identity));
        Ok(identity)
    }

    /// How much room a signature of this person wants.
    pub(crate) fn room(&self, identity: &Identity) -> usize {
        room_for(identity, self.0.options.timestamp_url.is_some())
    }

    /// Signs pages that have room for it.
    pub(crate) async fn sign(&self, pages: Vec<u8>, identity: &Identity) -> Result<Vec<u8>, TaskError> {
        let unsigned = |error: SealError| TaskError::Unsigned(error);
        let pages = PdfToSign::new(pages).map_err(unsigned)?;
        let mut signature = pages.sign(identity).map_err(unsigned)?;
        if let Some(url) = &self.0.options.timestamp_url {
            signature = self.stamped(url, signature).await?;
        }
        pages.finish(signature).map_err(unsigned)
    }

    async fn stamped(&self, url: &str, signature: Signature) -> Result<Signature, TaskError> {
        let request = signature.timestamp_request().map_err(TaskError::Unsigned)?;
        match self.ask(url, request).await {
            Ok(response) => self.with_timestamp(signature, &response).map_err(TaskError::NotStamped),
            Err(error) => {
                let mut let_be = self.0.let_be.lock().unwrap_or_else(PoisonError::into_inner);
                *let_be = Some(Instant::now() + self.0.pause);
                Err(TaskError::NotStamped(error.into()))
            }
        }
    }

    /// The signature with a timestamp, if that is one to be believed: by an authority somebody vouches for, with a time
    /// that can be.
    fn with_timestamp(
        &self,
        signature: Signature,
        response: &[u8],
    ) -> Result<Signature, Box<dyn std::error::Error + Send + Sync>> {
        let (signature, timestamp) = signature.with_timestamp(response)?;
        if let Trust::Untrusted(why) = timestamp.trusted_by(&self.0.options.timestamp_authorities) {
            return Err(format!("its authority is not one to be believed: {why}").into());
        }
        if (OffsetDateTime::now_utc() - timestamp.time()).abs() > SKEW {
            return Err("its time is far from ours".into());
        }
        Ok(signature)
    }

    /// RFC 3161, 3.4.
    async fn ask(&self, url: &str, request: Vec<u8>) -> Result<Vec<u8>, ClientError> {
        let request =
            self.0.http.post(url).header("Content-Type", "application/timestamp-query").body(request);
        body_up_to(request.send().await?, LARGEST).await
    }
}
