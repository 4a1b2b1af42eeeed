//! From a request to a judgement, with every fault of set and profile reported at once.

use headproof_store::{JobContent, NewEvaluation};
use headproof_wire::{
    At, Evaluation, Fault, JobRequest, MeasurementSet, ProfileSelector, TargetProfile, evaluation_document,
    measurement_set, read, target_profile,
};

use crate::{ApiError, ApiState, ProblemKind};

/// The language of sheets.
const LOCALE: &str = "en";

/// The profile of a request: the one it carries, or the stored one it names.
pub(crate) async fn profile_of(
    state: &ApiState,
    inline: Option<TargetProfile>,
    named: Option<&ProfileSelector>,
) -> Result<TargetProfile, ApiError> {
    match (inline, named) {
        (Some(profile), None) => Ok(profile),
        (None, Some(named)) => {
            let stored = state.store.profile(&state.shop, &named.id, &named.revision).await?;
            let stored = stored.ok_or_else(|| {
                let detail = format!("no profile {} revision {} is stored", named.id, named.revision);
                ApiError::faults(vec![Fault::new("/profile_ref".into(), detail, None)])
            })?;
            read(&stored.document).map_err(|error| ApiError::internal(&error))
        }
        (Some(_), Some(_)) => Err(one_of("give either profile or profile_ref, not both")),
        (None, None) => Err(one_of("give a profile or a profile_ref")),
    }
}

fn one_of(detail: &str) -> ApiError {
    ApiError::faults(vec![Fault::new("/profile".into(), detail.into(), None)])
}

/// Judges a set by a profile. Pointers of faults are relative to the request.
pub(crate) fn judge(set: &MeasurementSet, profile: &TargetProfile) -> Result<Evaluation, ApiError> {
    let root = At::Root;
    let set = measurement_set(set, &root.member("measurement_set"));
    let profile = target_profile(profile, &root.member("profile"));
    match (set, profile) {
        (Ok(set), Ok(profile)) => {
            let evaluation = headproof_judge::evaluate(&set, &profile);
            Ok(evaluation_document(&evaluation, &set, &profile))
        }
        (set, profile) => {
            let mut faults = set.err().unwrap_or_default();
            faults.extend(profile.err().unwrap_or_default());
            Err(ApiError::faults(faults))
        }
    }
}

/// Everything a job keeps: canonical documents, and the evaluation bound to them by their digests.
pub(crate) fn job_content(request: &JobRequest, profile: &TargetProfile) -> Result<JobContent, ApiError> {
    if request.client_reference.as_ref().is_some_and(|text| text.chars().count() > 200) {
        let detail = "must not be longer than 200 characters".to_owned();
        return Err(ApiError::faults(vec![Fault::new("/client_reference".into(), detail, None)]));
    }
    let mut evaluation = judge(&request.measurement_set, profile)?;
    let set = canonical(&request.measurement_set)?;
    let profile = canonical(profile)?;
    evaluation.measurement_set_digest = Some(headproof_seal::digest(&set));
    evaluation.profile.digest = Some(headproof_seal::digest(&profile));
    let document = canonical(&evaluation)?;
    Ok(JobContent {
        head_reference: request.measurement_set.head.serial.clone(),
        client_reference: request.client_reference.clone(),
        stage: word(&request.measurement_set.job.stage)?,
        follows: request.follows,
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
