//! Blank worksheets: drawn off the threads that serve requests, no more at once than there are processors.

use std::sync::{Arc, LazyLock};

use headproof_sheet::{SheetError, WorksheetInput, worksheet};
use headproof_wire::{At, Fault, TargetProfile, WorksheetRequest, worksheet_faults};
use tokio::sync::Semaphore;

use crate::ApiError;
use crate::judging::{Resolved, canonical};
use crate::planning::{AT_ONCE, LONGEST_WAIT, turn};

static TURNS: LazyLock<Arc<Semaphore>> = LazyLock::new(|| Arc::new(Semaphore::new(*AT_ONCE)));

/// A worksheet to be drawn.
pub(crate) struct Task {
    request: WorksheetRequest,
    profile: TargetProfile,
    profile_digest: String,
}

/// Takes a request with the profile it names; all faults are told at once, by their pointers into the request.
pub(crate) fn understood(request: WorksheetRequest, profile: Resolved) -> Result<Task, ApiError> {
    let mut faults = worksheet_faults(&request, &At::Root);
    match profile {
        Ok(profile) if faults.is_empty() => {
            let profile_digest = headproof_seal::digest(&canonical(&profile)?);
            Ok(Task { request, profile, profile_digest })
        }
        profile => {
            faults.extend(profile.err());
            Err(ApiError::faults(faults))
        }
    }
}

impl Task {
    /// Draws it, on this thread.
    fn perform(&self) -> Result<Vec<u8>, SheetError> {
        worksheet(&WorksheetInput {
            layout: &self.request.layout,
            profile: &self.profile,
            profile_digest: &self.profile_digest,
            units: &self.request.units,
            head_serial: self.request.head_serial.as_deref(),
            job_number: self.request.job_number.as_deref(),
            paper: self.request.sheet.paper,
        })
    }
}

/// Draws a worksheet on a thread of its own, when its turn has come.
///
/// # Errors
/// A located fault when it would have too many pages; [`crate::ProblemKind::Unavailable`] when its turn does not come soon
/// enough.
pub(crate) async fn draw(task: Task) -> Result<Vec<u8>, ApiError> {
    let turn = turn(&TURNS, LONGEST_WAIT, "worksheets").await?;
    let span = tracing::Span::current();
    let drawn = tokio::task::spawn_blocking(move || {
        // Given back when the pages are there, also when nobody waits for them any more.
        let _turn = turn;
        span.in_scope(|| task.perform())
    });
    match drawn.await {
        Ok(Ok(file)) => Ok(file),
        Ok(Err(error @ SheetError::TooLarge { .. })) => {
            Err(ApiError::faults(vec![Fault::new("/profile/limits".into(), error.to_string(), None)]))
        }
        Ok(Err(error)) => Err(ApiError::internal(&error)),
        Err(stopped) => Err(ApiError::internal(&stopped)),
    }
}
