//! Writes what describes the interface: OpenAPI, JSON Schemas, the table of characteristics, worked examples.

mod characteristics;

use std::error::Error;
use std::fs;
use std::path::Path;
use std::process::ExitCode;

use headproof_wire::examples::HEADS;
use headproof_wire::{
    At, EvaluateRequest, JobRequest, SCHEMAS, SheetOptions, evaluation_document, measurement_set, schema,
    target_profile,
};
use serde::Serialize;

use super::examples;

/// Writes `openapi.json`, `schemas/`, `characteristics.md` and `examples/` below `out`.
pub(crate) fn run(out: &Path) -> Result<ExitCode, Box<dyn Error>> {
    write(&out.join("openapi.json"), &headproof_api::openapi_document())?;
    for (name, root) in SCHEMAS {
        write(&out.join("schemas").join(format!("{name}.schema.json")), &schema(root))?;
    }
    write_text(&out.join("characteristics.md"), characteristics::page())?;
    let examples = out.join("examples");
    for (shipped, named) in HEADS {
        let (set, profile) = (examples::set(shipped)?, examples::profile(named)?);
        let domain =
            measurement_set(&set, &At::Root).and_then(|set| Ok((set, target_profile(&profile, &At::Root)?)));
        let (judged, held_against) = domain.map_err(|faults| format!("{}: {faults:?}", shipped.name))?;
        let evaluation = headproof_judge::evaluate(&judged, &held_against);
        let evaluation = evaluation_document(&evaluation, &judged, &held_against);
        let name = shipped.name.trim_start_matches("set-");
        write(&examples.join(format!("{name}.measurement-set.json")), &set)?;
        write(
            &examples.join(format!("{}.target-profile.json", named.name.trim_start_matches("profile-"))),
            &profile,
        )?;
        write(&examples.join(format!("{name}.evaluation.json")), &evaluation)?;
        let request = EvaluateRequest {
            measurement_set: set,
            profile: Some(profile),
            profile_ref: None,
            budgets: false,
        };
        write(&examples.join(format!("{name}.evaluate-request.json")), &request)?;
        let request = JobRequest {
            measurement_set: request.measurement_set,
            profile: request.profile,
            profile_ref: None,
            sheet: SheetOptions::default(),
            client_reference: Some(format!("demo {name}")),
            follows: None,
        };
        write(&examples.join(format!("{name}.job-request.json")), &request)?;
    }
    Ok(ExitCode::SUCCESS)
}

fn write(path: &Path, document: &impl Serialize) -> Result<(), Box<dyn Error>> {
    let mut text = serde_json::to_string_pretty(document)?;
    text.push('\n');
    write_text(path, text)
}

fn write_text(path: &Path, text: String) -> Result<(), Box<dyn Error>> {
    if let Some(parent) = path.parent() {
        fs::create_dir_all(parent)?;
    }
    fs::write(path, text).map_err(|error| format!("{}: {error}", path.display()).into())
}
