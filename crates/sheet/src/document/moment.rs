//! The time of the record, as a file states it.

use time::format_description::well_known::Rfc3339;
use time::{OffsetDateTime, UtcOffset};

/// A time of a measurement or a sign-off. A file has no other: no clock has a part in it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Moment(OffsetDateTime);

impl Moment {
    /// The latest of some times in RFC 3339; none when none can be read.
    pub(super) fn latest(times: &[&str]) -> Option<Self> {
        times.iter().filter_map(|text| OffsetDateTime::parse(text, &Rfc3339).ok()).max().map(Self)
    }

    /// As a date of ISO 32000-1, 7.9.4.
    pub(super) fn pdf(self) -> String {
        let (sign, hours, minutes) = self.offset();
        let [year, month, day, hour, minute, second] = self.parts();
        format!("D:{year:04}{month:02}{day:02}{hour:02}{minute:02}{second:02}{sign}{hours:02}'{minutes:02}'")
    }

    /// The same as XMP wants it: a profile of ISO 8601.
    pub(super) fn xmp(self) -> String {
        let (sign, hours, minutes) = self.offset();
        let [year, month, day, hour, minute, second] = self.parts();
        format!(
            "{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}{sign}{hours:02}:{minutes:02}"
        )
    }

    /// The same moment in coordinated universal time.
    pub(super) fn universal(self) -> Option<Self> {
        self.0.checked_to_offset(UtcOffset::UTC).map(Self)
    }

    fn parts(self) -> [i32; 6] {
        let Self(t) = self;
        [
            t.year(),
            u8::from(t.month()).into(),
            t.day().into(),
            t.hour().into(),
            t.minute().into(),
            t.second().into(),
        ]
    }

    fn offset(self) -> (char, u8, u8) {
        let (hours, minutes, _) = self.0.offset().as_hms();
        let sign = if self.0.offset().is_negative() { '-' } else { '+' };
        (sign, hours.unsigned_abs(), minutes.unsigned_abs())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(times: &[&str], pdf: &str, xmp: &str) {
        let moment = Moment::latest(times).unwrap();
        assert_eq!((moment.pdf().as_str(), moment.xmp().as_str()), (pdf, xmp));
    }

    #[test]
    fn a_file_is_dated_by_its_latest_measurement() {
        let times = ["2026-03-01T10:00:00+02:00", "2026-03-01T09:30:15Z", "no time"];
        check(&times, "D:20260301093015+00'00'", "2026-03-01T09:30:15+00:00");
        let behind = ["2026-03-01T10:00:00-03:30"];
        check(&behind, "D:20260301100000-03'30'", "2026-03-01T10:00:00-03:30");
        assert!(Moment::latest(&["yesterday"]).is_none());
        let universal = Moment::latest(&behind).and_then(Moment::universal).unwrap();
        assert_eq!(universal.pdf(), "D:20260301133000+00'00'");
    }
}
