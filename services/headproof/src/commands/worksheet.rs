//! A blank worksheet on the spot.

use std::error::Error;
use std::path::Path;
use std::process::ExitCode;

use headproof_seal::{canonical, digest};
use headproof_sheet::{WorksheetInput, worksheet};
use headproof_wire::{
    At, Fault, Layout, SheetOptions, TargetProfile, Units, WorksheetRequest, target_profile, worksheet_faults,
};

use super::files::{Refusal, document, refused, write_pages};

/// Where the documents are.
pub(crate) struct Files<'a> {
    /// The layout.
    pub(crate) layout: &'a Path,
    /// The profile.
    pub(crate) profile: &'a Path,
}

/// How the worksheet shall be.
pub(crate) struct Wishes {
    /// Its units; those of the profile without them.
    pub(crate) units: Option<Units>,
    /// Serial of the head.
    pub(crate) head: Option<String>,
    /// Job number.
    pub(crate) job: Option<String>,
    /// Its paper and language.
    pub(crate) look: SheetOptions,
}

/// Draws the blank worksheet of a layout and a profile.
///
/// Faults are told of both documents at once. Exit code 0 when it was written, 2 when the documents have faults.
pub(crate) fn run(from: Files<'_>, wishes: Wishes, out: &Path) -> Result<ExitCode, Box<dyn Error>> {
    let profile = document::<TargetProfile, _>(from.profile, |profile| target_profile(profile, &At::Root));
    let layout = document::<Layout, _>(from.layout, |_| Ok(()));
    let stated = profile.as_ref().map_or(Units::BASE, |(profile, _)| profile.units);
    let request = layout.map(|(layout, ())| WorksheetRequest {
        layout,
        profile: None,
        profile_ref: None,
        units: wishes.units.unwrap_or(stated),
        head_serial: wishes.head,
        job_number: wishes.job,
        sheet: wishes.look,
    });
    let (request, profile) = match (request.and_then(faultless), profile) {
        (Ok(request), Ok((profile, _))) => (request, profile),
        (request, profile) => return refused([("worksheet", request.err()), ("profile", profile.err())]),
    };
    let file = worksheet(&WorksheetInput {
        layout: &request.layout,
        profile: &profile,
        profile_digest: &digest(&canonical(&profile)?),
        units: &request.units,
        head_serial: request.head_serial.as_deref(),
        job_number: request.job_number.as_deref(),
        look: request.sheet,
    })?;
    write_pages(out, &file)?;
    Ok(ExitCode::SUCCESS)
}

/// The request, unless what it says has faults.
fn faultless(request: WorksheetRequest) -> Result<WorksheetRequest, Refusal> {
    let faults: Vec<Fault> = worksheet_faults(&request, &At::Root);
    if faults.is_empty() { Ok(request) } else { Err(Refusal::Faults(faults)) }
}
