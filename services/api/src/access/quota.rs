//! How much one caller may ask for.

use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use actix_web::http::header::{HeaderMap, HeaderName, HeaderValue};

use super::Caller;

/// What is left, and for how long.
pub(crate) const RATE_LIMIT: HeaderName = HeaderName::from_static("ratelimit");
/// How much there is in each window.
pub(crate) const RATE_LIMIT_POLICY: HeaderName = HeaderName::from_static("ratelimit-policy");

/// Callers that are remembered at once. More are let through: they are keys of shops, and whoever makes so many has as
/// many quotas anyhow.
const MANY: usize = 10_000;

/// Requests of each caller in this process, counted in a window that begins with their first one.
pub(crate) struct Quotas {
    requests: u32,
    window: Duration,
    callers: Mutex<Callers>,
}

#[derive(Default)]
struct Callers {
    known: HashMap<[String; 3], Window>,
    /// When those whose window is over were last looked for.
    swept: Option<Instant>,
}

#[derive(Clone, Copy)]
struct Window {
    began: Instant,
    taken: u32,
}

/// How a caller stands after a request.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Standing {
    requests: u32,
    window: Duration,
    /// Requests that are left.
    left: u32,
    /// When the window ends.
    reset: Duration,
    /// Was this one too many?
    pub(crate) is_over: bool,
}

impl Quotas {
    /// So many requests in that time; 0 is without a limit.
    pub(crate) fn new(requests: u32, window: Duration) -> Self {
        Self { requests, window, callers: Mutex::default() }
    }

    /// Counts a request; nothing where there is no limit.
    pub(crate) fn take(&self, caller: &Caller) -> Option<Standing> {
        let who = [caller.shop.to_string(), caller.who.kind.clone(), caller.who.id.clone()];
        self.take_at(who, Instant::now())
    }

    fn take_at(&self, who: [String; 3], now: Instant) -> Option<Standing> {
        if self.requests == 0 {
            return None;
        }
        let mut callers = self.callers.lock().unwrap_or_else(PoisonError::into_inner);
        let mut passing = Window { began: now, taken: 0 };
        let window = callers.window(who, now, self.window).unwrap_or(&mut passing);
        let is_over = window.taken >= self.requests;
        window.taken += u32::from(!is_over);
        let left = self.requests - window.taken;
        let reset = (window.began + self.window).saturating_duration_since(now);
        Some(Standing { requests: self.requests, window: self.window, left, reset, is_over })
    }
}

impl Callers {
    /// The window of a caller, begun anew where it is over; none where there is no place for one more.
    fn window(&mut self, who: [String; 3], now: Instant, length: Duration) -> Option<&mut Window> {
        let is_over = |window: &Window| now.saturating_duration_since(window.began) >= length;
        // Not oftener than once a second: it looks at all of them.
        let may_sweep =
            self.swept.is_none_or(|at| now.saturating_duration_since(at) >= Duration::from_secs(1));
        if self.known.len() >= MANY && may_sweep {
            self.known.retain(|_, window| !is_over(window));
            self.swept = Some(now);
        }
        let fresh = Window { began: now, taken: 0 };
        if self.known.len() >= MANY && !self.known.contains_key(&who) {
            return None;
        }
        let window = self.known.entry(who).or_insert(fresh);
        if is_over(window) {
            *window = fresh;
        }
        Some(window)
    }
}

impl Standing {
    /// Whole seconds until the window ends, at least 1.
    pub(crate) fn wait(&self) -> u64 {
        (self.reset.as_secs() + u64::from(self.reset.subsec_nanos() > 0)).max(1)
    }

    /// Says it as draft-ietf-httpapi-ratelimit-headers does (from memory).
    pub(crate) fn tell(&self, headers: &mut HeaderMap) {
        let policy = format!("\"default\";q={};w={}", self.requests, self.window.as_secs());
        let limit = format!("\"default\";r={};t={}", self.left, self.wait());
        for (name, value) in [(RATE_LIMIT_POLICY, policy), (RATE_LIMIT, limit)] {
            if let Ok(value) = HeaderValue::from_str(&value) {
                headers.insert(name, value);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WINDOW: Duration = Duration::from_secs(10);

    fn who(id: usize) -> [String; 3] {
        ["shop".to_owned(), "key".to_owned(), id.to_string()]
    }

    #[test]
    fn a_caller_has_a_quota_of_its_own_that_comes_back_when_its_window_is_over() {
        let (quotas, start) = (Quotas::new(3, WINDOW), Instant::now());
        let take = |id, seconds| {
            let at = start + Duration::from_secs_f64(seconds);
            quotas.take_at(who(id), at).map(|standing| (standing.left, standing.wait(), standing.is_over))
        };
        assert_eq!(take(1, 0.0), Some((2, 10, false)));
        assert_eq!(take(1, 0.5), Some((1, 10, false)));
        assert_eq!(take(1, 9.0), Some((0, 1, false)));
        assert_eq!(take(1, 9.5), Some((0, 1, true)));
        assert_eq!(take(2, 9.5), Some((2, 10, false)));
        assert_eq!(take(1, 10.0), Some((2, 10, false)));
        assert_eq!(Quotas::new(0, WINDOW).take_at(who(1), start), None);
    }

    #[test]
    fn the_table_does_not_grow_without_end_and_forgets_nobody_too_early() {
        let (quotas, start) = (Quotas::new(2, WINDOW), Instant::now());
        let len = || quotas.callers.lock().unwrap().known.len();
        for id in 0..MANY + 50 {
            assert!(quotas.take_at(who(id), start).is_some_and(|standing| !standing.is_over));
        }
        assert_eq!(len(), MANY);
        let taken = |id, at| quotas.take_at(who(id), at).map(|standing| standing.left);
        assert_eq!((taken(0, start), taken(MANY, start)), (Some(0), Some(1)));
        assert_eq!(taken(MANY, start + WINDOW), Some(1));
        assert_eq!(len(), 1);
    }

    #[test]
    fn it_is_told_in_structured_fields() {
        let mut headers = HeaderMap::new();
        let standing = Quotas::new(100, WINDOW).take_at(who(1), Instant::now());
        standing.unwrap().tell(&mut headers);
        let said = |name| headers.get(name).and_then(|value| value.to_str().ok());
        assert_eq!(said("ratelimit-policy"), Some("\"default\";q=100;w=10"));
        assert_eq!(said("ratelimit"), Some("\"default\";r=99;t=10"));
    }
}
