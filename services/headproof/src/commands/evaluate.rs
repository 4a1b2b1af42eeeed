//! Judging on the spot.

use std::error::Error;
use std::io::Read;
use std::path::Path;
use std::process::ExitCode;

use headproof_seal::{canonical, digest};
use headproof_sheet::{SheetInput, inspection_sheet};
use headproof_wire::{
    At, Document, Fault, MeasurementSet, Paper, ReadError, TargetProfile, evaluation_document,
    measurement_set, read, target_profile,
};
use serde::de::DeserializeOwned;

/// Judges a set by a profile, prints the evaluation, and draws the sheet when asked to.
///
/// Exit code 0 when the head is acceptable, 1 when it is not, 2 when the documents have faults.
pub(crate) fn run(
    set: &Path,
    profile: &Path,
    sheet: Option<&Path>,
    paper: Paper,
) -> Result<ExitCode, Box<dyn Error>> {
    let read = document::<MeasurementSet>(set, "measurement set").and_then(|set_doc| {
        let profile_doc = document::<TargetProfile>(profile, "profile")?;
        Ok((set_doc, profile_doc))
    });
    let (set_doc, profile_doc) = match read {
        Ok(documents) => documents,
        Err(refusal) => return refusal.shown(),
    };
    let domain = (measurement_set(&set_doc, &At::Root), target_profile(&profile_doc, &At::Root));
    let (set, profile) = match domain {
        (Ok(set), Ok(profile)) => (set, profile),
        (set, profile) => {
            show("measurement set", &set.err().unwrap_or_default());
            show("profile", &profile.err().unwrap_or_default());
            return Ok(ExitCode::from(2));
        }
    };
    let evaluation = headproof_judge::evaluate(&set, &profile);
    let mut evaluation = evaluation_document(&evaluation, &set, &profile);
    println!("{}", serde_json::to_string_pretty(&evaluation)?);
    if let Some(path) = sheet {
        evaluation.measurement_set_digest = Some(digest(&canonical(&set_doc)?));
        evaluation.profile.digest = Some(digest(&canonical(&profile_doc)?));
        let evaluation_digest = digest(&canonical(&evaluation)?);
        let input = SheetInput {
            set: &set_doc,
            profile: &profile_doc,
            evaluation: &evaluation,
            evaluation_digest: &evaluation_digest,
            paper,
        };
        std::fs::write(path, inspection_sheet(&input)?)?;
    }
    Ok(if evaluation.disposition == "accept" { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

/// A document that was not taken.
enum Refusal {
    Faults(&'static str, Vec<Fault>),
    Other(Box<dyn Error>),
}

impl Refusal {
    fn shown(self) -> Result<ExitCode, Box<dyn Error>> {
        match self {
            Self::Faults(what, faults) => {
                show(what, &faults);
                Ok(ExitCode::from(2))
            }
            Self::Other(error) => Err(error),
        }
    }
}

fn document<T: DeserializeOwned + Document>(path: &Path, what: &'static str) -> Result<T, Refusal> {
    let mut bytes = Vec::new();
    let text = if path == Path::new("-") {
        std::io::stdin().read_to_end(&mut bytes).map(|_| bytes)
    } else {
        std::fs::read(path)
    };
    let bytes = text.map_err(|error| Refusal::Other(format!("{}: {error}", path.display()).into()))?;
    read(&bytes).map_err(|error| match error {
        ReadError::Faults(faults) => Refusal::Faults(what, faults),
        ReadError::NotJson(_) => Refusal::Other(format!("{}: {error}", path.display()).into()),
    })
}

fn show(what: &str, faults: &[Fault]) {
    for fault in faults {
        let value = fault.value.as_ref().map(|value| format!(" (is {value})")).unwrap_or_default();
        eprintln!("{what} {}: {}{value}", fault.pointer, fault.detail);
    }
}
