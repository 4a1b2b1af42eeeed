//! Records of the store as resources of the wire.

use actix_web::HttpMessage;
use actix_web::HttpRequest;
use headproof_store::{BatchRecord, JobRecord, ProfileSummary, TaskState as Stored};
use headproof_wire::{Batch, Job, Links, StoredProfile, TaskState};
use time::OffsetDateTime;
use time::format_description::well_known::Rfc3339;
use tracing_actix_web::RequestId;

use crate::ApiError;

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
            signed_sheet: None,
            sign_offs: Some(format!("{this}/sign-offs")),
            job: None,
            report: None,
            this,
        },
    })
}

/// A batch as a resource.
pub(crate) fn batch(record: &BatchRecord) -> Result<Batch, ApiError> {
    let this = format!("/v1/batches/{}", record.id);
    Ok(Batch {
        id: record.id,
        state: state(record.task.state),
        reason: record.task.reason.clone(),
        created_at: instant(record.created_at)?,
        jobs: record.jobs.iter().map(job).collect::<Result<_, _>>()?,
        lines: None,
        links: Links {
            evaluation: None,
            measurement_set: None,
            profile: None,
            plan: None,
            sheet: None,
            signed_sheet: None,
            sign_offs: None,
            job: None,
            report: record.report.is_some().then(|| format!("{this}/report")),
            this,
        },
    })
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

/// Is it over, one way or the other?
pub(crate) const fn is_terminal(state: Stored) -> bool {
    matches!(state, Stored::Done | Stored::Failed | Stored::Cancelled)
}

const fn state(state: Stored) -> TaskState {
    match state {
        Stored::Queued => TaskState::Queued,
        Stored::Running => TaskState::Running,
        Stored::Done => TaskState::Done,
        Stored::Failed => TaskState::Failed,
        Stored::Cancelled => TaskState::Cancelled,
    }
}

fn instant(at: OffsetDateTime) -> Result<String, ApiError> {
    at.format(&Rfc3339).map_err(|error| ApiError::internal(&error))
}

/// The id under which the log knows a request.
pub(crate) fn request_id(request: &HttpRequest) -> String {
    request.extensions().get::<RequestId>().map(ToString::to_string).unwrap_or_default()
}
