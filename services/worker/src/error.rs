//! Why a task did not end well, and what is done about it.

use std::error::Error;
use std::time::Duration;
use std::{fmt, io};

use headproof_store::{ArtifactKind, Error as StoreError, Retry};

use crate::refusal::Refusal;
use crate::renderer::Bounds;

/// Longest wait after a fault of the store or of the system: it may pass at any time.
const LONGEST_FOR_STORE: Duration = Duration::from_secs(15);
/// Longest wait after any other failed attempt.
const LONGEST: Duration = Duration::from_secs(300);

/// Why there is nothing to show for a task.
///
/// Clients read these words as the reason of a job. So they name no file and quote neither the database
/// nor a library: that is what the sources are for, which go to the log.
#[derive(Debug, thiserror::Error)]
pub(crate) enum TaskError {
    /// The renderer made nothing of the documents.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// It was not done in its time, and was stopped.
    #[error("the {what} was not finished within {}", in_words(bounds.time))]
    Overtime {
        /// What was to be made.
        what: &'static str,
        /// What it may take.
        bounds: Bounds,
    },
    /// It wanted more memory than it may have.
    #[error("the {what} needs more than {} MiB of memory", bounds.memory_mebibytes)]
    OutOfMemory {
        /// What was to be made.
        what: &'static str,
        /// What it may take.
        bounds: Bounds,
    },
    /// The key of who signed cannot be unlocked: the secret is not the one it was locked with.
    #[error("the signer's key cannot be unlocked")]
    Locked(#[source] Box<dyn Error + Send + Sync>),
    /// The pages do not take the signature: a fault of this program, the same at every try.
    #[error("the pages could not be signed")]
    Unsigned(#[source] headproof_seal::Error),
    /// The timestamp authority did not answer, or not as it should.
    #[error("no timestamp could be had")]
    NotStamped(#[source] Box<dyn Error + Send + Sync>),
    /// The system gave no process to render in.
    #[error("no renderer could be started")]
    NoRenderer(#[source] io::Error),
    /// What the task was to be made of is not there, and nothing brings it back.
    #[error("the {0} is gone")]
    Vanished(&'static str),
    /// What is stored is damaged; an operator has to look.
    #[error("what is stored is damaged")]
    Damaged(#[source] StoreError),
    /// The store did not answer.
    #[error("the store could not give the documents")]
    NotGiven(#[source] StoreError),
    /// The store did not take what was made.
    #[error("the store could not keep the {what}")]
    NotKept {
        /// What was made.
        what: &'static str,
        /// Why.
        source: StoreError,
    },
}

impl TaskError {
    /// What a failure to keep an artifact means.
    pub(crate) fn not_kept(kind: ArtifactKind, source: StoreError) -> Self {
        let what = match kind {
            ArtifactKind::Sheet => "sheet",
            ArtifactKind::SignedSheet => "signed sheet",
            ArtifactKind::BatchReport => "report",
        };
        if passes(&source) { Self::NotKept { what, source } } else { Self::Damaged(source) }
    }

    /// Whether and when another attempt is worth while, and whether this one counts.
    pub(crate) fn retry(&self, attempt: u32, first_backoff: Duration) -> Retry {
        let wait = backoff(attempt, first_backoff);
        match self {
            Self::Refused(Refusal::TooLong(_) | Refusal::Pages(_))
            | Self::OutOfMemory { .. }
            | Self::Unsigned(_)
            | Self::Vanished(_) => Retry::Never,
            // Once more, and no oftener: the machine may have been busy with something else.
            Self::Overtime { .. } if attempt > 1 => Retry::Never,
            // The task did nothing wrong, so it may not be given up for it.
            Self::NotGiven(_) | Self::NotKept { .. } | Self::NoRenderer(_) => {
                Retry::Uncounted(wait.min(LONGEST_FOR_STORE))
            }
            // Neither is the doing of what was signed; both pass, be it after days.
            Self::NotStamped(_) | Self::Locked(_) => Retry::Uncounted(wait),
            Self::Refused(_) | Self::Overtime { .. } | Self::Damaged(_) => Retry::After(wait),
        }
    }
}

impl From<StoreError> for TaskError {
    fn from(source: StoreError) -> Self {
        if passes(&source) { Self::NotGiven(source) } else { Self::Damaged(source) }
    }
}

/// Whether it is the store that failed, and not something in it that is damaged.
fn passes(error: &StoreError) -> bool {
    matches!(error, StoreError::Full(_) | StoreError::Busy(_) | StoreError::Away(_) | StoreError::Other(_))
}

/// Doubles with every attempt, up to five minutes.
fn backoff(attempt: u32, first: Duration) -> Duration {
    first.saturating_mul(1 << attempt.saturating_sub(1).min(16)).min(LONGEST)
}

/// A time as one says it, to the millisecond.
fn in_words(time: Duration) -> String {
    if time.subsec_millis() == 0 {
        format!("{} s", time.as_secs())
    } else {
        format!("{} ms", time.as_millis())
    }
}

/// An error with what caused it, for the log.
pub(crate) struct Chain<'a>(pub(crate) &'a dyn Error);

impl fmt::Display for Chain<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)?;
        let mut source = self.0.source();
        while let Some(error) = source {
            write!(f, ": {error}")?;
            source = error.source();
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FIRST: Duration = Duration::from_secs(1);

    #[test]
    fn backoff_doubles_and_is_bounded() {
        let waits: Vec<u64> = (1..=10).map(|attempt| backoff(attempt, FIRST).as_secs()).collect();
        assert_eq!(waits, [1, 2, 4, 8, 16, 32, 64, 128, 256, 300]);
        assert_eq!(backoff(u32::MAX, FIRST).as_secs(), 300);
    }

    #[test]
    fn what_oversteps_its_bounds_says_which_and_is_not_tried_for_ever() {
        let bounds = |time| Bounds { time, memory_mebibytes: 1024 };
        let late = |time| TaskError::Overtime { what: "sheet", bounds: bounds(time) };
        let error = late(Duration::from_secs(60));
        assert_eq!(error.to_string(), "the sheet was not finished within 60 s");
        assert_eq!(
            late(Duration::from_millis(1500)).to_string(),
            "the sheet was not finished within 1500 ms"
        );
        assert_eq!((error.retry(1, FIRST), error.retry(2, FIRST)), (Retry::After(FIRST), Retry::Never));
        let error = TaskError::OutOfMemory { what: "report", bounds: bounds(FIRST) };
        assert_eq!(error.to_string(), "the report needs more than 1024 MiB of memory");
        assert_eq!(error.retry(1, FIRST), Retry::Never);
        let error = TaskError::NoRenderer(io::Error::other("no process"));
        assert_eq!(error.retry(40, FIRST), Retry::Uncounted(Duration::from_secs(15)));
    }

    #[test]
    fn a_fault_of_the_store_does_not_count_and_damage_does() {
        let io = || Box::new(std::io::Error::other("/secret/path"));
        for fault in [StoreError::Full(io()), StoreError::Busy(io()), StoreError::Other(io())] {
            let error = TaskError::not_kept(ArtifactKind::Sheet, fault);
            assert_eq!(error.retry(2, FIRST), Retry::Uncounted(Duration::from_secs(2)));
            assert_eq!(error.retry(40, FIRST), Retry::Uncounted(Duration::from_secs(15)));
            assert_eq!(error.to_string(), "the store could not keep the sheet");
            assert!(Chain(&error).to_string().ends_with("/secret/path"));
        }
        let asked = TaskError::from(StoreError::Busy(io()));
        assert_eq!(asked.retry(1, FIRST), Retry::Uncounted(FIRST));
        for damaged in [
            TaskError::from(StoreError::Corrupt("row 7".into())),
            TaskError::not_kept(ArtifactKind::BatchReport, StoreError::Corrupt("row 7".into())),
        ] {
            assert_eq!(damaged.retry(1, FIRST), Retry::After(FIRST));
            assert_eq!(damaged.to_string(), "what is stored is damaged");
        }
    }
}
