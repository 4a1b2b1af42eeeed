//! Records of the store as resources of the wire.

use actix_web::HttpMessage;
use actix_web::HttpRequest;
use headproof_store::{
    BatchRecord, JobRecord, KeyRecord, Origin, PersonRecord, ProfileSummary, Progress, SignOffRecord,
    TaskState as Stored,
};
use headproof_trace::TraceParent;
use headproof_wire::{
    Batch, BatchProgress, EarlierSignOff, Job, Key, Links, Person, SignOffStatus, StoredProfile, TaskState,
};
use time::OffsetDateTime;
use time::format_description::well_known::Rfc3339;
use tracing_actix_web::RequestId;

use crate::ApiError;
use crate::access::scopes;
use crate::signing::document;

/// A job as a resource.
pub(crate) fn job(record: &JobRecord) -> Result<Job, ApiError> {
    let this = format!("/v1/jobs/{}", record.id);
    Ok(Job {
        id: record.id,
        state: state(record.task.state),
        head_serial: record.head_reference.clone(),
        stage: record.stage.clone(),
        revision: record.revision,
        follows: record.follows,
        batch: record.batch,
        client_reference: record.client_reference.clone(),
        disposition: record.disposition.clone(),
        evaluation_digest: record.digest.clone(),
        attempts: record.task.attempt,
        reason: record.task.reason.clone(),
        created_at: instant(record.created_at)?,
        links: Links {
            evaluation: Some(format!("{this}/evaluation")),
            measurement_set: Some(format!("{this}/measurement-set")),
            profile: Some(format!("{this}/profile")),
            plan: record.plan_digest.is_some().then(|| format!("{this}/plan")),
            sheet: record.sheet.is_some().then(|| format!("{this}/sheet")),
            sign_offs: Some(format!("{this}/sign-offs")),
            ..Links::to(this)
        },
    })
}

/// A batch as a resource.
pub(crate) fn batch(record: &BatchRecord) -> Result<Batch, ApiError> {
    let this = format!("/v1/batches/{}", record.id);
    let Progress { refused, queued, running, done, failed, cancelled } = record.progress;
    let accepted = record.progress.accepted();
    let lines = accepted + refused;
    Ok(Batch {
        id: record.id,
        state: state(record.task.state),
        reason: record.task.reason.clone(),
        created_at: instant(record.created_at)?,
        progress: BatchProgress { lines, accepted, refused, queued, running, done, failed, cancelled },
        links: Links {
            lines: Some(format!("{this}/lines")),
            jobs: Some(format!("/v1/jobs?batch={}", record.id)),
            archive: Some(format!("{this}/sheets")),
            report: record.report.is_some().then(|| format!("{this}/report")),
            ..Links::to(this)
        },
    })
}

/// The request that something comes from.
pub(crate) fn origin(request: &HttpRequest) -> Origin {
    Origin { request_id: request_id(request), trace_parent: Some(trace_parent(request)) }
}

/// A stored profile as a resource.
pub(crate) fn profile(record: &ProfileSummary) -> Result<StoredProfile, ApiError> {
    Ok(StoredProfile {
        id: record.id.clone(),
        revision: record.revision.clone(),
        digest: record.digest.clone(),
        created_at: instant(record.created_at)?,
        link: format!("/v1/profiles/{}/{}", record.id, record.revision),
    })
}

/// A sign-off as a resource.
pub(crate) fn sign_off(
    record: &SignOffRecord,
    superseded_by: Option<EarlierSignOff>,
) -> Result<SignOffStatus, ApiError> {
    let this = format!("/v1/sign-offs/{}", record.id);
    Ok(SignOffStatus {
        sign_off: document(record)?,
        digest: record.content.digest.clone(),
        code: record.content.code.clone(),
        state: state(record.task.state),
        reason: record.task.reason.clone(),
        superseded_by,
        links: Links {
            evaluation: Some(format!("/v1/jobs/{}/evaluation", record.job)),
            signed_sheet: record.sheet.is_some().then(|| format!("{this}/sheet")),
            job: Some(format!("/v1/jobs/{}", record.job)),
            ..Links::to(this)
        },
    })
}

/// A key as a resource.
pub(crate) fn key(record: &KeyRecord) -> Result<Key, ApiError> {
    let content = &record.content;
    Ok(Key {
        id: content.id,
        label: content.label.clone(),
        scopes: scopes(&content.scopes),
        person: content.person,
        created_at: instant(record.created_at)?,
        expires_at: content.expires_at.map(instant).transpose()?,
        revoked_at: record.revoked_at.map(instant).transpose()?,
    })
}

/// A person as a resource.
pub(crate) fn person(record: &PersonRecord, certificate: Option<String>) -> Result<Person, ApiError> {
    Ok(Person {
        id: record.id,
        name: record.name.clone(),
        role: record.role.clone(),
        subject: record.subject.clone(),
        certificate,
        created_at: instant(record.created_at)?,
        left_at: record.left_at.map(instant).transpose()?,
    })
}

/// Is it over, one way or the other?
pub(crate) const fn is_terminal(state: Stored) -> bool {
    matches!(state, Stored::Done | Stored::Failed | Stored::Cancelled)
}

pub(crate) const fn state(state: Stored) -> TaskState {
    match state {
        Stored::Queued => TaskState::Queued,
        Stored::Running => TaskState::Running,
        Stored::Done => TaskState::Done,
        Stored::Failed => TaskState::Failed,
        Stored::Cancelled => TaskState::Cancelled,
    }
}

pub(crate) fn instant(at: OffsetDateTime) -> Result<String, ApiError> {
    at.format(&Rfc3339).map_err(|error| ApiError::internal(&error))
}

/// The id under which the log knows a request.
pub(crate) fn request_id(request: &HttpRequest) -> String {
    request.extensions().get::<RequestId>().map(ToString::to_string).unwrap_or_default()
}

/// The header `traceparent` for whatever is done for a request later, or by others (W3C Trace Context).
pub(crate) fn trace_parent(request: &HttpRequest) -> String {
    let place = request.extensions().get::<TraceParent>().copied();
    place.unwrap_or_else(TraceParent::begin).to_string()
}
