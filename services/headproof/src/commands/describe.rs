//! Writes what describes the interface: OpenAPI, JSON Schemas, the tables of characteristics and of columns, worked examples.

mod characteristics;
mod columns;
mod line;

use std::error::Error;
use std::fs;
use std::path::Path;
use std::process::ExitCode;

use headproof_rework::Effort;
use headproof_wire::examples::{GAUGE_STUDIES, HEADS};
use headproof_wire::{
    At, EvaluateRequest, Evaluation, Fault, JobRequest, MeasurementSet, PlanRequest, ReworkPlan, SCHEMAS,
    SheetOptions, TargetProfile, WorksheetRequest, Workshop, evaluation_document, gauge_study_document,
    measurement_set, plan_document, schema, target_profile, workshop,
};
use serde::Serialize;

use super::{examples, files};

/// Writes `openapi.json`, `schemas/`, `characteristics.md`, `csv-columns.md`, `csv-metadata.json` and `examples/` below `out`.
pub(crate) fn run(out: &Path) -> Result<ExitCode, Box<dyn Error>> {
    write(&out.join("openapi.json"), &headproof_api::openapi_document())?;
    for (name, root) in SCHEMAS {
        write(&out.join("schemas").join(format!("{name}.schema.json")), &schema(root))?;
    }
    write_text(&out.join("characteristics.md"), characteristics::page())?;
    write_text(&out.join("csv-columns.md"), columns::page())?;
    write(
        &out.join("csv-metadata.json"),
        &headproof_tabular::metadata("heads.csv", headproof_tabular::columns()),
    )?;
    write_examples(&out.join("examples"))?;
    Ok(ExitCode::SUCCESS)
}

/// The documents of the demo, and what is made of them.
fn write_examples(out: &Path) -> Result<(), Box<dyn Error>> {
    let means = examples::workshop()?;
    write(&out.join("demo-cooperative.workshop.json"), &means)?;
    for (shipped, named) in HEADS {
        let (set, profile) = (examples::set(shipped)?, examples::profile(named)?);
        let name = shipped.name.trim_start_matches("set-");
        let profile_name = named.name.trim_start_matches("profile-");
        let Outcome { evaluation, plan } =
            outcome(&set, &profile, &means).map_err(|faults| format!("{name}: {faults:?}"))?;
        write(&out.join(format!("{name}.measurement-set.json")), &set)?;
        write(&out.join(format!("{profile_name}.target-profile.json")), &profile)?;
        write(&out.join(format!("{name}.evaluation.json")), &evaluation)?;
        write(&out.join(format!("{name}.rework-plan.json")), &plan)?;
        let request = EvaluateRequest {
            measurement_set: set,
            profile: Some(profile),
            profile_ref: None,
            budgets: false,
        };
        write(&out.join(format!("{name}.evaluate-request.json")), &request)?;
        let request = PlanRequest {
            measurement_set: request.measurement_set,
            profile: request.profile,
            profile_ref: None,
            workshop: Some(means.clone()),
        };
        write(&out.join(format!("{name}.plan-request.json")), &request)?;
        let to_be_measured = WorksheetRequest {
            layout: request.measurement_set.layout.clone(),
            profile: request.profile.clone(),
            profile_ref: None,
            units: request.measurement_set.units,
            head_serial: Some(request.measurement_set.head.serial.clone()),
            job_number: Some(request.measurement_set.job.number.clone()),
            sheet: SheetOptions::default(),
        };
        write(&out.join(format!("{name}.worksheet-request.json")), &to_be_measured)?;
        let request = JobRequest {
            priority: None,
            measurement_set: request.measurement_set,
            profile: request.profile,
            profile_ref: None,
            workshop: None,
            sheet: SheetOptions::default(),
            client_reference: Some(format!("demo {name}")),
            follows: None,
        };
        write(&out.join(format!("{name}.job-request.json")), &request)?;
        write_as_csv(out, name, request)?;
    }
    for shipped in GAUGE_STUDIES {
        let (study, name) =
            (examples::gauge_study(shipped)?, shipped.name.trim_start_matches("gauge-study-"));
        let found =
            gauge_study_document(&study, &At::Root).map_err(|faults| format!("{name}: {faults:?}"))?;
        write(&out.join(format!("{name}.gauge-study.json")), &study)?;
        write(&out.join(format!("{name}.gauge-study-result.json")), &found)?;
    }
    write(&out.join("irrigation-pumps.statistics.json"), &line::statistics()?)
}

/// A request as CSV, with what describes its columns beside it; the profile is given apart.
fn write_as_csv(out: &Path, name: &str, request: JobRequest) -> Result<(), Box<dyn Error>> {
    let file = headproof_tabular::write(&[request]).map_err(|places| format!("{name}: {places:?}"))?;
    let described = headproof_tabular::metadata(&format!("{name}.csv"), file.columns);
    write(&out.join(format!("{name}.csv-metadata.json")), &described)?;
    write_text(&out.join(format!("{name}.csv")), file.text)
}

/// What the service answers for a demo head.
struct Outcome {
    evaluation: Evaluation,
    plan: ReworkPlan,
}

fn outcome(set: &MeasurementSet, profile: &TargetProfile, means: &Workshop) -> Result<Outcome, Vec<Fault>> {
    let units = set.units;
    let set = measurement_set(set, &At::Root)?;
    let profile = target_profile(profile, &At::Root)?;
    let known = workshop(means, &At::Root)?;
    let plan = headproof_rework::plan(&set, &profile, &known, Effort::default());
    Ok(Outcome {
        evaluation: evaluation_document(&headproof_judge::evaluate(&set, &profile), &set, &profile),
        plan: plan_document(&plan, &set, &profile, units).made_with(Some(means.clone())),
    })
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
    files::write(path, text)
}
