//! Judging on the spot.

use std::error::Error;
use std::path::Path;
use std::process::ExitCode;

use headproof_judge::JudgeBy;
use headproof_sheet::{SheetInput, inspection_sheet};
use headproof_wire::{
    At, MeasurementSet, TargetProfile, evaluation_document, measurement_set, target_profile,
};

use super::bound::Bound;
use super::files::{document, print, refused, write_pages};
use super::pages::{Earlier, Pages};

/// Judges a set by a profile, prints the evaluation, and draws the sheet when asked to.
///
/// With a sheet, the evaluation names the digests of set and profile, and the digest on the sheet is that
/// of the printed evaluation in its canonical form (RFC 8785), which is attached to it with set and profile.
/// Faults are told of all documents at once.
///
/// Exit code 0 when the head is acceptable, 1 when it is not, 2 when the documents have faults.
pub(crate) fn run(
    set: &Path,
    profile: &Path,
    pages: Pages<'_>,
    judge_by: JudgeBy,
) -> Result<ExitCode, Box<dyn Error>> {
    let set = document::<MeasurementSet, _>(set, |set| measurement_set(set, &At::Root));
    let profile = document::<TargetProfile, _>(profile, |profile| target_profile(profile, &At::Root));
    let earlier = pages.earlier(set.as_ref().ok().map(|(set, _)| set));
    let ((set_doc, set), (profile_doc, profile), earlier) = match (set, profile, earlier) {
        (Ok(set), Ok(profile), Ok(earlier)) => (set, profile, earlier),
        (set, profile, earlier) => {
            let refusals = [
                ("measurement set", set.err()),
                ("profile", profile.err()),
                ("earlier evaluation", earlier.err()),
            ];
            return refused(refusals);
        }
    };
    let mut evaluation = evaluation_document(&judge_by(&set, &profile), &set, &profile);
    if let Some(path) = pages.sheet {
        let bound = Bound::new(&mut evaluation, &set_doc, &profile_doc)?;
        let input = SheetInput {
            set: &set_doc,
            profile: &profile_doc,
            evaluation: &evaluation,
            evaluation_digest: &bound.evaluation.digest,
            plan: None,
            earlier: earlier.as_ref().map(Earlier::input),
            sign_off: None,
            record: bound.record(),
            look: pages.look,
        };
        write_pages(path, &inspection_sheet(&input)?)?;
    }
    print(&serde_json::to_string_pretty(&evaluation)?)?;
    Ok(if evaluation.disposition == "accept" { ExitCode::SUCCESS } else { ExitCode::from(1) })
}
