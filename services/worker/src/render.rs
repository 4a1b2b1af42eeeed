//! From stored documents to bytes.

use headproof_sheet::{BatchInput, SheetError, SheetInput, batch_report, inspection_sheet};
use headproof_store::JobDocuments;
use headproof_wire::{Evaluation, MeasurementSet, Paper, ReadError, TargetProfile, read};

/// Why there is nothing to hand back.
#[derive(Debug, thiserror::Error)]
pub(crate) enum RenderError {
    /// The pages could not be made. Rendering is deterministic: another try gives the same.
    #[error("{0}")]
    Sheet(#[from] SheetError),
    /// What the store gave is no document of ours.
    #[error("the stored {what} cannot be read: {source}")]
    Document {
        /// Which document.
        what: &'static str,
        /// Why.
        source: ReadError,
    },
    /// The evaluation is not the one its digest names.
    #[error("the stored evaluation does not match its digest")]
    Digest,
    /// The renderer gave up in a way it should not.
    #[error("the renderer stopped unexpectedly")]
    Panicked,
    /// The store did not answer.
    #[error("the store did not give the documents: {0}")]
    Store(#[from] headproof_store::Error),
}

/// The documents of one job, read.
pub(crate) struct Documents {
    set: MeasurementSet,
    profile: TargetProfile,
    evaluation: Evaluation,
    digest: String,
}

impl Documents {
    /// Reads what the store gave, and checks that the record is what it says it is.
    pub(crate) fn read(stored: &JobDocuments) -> Result<Self, RenderError> {
        if headproof_seal::digest(&stored.evaluation) != stored.digest {
            return Err(RenderError::Digest);
        }
        let unreadable = |what| move |source| RenderError::Document { what, source };
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
pub(crate) fn sheet(documents: &Documents, paper: Paper) -> Result<Vec<u8>, RenderError> {
    Ok(inspection_sheet(&documents.input(paper))?)
}

/// The report of a batch.
pub(crate) fn report(
    label: &str,
    documents: &[Documents],
    failed: Vec<(String, String)>,
    paper: Paper,
) -> Result<Vec<u8>, RenderError> {
    let sheets = documents.iter().map(|documents| documents.input(paper)).collect();
    Ok(batch_report(&BatchInput { batch_label: label, sheets, failed, paper })?)
}
