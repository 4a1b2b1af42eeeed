//! Is a file ours, and is it as it was?

use actix_web::{HttpResponse, web};
use headproof_seal::{Integrity, SignedPdf, digest, inspect_pdf};
use headproof_store::{ArtifactKind, ArtifactRecord, ShopId};
use headproof_wire::{Authenticity, Problem, SignatureSeen, Verification};

use crate::access::{May, Read};
use crate::body::File;
use crate::present::instant;
use crate::signing::{document, earlier};
use crate::{ApiError, ApiState};

/// Post a PDF file and learn whether it is this shop's, unaltered, by whom it was signed, and whether that was
/// superseded. Nothing of it is kept.
#[utoipa::path(
    post,
    path = "/v1/verify",
    tag = "Sign-off",
    request_body(content = Vec<u8>, content_type = "application/pdf"),
    responses(
        (status = 200, description = "What it turned out to be, genuine or not", body = Verification),
        (status = 413, description = "Too large", body = Problem, content_type = "application/problem+json"),
        (status = 415, description = "Not application/pdf", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn verify(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    file: File,
) -> Result<HttpResponse, ApiError> {
    let bytes = file.0;
    let looked = tokio::task::spawn_blocking(move || (digest(&bytes), inspect_pdf(&bytes)));
    let (sha256, signed) = looked.await.map_err(|stopped| ApiError::internal(&stopped))?;
    let mut found = Verification {
        authenticity: Authenticity::Foreign,
        detail: "Nothing shows that this file comes from this shop.".to_owned(),
        sha256,
        kind: None,
        made_of: None,
        signature: None,
        sign_off: None,
        code: None,
        superseded_by: None,
        newest_revision: None,
    };
    if let Some(signed) = &signed {
        look_at_signature(&state, &caller.shop, signed, &mut found).await?;
    }
    if let Some(made) = state.store.artifact_of_digest(&caller.shop, &found.sha256).await? {
        look_at_record(&state, &caller.shop, &made, &mut found).await?;
    }
    Ok(HttpResponse::Ok().json(found))
}

/// What its signature says of a file. Whose it is, is decided by the certificates the shop knows.
async fn look_at_signature(
    state: &ApiState,
    shop: &ShopId,
    signed: &SignedPdf,
    found: &mut Verification,
) -> Result<(), ApiError> {
    let Some(signer) = signed.signer() else { return Ok(()) };
    let timestamp = signed.timestamp();
    found.signature = Some(SignatureSeen {
        signer: signer.common_name().unwrap_or_default(),
        certificate: signer.fingerprint(),
        timestamp: timestamp.map(|stamp| instant(stamp.time())).transpose()?,
        timestamp_by: timestamp.and_then(|stamp| stamp.authority().common_name()),
    });
    if state.store.certificate_of(shop, &signer.fingerprint()).await?.is_none() {
        found.detail = "It is signed, but with no certificate of this shop.".to_owned();
        return Ok(());
    }
    (found.authenticity, found.detail) = match signed.integrity() {
        Integrity::Intact => (
            Authenticity::Genuine,
            "Signed with a certificate of this shop, and every byte is as it was then.".to_owned(),
        ),
        Integrity::Altered(why) => (Authenticity::Altered, format!("It is not as it was signed: {why}.")),
    };
    Ok(())
}

/// What the shop knows of a file that it has made, byte for byte.
async fn look_at_record(
    state: &ApiState,
    shop: &ShopId,
    made: &ArtifactRecord,
    found: &mut Verification,
) -> Result<(), ApiError> {
    found.kind = Some(made.kind.as_str().to_owned());
    found.made_of = Some(made.owner);
    match made.kind {
        ArtifactKind::SignedSheet => {
            let Some(record) = state.store.sign_off(shop, made.owner).await? else { return Ok(()) };
            found.made_of = Some(record.job);
            found.code = Some(record.content.code.clone());
            found.sign_off = Some(document(&record)?);
            let successor = state.store.successor(shop, record.id).await?;
            found.superseded_by = successor.as_ref().map(earlier).transpose()?;
            let newest = state.store.newest_revision(shop, record.job).await?;
            found.newest_revision = newest.filter(|newest| *newest != record.revision);
        }
        ArtifactKind::Sheet | ArtifactKind::BatchReport => {
            found.authenticity = Authenticity::Unsigned;
            found.detail = "Made here and as it was then, but nobody has signed it.".to_owned();
            if let Some(job) = state.store.job(shop, made.owner).await? {
                let newest = state.store.newest_revision(shop, job.id).await?;
                found.newest_revision = newest.filter(|newest| *newest != job.revision);
            }
        }
    }
    Ok(())
}
