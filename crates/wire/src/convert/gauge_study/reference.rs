//! The readings of a study on a reference.

use headproof_line::{ReferenceFault, ReferenceRules, ReferenceStudy};

use super::{LARGEST, Readings};
use crate::convert::block::Conversion;
use crate::gauge_study::ReferenceGaugeReadings;
use crate::pointer::At;

/// Readings of the smallest and of the largest study.
const READINGS: std::ops::RangeInclusive<usize> = 10..=10_000;

/// `usual` holds what is not of the reference alone, and the defaults.
pub(super) fn readings(
    c: &mut Conversion<'_>,
    at: &At<'_>,
    doc: &ReferenceGaugeReadings,
    usual: ReferenceRules,
) -> Option<Readings> {
    let rules = ReferenceRules {
        resolution: doc.resolution,
        share: doc.share.unwrap_or(usual.share),
        multiple: doc.multiple.unwrap_or(usual.multiple),
        wanted: doc.wanted.unwrap_or(usual.wanted),
        ..usual
    };
    let rows = c.bounded(&at.member("readings"), &doc.readings, READINGS);
    let study = ReferenceStudy::new(doc.reference_value, doc.reference_uncertainty.unwrap_or(0.0), rows);
    let (study, mut faults) = match study {
        Ok(study) => (Some(study), Vec::new()),
        Err(faults) => (None, faults),
    };
    let evaluated = match &study {
        Some(study) => study.evaluate(&rules),
        None => Err(rules.faults()),
    };
    let result = evaluated.map_err(|of_rules| faults.extend(of_rules)).ok().map(Box::new);
    faults.iter().for_each(|fault| tell(c, at, doc, *fault));
    Some(Readings::Reference { result: result?, rules, value: doc.reference_value })
}

fn tell(c: &mut Conversion<'_>, at: &At<'_>, doc: &ReferenceGaugeReadings, fault: ReferenceFault) {
    let from_to = format!("must be at least -{LARGEST} and at most {LARGEST}");
    let positive = format!("must be more than 0 and at most {LARGEST}");
    let (member, detail, value) = match fault {
        // Told by the bounds of the list.
        ReferenceFault::Count(_) => return,
        // Not of this part of the document: told where they stand.
        ReferenceFault::Tolerance | ReferenceFault::Confidence => return,
        ReferenceFault::Reading(index) => {
            let list = at.member("readings");
            return c.fault(&list.element(index), from_to, doc.readings.get(index).copied().map(Into::into));
        }
        ReferenceFault::Reference => ("reference_value", from_to, Some(doc.reference_value)),
        ReferenceFault::ReferenceUncertainty => {
            let detail = format!("must be at least 0 and at most {LARGEST}");
            ("reference_uncertainty", detail, doc.reference_uncertainty)
        }
        ReferenceFault::Resolution => ("resolution", positive, doc.resolution),
        ReferenceFault::Share => ("share", "must be at least 0.001 and at most 1".to_owned(), doc.share),
        ReferenceFault::Multiple => {
            ("multiple", "must be at least 1 and at most 100".to_owned(), doc.multiple)
        }
        ReferenceFault::Wanted => ("wanted", "must be more than 0 and at most 100".to_owned(), doc.wanted),
    };
    c.fault(&at.member(member), detail, value.map(Into::into));
}
