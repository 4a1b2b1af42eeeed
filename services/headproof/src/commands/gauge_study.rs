//! A study of a gauge on the spot.

mod tables;

use std::error::Error;
use std::path::Path;
use std::process::ExitCode;

use headproof_wire::gauge_study::{GaugeOutcome, GaugeStudyRequest};
use headproof_wire::{At, gauge_study_document};

use super::files::{document, print, refused};

/// Evaluates the readings of a study and prints what they say, as tables or as JSON.
///
/// Exit code 0 unless the gauge is unfit, 1 when it is, 2 when the document has faults.
pub(crate) fn run(file: &Path, json: bool) -> Result<ExitCode, Box<dyn Error>> {
    let read = document::<GaugeStudyRequest, _>(file, |posted| gauge_study_document(posted, &At::Root));
    let (_, found) = match read {
        Ok(read) => read,
        Err(refusal) => return refused([("gauge study", Some(refusal))]),
    };
    print(&if json { serde_json::to_string_pretty(&found)? } else { tables::of(&found) })?;
    Ok(if found.outcome == GaugeOutcome::Unfit { ExitCode::from(1) } else { ExitCode::SUCCESS })
}
