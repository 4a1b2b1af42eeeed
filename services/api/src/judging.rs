//! From a request to a judgement, with every fault of set, profile and workshop reported at once.

use headproof_head as head;
use headproof_judge::JudgeBy;
use headproof_line::ObservedHead;
use headproof_store::{self as store, JobContent, NewEvaluation, Observations, Plan, ShopId};
use headproof_wire::{
    At, Evaluation, Fault, JobRequest, MeasurementSet, Priority, ProfileSelector, ReworkPlan, Tally,
    TargetProfile, Units, Workshop, evaluation_document, measurement_set, read, target_profile,
    write_observations,
};
use tracing::{Instrument, info_span};
use uuid::Uuid;

use crate::planning::{self, Task};
use crate::{ApiError, ApiState, ProblemKind};

/// Longest reference of a client's own.
const LONGEST_REFERENCE: usize = 200;

/// A profile, or why the request has none.
pub(crate) type Resolved = Result<TargetProfile, Fault>;

/// The profile of a request: the one it carries, or the stored one it names.
pub(crate) async fn profile_of(
    state: &ApiState,
    shop: &ShopId,
    inline: Option<TargetProfile>,
    named: Option<&ProfileSelector>,
) -> Result<Resolved, ApiError> {
    let fault = |pointer: &str, detail: String| Fault::new(pointer.to_owned(), detail, None);
    let named = match (inline, named) {
        (Some(profile), None) => return Ok(Ok(profile)),
        (None, Some(named)) => named,
        (Some(_), Some(_)) => {
            return Ok(Err(fault("/profile_ref", "give either profile or profile_ref, not both".into())));
        }
        (None, None) => return Ok(Err(fault("/profile", "give a profile or a profile_ref".into()))),
    };
    let Some(stored) = state.store.profile(shop, &named.id, &named.revision).await? else {
        let detail = format!("no profile {} revision {} is stored", named.id, named.revision);
        return Ok(Err(fault("/profile_ref", detail)));
    };
    read(&stored.document).map(Ok).map_err(|error| ApiError::internal(&error))
}

/// A request as the domain knows it.
pub(crate) struct Case {
    set: head::MeasurementSet,
    profile: head::TargetProfile,
    workshop: Option<head::Workshop>,
    means: Option<Workshop>,
    units: Units,
}

/// Takes a request into the domain. Pointers of faults are relative to the request; all are told at once.
pub(crate) fn understood(
    set: &MeasurementSet,
    profile: &Resolved,
    workshop: Option<&Workshop>,
    mut faults: Vec<Fault>,
) -> Result<Case, ApiError> {
    let (root, units) = (At::Root, set.units);
    let set = kept(measurement_set(set, &root.member("measurement_set")), &mut faults);
    let profile = profile.as_ref().map_err(|fault| vec![fault.clone()]);
    let profile = profile.and_then(|profile| target_profile(profile, &root.member("profile")));
    let profile = kept(profile, &mut faults);
    let at = root.member("workshop");
    let means = workshop.cloned();
    let workshop = workshop.map(|block| headproof_wire::workshop(block, &at)).transpose();
    let workshop = kept(workshop, &mut faults);
    match (set, profile, workshop) {
        (Some(set), Some(profile), Some(workshop)) if faults.is_empty() => {
            Ok(Case { set, profile, workshop, means, units })
        }
        _ => Err(ApiError::faults(faults)),
    }
}

/// What was understood; else its faults are added to the others.
fn kept<T>(taken: Result<T, Vec<Fault>>, faults: &mut Vec<Fault>) -> Option<T> {
    taken.map_err(|found| faults.extend(found)).ok()
}

impl Case {
    /// Judges the head.
    pub(crate) fn judge(&self, judge_by: JudgeBy) -> Evaluation {
        evaluation_document(&judge_by(&self.set, &self.profile), &self.set, &self.profile)
    }

    /// Judges the head; also what statistics need of it.
    fn judge_and_observe(&self) -> Result<(Evaluation, Observations), ApiError> {
        let Self { set, profile, .. } = self;
        let judged = headproof_judge::evaluate(set, profile);
        let document = write_observations(&ObservedHead::of(set, profile, &judged));
        let observations = Observations {
            measured_at: set.job.measured_at,
            profile: profile.id.clone(),
            document: document.map_err(|error| ApiError::internal(&error))?,
        };
        Ok((evaluation_document(&judged, set, profile), observations))
    }

    /// A plan to be made with the means of the request, or with these where it names none.
    pub(crate) fn task(self, usual: head::Workshop) -> Task {
        let Self { set, profile, workshop, means, units } = self;
        Task { set, profile, workshop: workshop.unwrap_or(usual), means, units }
    }

    /// A plan to be made, if the request asks for one.
    fn wished(self) -> Option<Task> {
        let Self { set, profile, workshop, means, units } = self;
        workshop.map(|workshop| Task { set, profile, workshop, means, units })
    }
}

/// What is judged, and what is still to be planned.
pub(crate) struct Judged {
    content: JobContent,
    /// How many rows of its evaluation came out how.
    pub(crate) tally: Tally,
    wished: Option<(Task, BoundTo)>,
}

/// Everything a job keeps but its plan: canonical documents, and the evaluation bound to them by their digests.
///
/// # Errors
/// Every fault of the request.
pub(crate) fn judged(request: &JobRequest, profile: &Resolved) -> Result<Judged, ApiError> {
    let (follows, faults) = header(request);
    let case = understood(&request.measurement_set, profile, request.workshop.as_ref(), faults)?;
    let profile = profile.as_ref().map_err(|fault| ApiError::faults(vec![fault.clone()]))?;
    let set = canonical(&request.measurement_set)?;
    let profile = canonical(profile)?;
    let bound_to = (headproof_seal::digest(&set), headproof_seal::digest(&profile));
    let (evaluation, observations) = info_span!("judge").in_scope(|| case.judge_and_observe())?;
    let tally = evaluation.tally;
    let content = JobContent {
        head_reference: request.measurement_set.head.serial.clone(),
        client_reference: request.client_reference.clone(),
        stage: word(&request.measurement_set.job.stage)?,
        follows,
        measurement_set: set,
        profile,
        evaluation: sealed_evaluation(evaluation, &bound_to)?,
        plan: None,
        observations,
        paper: word(&request.sheet.paper)?,
        locale: word(&request.sheet.language)?,
    };
    Ok(Judged { content, tally, wished: case.wished().map(|task| (task, bound_to)) })
}

/// The same with its plan, where one is wished.
///
/// # Errors
/// [`ProblemKind::Unavailable`] when too many plans are asked for at once.
pub(crate) async fn content_of(judged: Judged) -> Result<JobContent, ApiError> {
    let Judged { content, wished, .. } = judged;
    let plan = match wished {
        Some((task, bound_to)) => {
            let plan = planning::plan(task).instrument(info_span!("plan")).await?;
            Some(sealed_plan(plan, &bound_to)?)
        }
        None => None,
    };
    Ok(JobContent { plan, ..content })
}

/// How soon a sheet is made.
pub(crate) fn priority(wished: Option<Priority>, usual: store::Priority) -> store::Priority {
    match wished {
        Some(Priority::Urgent) => store::Priority::Urgent,
        Some(Priority::Normal) => store::Priority::Normal,
        Some(Priority::Bulk) => store::Priority::Bulk,
        None => usual,
    }
}

/// The earlier job that a request names, and the faults of what it says besides its documents.
fn header(request: &JobRequest) -> (Option<Uuid>, Vec<Fault>) {
    let mut faults = Vec::new();
    if request.client_reference.as_ref().is_some_and(|text| text.chars().count() > LONGEST_REFERENCE) {
        let detail = format!("must not be longer than {LONGEST_REFERENCE} characters");
        faults.push(Fault::new("/client_reference".into(), detail, None));
    }
    let follows = request.follows.as_ref().and_then(|id| {
        let parsed = Uuid::try_parse(id).ok();
        if parsed.is_none() {
            faults.push(Fault::new("/follows".into(), "is no id of a job".into(), Some(id.as_str().into())));
        }
        parsed
    });
    (follows, faults)
}

/// Digests of a measurement set and of a profile.
type BoundTo = (String, String);

fn sealed_evaluation(mut evaluation: Evaluation, bound_to: &BoundTo) -> Result<NewEvaluation, ApiError> {
    evaluation.measurement_set_digest = Some(bound_to.0.clone());
    evaluation.profile.digest = Some(bound_to.1.clone());
    let document = canonical(&evaluation)?;
    let disposition = evaluation.disposition.into_owned();
    Ok(NewEvaluation { digest: headproof_seal::digest(&document), document, disposition })
}

/// What it predicts stays unbound: nobody has measured that.
fn sealed_plan(mut plan: ReworkPlan, bound_to: &BoundTo) -> Result<Plan, ApiError> {
    plan.measurement_set_digest = Some(bound_to.0.clone());
    plan.profile.digest = Some(bound_to.1.clone());
    let document = canonical(&plan)?;
    Ok(Plan { digest: headproof_seal::digest(&document), document })
}

pub(crate) fn canonical(document: &impl serde::Serialize) -> Result<Vec<u8>, ApiError> {
    headproof_seal::canonical(document).map_err(|error| ApiError::internal(&error))
}

/// A word of the wire as plain text.
pub(crate) fn word(word: &impl serde::Serialize) -> Result<String, ApiError> {
    let value = serde_json::to_value(word).map_err(|error| ApiError::internal(&error))?;
    value.as_str().map(str::to_owned).ok_or_else(|| ApiError::new(ProblemKind::Internal))
}
