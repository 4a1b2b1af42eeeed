//! Batches: many heads at once, each accepted or refused on its own.

use std::collections::BTreeMap;
use std::pin::pin;

use actix_web::http::header::{LOCATION, RETRY_AFTER};
use actix_web::{HttpRequest, HttpResponse, web};
use futures_util::{StreamExt, stream};
use headproof_store::{ArtifactKind, BatchRecord, NewBatch, ShopId};
use headproof_wire::{Batch, BatchLine, Fault, JobRequest, LineOutcome, Problem, read};
use tracing::{Instrument, info_span};
use uuid::Uuid;

use super::jobs::{artifact, hold, parse, standing};
use crate::access::{May, Read, Submit};
use crate::body::Lines;
use crate::judging::{Judged, job_content, profile_of};
use crate::turns::AT_ONCE;
use crate::{ApiError, ApiState, ProblemKind, metered, present};

/// Post many heads as newline-delimited JSON, one job request a line.
///
/// Each line is accepted or refused on its own; empty lines are skipped. The answer says what came of
/// each line; the accepted ones and their common report are on disk.
#[utoipa::path(
    post,
    path = "/v1/batches",
    tag = "Batches",
    request_body(content = String, content_type = "application/x-ndjson", description = "One JobRequest a line"),
    responses(
        (status = 202, description = "At least one line was accepted", body = Batch, headers(("Location" = String))),
        (status = 413, description = "Too large", body = Problem, content_type = "application/problem+json"),
        (status = 415, description = "Not application/x-ndjson", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "No line was accepted", body = Problem, content_type = "application/problem+json"),
        (status = 503, description = "The store cannot take it now", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn submit(
    state: web::Data<ApiState>,
    May(caller, ..): May<Submit>,
    http: HttpRequest,
    body: Lines,
) -> Result<HttpResponse, ApiError> {
    let (accepted, mut lines) = sort_out(&state, &caller.shop, &body.0).await?;
    metered::refused(lines.len() - accepted.len());
    if accepted.is_empty() {
        return Err(none_accepted(lines));
    }
    let request_id = present::request_id(&http);
    let (mut jobs, mut tallies) = (BTreeMap::new(), BTreeMap::new());
    for (number, (content, tally)) in accepted {
        jobs.insert(number, content);
        tallies.insert(number, tally);
    }
    let new = NewBatch { shop: caller.shop, who: caller.who, request_id, jobs };
    let record = state.store.submit_batch(new).instrument(info_span!("keep")).await?;
    (state.wake)();
    tracing::info!(batch = %record.id, jobs = record.jobs.len(), "batch accepted");
    for job in &record.jobs {
        if let Some(tally) = job.line.and_then(|line| tallies.get(&line)) {
            metered::accepted(&job.disposition, tally);
        }
        let number = job.line.and_then(|line| usize::try_from(line).ok());
        if let Some(line) = lines.iter_mut().find(|line| Some(line.line) == number) {
            line.job = Some(job.id);
        }
    }
    let batch = Batch { lines: Some(lines), ..present::batch(&record)? };
    Ok(HttpResponse::Accepted()
        .insert_header((LOCATION, batch.links.this.clone()))
        .insert_header((RETRY_AFTER, "1"))
        .json(batch))
}

/// What is accepted, by line number, and what came of every line.
async fn sort_out(
    state: &ApiState,
    shop: &ShopId,
    body: &[u8],
) -> Result<(BTreeMap<u32, Judged>, Vec<BatchLine>), ApiError> {
    let numbered = body.split(|byte| *byte == b'\n').zip(1_u32..);
    let filled: Vec<_> = numbered.filter(|(line, _)| !line.trim_ascii().is_empty()).collect();
    if filled.len() > state.limits.batch_lines {
        let detail = format!("a batch has at most {} lines", state.limits.batch_lines);
        return Err(ApiError::because(ProblemKind::TooLarge, detail));
    }
    let mut accepted = BTreeMap::new();
    let mut lines = Vec::with_capacity(filled.len());
    // As many at once as plans are made at once; in the order of the lines all the same.
    let sorted = stream::iter(filled).map(|(text, number)| sort_line((state, shop), text, number));
    let mut sorted = pin!(sorted.buffered(*AT_ONCE));
    while let Some((number, line, content)) = sorted.next().await {
        accepted.extend(content.map(|content| (number, content)));
        lines.push(line);
    }
    Ok((accepted, lines))
}

/// What came of one line, and what it holds if it is accepted.
async fn sort_line(to: (&ApiState, &ShopId), text: &[u8], number: u32) -> (u32, BatchLine, Option<Judged>) {
    let mut line = BatchLine {
        line: number as usize,
        client_reference: None,
        outcome: LineOutcome::Accepted,
        job: None,
        problem: None,
    };
    let content = judge_line(to, text, &mut line).await;
    let content = content.map_err(|error| {
        line.outcome = LineOutcome::Refused;
        line.problem = Some(error.problem());
    });
    // Thousands of lines must not keep this thread from its other requests.
    tokio::task::yield_now().await;
    (number, line, content.ok())
}

async fn judge_line(
    (state, shop): (&ApiState, &ShopId),
    text: &[u8],
    line: &mut BatchLine,
) -> Result<Judged, ApiError> {
    if text.len() > state.limits.document_bytes {
        return Err(ApiError::new(ProblemKind::TooLarge));
    }
    let mut request: JobRequest = read(text)?;
    line.client_reference.clone_from(&request.client_reference);
    if request.follows.is_some() {
        let detail = "a line of a batch cannot follow an earlier job; post it on its own".to_owned();
        return Err(ApiError::faults(vec![Fault::new("/follows".into(), detail, None)]));
    }
    let profile = profile_of(state, shop, request.profile.take(), request.profile_ref.as_ref()).await?;
    job_content(&request, &profile).await
}

/// Nothing to keep: the faults of every line, each with its line number.
fn none_accepted(lines: Vec<BatchLine>) -> ApiError {
    if lines.is_empty() {
        return ApiError::because(ProblemKind::BadRequest, "the batch has no line");
    }
    let faults = lines.into_iter().flat_map(|line| {
        let number = line.line;
        let problem = line.problem.into_iter();
        problem.flat_map(move |problem| {
            let whole = problem.errors.is_empty().then(|| {
                let detail = problem.detail.clone().unwrap_or_else(|| problem.title.clone());
                Fault::new(String::new(), detail, None)
            });
            whole
                .into_iter()
                .chain(problem.errors)
                .map(move |fault| Fault { detail: format!("line {number}: {}", fault.detail), ..fault })
        })
    });
    ApiError::faults(faults.collect())
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

/// The batch report: index, dispositions, failures by characteristic, then the sheets.
#[utoipa::path(
    get,
    path = "/v1/batches/{id}/report",
    tag = "Batches",
    params(("id" = Uuid, Path)),
    responses(
        (status = 200, description = "The report", body = Vec<u8>, content_type = "application/pdf", headers(("ETag" = String))),
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

async fn find(state: &ApiState, shop: &ShopId, id: Uuid) -> Result<BatchRecord, ApiError> {
    state.store.batch(shop, id).await?.ok_or_else(|| ApiError::new(ProblemKind::NotFound))
}
