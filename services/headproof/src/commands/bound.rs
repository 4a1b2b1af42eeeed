//! Documents bound together by their digests.

use std::error::Error;

use headproof_seal::{canonical, digest};
use headproof_sheet::Record;
use headproof_wire::{Evaluation, MeasurementSet, ReworkPlan, TargetProfile};

/// A document in its canonical form, and the digest of that.
pub(super) struct Sealed {
    /// The canonical form (RFC 8785).
    pub(super) canonical: Vec<u8>,
    /// Its SHA-256, in hex.
    pub(super) digest: String,
}

impl Sealed {
    /// Of a document.
    pub(super) fn of(document: &impl serde::Serialize) -> Result<Self, Box<dyn Error>> {
        let canonical = canonical(document)?;
        Ok(Self { digest: digest(&canonical), canonical })
    }
}

/// The documents of a judged head, each naming by digest what it was made from.
pub(super) struct Bound {
    set: Sealed,
    profile: Sealed,
    /// The evaluation.
    pub(super) evaluation: Sealed,
}

impl Bound {
    /// Names in an evaluation what was judged.
    pub(super) fn new(
        evaluation: &mut Evaluation,
        set: &MeasurementSet,
        profile: &TargetProfile,
    ) -> Result<Self, Box<dyn Error>> {
        let (set, profile) = (Sealed::of(set)?, Sealed::of(profile)?);
        evaluation.measurement_set_digest = Some(set.digest.clone());
        evaluation.profile.digest = Some(profile.digest.clone());
        Ok(Self { set, profile, evaluation: Sealed::of(evaluation)? })
    }

    /// Names in a plan what it was made from.
    pub(super) fn plan(&self, plan: &mut ReworkPlan) -> Result<Sealed, Box<dyn Error>> {
        plan.measurement_set_digest = Some(self.set.digest.clone());
        plan.profile.digest = Some(self.profile.digest.clone());
        Sealed::of(plan)
    }

    /// As they are attached to the pages.
    pub(super) fn record(&self) -> Record<'_> {
        Record {
            measurement_set: &self.set.canonical,
            profile: &self.profile.canonical,
            evaluation: &self.evaluation.canonical,
        }
    }
}

#[cfg(test)]
mod tests {
    use headproof_wire::examples::HEADS;
    use headproof_wire::{At, evaluation_document, measurement_set, target_profile};

    use super::*;
    use crate::commands::examples;

    #[test]
    fn the_digest_on_the_sheet_is_that_of_the_printed_evaluation() -> Result<(), Box<dyn Error>> {
        for (head, named) in HEADS {
            let (set_doc, profile_doc) = (examples::set(head)?, examples::profile(named)?);
            let faulty = |faults| format!("{}: {faults:?}", head.name);
            let set = measurement_set(&set_doc, &At::Root).map_err(faulty)?;
            let profile = target_profile(&profile_doc, &At::Root).map_err(faulty)?;
            let evaluation = headproof_judge::evaluate(&set, &profile);
            let mut evaluation = evaluation_document(&evaluation, &set, &profile);
            let bound = Bound::new(&mut evaluation, &set_doc, &profile_doc)?;
            let printed: serde_json::Value =
                serde_json::from_str(&serde_json::to_string_pretty(&evaluation)?)?;
            assert_eq!(digest(&canonical(&printed)?), bound.evaluation.digest, "{}", head.name);
            assert_eq!(printed["measurement_set_digest"], digest(bound.record().measurement_set));
            assert_eq!(printed["profile"]["digest"], digest(&canonical(&profile_doc)?));
        }
        Ok(())
    }
}
