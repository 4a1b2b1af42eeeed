//! Turns for heavy work: done off the threads that serve requests, and of each kind no more at once than there
//! are processors, as more would only make each of them later.

use std::sync::{Arc, LazyLock};
use std::time::Duration;

use tokio::sync::{OwnedSemaphorePermit, Semaphore};

use crate::{ApiError, ProblemKind};

/// How much of a kind is done at once.
pub(crate) static AT_ONCE: LazyLock<usize> =
    LazyLock::new(|| std::thread::available_parallelism().map_or(1, usize::from));

/// The longest wait for a turn.
const LONGEST_WAIT: Duration = Duration::from_secs(30);

/// The turns of those who ask for things of one kind.
pub(crate) struct Turns {
    places: LazyLock<Arc<Semaphore>>,
    things: &'static str,
}

impl Turns {
    /// For `things`, as a refusal names them.
    pub(crate) const fn of(things: &'static str) -> Self {
        Self { places: LazyLock::new(|| Arc::new(Semaphore::new(*AT_ONCE))), things }
    }

    /// A turn for work that is done elsewhere; it is given back when it is dropped.
    ///
    /// # Errors
    /// [`ProblemKind::Unavailable`] when it does not come soon enough.
    pub(crate) async fn take(&self) -> Result<OwnedSemaphorePermit, ApiError> {
        turn(&self.places, LONGEST_WAIT, self.things).await
    }

    /// Does the work on a thread of its own, when its turn has come.
    ///
    /// # Errors
    /// [`ProblemKind::Unavailable`] when its turn does not come soon enough; internal when the work stops.
    pub(crate) async fn make<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, ApiError> {
        let turn = self.take().await?;
        let span = tracing::Span::current();
        let made = tokio::task::spawn_blocking(move || {
            // Given back when the work is done, also when nobody waits for it any more.
            let _turn = turn;
            span.in_scope(work)
        });
        made.await.map_err(|stopped| ApiError::internal(&stopped))
    }
}

async fn turn(
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
