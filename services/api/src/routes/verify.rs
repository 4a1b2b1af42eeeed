//! Is a file ours, and is it as it was?

use actix_web::{HttpResponse, web};
use headproof_seal::{Integrity, SignedPdf, digest, inspect_pdf};
use headproof_store::{ArtifactKind, ArtifactRecord, ShopId};
use headproof_wire::{Authenticity, FileBytes, LaterJob, Problem, SignatureSeen, Verification};
use uuid::Uuid;

use crate::access::{May, Read};
use crate::body::File;
use crate::present::instant;
use crate::signing::{document, earlier};
use crate::turns::Turns;
use crate::{ApiError, ApiState};

/// Files are large, and looking at one takes a processor.
static TURNS: Turns = Turns::of("files to be verified");

/// Post a PDF file and learn whether it is this shop's, unaltered, by whom it was signed, and whether that was
/// superseded. Nothing of it is kept.
#[utoipa::path(
    post,
    path = "/v1/verify",
    tag = "Sign-off",
    request_body(content = inline(FileBytes), content_type = "application/pdf"),
    responses(
        (status = 200, description = "What it turned out to be, genuine or not", body = Verification),
        (status = 413, description = "Too large", body = Problem, content_type = "application/problem+json"),
        (status = 415, description = "Not application/pdf", body = Problem, content_type = "application/problem+json"),
        (status = 503, description = "Too many files at once", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn verify(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    file: File,
) -> Result<HttpResponse, ApiError> {
    let bytes = file.0;
    let (sha256, signed) = TURNS.make(move || (digest(&bytes), inspect_pdf(&bytes))).await?;
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
        later_job: None,
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
    let Some(signer) = signed.signer() else {
        if let Integrity::Altered(why) = signed.integrity() {
            found.authenticity = Authenticity::Altered;
            found.detail = format!("It has a signature that does not hold: {why}.");
        }
        return Ok(());
    };
    let timestamp = signed.timestamp();
    found.signature = Some(SignatureSeen {
        signer: signer.common_name().unwrap_or_default(),
        certificate: signer.fingerprint(),
        timestamp: timestamp.map(|stamp| instant(stamp.time())).transpose()?,
        timestamp_by: timestamp.and_then(|stamp| stamp.authority().common_name()),
        timestamp_believed: timestamp
            .map(|stamp| stamp.trusted_by(&state.signatures.timestamp_authorities).is_trusted()),
    });
    if state.store.certificate_of(shop, &signer.fingerprint()).await?.is_none() {
        found.detail = "It is signed, but with no certificate of this shop.".to_owned();
        return Ok(());
    }
    (found.authenticity, found.detail) = match signed.integrity() {
        Integrity::Intact => (
            Authenticity::Unknown,
            "Signed with a certificate of this shop, but it is no file that was made here.".to_owned(),
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
            if found.authenticity == Authenticity::Unknown {
                found.authenticity = Authenticity::Genuine;
                found.detail =
                    "Signed with a certificate of this shop, and every byte is as it was then.".to_owned();
            }
            let Some(record) = state.store.sign_off(shop, made.owner).await? else { return Ok(()) };
            found.made_of = Some(record.job);
            found.code = Some(record.content.code.clone());
            found.sign_off = Some(document(&record)?);
            let successor = state.store.successor(shop, record.job).await?;
            found.superseded_by = successor.as_ref().map(earlier).transpose()?;
            look_for_later(state, shop, (record.job, record.revision), found).await?;
        }
        ArtifactKind::Sheet | ArtifactKind::BatchReport => {
            found.authenticity = Authenticity::Unsigned;
            found.detail = "Made here and as it was then, but nobody has signed it.".to_owned();
            if let Some(job) = state.store.job(shop, made.owner).await? {
                look_for_later(state, shop, (job.id, job.revision), found).await?;
            }
        }
    }
    Ok(())
}

/// What was posted of the same head after a job.
async fn look_for_later(
    state: &ApiState,
    shop: &ShopId,
    (job, revision): (Uuid, u32),
    found: &mut Verification,
) -> Result<(), ApiError> {
    let newest = state.store.newest_revision(shop, job).await?;
    found.newest_revision = newest.filter(|newest| *newest != revision);
    found.later_job = state.store.later_job(shop, job).await?.map(|later| LaterJob {
        job: later.id,
        stage: later.stage,
        revision: later.revision,
        disposition: later.disposition,
    });
    Ok(())
}
