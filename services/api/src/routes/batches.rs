//! Batches: many heads at once, each accepted or refused on its own.

use actix_web::http::Method;
use actix_web::http::header::{CONTENT_DISPOSITION, LOCATION, RETRY_AFTER};
use actix_web::{HttpRequest, HttpResponse, web};
use headproof_store::{ArtifactKind, BatchRecord, Event, Place, ShopId};
use headproof_wire::{Batch, FileBytes, JobRequest, Problem};
use uuid::Uuid;

use super::jobs::{artifact, hold, parse, standing};
use crate::access::{May, Read, Submit};
use crate::batch::{self, Spooled, TakenIn, archive, take_in};
use crate::{ApiError, ApiState, ProblemKind, paging, present};

/// Post many heads: newline-delimited JSON, one job request a line; an array of job requests; or CSV, one port a row.
///
/// Each line is accepted or refused on its own; empty lines are skipped. The answer comes when all lines are judged and
/// on disk, and says how many; what came of each stands under `lines`. A batch is known by its Idempotency-Key, without
/// one by what it says: sent again it duplicates nothing, and goes on where the first request ended.
#[utoipa::path(
    post,
    path = "/v1/batches",
    tag = "Batches",
    request_body(
        content(
            (String = "application/x-ndjson"),
            (Vec<JobRequest> = "application/json"),
            (String = "text/csv"),
        ),
        description = "One JobRequest a line, an array of them, or one port a row",
    ),
    responses(
        (status = 202, description = "At least one line was accepted", body = Batch, headers(("Location" = String))),
        (status = 400, description = "No line, or what should be an array and is none", body = Problem, content_type = "application/problem+json"),
        (status = 409, description = "Another request of the same key is at it", body = Problem, content_type = "application/problem+json"),
        (status = 413, description = "Too large", body = Problem, content_type = "application/problem+json"),
        (status = 415, description = "None of the three", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "No line was accepted", body = Problem, content_type = "application/problem+json"),
        (status = 503, description = "The store cannot take it now", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn submit(
    state: web::Data<ApiState>,
    May(caller, ..): May<Submit>,
    http: HttpRequest,
    body: Spooled,
) -> Result<HttpResponse, ApiError> {
    state.backlog.admit(&state.store, &caller.shop).await?;
    let record = match take_in(state, caller, http, body).await? {
        TakenIn::Stored(record) => record,
        TakenIn::Nothing(faults) => return Err(ApiError::faults(faults)),
    };
    let batch = present::batch(&record)?;
    tracing::info!(batch = %record.id, jobs = batch.progress.accepted, "batch accepted");
    Ok(HttpResponse::Accepted()
        .insert_header((LOCATION, batch.links.this.clone()))
        .insert_header((RETRY_AFTER, "1"))
        .json(batch))
}

/// Batches, the oldest first, page by page: `Link` says where the next page is.
#[utoipa::path(
    get,
    path = "/v1/batches",
    tag = "Batches",
    params(
        ("limit" = Option<u32>, Query, description = "Members of a page, from 1 to 1000; 100 where nothing is said", minimum = 1, maximum = 1000),
        ("cursor" = Option<String>, Query, description = "Of the address in Link"),
    ),
    responses(
        (status = 200, description = "The batches", body = Vec<Batch>, headers(("Link" = String, description = "rel=next"))),
        (status = 400, description = "A parameter that makes no sense", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn list(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    http: HttpRequest,
) -> Result<HttpResponse, ApiError> {
    let page = paging::page(&http)?;
    let records = state.store.batches(&caller.shop, page).await?;
    let last = records.last().map(|batch| Place { at: batch.created_at, id: batch.id });
    let batches = records.iter().map(present::batch).collect::<Result<Vec<_>, _>>()?;
    Ok(paging::answer(&http, page, batches, last))
}

/// What came of each line of a batch, and how far its sheet is: newline-delimited JSON, a BatchLine a line.
#[utoipa::path(
    get,
    path = "/v1/batches/{id}/lines",
    tag = "Batches",
    params(("id" = Uuid, Path)),
    responses(
        (status = 200, description = "The lines", body = String, content_type = "application/x-ndjson"),
        (status = 404, description = "No such batch", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn lines(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let record = find(&state, &caller.shop, parse(&id)?).await?;
    let lines = batch::lines(state.store.clone(), caller.shop, record.id);
    Ok(HttpResponse::Ok().content_type("application/x-ndjson").streaming(lines))
}

/// How far a batch is. `Prefer: wait=N` holds the answer until its report is over, at most 30 s.
#[utoipa::path(
    get,
    path = "/v1/batches/{id}",
    tag = "Batches",
    params(("id" = Uuid, Path), ("Prefer" = Option<String>, Header, description = "wait=SECONDS")),
    responses(
        (status = 200, description = "The batch", body = Batch),
        (status = 404, description = "No such batch", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn status(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let id = parse(&id)?;
    hold(&state, &caller.shop, &http, id, ArtifactKind::BatchReport).await?;
    let record = find(&state, &caller.shop, id).await?;
    Ok(standing(&record.task).json(present::batch(&record)?))
}

/// The batch report: index, dispositions, failures by characteristic, then the sheets; of more than 200 heads without the
/// sheets, which are in the archive then.
#[utoipa::path(
    get,
    path = "/v1/batches/{id}/report",
    tag = "Batches",
    params(("id" = Uuid, Path)),
    responses(
        (status = 200, description = "The report", body = inline(FileBytes), content_type = "application/pdf", headers(("ETag" = String))),
        (status = 404, description = "No such batch, not made yet, or failed: see the problem's type", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn report(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let record = find(&state, &caller.shop, parse(&id)?).await?;
    artifact(&state, &caller, &http, record.id, ArtifactKind::BatchReport, &record.task).await
}

/// The sheets of a batch that are there, in one ZIP archive with `lines.ndjson`. It is written while it is read, and cut off
/// when something goes wrong meanwhile.
#[utoipa::path(
    get,
    path = "/v1/batches/{id}/sheets",
    tag = "Batches",
    params(("id" = Uuid, Path)),
    responses(
        (status = 200, description = "The archive", body = inline(FileBytes), content_type = "application/zip"),
        (status = 404, description = "No such batch", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn sheets(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let record = find(&state, &caller.shop, parse(&id)?).await?;
    let mut response = HttpResponse::Ok();
    response.content_type("application/zip");
    response
        .insert_header((CONTENT_DISPOSITION, format!("attachment; filename=\"sheets-{}.zip\"", record.id)));
    if http.method() == Method::HEAD {
        return Ok(response.finish());
    }
    let downloaded = caller.by(&http).did(Event::Downloaded, format!("sheets of batch {}", record.id));
    if let Err(error) = state.store.record(&caller.shop, downloaded).await {
        tracing::error!(%error, "a download could not be recorded");
    }
    Ok(response.streaming(archive(state.store.clone(), caller.shop, record.id)))
}

/// Call off what is not over of a batch: sheets that are not made yet, and the report.
#[utoipa::path(
    post,
    path = "/v1/batches/{id}/cancel",
    tag = "Batches",
    params(("id" = Uuid, Path)),
    responses(
        (status = 200, description = "Called off", body = Batch),
        (status = 404, description = "No such batch", body = Problem, content_type = "application/problem+json"),
        (status = 409, description = "It is over, or still comes in", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn cancel(
    state: web::Data<ApiState>,
    May(caller, ..): May<Submit>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let record = state.store.cancel_batch(&caller.shop, parse(&id)?, &caller.by(&http)).await?;
    let record = record.ok_or_else(|| ApiError::new(ProblemKind::NotFound))?;
    Ok(HttpResponse::Ok().json(present::batch(&record)?))
}

pub(super) async fn find(state: &ApiState, shop: &ShopId, id: Uuid) -> Result<BatchRecord, ApiError> {
    state.store.batch(shop, id).await?.ok_or_else(|| ApiError::new(ProblemKind::NotFound))
}
