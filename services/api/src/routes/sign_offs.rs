//! Sign-offs: a person answers for an evaluation.

use actix_web::http::header::{IF_MATCH, LOCATION, RETRY_AFTER};
use actix_web::{HttpRequest, HttpResponse, web};
use headproof_store::{ArtifactKind, ShopId, SignOffRecord, Signing};
use headproof_wire::{EarlierSignOff, FileBytes, Problem, SignOffRequest, SignOffStatus};
use uuid::Uuid;

use super::jobs::{artifact, find, hold, parse, standing};
use crate::access::{May, Read, Sign};
use crate::body::Posted;
use crate::once::once;
use crate::signing::{ToSign, code_typed, earlier};
use crate::{ApiError, ApiState, ProblemKind, present};

/// Sign one evaluation, as the person the key speaks for. `If-Match` names it by its ETag, which is its digest.
///
/// The answer means that it is on disk; the signed sheet is made then. A sign-off is never changed or removed. A
/// later one of the same head takes its place.
#[utoipa::path(
    post,
    path = "/v1/jobs/{id}/sign-offs",
    tag = "Sign-off",
    params(("id" = Uuid, Path), ("If-Match" = String, Header, description = "The ETag of the evaluation")),
    request_body = SignOffRequest,
    responses(
        (status = 202, description = "Signed and on disk", body = SignOffStatus,
            headers(("Location" = String, description = "The sign-off"), ("Retry-After" = u64, description = "Seconds"))),
        (status = 404, description = "No such job", body = Problem, content_type = "application/problem+json"),
        (status = 409, description = "The same person has said the same before, or their certificate is not valid now", body = Problem, content_type = "application/problem+json"),
        (status = 412, description = "Another evaluation, a newer revision of the stage, or (to release it) a later set of the head", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "What the evaluation or the profile does not allow", body = Problem, content_type = "application/problem+json"),
        (status = 428, description = "Without If-Match", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn sign(
    state: web::Data<ApiState>,
    May(caller, ..): May<Sign>,
    http: HttpRequest,
    id: web::Path<String>,
    request: Posted<SignOffRequest>,
) -> Result<HttpResponse, ApiError> {
    let person = caller.person.ok_or_else(|| ApiError::new(ProblemKind::Forbidden))?;
    let job = find(&state, &caller.shop, parse(&id)?).await?;
    matched(&http, &job.digest)?;
    let request = request.checked()?;
    let (id, to_sign) = (job.id, ToSign::new(&state, &caller.shop, job, request).await?);
    let signing = Signing {
        shop: caller.shop.clone(),
        job: id,
        person,
        meaning: to_sign.meaning()?,
        who: caller.who,
        origin: present::origin(&http),
        once: once(&http, "sign-offs")?,
    };
    let record = state.store.sign(signing, |context| to_sign.record(context)).await?.into_inner();
    (state.wake)();
    tracing::info!(sign_off = %record.id, job = %id, meaning = record.meaning, "signed");
    let signed = status_of(&state, &caller.shop, &record).await?;
    Ok(HttpResponse::Accepted()
        .insert_header((LOCATION, signed.links.this.clone()))
        .insert_header((RETRY_AFTER, "1"))
        .json(signed))
}

/// Does the client know what it signs? (RFC 9110, 13.1.1; RFC 6585, 3.)
fn matched(http: &HttpRequest, digest: &str) -> Result<(), ApiError> {
    let Some(given) = http.headers().get(IF_MATCH) else {
        return Err(ApiError::new(ProblemKind::PreconditionRequired));
    };
    let given = given.to_str().unwrap_or_default();
    let tag = format!("\"{digest}\"");
    if given.split(',').any(|one| one.trim() == tag) {
        return Ok(());
    }
    Err(ApiError::because(ProblemKind::StaleRevision, "If-Match does not name the evaluation of this job"))
}

/// The sign-offs of a job, oldest first.
#[utoipa::path(
    get,
    path = "/v1/jobs/{id}/sign-offs",
    tag = "Sign-off",
    params(("id" = Uuid, Path)),
    responses(
        (status = 200, description = "The sign-offs", body = Vec<SignOffStatus>),
        (status = 404, description = "No such job", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn of_job(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let job = find(&state, &caller.shop, parse(&id)?).await?;
    let superseded_by = successor(&state, &caller.shop, job.id).await?;
    let records = state.store.sign_offs(&caller.shop, job.id).await?;
    let shown = records.iter().map(|record| present::sign_off(record, superseded_by.clone()));
    Ok(HttpResponse::Ok().json(shown.collect::<Result<Vec<_>, _>>()?))
}

/// A sign-off, by its id or by the code on the sheet. `Prefer: wait=N` holds the answer until its sheet is made.
#[utoipa::path(
    get,
    path = "/v1/sign-offs/{id}",
    tag = "Sign-off",
    params(("id" = String, Path), ("Prefer" = Option<String>, Header, description = "wait=SECONDS")),
    responses(
        (status = 200, description = "The sign-off", body = SignOffStatus),
        (status = 404, description = "No such sign-off", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn show(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let record = look_up(&state, &caller.shop, &id).await?;
    hold(&state, &caller.shop, &http, record.id, ArtifactKind::SignedSheet).await?;
    let record = look_up(&state, &caller.shop, &id).await?;
    Ok(standing(&record.task).json(status_of(&state, &caller.shop, &record).await?))
}

/// The signed sheet.
#[utoipa::path(
    get,
    path = "/v1/sign-offs/{id}/sheet",
    tag = "Sign-off",
    params(("id" = String, Path)),
    responses(
        (status = 200, description = "The signed sheet", body = inline(FileBytes), content_type = "application/pdf", headers(("ETag" = String))),
        (status = 304, description = "The sheet you have"),
        (status = 404, description = "No such sign-off, not made yet, or failed: see the problem's type", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn sheet(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let record = look_up(&state, &caller.shop, &id).await?;
    artifact(&state, &caller, &http, record.id, ArtifactKind::SignedSheet, &record.task).await
}

async fn look_up(state: &ApiState, shop: &ShopId, id: &str) -> Result<SignOffRecord, ApiError> {
    let found = match (Uuid::try_parse(id), code_typed(id)) {
        (Ok(id), _) => state.store.sign_off(shop, id).await?,
        (Err(_), Some(code)) => state.store.sign_off_of_code(shop, &code).await?,
        (Err(_), None) => None,
    };
    found.ok_or_else(|| ApiError::new(ProblemKind::NotFound))
}

async fn status_of(
    state: &ApiState,
    shop: &ShopId,
    record: &SignOffRecord,
) -> Result<SignOffStatus, ApiError> {
    present::sign_off(record, successor(state, shop, record.job).await?)
}

/// What took the place of the sign-offs of a job.
async fn successor(state: &ApiState, shop: &ShopId, job: Uuid) -> Result<Option<EarlierSignOff>, ApiError> {
    state.store.successor(shop, job).await?.as_ref().map(earlier).transpose()
}
