//! From a request to a judgement, with every fault of set and profile reported at once.

use headproof_judge::JudgeBy;
use headproof_store::{JobContent, NewEvaluation};
use headproof_wire::{
    At, Evaluation, Fault, JobRequest, MeasurementSet, ProfileSelector, TargetProfile, evaluation_document,
    measurement_set, read, target_profile,
};

use uuid::Uuid;

use crate::{ApiError, ApiState, ProblemKind};

/// The language of sheets.
const LOCALE: &str = "en";

/// Longest reference of a client's own.
const LONGEST_REFERENCE: usize = 200;

/// A profile, or why the request has none.
pub(crate) type Resolved = Result<TargetProfile, Fault>;

/// The profile of a request: the one it carries, or the stored one it names.
pub(crate) async fn profile_of(
    state: &ApiState,
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
    let Some(stored) = state.store.profile(&state.shop, &named.id, &named.revision).await? else {
        let detail = format!("no profile {} revision {} is stored", named.id, named.revision);
        return Ok(Err(fault("/profile_ref", detail)));
    };
    read(&stored.document).map(Ok).map_err(|error| ApiError::internal(&error))
}

/// Judges a set by a profile. Pointers of faults are relative to the request; all are told at once.
pub(crate) fn judge(
    set: &MeasurementSet,
    profile: &Resolved,
    mut faults: Vec<Fault>,
    judge_by: JudgeBy,
) -> Result<Evaluation, ApiError> {
    let root = At::Root;
    let set = measurement_set(set, &root.member("measurement_set")).map_err(|found| faults.extend(found));
    let profile = match profile {
        Ok(profile) => target_profile(profile, &root.member("profile")).map_err(|found| faults.extend(found)),
        Err(fault) => {
            faults.push(fault.clone());
            Err(())
        }
    };
    match (set, profile) {
        (Ok(set), Ok(profile)) if faults.is_empty() => {
            let evaluation = judge_by(&set, &profile);
            Ok(evaluation_document(&evaluation, &set, &profile))
        }
        _ => Err(ApiError::faults(faults)),
    }
}

/// Everything a job keeps: canonical documents, and the evaluation bound to them by their digests.
pub(crate) fn job_content(request: &JobRequest, profile: &Resolved) -> Result<JobContent, ApiError> {
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
    let mut evaluation = judge(&request.measurement_set, profile, faults, headproof_judge::evaluate)?;
    let profile = profile.as_ref().map_err(|fault| ApiError::faults(vec![fault.clone()]))?;
    let set = canonical(&request.measurement_set)?;
    let profile = canonical(profile)?;
    evaluation.measurement_set_digest = Some(headproof_seal::digest(&set));
    evaluation.profile.digest = Some(headproof_seal::digest(&profile));
    let document = canonical(&evaluation)?;
    Ok(JobContent {
        head_reference: request.measurement_set.head.serial.clone(),
        client_reference: request.client_reference.clone(),
        stage: word(&request.measurement_set.job.stage)?,
        follows,
        measurement_set: set,
        profile,
        evaluation: NewEvaluation {
            digest: headproof_seal::digest(&document),
            document,
            disposition: evaluation.disposition.into_owned(),
        },
        paper: word(&request.sheet.paper)?,
        locale: LOCALE.to_owned(),
    })
}

pub(crate) fn canonical(document: &impl serde::Serialize) -> Result<Vec<u8>, ApiError> {
    headproof_seal::canonical(document).map_err(|error| ApiError::internal(&error))
}

/// A word of the wire as plain text.
fn word(word: &impl serde::Serialize) -> Result<String, ApiError> {
    let value = serde_json::to_value(word).map_err(|error| ApiError::internal(&error))?;
    value.as_str().map(str::to_owned).ok_or_else(|| ApiError::new(ProblemKind::Internal))
}
