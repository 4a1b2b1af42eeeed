//! Jobs: judged, kept, and turned into a sheet.

use std::time::{Duration, Instant};

use actix_web::http::header::{LOCATION, RETRY_AFTER};
use actix_web::http::{Method, StatusCode};
use actix_web::{HttpRequest, HttpResponse, HttpResponseBuilder, web};
use headproof_store::{
    ArtifactKind, ArtifactRecord, Event, Happening, JobDocuments, JobRecord, JobsOf, Made, NewJob, Place,
    Plan, Priority, ShopId, TaskState, TaskStatus,
};
use headproof_wire::{
    Evaluation, FileBytes, Job, JobRequest, MeasurementSet, Problem, ReworkPlan, TargetProfile,
};
use tracing::{Instrument, info_span};
use uuid::Uuid;

use crate::access::{Caller, May, Read, Submit};
use crate::body::Posted;
use crate::judging::{content_of, judged, priority, profile_of};
use crate::once::once;
use crate::tagged::{digested, tagged};
use crate::{ApiError, ApiState, ProblemKind, metered, paging, present};

/// How often a held request looks again.
const LOOK_AGAIN: Duration = Duration::from_millis(100);
/// Longest time a request is held.
const LONGEST_WAIT: Duration = Duration::from_secs(30);

/// Post one head: it is judged at once, kept, and its sheet is made. With a workshop its rework is planned, too.
///
/// The answer means that it is on disk.
#[utoipa::path(
    post,
    path = "/v1/jobs",
    tag = "Jobs",
    request_body = JobRequest,
    responses(
        (status = 202, description = "Accepted and on disk", body = Job,
            headers(("Location" = String, description = "The job"), ("Retry-After" = u64, description = "Seconds"))),
        (status = 400, description = "Not JSON", body = Problem, content_type = "application/problem+json"),
        (status = 413, description = "Too large", body = Problem, content_type = "application/problem+json"),
        (status = 415, description = "Not application/json", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Every fault of the document", body = Problem, content_type = "application/problem+json"),
        (status = 503, description = "The store cannot take it now, or too many plans are asked for at once", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn submit(
    state: web::Data<ApiState>,
    May(caller, ..): May<Submit>,
    http: HttpRequest,
    request: Posted<JobRequest>,
) -> Result<HttpResponse, ApiError> {
    let Posted(mut request) = request;
    let once = once(&http, "jobs")?;
    state.backlog.admit(&state.store, &caller.shop).await?;
    let profile =
        profile_of(&state, &caller.shop, request.profile.take(), request.profile_ref.as_ref()).await?;
    let priority = priority(request.priority, Priority::Normal);
    let judged = judged(&request, &profile)?;
    let tally = judged.tally;
    let content = content_of(judged).await?;
    let origin = present::origin(&http);
    let new = NewJob { shop: caller.shop, who: caller.who, origin, once, priority, content };
    let record = match state.store.submit_job(new).instrument(info_span!("keep")).await? {
        Made::New(record) => {
            (state.wake)();
            metered::accepted(&record.disposition, &tally);
            tracing::info!(job = %record.id, disposition = %record.disposition, "job accepted");
            record
        }
        Made::Before(record) => record,
    };
    let job = present::job(&record)?;
    Ok(HttpResponse::Accepted()
        .insert_header((LOCATION, job.links.this.clone()))
        .insert_header((RETRY_AFTER, "1"))
        .json(job))
}

/// Jobs, the oldest first, page by page: `Link` says where the next page is.
#[utoipa::path(
    get,
    path = "/v1/jobs",
    tag = "Jobs",
    params(
        ("state" = Option<headproof_wire::TaskState>, Query, description = "Only those whose sheet is in this state"),
        ("head" = Option<String>, Query, description = "Only those of the head of this serial"),
        ("batch" = Option<Uuid>, Query, description = "Only those of this batch"),
        ("limit" = Option<u32>, Query, description = "Members of a page, from 1 to 1000; 100 where nothing is said", minimum = 1, maximum = 1000),
        ("cursor" = Option<String>, Query, description = "Of the address in Link"),
    ),
    responses(
        (status = 200, description = "The jobs", body = Vec<Job>, headers(("Link" = String, description = "rel=next"))),
        (status = 400, description = "A parameter that makes no sense", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn list(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    http: HttpRequest,
) -> Result<HttpResponse, ApiError> {
    let page = paging::page(&http)?;
    let Wish { state: wished, head, batch } = wish(&http)?;
    let of = JobsOf { state: wished, head: head.as_deref(), batch };
    let records = state.store.jobs(&caller.shop, of, page).await?;
    let last = records.last().map(|job| Place { at: job.created_at, id: job.id });
    let jobs = records.iter().map(present::job).collect::<Result<Vec<_>, _>>()?;
    Ok(paging::answer(&http, page, jobs, last))
}

/// Which jobs are wanted.
struct Wish {
    state: Option<TaskState>,
    head: Option<String>,
    batch: Option<Uuid>,
}

fn wish(http: &HttpRequest) -> Result<Wish, ApiError> {
    let bad = |detail: &str| ApiError::because(ProblemKind::BadRequest, detail);
    let value = |name| paging::parameter(http, name);
    let state =
        value("state")?.map(|name| TaskState::parse(&name).ok_or_else(|| bad("there is no such state")));
    let batch = value("batch")?.map(|id| Uuid::try_parse(&id).map_err(|_| bad("batch is no id")));
    Ok(Wish { state: state.transpose()?, head: value("head")?, batch: batch.transpose()? })
}

/// Call a job off: its sheet is not made, or what is being made of it is dropped. Its evaluation stays.
#[utoipa::path(
    post,
    path = "/v1/jobs/{id}/cancel",
    tag = "Jobs",
    params(("id" = Uuid, Path)),
    responses(
        (status = 200, description = "Called off", body = Job),
        (status = 404, description = "No such job", body = Problem, content_type = "application/problem+json"),
        (status = 409, description = "It is over", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn cancel(
    state: web::Data<ApiState>,
    May(caller, ..): May<Submit>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let record = state.store.cancel_job(&caller.shop, parse(&id)?, &caller.by(&http)).await?;
    (state.wake)();
    let record = record.ok_or_else(|| ApiError::new(ProblemKind::NotFound))?;
    Ok(HttpResponse::Ok().json(present::job(&record)?))
}

/// How far a job is. `Prefer: wait=N` holds the answer until it is over, at most 30 s.
#[utoipa::path(
    get,
    path = "/v1/jobs/{id}",
    tag = "Jobs",
    params(("id" = Uuid, Path), ("Prefer" = Option<String>, Header, description = "wait=SECONDS")),
    responses(
        (status = 200, description = "The job", body = Job),
        (status = 404, description = "No such job", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn status(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let id = parse(&id)?;
    hold(&state, &caller.shop, &http, id, ArtifactKind::Sheet).await?;
    let record = find(&state, &caller.shop, id).await?;
    Ok(standing(&record.task).json(present::job(&record)?))
}

/// The evaluation of a job, in its canonical form; its ETag is its SHA-256 digest.
#[utoipa::path(
    get,
    path = "/v1/jobs/{id}/evaluation",
    tag = "Jobs",
    params(("id" = Uuid, Path)),
    responses(
        (status = 200, description = "The evaluation", body = Evaluation, headers(("ETag" = String))),
        (status = 304, description = "The evaluation you have"),
        (status = 404, description = "No such job", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn evaluation(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let documents = documents(&state, &caller.shop, parse(&id)?).await?;
    tagged(&http, &documents.digest, "application/json", documents.evaluation)
}

/// The rework plan of a job that was posted with a workshop, in its canonical form; its ETag is its SHA-256
/// digest.
#[utoipa::path(
    get,
    path = "/v1/jobs/{id}/plan",
    tag = "Jobs",
    params(("id" = Uuid, Path)),
    responses(
        (status = 200, description = "The plan", body = ReworkPlan, headers(("ETag" = String))),
        (status = 304, description = "The plan you have"),
        (status = 404, description = "No such job, or none with a plan", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn plan(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let documents = documents(&state, &caller.shop, parse(&id)?).await?;
    let Some(Plan { document, digest }) = documents.plan else {
        return Err(ApiError::because(ProblemKind::NotFound, "the job was posted without a workshop"));
    };
    tagged(&http, &digest, "application/json", document)
}

/// The measurement set of a job, as it was judged; its ETag is its SHA-256 digest.
#[utoipa::path(
    get,
    path = "/v1/jobs/{id}/measurement-set",
    tag = "Jobs",
    params(("id" = Uuid, Path)),
    responses(
        (status = 200, description = "The measurement set", body = MeasurementSet, headers(("ETag" = String))),
        (status = 304, description = "The measurement set you have"),
        (status = 404, description = "No such job", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn measurement_set(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let documents = documents(&state, &caller.shop, parse(&id)?).await?;
    digested(&http, "application/json", documents.measurement_set)
}

/// The profile a job was judged by, frozen with it; its ETag is its SHA-256 digest.
#[utoipa::path(
    get,
    path = "/v1/jobs/{id}/profile",
    tag = "Jobs",
    params(("id" = Uuid, Path)),
    responses(
        (status = 200, description = "The profile", body = TargetProfile, headers(("ETag" = String))),
        (status = 304, description = "The profile you have"),
        (status = 404, description = "No such job", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn judged_by(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let documents = documents(&state, &caller.shop, parse(&id)?).await?;
    digested(&http, "application/json", documents.profile)
}

/// The inspection sheet.
#[utoipa::path(
    get,
    path = "/v1/jobs/{id}/sheet",
    tag = "Jobs",
    params(("id" = Uuid, Path)),
    responses(
        (status = 200, description = "The sheet", body = inline(FileBytes), content_type = "application/pdf", headers(("ETag" = String))),
        (status = 304, description = "The sheet you have"),
        (status = 404, description = "No such job, not made yet, or failed: see the problem's type", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn sheet(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let record = find(&state, &caller.shop, parse(&id)?).await?;
    artifact(&state, &caller, &http, record.id, ArtifactKind::Sheet, &record.task).await
}

/// A made artifact, or why there is none.
pub(super) async fn artifact(
    state: &ApiState,
    caller: &Caller,
    http: &HttpRequest,
    owner: Uuid,
    kind: ArtifactKind,
    task: &TaskStatus,
) -> Result<HttpResponse, ApiError> {
    let Some(artifact) = state.store.artifact(&caller.shop, owner, kind).await? else {
        return Err(match task.state {
            TaskState::Failed => {
                ApiError::because(ProblemKind::RenderingFailed, task.reason.clone().unwrap_or_default())
            }
            _ => ApiError::new(ProblemKind::NotReady),
        });
    };
    let bytes = state.store.read_artifact(&artifact).await?;
    let mut response = tagged(http, &artifact.sha256, kind.content_type(), bytes)?;
    if http.method() == Method::GET && response.status() == StatusCode::OK {
        handed_out(state, caller, http, &artifact).await;
    }
    let name = format!("inline; filename=\"{}\"", kind.file_name(owner));
    if let Ok(value) = name.parse() {
        response.headers_mut().insert(actix_web::http::header::CONTENT_DISPOSITION, value);
    }
    Ok(response)
}

/// Says in the audit trail that a file was handed out. A file is not kept back because that cannot be written: when the
/// disk is full, people still have to see what was measured.
async fn handed_out(state: &ApiState, caller: &Caller, http: &HttpRequest, artifact: &ArtifactRecord) {
    let to = format!("{} {}", artifact.kind.as_str(), artifact.owner);
    let digest = Some(artifact.sha256.clone());
    let downloaded = Happening { digest, ..caller.by(http).did(Event::Downloaded, to) };
    if let Err(error) = state.store.record(&caller.shop, downloaded).await {
        tracing::error!(%error, "a download could not be recorded");
    }
}

pub(super) async fn find(state: &ApiState, shop: &ShopId, id: Uuid) -> Result<JobRecord, ApiError> {
    match state.store.job(shop, id).await? {
        Some(job) => Ok(job),
        None => Err(absent(state, shop, id).await),
    }
}

pub(crate) async fn documents(state: &ApiState, shop: &ShopId, id: Uuid) -> Result<JobDocuments, ApiError> {
    match state.store.job_documents(shop, id).await? {
        Some(documents) => Ok(documents),
        None => Err(absent(state, shop, id).await),
    }
}

/// Why there is no job: it never was, or it was disposed of.
async fn absent(state: &ApiState, shop: &ShopId, id: Uuid) -> ApiError {
    match state.store.disposed(shop, id).await {
        Ok(Some(_)) => ApiError::new(ProblemKind::Gone),
        Ok(None) => ApiError::new(ProblemKind::NotFound),
        Err(error) => error.into(),
    }
}

/// An id that is none is answered like one that is not there.
pub(super) fn parse(id: &str) -> Result<Uuid, ApiError> {
    Uuid::try_parse(id).map_err(|_| ApiError::new(ProblemKind::NotFound))
}

/// How long the client is ready to wait (RFC 7240, `wait`).
fn wait_wished(http: &HttpRequest) -> Duration {
    let prefer = http.headers().get("Prefer").and_then(|value| value.to_str().ok()).unwrap_or_default();
    let seconds =
        prefer.split([',', ';']).find_map(|part| part.trim().strip_prefix("wait=")?.trim().parse().ok());
    Duration::from_secs(seconds.unwrap_or(0)).min(LONGEST_WAIT)
}

/// Holds a request until the task is over, or for as long as the client is ready to wait. Only the
/// state is looked at meanwhile, so that waiting for a large batch costs no more than for one head.
pub(super) async fn hold(
    state: &ApiState,
    shop: &ShopId,
    http: &HttpRequest,
    owner: Uuid,
    kind: ArtifactKind,
) -> Result<(), ApiError> {
    let deadline = Instant::now() + wait_wished(http);
    while Instant::now() < deadline {
        match state.store.task(shop, owner, kind).await? {
            Some(task) if !present::is_terminal(task.state) => tokio::time::sleep(LOOK_AGAIN).await,
            _ => break,
        }
    }
    Ok(())
}

/// An answer that says when to ask again, unless the task is over.
pub(super) fn standing(task: &TaskStatus) -> HttpResponseBuilder {
    let mut response = HttpResponse::Ok();
    if !present::is_terminal(task.state) {
        response.insert_header((RETRY_AFTER, "1"));
    }
    response
}
