//! Certificates of shops and their people, made and locked.

use std::sync::Arc;

use actix_web::HttpRequest;
use headproof_seal::{Certificate, Error as SealError, Identity, Locked, Secret};
use headproof_store::{CertificateRecord, NewCertificate};
use time::OffsetDateTime;

use crate::access::Caller;
use crate::{ApiError, ApiState, ProblemKind};

/// A new certificate for a person of the caller's shop, under the shop's own, which is made now where there is none.
pub(crate) async fn certificate_for(
    state: &ApiState,
    caller: &Caller,
    http: &HttpRequest,
    (name, role): (&str, &str),
) -> Result<NewCertificate, ApiError> {
    let shop = &caller.shop;
    let authority = match state.store.certificate(shop, None).await? {
        Some(kept) => kept,
        None => {
            let (made_for, secret) = (shop.to_string(), Arc::clone(&state.signatures.secret));
            let made = blocking(move || new_authority(&made_for, &secret)).await?;
            state.store.keep_first_certificate(shop, made, &caller.by(http)).await?;
            let kept = state.store.certificate(shop, None).await?;
            kept.ok_or_else(|| ApiError::new(ProblemKind::Internal))?
        }
    };
    let NewCertificate { chain, locked_key, .. } = authority.content;
    let (secret, shop) = (Arc::clone(&state.signatures.secret), shop.to_string());
    let (name, role) = (name.to_owned(), role.to_owned());
    blocking(move || {
        let authority = Identity::unlock(&Locked { key: locked_key, chain }, &secret)?;
        let organisation = authority.certificate().organisation().unwrap_or(shop);
        kept(&authority.issue(&name, &role, &organisation, OffsetDateTime::now_utc())?, &secret)
    })
    .await
}

/// The certificate of a shop that has none of its own.
fn new_authority(shop: &str, secret: &Secret) -> Result<NewCertificate, SealError> {
    kept(&Identity::new_authority(shop, OffsetDateTime::now_utc())?, secret)
}

/// A certificate and its key as they are kept.
///
/// # Errors
/// When the key cannot be locked.
pub fn kept(identity: &Identity, secret: &Secret) -> Result<NewCertificate, SealError> {
    let Locked { key, chain } = identity.lock(secret)?;
    Ok(NewCertificate { fingerprint: identity.certificate().fingerprint(), chain, locked_key: key })
}

/// Locking takes time on purpose: not on a thread that serves requests.
async fn blocking<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, SealError> + Send + 'static,
) -> Result<T, ApiError> {
    let outcome = tokio::task::spawn_blocking(work).await.map_err(|stopped| ApiError::internal(&stopped))?;
    outcome.map_err(|error| ApiError::internal(&error))
}

/// The own certificates of records as PEM (RFC 7468), in their order; not those above them, which vouch for others as well.
///
/// # Errors
/// When one cannot be read.
pub fn own_as_pem(records: &[CertificateRecord]) -> Result<String, SealError> {
    let own = records.iter().filter_map(|record| record.content.chain.first());
    own.map(|der| Ok(Certificate::from_der(der)?.to_pem())).collect()
}
