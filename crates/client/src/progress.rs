//! How far a batch is.

use headproof_wire::{LineOutcome, Problem, TaskState};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

// The fields are those of the resource; once `headproof_wire::Batch` has them all, it takes the place of these.

/// A batch as it stands.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct BatchStatus {
    /// Its id.
    pub id: Uuid,
    /// How far it is.
    pub state: TaskState,
    /// Why it failed.
    pub reason: Option<String>,
    /// When it was accepted.
    pub created_at: String,
    /// How far its lines are.
    #[serde(default)]
    pub progress: BatchProgress,
    /// Where its parts are.
    pub links: BatchLinks,
}

/// How many lines of a batch are how far.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct BatchProgress {
    /// All lines that were read.
    pub lines: u64,
    /// Those of which a job was made.
    pub accepted: u64,
    /// Those of which nothing was stored.
    pub refused: u64,
    /// Jobs that wait.
    pub queued: u64,
    /// Jobs whose sheet is being made.
    pub running: u64,
    /// Jobs whose sheet is there.
    pub done: u64,
    /// Jobs whose sheet could not be made.
    pub failed: u64,
    /// Jobs that were withdrawn.
    pub cancelled: u64,
}

impl BatchProgress {
    /// Lines of which nothing more will come.
    #[must_use]
    pub const fn over(&self) -> u64 {
        self.refused + self.done + self.failed + self.cancelled
    }
}

/// Where the parts of a batch are.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct BatchLinks {
    /// The batch itself.
    #[serde(rename = "self")]
    pub this: String,
    /// What came of each line.
    pub lines: Option<String>,
    /// The list of its jobs.
    pub jobs: Option<String>,
    /// All sheets in one file.
    pub archive: Option<String>,
    /// Its report, once it is there.
    pub report: Option<String>,
}

/// What came of one line.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct LineStatus {
    /// Line number from 1.
    pub line: u64,
    /// The client's own reference, when it could be read.
    pub client_reference: Option<String>,
    /// Accepted or refused.
    pub outcome: LineOutcome,
    /// The job, when accepted.
    pub job: Option<Uuid>,
    /// How far the job is.
    pub state: Option<TaskState>,
    /// What follows for the head.
    pub disposition: Option<String>,
    /// Why not, when refused.
    pub problem: Option<Problem>,
}
