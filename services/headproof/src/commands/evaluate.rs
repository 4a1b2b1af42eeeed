//! Judging on the spot.

use std::error::Error;
use std::path::Path;
use std::process::ExitCode;

use headproof_judge::JudgeBy;
use headproof_seal::{canonical, digest};
use headproof_sheet::{SheetInput, inspection_sheet};
use headproof_wire::{
    At, Evaluation, MeasurementSet, Paper, TargetProfile, evaluation_document, measurement_set,
    target_profile,
};

use super::files::{document, print, refused};

/// Judges a set by a profile, prints the evaluation, and draws the sheet when asked to.
///
/// With a sheet, the evaluation names the digests of set and profile, and the digest on the sheet is that
/// of the printed evaluation in its canonical form (RFC 8785). Faults are told of both documents at once.
///
/// Exit code 0 when the head is acceptable, 1 when it is not, 2 when the documents have faults.
pub(crate) fn run(
    set: &Path,
    profile: &Path,
    sheet: Option<&Path>,
    paper: Paper,
    judge_by: JudgeBy,
) -> Result<ExitCode, Box<dyn Error>> {
    let set = document::<MeasurementSet, _>(set, |set| measurement_set(set, &At::Root));
    let profile = document::<TargetProfile, _>(profile, |profile| target_profile(profile, &At::Root));
    let ((set_doc, set), (profile_doc, profile)) = match (set, profile) {
        (Ok(set), Ok(profile)) => (set, profile),
        (set, profile) => return refused([("measurement set", set.err()), ("profile", profile.err())]),
    };
    let mut evaluation = evaluation_document(&judge_by(&set, &profile), &set, &profile);
    if let Some(path) = sheet {
        let evaluation_digest = bind(&mut evaluation, &set_doc, &profile_doc)?;
        let input = SheetInput {
            set: &set_doc,
            profile: &profile_doc,
            evaluation: &evaluation,
            evaluation_digest: &evaluation_digest,
            plan: None,
            paper,
        };
        std::fs::write(path, inspection_sheet(&input)?)
            .map_err(|error| format!("{}: {error}", path.display()))?;
    }
    print(&serde_json::to_string_pretty(&evaluation)?)?;
    Ok(if evaluation.disposition == "accept" { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

/// Names in an evaluation what was judged; returns the digest of the whole.
pub(super) fn bind(
    evaluation: &mut Evaluation,
    set: &MeasurementSet,
    profile: &TargetProfile,
) -> Result<String, Box<dyn Error>> {
    evaluation.measurement_set_digest = Some(digest(&canonical(set)?));
    evaluation.profile.digest = Some(digest(&canonical(profile)?));
    Ok(digest(&canonical(evaluation)?))
}

#[cfg(test)]
mod tests {
    use headproof_wire::examples::HEADS;

    use super::*;
    use crate::commands::examples;

    #[test]
    fn the_digest_on_the_sheet_is_that_of_the_printed_evaluation() -> Result<(), Box<dyn Error>> {
        for (head, named) in HEADS {
            let (set_doc, profile_doc) = (examples::set(head)?, examples::profile(named)?);
            let faulty = |faults| format!("{}: {faults:?}", head.name);
            let set = measurement_set(&set_doc, &At::Root).map_err(faulty)?;
            let profile = target_profile(&profile_doc, &At::Root).map_err(faulty)?;
            let evaluation = headproof_judge::evaluate(&set, &profile);
            let mut evaluation = evaluation_document(&evaluation, &set, &profile);
            let on_the_sheet = bind(&mut evaluation, &set_doc, &profile_doc)?;
            let printed: serde_json::Value =
                serde_json::from_str(&serde_json::to_string_pretty(&evaluation)?)?;
            assert_eq!(digest(&canonical(&printed)?), on_the_sheet, "{}", head.name);
            assert_eq!(printed["measurement_set_digest"], digest(&canonical(&set_doc)?));
            assert_eq!(printed["profile"]["digest"], digest(&canonical(&profile_doc)?));
        }
        Ok(())
    }
}
