//! From a request to the record of a sign-off.

use headproof_seal::{Certificate, canonical, digest};
use headproof_store::{JobRecord, NewSignOff, ShopId, SignOffRecord, SigningContext};
use headproof_wire::{
    Checkpoint, EarlierSignOff, Evaluation, Fault, Meaning, SIGN_OFF_FORMAT, SignOff, SignOffRequest,
    SignOffRule, Signer, TargetProfile, read, sign_off_faults,
};

use crate::judging::word;
use crate::present::instant;
use crate::routes::jobs::documents;
use crate::{ApiError, ApiState, ProblemKind};

/// Bytes of a digest that make a code: 16 letters.
const CODE_BYTES: usize = 10;
/// Letters of a code between two hyphens.
const CODE_GROUP: usize = 4;

/// What is about to be signed.
pub(crate) struct ToSign {
    job: JobRecord,
    evaluation: Evaluation,
    rule: SignOffRule,
    request: SignOffRequest,
    shop: ShopId,
    /// What is amiss with the profile, if the head is to be released.
    faults: Vec<Fault>,
}

impl ToSign {
    /// Of a job and its documents. What this installation asks of a release goes beside what the profile asks, of which
    /// whoever posted the job may have had the choice.
    pub(crate) async fn new(
        state: &ApiState,
        shop: &ShopId,
        job: JobRecord,
        request: SignOffRequest,
    ) -> Result<Self, ApiError> {
        let documents = documents(state, shop, job.id).await?;
        let evaluation = read(&documents.evaluation).map_err(|error| ApiError::internal(&error))?;
        let profile: TargetProfile = read(&documents.profile).map_err(|error| ApiError::internal(&error))?;
        let rules = state.signatures.rules;
        let of_profile = profile.sign_off.unwrap_or_default();
        let rule = SignOffRule {
            two_persons: of_profile.two_persons || rules.two_persons,
            concessions: of_profile.concessions && rules.concessions,
        };
        let stored = state.store.profile(shop, &profile.id, &profile.revision).await?;
        let amiss = match stored {
            _ if request.meaning == Meaning::Inspected => None,
            Some(stored) if stored.summary.digest != digest(&documents.profile) => {
                Some("the head was judged by another profile than the one that is stored under that name")
            }
            None if rules.stored_profiles => Some("the head was judged by a profile that is not stored"),
            _ => None,
        };
        let fault = |detail: &str| Fault::new("/meaning".to_owned(), detail.to_owned(), None);
        let faults = amiss.into_iter().map(fault).collect();
        Ok(Self { job, evaluation, rule, request, shop: shop.clone(), faults })
    }

    /// The word of what it says.
    pub(crate) fn meaning(&self) -> Result<String, ApiError> {
        word(&self.request.meaning)
    }

    /// The record of it, unless the evaluation, the profile or the order of things forbids it.
    pub(crate) fn record(self, context: &SigningContext) -> Result<NewSignOff, ApiError> {
        let Self { job, evaluation, rule, request, shop, mut faults } = self;
        if context.newest_revision != job.revision {
            let detail = format!(
                "revision {} of this stage was posted; revision {} is signed no longer",
                context.newest_revision, job.revision
            );
            return Err(ApiError::because(ProblemKind::StaleRevision, detail));
        }
        if let Some(later) = context.later.as_ref().filter(|_| request.meaning != Meaning::Inspected) {
            let detail = format!("a later set of this head was posted: {}, job {}", later.stage, later.id);
            return Err(ApiError::because(ProblemKind::StaleRevision, detail));
        }
        let beside = context.beside.iter().map(earlier).collect::<Result<Vec<_>, _>>()?;
        faults.extend(sign_off_faults(&request, &evaluation, rule, &beside, context.person.id));
        if !faults.is_empty() {
            return Err(ApiError::faults(faults));
        }
        let chain = &context.certificate.content.chain;
        let own = chain.first().ok_or_else(|| ApiError::new(ProblemKind::Internal))?;
        let certificate = Certificate::from_der(own).map_err(|error| ApiError::internal(&error))?;
        if !certificate.is_valid_at(context.at) {
            return Err(ApiError::new(ProblemKind::CertificateNotValid));
        }
        let authority = digest(chain.get(1).unwrap_or(own));
        let record = SignOff {
            format: SIGN_OFF_FORMAT.to_owned(),
            id: context.id,
            shop: shop.to_string(),
            job: job.id,
            head_serial: job.head_reference,
            stage: evaluation.stage,
            revision: job.revision,
            evaluation_digest: job.digest,
            disposition: job.disposition,
            meaning: request.meaning,
            signer: Signer {
                id: context.person.id,
                name: context.person.name.clone(),
                role: context.person.role.clone(),
                certificate: context.certificate.content.fingerprint.clone(),
                authority,
            },
            signed_at: instant(context.at)?,
            concessions: request.concessions,
            note: request.note,
            beside,
            supersedes: context.in_force.iter().map(earlier).collect::<Result<_, _>>()?,
            checkpoint: Checkpoint { size: context.checkpoint.size, head: context.checkpoint.head.clone() },
        };
        let document = canonical(&record).map_err(|error| ApiError::internal(&error))?;
        let digest = digest(&document);
        let code = code_of(&digest).ok_or_else(|| ApiError::new(ProblemKind::Internal))?;
        Ok(NewSignOff { document, digest, code })
    }
}

/// A sign-off as others name it.
pub(crate) fn earlier(record: &SignOffRecord) -> Result<EarlierSignOff, ApiError> {
    let signed = document(record)?;
    Ok(EarlierSignOff {
        id: record.id,
        digest: record.content.digest.clone(),
        job: record.job,
        stage: signed.stage,
        revision: record.revision,
        meaning: signed.meaning,
        signer: record.person.id,
        name: record.person.name.clone(),
        role: record.person.role.clone(),
        signed_at: instant(record.signed_at)?,
    })
}

/// The record of a sign-off as it was stored.
pub(crate) fn document(record: &SignOffRecord) -> Result<SignOff, ApiError> {
    read(&record.content.document).map_err(|error| ApiError::internal(&error))
}

/// The code that a digest in hex is looked up by: its first 80 bits in the letters of RFC 4648, 6, which are hard to
/// take for one another.
///
/// `ba7816bf8f01cfea4141…` gives `XJ4B-NP4P-AHH6-UQKB`.
fn code_of(digest: &str) -> Option<String> {
    let bytes = data_encoding::HEXLOWER.decode(digest.as_bytes()).ok()?;
    let letters = data_encoding::BASE32_NOPAD.encode(bytes.get(..CODE_BYTES)?);
    let groups = letters.as_bytes().chunks(CODE_GROUP).map(String::from_utf8_lossy);
    Some(groups.collect::<Vec<_>>().join("-"))
}

/// A code as somebody typed it, as it is kept; none where it is no code.
pub(crate) fn code_typed(text: &str) -> Option<String> {
    let letters: Vec<u8> =
        text.bytes().filter(|byte| *byte != b'-').map(|byte| byte.to_ascii_uppercase()).collect();
    let bytes =
        data_encoding::BASE32_NOPAD.decode(&letters).ok().filter(|bytes| bytes.len() == CODE_BYTES)?;
    code_of(&data_encoding::HEXLOWER.encode(&bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The digest is that of "abc" (FIPS 180-4), its letters from Python's base64.b32encode.
    #[test]
    fn a_code_is_read_as_it_may_be_typed() {
        let digest = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        let code = code_of(digest).unwrap();
        assert_eq!(code, "XJ4B-NP4P-AHH6-UQKB");
        for typed in ["xj4bnp4pahh6uqkb", "XJ4B-NP4P-AHH6-UQKB", "xj-4bnp4pahh6uqk-b"] {
            assert_eq!(code_typed(typed).as_deref(), Some(code.as_str()), "{typed}");
        }
        for typed in ["", "XJ4B", "XJ4B-NP4P-AHH6-UQK1", "XJ4B-NP4P-AHH6-UQKB-AAAA", "é"] {
            assert_eq!(code_typed(typed), None, "{typed}");
        }
    }
}
