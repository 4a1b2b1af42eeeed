//! Planning on the spot.

mod summary;

use std::error::Error;
use std::path::Path;
use std::process::ExitCode;

use headproof_rework::Effort;
use headproof_sheet::{PlanInput, SheetInput, inspection_sheet};
use headproof_wire::{
    At, MeasurementSet, TargetProfile, Workshop, default_workshop, evaluation_document, measurement_set,
    plan_document, target_profile, workshop,
};

use super::bound::Bound;
use super::files::{document, print, refused, write_pages};
use super::pages::{Earlier, Pages};

/// Where the documents are.
pub(crate) struct Files<'a> {
    /// The measurement set.
    pub(crate) set: &'a Path,
    /// The profile.
    pub(crate) profile: &'a Path,
    /// The workshop; common practice without one.
    pub(crate) workshop: Option<&'a Path>,
}

/// Plans the rework of a head, prints a summary or the plan itself, and draws the sheet when asked to.
///
/// With a sheet, the plan names the digests of set and profile, as the evaluation on the sheet does. Faults are
/// told of all documents at once.
///
/// Exit code 0 when every port is planned or needs nothing, 1 when something is left, 2 when the documents
/// have faults.
pub(crate) fn run(from: Files<'_>, pages: Pages<'_>, json: bool) -> Result<ExitCode, Box<dyn Error>> {
    let set = document::<MeasurementSet, _>(from.set, |set| measurement_set(set, &At::Root));
    let profile = document::<TargetProfile, _>(from.profile, |profile| target_profile(profile, &At::Root));
    let means = from.workshop.map(|path| document::<Workshop, _>(path, |block| workshop(block, &At::Root)));
    let earlier = pages.earlier(set.as_ref().ok().map(|(set, _)| set));
    let ((set_doc, set), (profile_doc, profile), means, earlier) =
        match (set, profile, means.transpose(), earlier) {
            (Ok(set), Ok(profile), Ok(means), Ok(earlier)) => (set, profile, means, earlier),
            (set, profile, means, earlier) => {
                let refusals = [
                    ("measurement set", set.err()),
                    ("profile", profile.err()),
                    ("workshop", means.err()),
                    ("earlier evaluation", earlier.err()),
                ];
                return refused(refusals);
            }
        };
    let (posted, means) =
        means.map_or_else(|| (None, default_workshop()), |(posted, means)| (Some(posted), means));
    let plan = headproof_rework::plan(&set, &profile, &means, Effort::default());
    let mut plan = plan_document(&plan, &set, &profile, set_doc.units).made_with(posted);
    if let Some(path) = pages.sheet {
        let judged = headproof_judge::evaluate(&set, &profile);
        let mut evaluation = evaluation_document(&judged, &set, &profile);
        let bound = Bound::new(&mut evaluation, &set_doc, &profile_doc)?;
        let sealed = bound.plan(&mut plan)?;
        let input = SheetInput {
            set: &set_doc,
            profile: &profile_doc,
            evaluation: &evaluation,
            evaluation_digest: &bound.evaluation.digest,
            plan: Some(PlanInput { plan: &plan, digest: &sealed.digest, canonical: &sealed.canonical }),
            earlier: earlier.as_ref().map(Earlier::input),
            sign_off: None,
            record: bound.record(),
            look: pages.look,
        };
        write_pages(path, &inspection_sheet(&input)?)?;
    }
    print(&if json { serde_json::to_string_pretty(&plan)? } else { summary::of(&plan) })?;
    let is_whole = matches!(&*plan.outcome, "nothing-to-do" | "planned");
    Ok(if is_whole { ExitCode::SUCCESS } else { ExitCode::from(1) })
}
