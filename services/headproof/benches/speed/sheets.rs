//! The sheet of a whole head, against nothing but deflating what is in it.
//!
//! The floor is the time that deflate at the same level takes for what is drawn on the pages of that very file and for
//! the documents attached to it. Both are taken turn by turn on one core.

use std::error::Error;
use std::hint::black_box;
use std::time::Instant;

use headproof_rework::{Effort, plan};
use headproof_seal::{canonical, digest};
use headproof_sheet::{PlanInput, Record, SheetInput, inspection_sheet};
use headproof_wire::{
    At, EvaluateRequest, Evaluation, MeasurementSet, ReworkPlan, SheetOptions, TargetProfile,
    default_workshop, evaluation_document, measurement_set, plan_document, read, target_profile,
};
use lopdf::Document;

use super::floor::{attachments, contents, deflate_all, structure};
use super::pinned::pinned;
use super::{median, microseconds};

const ROUNDS: usize = 60;

/// The documents of one head, and their canonical forms.
pub(super) struct Head {
    set: MeasurementSet,
    profile: TargetProfile,
    pub(super) evaluation: Evaluation,
    plan: ReworkPlan,
    canonical: [Vec<u8>; 4],
    pub(super) digests: [String; 2],
}

impl Head {
    pub(super) fn new(body: &[u8]) -> Result<Self, Box<dyn Error>> {
        let request: EvaluateRequest = read(body)?;
        let posted = request.measurement_set;
        let limits = request.profile.ok_or("the request carries its profile")?;
        let faults = |faults| format!("{faults:?}");
        let set = measurement_set(&posted, &At::Root).map_err(faults)?;
        let profile = target_profile(&limits, &At::Root).map_err(faults)?;
        let evaluation = evaluation_document(&headproof_judge::evaluate(&set, &profile), &set, &profile);
        let planned = plan(&set, &profile, &default_workshop(), Effort::default());
        let plan = plan_document(&planned, &set, &profile, posted.units);
        let canonical =
            [canonical(&posted)?, canonical(&limits)?, canonical(&evaluation)?, canonical(&plan)?];
        let digests = [digest(&canonical[2]), digest(&canonical[3])];
        Ok(Self { set: posted, profile: limits, evaluation, plan, canonical, digests })
    }

    pub(super) fn input(&self, planned: bool) -> SheetInput<'_> {
        let [measurement_set, profile, evaluation, plan] = &self.canonical;
        let plan = PlanInput { plan: &self.plan, digest: &self.digests[1], canonical: plan };
        SheetInput {
            set: &self.set,
            profile: &self.profile,
            evaluation: &self.evaluation,
            evaluation_digest: &self.digests[0],
            plan: planned.then_some(plan),
            earlier: None,
            sign_off: None,
            record: Record { measurement_set, profile, evaluation },
            look: SheetOptions::default(),
        }
    }
}

/// Prints pages, size, time and the ratio to the floor, without and with a rework plan.
pub(crate) fn report(body: &[u8]) -> Result<(), Box<dyn Error>> {
    let head = Head::new(body)?;
    println!("sheets of 16 valves on one core, median of {ROUNDS} rounds:");
    for (name, planned) in [("inspection", false), ("with its rework plan", true)] {
        let input = head.input(planned);
        let file = inspection_sheet(&input)?.bytes;
        let document = Document::load_mem(&file)?;
        let pages = document.get_pages().len();
        let streams = [contents(&document), attachments(&document)?, structure(&file)?].concat();
        let (mut whole, mut floor) = (Vec::with_capacity(ROUNDS), Vec::with_capacity(ROUNDS));
        pinned(|| {
            for _ in 0..ROUNDS {
                let begin = Instant::now();
                black_box(inspection_sheet(&input)?);
                whole.push(begin.elapsed());
                floor.push(deflate_all(&streams)?);
            }
            Ok(())
        })?;
        let (whole, floor) = (microseconds(median(&mut whole)), microseconds(median(&mut floor)));
        println!(
            "  {:6.2} ms  {name}: {:.1} documents a second, {pages} pages, {} kB",
            whole / 1e3,
            1e6 / whole,
            file.len() / 1000
        );
        println!(
            "  {:6.2} ms  deflating the {} kB of its pages, their structure and attachments; ratio {:.2} (goal: about 1.5)",
            floor / 1e3,
            streams.iter().map(Vec::len).sum::<usize>() / 1000,
            whole / floor
        );
    }
    Ok(())
}
