//! How often one may fail to be known.

use std::net::IpAddr;
use std::num::NonZeroU32;
use std::time::Duration;

use governor::clock::{Clock, DefaultClock};
use governor::{DefaultKeyedRateLimiter, Quota, RateLimiter};

/// Failures of one address before it has to wait.
const AT_ONCE: NonZeroU32 = NonZeroU32::new(20).expect("is not zero");
/// After that, one more is allowed each time this has passed.
const EACH: Duration = Duration::from_secs(3);
/// Addresses that are forgotten, where they may be, once there are so many.
const MANY: usize = 10_000;

/// Counts the failures of each address.
///
/// Who shows a good key is let in whatever others at the same address (behind the same proxy, for example) do. So this
/// does not keep anybody from guessing right, which the length of a secret does; it keeps guesses from being cheap, and
/// the log readable.
pub(crate) struct Guesses {
    limiter: DefaultKeyedRateLimiter<IpAddr>,
    clock: DefaultClock,
}

impl Guesses {
    pub(crate) fn new() -> Self {
        let quota = Quota::with_period(EACH).expect("is not zero").allow_burst(AT_ONCE);
        Self { limiter: RateLimiter::keyed(quota), clock: DefaultClock::default() }
    }

    /// Counts a failure; how long to wait where it was one too many.
    pub(crate) fn failed(&self, from: Option<IpAddr>) -> Result<(), Duration> {
        if self.limiter.len() > MANY {
            self.limiter.retain_recent();
        }
        let from = from.map_or(IpAddr::from([0, 0, 0, 0]), network);
        self.limiter.check_key(&from).map_err(|late| late.wait_time_from(self.clock.now()))
    }
}

/// Whoever has one address of IPv6 has a network of 64 bits of them (RFC 4291, 2.5.4).
fn network(address: IpAddr) -> IpAddr {
    match address {
        IpAddr::V4(_) => address,
        IpAddr::V6(address) => {
            let [a, b, c, d, ..] = address.segments();
            IpAddr::from([a, b, c, d, 0, 0, 0, 0])
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_may_fail_so_often_and_does_not_count_for_others() {
        let guesses = Guesses::new();
        let address = |last| Some(IpAddr::from([0x2001, 0xdb8, 0, 1, 0, 0, 0, last]));
        let refused = (0..1000).filter(|n| guesses.failed(address(*n)).is_err()).count();
        assert!((975..=980).contains(&refused), "{refused}");
        assert!(guesses.failed(Some(IpAddr::from([192, 0, 2, 1]))).is_ok());
        let wait = guesses.failed(address(1)).unwrap_err();
        assert!(wait > Duration::ZERO && wait <= EACH, "{wait:?}");
    }
}
