//! Trying again what may be tried again.

use std::future::Future;
use std::time::{Duration, Instant};

use reqwest::StatusCode;

use crate::ClientError;

/// How often and how long to try.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Retries {
    /// No try begins later than this after the first.
    pub longest: Duration,
    /// How long to wait after the first try. Each further wait is twice as long, and a random part of it, at most half, is left
    /// out, so that many clients do not come back all at once.
    pub first: Duration,
    /// How many tries there are in all; one at least.
    pub attempts: u32,
}

impl Default for Retries {
    /// Up to 8 tries within 2 minutes, the second after up to 250 ms.
    fn default() -> Self {
        Self { longest: Duration::from_secs(120), first: Duration::from_millis(250), attempts: 8 }
    }
}

impl Retries {
    /// One try.
    pub const NONE: Self = Self { longest: Duration::ZERO, first: Duration::ZERO, attempts: 1 };
}

/// The longest wait that is not asked for by the service.
const LONGEST_WAIT: Duration = Duration::from_secs(30);

/// A try that gave nothing.
#[derive(Debug)]
pub(crate) struct Failure {
    pub(crate) error: ClientError,
    pub(crate) again: Again,
}

/// Does it make sense to try again?
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Again {
    /// The same would come of it.
    No,
    /// Yes.
    Yes,
    /// Yes, but not earlier than that.
    After(Duration),
}

impl From<ClientError> for Failure {
    fn from(error: ClientError) -> Self {
        Self { error, again: Again::No }
    }
}

impl From<reqwest::Error> for Failure {
    /// No connection, one that broke off, or no answer in time; not what was wrong before anything was sent.
    fn from(error: reqwest::Error) -> Self {
        let again = if error.is_builder() { Again::No } else { Again::Yes };
        Self { error: error.into(), again }
    }
}

/// What may be tried more than once.
pub(crate) trait Attempt: Send {
    /// What it gives.
    type Output;

    /// One try, which shall not take longer than what is left, unless it moves something large.
    fn make(&mut self, left: Duration) -> impl Future<Output = Result<Self::Output, Failure>> + Send;
}

/// Does a status say that a later try may go well? `is_named` is whether the request showed an idempotency key: then one
/// that is still being worked on is answered with 409 and when to come again.
pub(crate) fn again(status: StatusCode, after: Option<Duration>, is_named: bool) -> Again {
    match (status.as_u16(), after) {
        (408 | 429 | 502 | 503 | 504, None) => Again::Yes,
        (408 | 429 | 502 | 503 | 504, Some(after)) => Again::After(after),
        (409, Some(after)) if is_named => Again::After(after),
        _ => Again::No,
    }
}

/// Tries until it gives something, until that makes no sense any more, or until no try is left.
pub(crate) async fn persist<A: Attempt>(retries: Retries, attempt: &mut A) -> Result<A::Output, ClientError> {
    let deadline = Instant::now() + retries.longest;
    let mut made = 0;
    loop {
        // The first try has its time in any case.
        let left = if made == 0 { Duration::MAX } else { deadline.saturating_duration_since(Instant::now()) };
        let failure = match attempt.make(left).await {
            Ok(output) => return Ok(output),
            Err(failure) => failure,
        };
        made += 1;
        let wait = wait(retries.first, made);
        let wait = match failure.again {
            Again::No => return Err(failure.error),
            Again::Yes => wait,
            Again::After(after) => after + wait,
        };
        if made >= retries.attempts.max(1) || Instant::now() + wait >= deadline {
            return Err(failure.error);
        }
        tokio::time::sleep(wait).await;
    }
}

/// The wait after so many tries, between half and all of what it would be without chance.
fn wait(first: Duration, made: u32) -> Duration {
    let whole = first.saturating_mul(1 << (made - 1).min(16)).min(LONGEST_WAIT.max(first));
    // Without random bytes all of it: only clients that come all at once would be the worse for it.
    let share = getrandom::u32().map_or(1.0, |random| 0.5 + f64::from(random) / f64::from(u32::MAX) / 2.0);
    whole.mul_f64(share)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn waits_double_and_are_spread() {
        let first = Duration::from_millis(100);
        for (made, whole) in [(1, 100), (2, 200), (3, 400), (4, 800), (20, 30_000), (u32::MAX, 30_000)] {
            let waits: Vec<_> = (0..50).map(|_| wait(first, made)).collect();
            let whole = Duration::from_millis(whole);
            assert!(waits.iter().all(|wait| *wait >= whole / 2 && *wait <= whole), "{made}: {waits:?}");
            assert!(waits.iter().any(|wait| *wait != waits[0]), "{made}");
        }
    }

    #[test]
    fn only_what_may_go_well_later_is_tried_again() {
        let of = |status, after, named| again(StatusCode::from_u16(status).unwrap(), after, named);
        let soon = Some(Duration::from_secs(2));
        for status in [408, 429, 502, 503, 504] {
            assert_eq!(of(status, None, false), Again::Yes);
            assert_eq!(of(status, soon, false), Again::After(Duration::from_secs(2)));
        }
        for status in [400, 401, 403, 404, 405, 409, 410, 412, 413, 415, 422, 428, 500, 501, 505] {
            assert_eq!((of(status, None, true), of(status, soon, false)), (Again::No, Again::No), "{status}");
        }
        assert_eq!(of(409, soon, true), Again::After(Duration::from_secs(2)));
    }
}
