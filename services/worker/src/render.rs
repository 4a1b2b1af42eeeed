//! From stored documents to bytes.

use headproof_sheet::{BatchInput, PlanInput, Record, Rendered, SheetInput, batch_report, inspection_sheet};
use headproof_store::{JobDocuments, Plan};
use headproof_wire::{Evaluation, MeasurementSet, ReadError, ReworkPlan, SheetOptions, TargetProfile, read};

use crate::error::TaskError;

/// The documents of one job, read.
pub(crate) struct Documents {
    set: MeasurementSet,
    profile: TargetProfile,
    evaluation: Evaluation,
    plan: Option<ReworkPlan>,
    /// As they were stored, to be attached to the pages.
    stored: JobDocuments,
}

impl Documents {
    /// Reads what the store gave, and checks that the record is what it says it is.
    pub(crate) fn read(stored: JobDocuments) -> Result<Self, TaskError> {
        sealed("evaluation", &stored.evaluation, &stored.digest)?;
        Ok(Self {
            set: read(&stored.measurement_set).map_err(unreadable("measurement set"))?,
            profile: read(&stored.profile).map_err(unreadable("profile"))?,
            evaluation: read(&stored.evaluation).map_err(unreadable("evaluation"))?,
            plan: stored.plan.as_ref().map(rework_plan).transpose()?,
            stored,
        })
    }

    /// The serial of the head.
    pub(crate) fn serial(&self) -> &str {
        &self.evaluation.head_serial
    }

    fn input(&self, look: SheetOptions) -> SheetInput<'_> {
        let stored = &self.stored;
        let plan = self.plan.as_ref().zip(stored.plan.as_ref());
        SheetInput {
            set: &self.set,
            profile: &self.profile,
            evaluation: &self.evaluation,
            evaluation_digest: &stored.digest,
            plan: plan.map(|(plan, stored)| PlanInput {
                plan,
                digest: &stored.digest,
                canonical: &stored.document,
            }),
            earlier: None,
            record: Record {
                measurement_set: &stored.measurement_set,
                profile: &stored.profile,
                evaluation: &stored.evaluation,
            },
            look,
        }
    }
}

/// The plan of a job, if it is what its digest names.
fn rework_plan(stored: &Plan) -> Result<ReworkPlan, TaskError> {
    sealed("rework plan", &stored.document, &stored.digest)?;
    read(&stored.document).map_err(unreadable("rework plan"))
}

fn unreadable(what: &'static str) -> impl FnOnce(ReadError) -> TaskError {
    move |source| TaskError::Document { what, source }
}

/// Checks that a document is the one its digest names.
fn sealed(what: &'static str, document: &[u8], digest: &str) -> Result<(), TaskError> {
    if headproof_seal::digest(document) == digest { Ok(()) } else { Err(TaskError::Digest(what)) }
}

/// The sheet of one head.
pub(crate) fn sheet(documents: &Documents, look: SheetOptions) -> Result<Rendered, TaskError> {
    Ok(inspection_sheet(&documents.input(look))?)
}

/// The report of a batch.
pub(crate) fn report(
    label: &str,
    documents: &[Documents],
    failed: Vec<(String, String)>,
    look: SheetOptions,
) -> Result<Rendered, TaskError> {
    let sheets = documents.iter().map(|documents| documents.input(look)).collect();
    Ok(batch_report(&BatchInput { batch_label: label, sheets, failed, look })?)
}
