//! Where the store gets the time from.

use std::{fmt, sync::Arc};

use time::OffsetDateTime;

/// A source of the present time, so that leases can be tried without waiting for them.
#[derive(Clone)]
pub struct Clock(Arc<dyn Fn() -> OffsetDateTime + Send + Sync>);

impl Clock {
    /// The clock of this machine, in UTC.
    pub fn system() -> Self {
        Self::from_fn(OffsetDateTime::now_utc)
    }

    /// Any other clock.
    pub fn from_fn(now: impl Fn() -> OffsetDateTime + Send + Sync + 'static) -> Self {
        Self(Arc::new(now))
    }

    pub(crate) fn now(&self) -> OffsetDateTime {
        (self.0)()
    }

    /// Unix time in milliseconds, the form in which times are stored.
    pub(crate) fn now_ms(&self) -> i64 {
        unix_ms(self.now())
    }
}

impl fmt::Debug for Clock {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Clock")
    }
}

pub(crate) fn unix_ms(at: OffsetDateTime) -> i64 {
    at.unix_timestamp() * 1000 + i64::from(at.millisecond())
}

/// A time as it will be read back.
pub(crate) fn to_the_millisecond(at: OffsetDateTime) -> OffsetDateTime {
    at.truncate_to_millisecond()
}

pub(crate) fn from_unix_ms(ms: i64) -> Result<OffsetDateTime, time::error::ComponentRange> {
    OffsetDateTime::from_unix_timestamp_nanos(i128::from(ms) * 1_000_000)
}

/// A duration in whole milliseconds; one too long for the count means "as long as can be".
pub(crate) fn duration_ms(duration: std::time::Duration) -> i64 {
    i64::try_from(duration.as_millis()).unwrap_or(i64::MAX)
}

#[cfg(test)]
mod tests {
    use time::macros::datetime;

    use super::*;

    #[test]
    fn a_time_survives_as_milliseconds_also_before_the_epoch() {
        for (at, ms) in [
            (datetime!(2001-09-09 01:46:40.123 UTC), 1_000_000_000_123),
            (datetime!(1969-12-31 23:59:59.999 UTC), -1),
        ] {
            assert_eq!(unix_ms(at), ms);
            assert_eq!(from_unix_ms(ms), Ok(at));
        }
    }
}
