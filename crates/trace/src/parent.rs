//! The header `traceparent` (W3C Trace Context, 3.2).

use std::fmt;
use std::hash::{BuildHasher, Hasher, RandomState};
use std::num::{NonZeroU64, NonZeroU128};

/// Characters of the header in its version 00, and the least of any later version (4.3).
const LENGTH: usize = 55;

/// A place in a trace: the trace, the span that work is done for, and whether the caller may have recorded it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TraceParent {
    trace: NonZeroU128,
    parent: NonZeroU64,
    sampled: bool,
}

impl TraceParent {
    /// From its parts, as whoever records spans knows them.
    #[must_use]
    pub const fn new(trace: NonZeroU128, parent: NonZeroU64, sampled: bool) -> Self {
        Self { trace, parent, sampled }
    }

    /// What a header says; none where it says nothing that is valid, and a trace has to be begun.
    ///
    /// ```
    /// use headproof_trace::TraceParent;
    ///
    /// let parent = TraceParent::read("00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01");
    /// assert_eq!(parent.map(|parent| parent.trace_id()).as_deref(), Some("4bf92f3577b34da6a3ce929d0e0e4736"));
    /// assert_eq!(TraceParent::read("00-4BF92F3577B34DA6A3CE929D0E0E4736-00f067aa0ba902b7-01"), None);
    /// ```
    #[must_use]
    pub fn read(header: &str) -> Option<Self> {
        let (known, rest) = header.split_at_checked(LENGTH)?;
        let mut parts = known.split('-');
        let mut part = |digits: usize| {
            let part = parts.next()?;
            (part.len() == digits && part.bytes().all(is_digit)).then_some(part)
        };
        let (version, trace, parent, flags) = (part(2)?, part(32)?, part(16)?, part(2)?);
        // A later version may say more, behind a dash; ff is none (3.2.2.1).
        let goes_on = version != "00" && rest.starts_with('-');
        if version == "ff" || !(rest.is_empty() || goes_on) {
            return None;
        }
        let trace = NonZeroU128::new(u128::from_str_radix(trace, 16).ok()?)?;
        let parent = NonZeroU64::new(u64::from_str_radix(parent, 16).ok()?)?;
        // Other flags mean nothing yet, and are not handed on (3.2.2.5.2).
        let sampled = u8::from_str_radix(flags, 16).ok()? & 1 == 1;
        Some(Self { trace, parent, sampled })
    }

    /// A place in a new trace, which nobody records.
    #[must_use]
    pub fn begin() -> Self {
        let trace = (u128::from(random().get()) << 64) | u128::from(random().get());
        // It is not zero: neither half of it is.
        Self { trace: NonZeroU128::new(trace).unwrap_or(NonZeroU128::MAX), parent: random(), sampled: false }
    }

    /// Another place in the same trace, for work that is done for this one.
    #[must_use]
    pub fn next(self) -> Self {
        Self { parent: random(), ..self }
    }

    /// The trace, in hex.
    #[must_use]
    pub fn trace_id(&self) -> String {
        format!("{:032x}", self.trace)
    }

    /// The trace, as a number.
    #[must_use]
    pub const fn trace(&self) -> NonZeroU128 {
        self.trace
    }

    /// The span that work is done for.
    #[must_use]
    pub const fn parent(&self) -> NonZeroU64 {
        self.parent
    }

    /// May whoever came before have recorded it?
    #[must_use]
    pub const fn is_sampled(&self) -> bool {
        self.sampled
    }
}

/// As the header says it, in version 00.
impl fmt::Display for TraceParent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "00-{:032x}-{:016x}-{:02x}", self.trace, self.parent, u8::from(self.sampled))
    }
}

/// HEXDIGLC of the grammar: no capitals.
const fn is_digit(byte: u8) -> bool {
    matches!(byte, b'0'..=b'9' | b'a'..=b'f')
}

/// An id that nobody else has. It is no secret: the seeds of hash tables are good enough, and cost no system call.
fn random() -> NonZeroU64 {
    loop {
        if let Some(number) = NonZeroU64::new(RandomState::new().build_hasher().finish()) {
            return number;
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::*;

    /// Examples of the Recommendation, 3.2.3 (from memory).
    const SAMPLED: &str = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01";
    const NOT_SAMPLED: &str = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-00";

    #[test]
    fn the_examples_of_the_recommendation_are_read_and_written() {
        for (header, sampled) in [(SAMPLED, true), (NOT_SAMPLED, false)] {
            let parent = TraceParent::read(header).unwrap();
            assert_eq!((parent.to_string().as_str(), parent.is_sampled()), (header, sampled));
            assert_eq!(parent.trace_id(), "4bf92f3577b34da6a3ce929d0e0e4736");
            assert_eq!(parent.parent().get(), 0x00f0_67aa_0ba9_02b7);
        }
    }

    #[test]
    fn what_is_not_valid_begins_anew() {
        let trace = "4bf92f3577b34da6a3ce929d0e0e4736";
        for header in [
            "".to_owned(),
            "00".to_owned(),
            format!("ff-{trace}-00f067aa0ba902b7-01"),
            format!("0-{trace}-00f067aa0ba902b7-01"),
            format!("0x-{trace}-00f067aa0ba902b7-01"),
            format!("00-{}-00f067aa0ba902b7-01", "0".repeat(32)),
            format!("00-{trace}-0000000000000000-01"),
            format!("00-{}-00f067aa0ba902b7-01", trace.to_uppercase()),
            format!("00-{trace}-00F067AA0BA902B7-01"),
            format!("00-{}-00f067aa0ba902b7-01", &trace[1..]),
            format!("00-+{}-00f067aa0ba902b7-01", &trace[1..]),
            format!("00-{trace}-00f067aa0ba902b7-1"),
            format!("00-{trace}-00f067aa0ba902b7-0g"),
            format!("00-{trace}-00f067aa0ba902b7"),
            format!("00_{trace}_00f067aa0ba902b7_01"),
            format!("{SAMPLED}-more"),
            format!("{SAMPLED}-"),
            format!("{SAMPLED}0"),
            format!(" {SAMPLED}"),
            format!("{SAMPLED} "),
            format!("cc{}.more", &SAMPLED[2..]),
            format!("00-{}ä-00f067aa0ba902b7-01", &trace[2..]),
        ] {
            assert_eq!(TraceParent::read(&header), None, "{header:?}");
        }
    }

    /// 4.3: of a later version, what this one knows is read.
    #[test]
    fn later_versions_are_read_as_far_as_they_are_known() {
        for end in ["", "-", "-what-the-future-will-be-like"] {
            let header = format!("cc{}{end}", &SAMPLED[2..]);
            assert_eq!(TraceParent::read(&header).map(|parent| parent.to_string()).as_deref(), Some(SAMPLED));
        }
    }

    #[test]
    fn flags_without_a_meaning_are_not_handed_on() {
        for (flags, kept) in [("fe", NOT_SAMPLED), ("ff", SAMPLED), ("03", SAMPLED)] {
            let header = format!("{}{flags}", &SAMPLED[..53]);
            assert_eq!(TraceParent::read(&header).map(|parent| parent.to_string()).as_deref(), Some(kept));
        }
    }

    #[test]
    fn the_next_place_is_in_the_same_trace_and_a_new_trace_in_another() {
        let parent = TraceParent::read(SAMPLED).unwrap();
        let next = parent.next();
        assert_eq!((next.trace(), next.is_sampled()), (parent.trace(), true));
        assert_ne!(next.parent(), parent.parent());
        let many: HashSet<_> = (0..10_000).map(|_| TraceParent::begin().trace_id()).collect();
        assert_eq!(many.len(), 10_000);
        assert!(!TraceParent::begin().is_sampled());
        assert!(TraceParent::read(&TraceParent::begin().to_string()).is_some());
    }
}
