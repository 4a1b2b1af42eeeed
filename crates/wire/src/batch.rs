//! Batches: many heads at once.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;
use uuid::Uuid;

use crate::{Links, Problem, TaskState};

/// A batch: a label over jobs, and their common report.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Batch {
    /// Its id.
    pub id: Uuid,
    /// How far its report is, which is made when no sheet is pending any more.
    pub state: TaskState,
    /// Why it failed.
    pub reason: Option<String>,
    /// When it began to come in.
    #[schema(format = "date-time")]
    pub created_at: String,
    /// How far its lines are.
    pub progress: BatchProgress,
    /// Where its parts are.
    pub links: Links,
}

/// How many lines of a batch are how far. `lines` is the sum of accepted and refused, `accepted` that of the states.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, ToSchema)]
pub struct BatchProgress {
    /// Lines that were read.
    pub lines: u64,
    /// Lines that became jobs.
    pub accepted: u64,
    /// Lines that were refused.
    pub refused: u64,
    /// Jobs whose sheet waits.
    pub queued: u64,
    /// Jobs whose sheet is being made.
    pub running: u64,
    /// Jobs whose sheet is there.
    pub done: u64,
    /// Jobs whose sheet could not be made.
    pub failed: u64,
    /// Jobs that were called off.
    pub cancelled: u64,
}

impl BatchProgress {
    /// Lines of which nothing more will come.
    #[must_use]
    pub const fn over(&self) -> u64 {
        self.refused + self.done + self.failed + self.cancelled
    }
}

/// What came of one line of a batch.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct BatchLine {
    /// Line number from 1; the number of the element, where the batch is an array; that of its first row, in CSV.
    pub line: u32,
    /// The client's own reference, when it could be read.
    pub client_reference: Option<String>,
    /// Accepted or refused.
    pub outcome: LineOutcome,
    /// The job, when accepted.
    pub job: Option<Uuid>,
    /// Serial of the head, when accepted.
    pub head_serial: Option<String>,
    /// How far its sheet is, when accepted.
    pub state: Option<TaskState>,
    /// What follows for the head, when accepted.
    pub disposition: Option<String>,
    /// Why not, when refused.
    pub problem: Option<Problem>,
}

/// Accepted or refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum LineOutcome {
    /// A job was made.
    Accepted,
    /// Nothing was stored of it.
    Refused,
}
