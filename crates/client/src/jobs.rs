//! Jobs.

use std::time::Duration;

use headproof_wire::{Job, JobRequest, TaskState};
use uuid::Uuid;

use crate::call::{Call, Content};
use crate::pages::{Page, with_query};
use crate::{Client, ClientError, IdempotencyKey};

/// The link of all jobs.
const JOBS: &str = "/v1/jobs";

/// Which jobs to list; all without a wish.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct JobsAsked {
    /// Those in this state.
    pub state: Option<TaskState>,
    /// Those of the head with this serial.
    pub head: Option<String>,
    /// Those of this batch.
    pub batch: Option<Uuid>,
    /// So many on a page.
    pub limit: Option<u32>,
}

/// The word of a state.
pub(crate) const fn word(state: TaskState) -> &'static str {
    match state {
        TaskState::Queued => "queued",
        TaskState::Running => "running",
        TaskState::Done => "done",
        TaskState::Failed => "failed",
        TaskState::Cancelled => "cancelled",
    }
}

/// Will nothing more come of it?
pub(crate) const fn is_over(state: TaskState) -> bool {
    !matches!(state, TaskState::Queued | TaskState::Running)
}

impl Client {
    /// Posts one set to be judged, kept and turned into a sheet.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn submit(&self, request: &JobRequest) -> Result<Job, ClientError> {
        self.submit_document(crate::shop::json(request)?, &IdempotencyKey::new()).await
    }

    /// The same with a request that is JSON already, and a key that was thought of before.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn submit_document(&self, request: Vec<u8>, key: &IdempotencyKey) -> Result<Job, ClientError> {
        Call::create(self, JOBS, Content::Bytes(request, "application/json"), key).accepted().await
    }

    /// A job as it stands.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn job(&self, id: Uuid) -> Result<Job, ClientError> {
        Call::get(self, format!("{JOBS}/{id}")).document().await
    }

    /// Waits until a job's sheet is there or has failed.
    ///
    /// # Errors
    /// [`ClientError::TimedOut`] after `longest`, else [`ClientError`].
    pub async fn wait(&self, job: &Job, longest: Duration) -> Result<Job, ClientError> {
        self.poll(&job.links.this, longest, |job: &Job| is_over(job.state), None).await
    }

    /// Withdraws a job whose sheet was not made yet. One that was withdrawn before is given as it is.
    ///
    /// # Errors
    /// [`ClientError`], among them the problem with status 409 when it is over.
    pub async fn cancel(&self, id: Uuid) -> Result<Job, ClientError> {
        let outcome = Call::post(self, format!("{JOBS}/{id}/cancel"), Content::None).document().await;
        match outcome {
            // Perhaps by an earlier try of this, whose answer was lost.
            Err(ClientError::Problem(problem)) if problem.status == 409 => match self.job(id).await {
                Ok(job) if job.state == TaskState::Cancelled => Ok(job),
                _ => Err(ClientError::Problem(problem)),
            },
            outcome => outcome,
        }
    }

    /// The first page of a list of jobs; [`Client::page`] gives the others.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn jobs(&self, asked: &JobsAsked) -> Result<Page<Job>, ClientError> {
        let wishes = [
            ("state", asked.state.map(|state| word(state).to_owned())),
            ("head", asked.head.clone()),
            ("batch", asked.batch.map(|batch| batch.to_string())),
            ("limit", asked.limit.map(|limit| limit.to_string())),
        ];
        self.page(&with_query(JOBS, &wishes)).await
    }
}
