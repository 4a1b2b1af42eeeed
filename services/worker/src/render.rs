//! From stored documents to bytes.

use headproof_sheet::{BatchInput, SheetInput, batch_report, inspection_sheet};
use headproof_store::JobDocuments;
use headproof_wire::{Evaluation, MeasurementSet, Paper, TargetProfile, read};

use crate::error::TaskError;

/// The documents of one job, read.
pub(crate) struct Documents {
    set: MeasurementSet,
    profile: TargetProfile,
    evaluation: Evaluation,
    digest: String,
}

impl Documents {
    /// Reads what the store gave, and checks that the record is what it says it is.
    pub(crate) fn read(stored: &JobDocuments) -> Result<Self, TaskError> {
        if headproof_seal::digest(&stored.evaluation) != stored.digest {
            return Err(TaskError::Digest);
        }
        let unreadable = |what| move |source| TaskError::Document { what, source };
        Ok(Self {
            set: read(&stored.measurement_set).map_err(unreadable("measurement set"))?,
            profile: read(&stored.profile).map_err(unreadable("profile"))?,
            evaluation: read(&stored.evaluation).map_err(unreadable("evaluation"))?,
            digest: stored.digest.clone(),
        })
    }

    /// The serial of the head.
    pub(crate) fn serial(&self) -> &str {
        &self.evaluation.head_serial
    }

    fn input(&self, paper: Paper) -> SheetInput<'_> {
        SheetInput {
            set: &self.set,
            profile: &self.profile,
            evaluation: &self.evaluation,
            evaluation_digest: &self.digest,
            paper,
        }
    }
}

/// The sheet of one head.
pub(crate) fn sheet(documents: &Documents, paper: Paper) -> Result<Vec<u8>, TaskError> {
    Ok(inspection_sheet(&documents.input(paper))?)
}

/// The report of a batch.
pub(crate) fn report(
    label: &str,
    documents: &[Documents],
    failed: Vec<(String, String)>,
    paper: Paper,
) -> Result<Vec<u8>, TaskError> {
    let sheets = documents.iter().map(|documents| documents.input(paper)).collect();
    Ok(batch_report(&BatchInput { batch_label: label, sheets, failed, paper })?)
}
