//! The queue: tasks handed out under a lease, guarded by the number of the attempt.

use std::time::Duration;

use time::OffsetDateTime;
use uuid::Uuid;

use crate::{ArtifactKind, Error, Result, ShopId, Store, clock::duration_ms, sql};

/// Where a task stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TaskState {
    /// It waits for a worker.
    Queued,
    /// A worker holds it.
    Running,
    /// Its artifact is there.
    Done,
    /// It was given up; the reason tells why.
    Failed,
    /// It was called off.
    Cancelled,
}

impl TaskState {
    const ALL: [Self; 5] = [Self::Queued, Self::Running, Self::Done, Self::Failed, Self::Cancelled];

    /// The name it is stored and published under.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Queued => "queued",
            Self::Running => "running",
            Self::Done => "done",
            Self::Failed => "failed",
            Self::Cancelled => "cancelled",
        }
    }

    pub(crate) fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|state| state.as_str() == name)
    }
}

/// How far a task is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TaskStatus {
    /// Where it stands.
    pub state: TaskState,
    /// How often it was handed out.
    pub attempt: u32,
    /// How often it may be; grows by 1 with every attempt that is given back uncounted.
    pub max_attempts: u32,
    /// Why the last attempt failed.
    pub reason: Option<String>,
    /// When it came to its end, to the millisecond.
    pub finished_at: Option<OffsetDateTime>,
}

/// A task in the hands of a worker.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Claim {
    /// The task.
    pub task: Uuid,
    /// Whose task it is.
    pub shop: ShopId,
    /// What is to be made.
    pub kind: ArtifactKind,
    /// The job or batch it is made of.
    pub owner: Uuid,
    /// Which attempt this is, from 1; the fencing token.
    pub attempt: u32,
    /// How many attempts there are.
    pub max_attempts: u32,
    /// The request that brought the task.
    pub request_id: String,
}

impl Claim {
    pub(crate) fn fenced(&self) -> Error {
        Error::Fenced { task: self.task, attempt: self.attempt }
    }
}

/// Whether a failed task is worth another attempt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Retry {
    /// After this time, while attempts are left.
    After(Duration),
    /// After this time, and whether attempts are left or not: what failed is not the task's doing, a
    /// full disk for example. The attempt keeps its number and the task gets one more.
    Uncounted(Duration),
    /// Another attempt would fail alike.
    Never,
}

impl Store {
    /// Takes the next task for the length of a lease, or nothing when there is none.
    ///
    /// A task may be taken when it is queued and due, or when the lease of its worker has run out; a
    /// batch report only once no sheet of its batch is pending. The shop that has waited longest is
    /// served first, and within it the oldest task. The attempt is counted here, so that a task that
    /// kills its worker comes to an end too: with its attempts used up it fails instead.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn claim(&self, lease: Duration) -> Result<Option<Claim>> {
        let now = self.clock.now_ms();
        // Idle workers ask often; they must not keep taking the write lock.
        if !sql::queue::anything_due(&mut *self.read().await?, now).await? {
            return Ok(None);
        }
        let mut tx = self.write().await?;
        let given_up = sql::queue::give_up_exhausted(&mut tx, now).await?;
        if given_up > 0 {
            tracing::warn!(tasks = given_up, "gave up tasks whose workers kept stopping");
        }
        let claim = match sql::queue::next(&mut tx, now).await? {
            None => None,
            Some(task) => {
                let claim = sql::queue::take(&mut tx, task, now.saturating_add(duration_ms(lease))).await?;
                sql::queue::serve_last(&mut tx, &claim.shop).await?;
                Some(claim)
            }
        };
        tx.commit().await?;
        Ok(claim)
    }

    /// Renews the lease; false when the task is no longer this worker's and its work is in vain.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn heartbeat(&self, claim: &Claim, lease: Duration) -> Result<bool> {
        let until = self.clock.now_ms().saturating_add(duration_ms(lease));
        let mut tx = self.write().await?;
        let held = sql::queue::renew(&mut tx, claim, until).await?;
        tx.commit().await?;
        Ok(held)
    }

    /// Gives a task back unfinished, and says whether it is queued again or has failed for good.
    ///
    /// # Errors
    /// [`Error::Fenced`] when the task is no longer this worker's; nothing is changed then.
    pub async fn fail(&self, claim: &Claim, reason: &str, retry: Retry) -> Result<TaskState> {
        let now = self.clock.now_ms();
        let mut tx = self.write().await?;
        let again = match retry {
            Retry::After(delay) if claim.attempt < claim.max_attempts => Some((delay, 0)),
            Retry::After(_) | Retry::Never => None,
            Retry::Uncounted(delay) => Some((delay, 1)),
        };
        let (state, held) = match again {
            Some((delay, more_attempts)) => {
                let not_before = now.saturating_add(duration_ms(delay));
                let held = sql::queue::requeue(&mut tx, claim, reason, not_before, more_attempts).await?;
                (TaskState::Queued, held)
            }
            None => (
                TaskState::Failed,
                sql::queue::end(&mut tx, claim, TaskState::Failed, Some(reason), now).await?,
            ),
        };
        if !held {
            return Err(claim.fenced());
        }
        tx.commit().await?;
        Ok(state)
    }

    /// How far a job's sheet or a batch's report is: one row, however large the batch.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn task(&self, shop: &ShopId, owner: Uuid, kind: ArtifactKind) -> Result<Option<TaskStatus>> {
        sql::queue::find(&mut *self.read().await?, shop, owner, kind).await
    }
}
