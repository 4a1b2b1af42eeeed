//! What the documents say, in the language of the page.
//!
//! Documents are written in English. Beside a sentence stands what it says, as a phrase; places and subjects have a
//! few fixed forms, which are taken apart here.

use std::borrow::Cow;

use headproof_texts::{Language, Say};
use headproof_wire::Phrase;

use crate::words::Subject;

/// A sentence of a document. One without a phrase, of a document stored before there were any, stays English, as does
/// one that says what this edition has no message for.
pub(crate) fn said(text: &str, says: Option<&Phrase>, say: Say) -> String {
    says.filter(|_| say.language() != Language::English)
        .and_then(|phrase| say.known_phrase(&phrase.into()))
        .unwrap_or_else(|| text.to_owned())
}

/// A place or a subject as it stands inside a sentence: `position 3 of 8`, `cylinder 2 exhaust 1`. Any other text
/// stays as it is.
pub(crate) fn place(text: &str, say: Say) -> String {
    fixed_place(text)
        .map(|id| say.text(id).to_owned())
        .or_else(|| Subject::of(text).map(|subject| subject.named(say)))
        .or_else(|| numbered_place(text, say))
        .unwrap_or_else(|| text.to_owned())
}

/// The message of a place that has no number.
fn fixed_place(text: &str) -> Option<&'static str> {
    Some(match text {
        "top" => "height-top",
        "middle" => "height-middle",
        "bottom" => "height-bottom",
        "first at seat outer edge" => "place-seat-outer",
        "first at seat inner edge" => "place-seat-inner",
        "first at face outer edge" => "place-face-outer",
        "first at face inner edge" => "place-face-inner",
        "all over at once" => "place-everywhere",
        _ => return None,
    })
}

/// A place that is told by numbers.
fn numbered_place(text: &str, say: Say) -> Option<String> {
    let number = |word: &str| word.parse::<u16>().ok();
    let words: Vec<&str> = text.split(' ').collect();
    Some(match *words.as_slice() {
        ["position", position, "of", of] => {
            say.with("place-around", &[("position", number(position)?.into()), ("of", number(of)?.into())])
        }
        [height, "axis", axis] => {
            let height = say.text(fixed_place(height.strip_suffix(',')?)?);
            say.with("place-along", &[("height", height.into()), ("axis", number(axis)?.into())])
        }
        ["spring", spring] => say.with("place-spring", &[("number", number(spring)?.into())]),
        ["entry", entry] => say.with("place-entry", &[("number", number(entry)?.into())]),
        ["near", "deck", "point", point] => {
            say.with("place-deck-point", &[("number", number(point)?.into())])
        }
        ["towards", direction] if direction.ends_with('°') => {
            say.with("place-towards", &[("direction", say.number(direction).into_owned().into())])
        }
        _ => return None,
    })
}

/// The title of a finding, by its code.
pub(crate) fn finding_title(code: &str, say: Say) -> Cow<'static, str> {
    coded(&FINDINGS, code, say)
}

/// The title of the reason of a row, by its code.
pub(crate) fn reason_title(code: &str, say: Say) -> Cow<'static, str> {
    coded(&REASONS, code, say)
}

/// How much a finding weighs, by its code.
pub(crate) fn severity(code: &str, say: Say) -> String {
    match code {
        "blocking" => say.text("severity-blocking").to_owned(),
        "warning" => say.text("severity-warning").to_owned(),
        code => code.to_owned(),
    }
}

/// The message among these that ends in a code; a code this edition does not know is said as it is.
fn coded(messages: &[&'static str], code: &str, say: Say) -> Cow<'static, str> {
    let is_it = |id: &&&str| id.split_once('-').is_some_and(|(_, of)| of == code);
    messages.iter().find(is_it).map_or_else(|| say.title(code), |id| Cow::Borrowed(say.text(id)))
}

const FINDINGS: [&str; 16] = [
    "finding-port-missing",
    "finding-chamber-missing",
    "finding-negative-clearance",
    "finding-contact-outside-face",
    "finding-seat-diameters-crossed",
    "finding-decay-rose",
    "finding-vacuum-too-deep",
    "finding-valve-tag-repeated",
    "finding-calibration-overdue",
    "finding-uncertainty-below-resolution",
    "finding-unit-doubtful",
    "finding-bore-and-stem-swapped",
    "finding-readings-pasted",
    "finding-readings-contradict",
    "finding-temperature-off",
    "finding-temperature-drift",
];

const REASONS: [&str; 13] = [
    "reason-inside-limits",
    "reason-above-upper-limit",
    "reason-below-lower-limit",
    "reason-in-order",
    "reason-not-in-order",
    "reason-inside-guard-band",
    "reason-gauge-too-coarse",
    "reason-uncertainty-unknown",
    "reason-no-limit",
    "reason-reading-missing",
    "reason-port-missing",
    "reason-not-computable",
    "reason-blocked-by-finding",
];

#[cfg(test)]
#[path = "said_tests.rs"]
mod tests;
