//! Blank worksheets, each drawn when its turn has come.

use headproof_sheet::{Rendered, SheetError, WorksheetInput, worksheet};
use headproof_wire::{At, Fault, TargetProfile, WorksheetRequest, worksheet_faults};

use crate::ApiError;
use crate::judging::{Resolved, canonical};
use crate::turns::Turns;

static TURNS: Turns = Turns::of("worksheets");

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
    fn perform(&self) -> Result<Rendered, SheetError> {
        worksheet(&WorksheetInput {
            layout: &self.request.layout,
            profile: &self.profile,
            profile_digest: &self.profile_digest,
            units: &self.request.units,
            head_serial: self.request.head_serial.as_deref(),
            job_number: self.request.job_number.as_deref(),
            look: self.request.sheet,
        })
    }
}

/// Draws a worksheet on a thread of its own, when its turn has come.
///
/// # Errors
/// A located fault when it would have too many pages; [`crate::ProblemKind::Unavailable`] when its turn does not come soon
/// enough.
pub(crate) async fn draw(task: Task) -> Result<Vec<u8>, ApiError> {
    match TURNS.make(move || task.perform()).await? {
        Ok(made) => {
            if let Some(code_points) = made.unshown_code_points() {
                tracing::warn!(code_points, "characters of a worksheet could not be shown");
            }
            Ok(made.bytes)
        }
        Err(error @ SheetError::TooLarge { .. }) => {
            Err(ApiError::faults(vec![Fault::new("/profile/limits".into(), error.to_string(), None)]))
        }
        Err(error) => Err(ApiError::internal(&error)),
    }
}
