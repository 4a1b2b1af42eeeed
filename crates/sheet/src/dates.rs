//! Days and times of the clock, as people write them.

use headproof_texts::{Language, Say};
use time::format_description::BorrowedFormatItem;
use time::format_description::well_known::Rfc3339;
use time::macros::format_description;
use time::{Date, OffsetDateTime};

/// How a language writes a day: English as ISO 8601 has it, German as DIN 5008 has it.
const fn shape_of_day(language: Language) -> &'static [BorrowedFormatItem<'static>] {
    match language {
        Language::English => format_description!("[year]-[month]-[day]"),
        Language::German => format_description!("[day].[month].[year]"),
    }
}

/// A moment in RFC 3339 for people: its own local time with its offset; what is no moment as it was posted.
pub(crate) fn moment(text: &str, say: Say) -> String {
    let clock = format_description!("[hour]:[minute] [offset_hour sign:mandatory]:[offset_minute]");
    let parsed = OffsetDateTime::parse(text, &Rfc3339).ok();
    parsed
        .and_then(|moment| {
            let day = moment.format(shape_of_day(say.language())).ok()?;
            Some(format!("{day} {}", moment.format(clock).ok()?))
        })
        .unwrap_or_else(|| text.to_owned())
}

/// A day, posted as ISO 8601 has it, for people; what is no day as it was posted.
pub(crate) fn day(text: &str, say: Say) -> String {
    Date::parse(text, shape_of_day(Language::English))
        .ok()
        .and_then(|day| day.format(shape_of_day(say.language())).ok())
        .unwrap_or_else(|| text.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(write: fn(&str, Say) -> String, posted: &str, english: &str, german: &str) {
        let written = Language::ALL.map(|language| write(posted, Say::of(language)));
        assert_eq!(written, [english, german]);
    }

    #[test]
    fn a_moment_keeps_its_own_offset() {
        check(moment, "2026-03-01T09:05:30+05:30", "2026-03-01 09:05 +05:30", "01.03.2026 09:05 +05:30");
        check(moment, "2026-03-01T09:05:30Z", "2026-03-01 09:05 +00:00", "01.03.2026 09:05 +00:00");
        check(moment, "some day", "some day", "some day");
    }

    #[test]
    fn a_day_is_written_as_the_language_has_it() {
        check(day, "2026-09-30", "2026-09-30", "30.09.2026");
        check(day, "next autumn", "next autumn", "next autumn");
    }
}
