//! Times of the clock, as people write them.

use headproof_texts::Say;
use time::OffsetDateTime;
use time::format_description::well_known::Rfc3339;
use time::macros::format_description;

/// A moment in RFC 3339 for people: its own local time with its offset; what is no moment as it was posted.
pub(crate) fn moment(text: &str, say: Say) -> String {
    let day = format_description!("[year]-[month]-[day]");
    let clock = format_description!("[hour]:[minute] [offset_hour sign:mandatory]:[offset_minute]");
    let parsed = OffsetDateTime::parse(text, &Rfc3339).ok();
    parsed
        .and_then(|moment| {
            let day = moment.format(day).ok()?;
            Some(format!("{} {}", say.day(&day), moment.format(clock).ok()?))
        })
        .unwrap_or_else(|| text.to_owned())
}

/// The same to the second, as a signature wants it: `2026-03-05 15:20:31 UTC`, or with the offset where there is one.
pub(crate) fn to_the_second(text: &str, say: Say) -> String {
    let day = format_description!("[year]-[month]-[day]");
    let clock = format_description!("[hour]:[minute]:[second]");
    let offset = format_description!("[offset_hour sign:mandatory]:[offset_minute]");
    let parsed = OffsetDateTime::parse(text, &Rfc3339).ok();
    parsed
        .and_then(|moment| {
            let day = moment.format(day).ok()?;
            let offset =
                if moment.offset().is_utc() { "UTC".to_owned() } else { moment.format(offset).ok()? };
            Some(format!("{} {} {offset}", say.day(&day), moment.format(clock).ok()?))
        })
        .unwrap_or_else(|| text.to_owned())
}

#[cfg(test)]
mod tests {
    use headproof_texts::Language;

    use super::*;

    #[track_caller]
    fn check(posted: &str, english: &str, german: &str) {
        let written = Language::ALL.map(|language| moment(posted, Say::of(language)));
        assert_eq!(written, [english, german]);
    }

    #[test]
    fn a_moment_keeps_its_own_offset() {
        check("2026-03-01T09:05:30+05:30", "2026-03-01 09:05 +05:30", "01.03.2026 09:05 +05:30");
        check("2026-03-01T09:05:30Z", "2026-03-01 09:05 +00:00", "01.03.2026 09:05 +00:00");
        check("some day", "some day", "some day");
    }

    #[test]
    fn a_signature_is_timed_to_the_second() {
        let say = Say::of(Language::German);
        assert_eq!(to_the_second("2026-03-05T15:20:31.25Z", say), "05.03.2026 15:20:31 UTC");
        assert_eq!(to_the_second("2026-03-05T15:20:31-03:30", say), "05.03.2026 15:20:31 -03:30");
        assert_eq!(to_the_second("some day", say), "some day");
    }
}
