//! Why a renderer has nothing to show.

use std::error::Error;

use headproof_sheet::SheetError;
use headproof_wire::ReadError;
use serde::{Deserialize, Serialize};

use crate::error::Chain;

/// Why documents did not become pages.
///
/// Clients read these words as the reason of a job, as those of [`crate::error::TaskError`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, thiserror::Error)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Refusal {
    /// The record is too long for paper. Rendering is deterministic: another try gives the same.
    #[error("{0}")]
    TooLong(String),
    /// The pages could not be made: a fault of this program, the same at every try.
    #[error("the pages could not be made")]
    Pages(#[source] Cause),
    /// What the store gave is no document of ours.
    #[error("the stored {what} cannot be read")]
    Document {
        /// Which document.
        what: String,
        /// Why.
        #[source]
        cause: Cause,
    },
    /// An evaluation or a plan is not the one its digest names.
    #[error("the stored {0} does not match its digest")]
    Digest(String),
    /// The renderer gave up in a way it should not.
    #[error("the renderer stopped unexpectedly")]
    Stopped(#[source] Cause),
}

/// What an error said in the process it came up in, with what caused it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, thiserror::Error)]
#[serde(transparent)]
#[error("{0}")]
pub(crate) struct Cause(String);

impl Cause {
    /// Of an error and all that caused it.
    pub(crate) fn of(error: &dyn Error) -> Self {
        Self(Chain(error).to_string())
    }
}

impl From<String> for Cause {
    fn from(words: String) -> Self {
        Self(words)
    }
}

impl Refusal {
    /// What it means that a document cannot be read.
    pub(crate) fn unreadable(what: &str) -> impl FnOnce(ReadError) -> Self {
        move |error| Self::Document { what: what.to_owned(), cause: Cause::of(&error) }
    }
}

impl From<SheetError> for Refusal {
    fn from(error: SheetError) -> Self {
        match error {
            SheetError::TooLarge { .. } => Self::TooLong(error.to_string()),
            _ => Self::Pages(Cause::of(&error)),
        }
    }
}
