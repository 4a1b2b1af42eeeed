//! The queue: tasks handed out under a lease, guarded by the number of the attempt.

use std::time::Duration;

use time::OffsetDateTime;
use uuid::Uuid;

use crate::{
    ArtifactKind, By, Error, Event, Origin, Result, ShopId, Store, Telling, clock::duration_ms, db::Tx, sql,
};

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

    /// The state of a name.
    pub fn parse(name: &str) -> Option<Self> {
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

impl TaskStatus {
    /// Of a task that is to come.
    pub(crate) fn waiting() -> Self {
        let state = TaskState::Queued;
        Self { state, attempt: 0, max_attempts: 0, reason: None, finished_at: None }
    }
}

/// How much work waits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Backlog {
    /// Tasks that wait for a worker.
    pub queued: u64,
    /// Tasks in the hands of workers.
    pub running: u64,
    /// How long the oldest task that could be worked on has waited.
    pub age: Duration,
    /// Messages that are not delivered yet.
    pub deliveries: u64,
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
    pub origin: Origin,
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
        if !sql::queue::anything_due(&mut self.read().await?, now).await? {
            return Ok(None);
        }
        let mut tx = self.begin().await?;
        for Claim { shop, kind, owner, origin, .. } in sql::queue::give_up_exhausted(&mut tx, now).await? {
            tracing::warn!(kind = kind.as_str(), %owner, "gave up a task whose workers kept stopping");
            let event = Telling::of(kind, TaskState::Failed, owner);
            sql::deliveries::tell(&mut tx, &shop, event, &origin, now).await?;
        }
        let mut claim = None;
        for shop in sql::queue::shops_due(&mut tx, now).await? {
            // Other workers may be taking what this shop has.
            if let Some(task) = sql::queue::next(&mut tx, &shop, now).await? {
                claim = Some(sql::queue::take(&mut tx, task, now.saturating_add(duration_ms(lease))).await?);
                sql::queue::serve_last(&mut tx, &shop).await?;
                break;
            }
        }
        tx.commit().await?;
        Ok(claim)
    }

    /// Renews the lease; false when the task is no longer this worker's and its work is in vain.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn heartbeat(&self, claim: &Claim, lease: Duration) -> Result<bool> {
        let until = self.clock.now_ms().saturating_add(duration_ms(lease));
        let mut tx = self.begin().await?;
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
        let mut tx = self.begin().await?;
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
        if state == TaskState::Failed {
            let event = Telling::of(claim.kind, state, claim.owner);
            sql::deliveries::tell(&mut tx, &claim.shop, event, &claim.origin, now).await?;
        }
        tx.commit().await?;
        Ok(state)
    }

    /// How far a job's sheet or a batch's report is: one row, however large the batch.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn task(&self, shop: &ShopId, owner: Uuid, kind: ArtifactKind) -> Result<Option<TaskStatus>> {
        sql::queue::find(&mut self.read().await?, shop, owner, kind).await
    }

    /// Calls off what makes an artifact. A worker that is at it loses its lease.
    pub(crate) async fn call_off(
        &self,
        tx: &mut Tx,
        shop: &ShopId,
        owner: Uuid,
        kind: ArtifactKind,
        by: &By,
    ) -> Result<()> {
        if !sql::queue::call_off(tx, shop, owner, kind, self.clock.now_ms()).await? {
            return Err(Error::AlreadyOver);
        }
        self.called_off(tx, shop, owner, kind, by).await
    }

    /// Says in the trail, and to whom it concerns, that something was called off.
    pub(crate) async fn called_off(
        &self,
        tx: &mut Tx,
        shop: &ShopId,
        owner: Uuid,
        kind: ArtifactKind,
        by: &By,
    ) -> Result<()> {
        let cancelled = by.did(Event::Cancelled, format!("{} {owner}", kind.subject()));
        sql::audit::append(tx, shop, self.clock.now(), [cancelled]).await?;
        let origin = Origin { request_id: by.request.clone().unwrap_or_default(), trace_parent: None };
        let event = Telling::of(kind, TaskState::Cancelled, owner);
        sql::deliveries::tell(tx, shop, event, &origin, self.clock.now_ms()).await
    }

    /// How much of a shop's work is open, counted up to `most`.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn open_tasks(&self, shop: &ShopId, most: u32) -> Result<u64> {
        sql::queue::open_up_to(&mut self.read().await?, shop, most).await
    }

    /// How much work waits, of all shops.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn backlog(&self) -> Result<Backlog> {
        sql::queue::backlog(&mut self.read().await?, self.clock.now_ms()).await
    }
}
