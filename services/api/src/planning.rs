//! Rework plans: made off the threads that serve requests, no more at once than there are processors.

use std::sync::{Arc, LazyLock};
use std::time::Duration;

use headproof_head::{self as head, MeasurementSet, Plan, TargetProfile};
use headproof_rework::Effort;
use headproof_wire::{ReworkPlan, Units, Workshop, plan_document};
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

use crate::{ApiError, ProblemKind};

/// Longest time a request waits for its turn.
pub(crate) const LONGEST_WAIT: Duration = Duration::from_secs(30);

/// How many plans are made at once: more would only make each of them later.
pub(crate) static AT_ONCE: LazyLock<usize> =
    LazyLock::new(|| std::thread::available_parallelism().map_or(1, usize::from));

static TURNS: LazyLock<Arc<Semaphore>> = LazyLock::new(|| Arc::new(Semaphore::new(*AT_ONCE)));

/// What a plan is made from.
pub(crate) struct Task {
    /// The head as it is.
    pub(crate) set: MeasurementSet,
    /// What it shall conform to.
    pub(crate) profile: TargetProfile,
    /// With what means.
    pub(crate) workshop: head::Workshop,
    /// These means as they were posted.
    pub(crate) means: Option<Workshop>,
    /// The units of its sentences.
    pub(crate) units: Units,
}

impl Task {
    /// Makes the plan, on this thread.
    pub(crate) fn perform(&self) -> ReworkPlan {
        let plan = best(&self.set, &self.profile, &self.workshop);
        plan_document(&plan, &self.set, &self.profile, self.units).made_with(self.means.clone())
    }
}

/// The planner, with as much effort as it takes by itself.
fn best(set: &MeasurementSet, profile: &TargetProfile, workshop: &head::Workshop) -> Plan {
    headproof_rework::plan(set, profile, workshop, Effort::default())
}

/// Makes a plan on a thread of its own, when its turn has come.
///
/// # Errors
/// [`ProblemKind::Unavailable`] when its turn does not come soon enough.
pub(crate) async fn plan(task: Task) -> Result<ReworkPlan, ApiError> {
    let turn = turn(&TURNS, LONGEST_WAIT, "plans").await?;
    let span = tracing::Span::current();
    let made = tokio::task::spawn_blocking(move || {
        // Given back when the plan is there, also when nobody waits for it any more.
        let _turn = turn;
        span.in_scope(|| task.perform())
    });
    made.await.map_err(|stopped| ApiError::internal(&stopped))
}

/// A turn among those who make things of a kind.
///
/// # Errors
/// [`ProblemKind::Unavailable`] when none comes soon enough.
pub(crate) async fn turn(
    turns: &Arc<Semaphore>,
    longest: Duration,
    things: &str,
) -> Result<OwnedSemaphorePermit, ApiError> {
    let waiting = Arc::clone(turns).acquire_owned();
    match tokio::time::timeout(longest, waiting).await {
        Ok(turn) => turn.map_err(|closed| ApiError::internal(&closed)),
        Err(_) => {
            let detail = format!("too many {things} are asked for at once");
            Err(ApiError::because(ProblemKind::Unavailable, detail))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test]
    async fn who_finds_no_turn_is_sent_away_and_a_turn_comes_back() {
        let turns = Arc::new(Semaphore::new(1));
        let first = turn(&turns, Duration::ZERO, "plans").await;
        assert!(first.is_ok());
        let refused = turn(&turns, Duration::from_millis(5), "plans").await.map(drop);
        assert_eq!(refused.map_err(|error| error.problem().status), Err(503));
        drop(first);
        assert!(turn(&turns, Duration::ZERO, "plans").await.is_ok());
    }
}
