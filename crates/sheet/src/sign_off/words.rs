//! What a signature says, in plain words.

use headproof_texts::Say;
use headproof_wire::{Meaning, SignOff};

use crate::SignOffInput;
use crate::dates::to_the_second;
use crate::text::{Style, clipped};

/// What a signature means, in a list of several.
pub(super) fn meaning(meaning: Meaning, say: Say) -> &'static str {
    say.text(match meaning {
        Meaning::Inspected => "meaning-inspected",
        Meaning::Released => "meaning-released",
        Meaning::Concession => "meaning-concession",
    })
}

/// Was the head released by a signature before this one?
pub(super) fn is_released_before(record: &SignOff) -> bool {
    record.beside.iter().any(|earlier| earlier.meaning != Meaning::Inspected)
}

/// What the signature of a record means where it stands alone: one that releases nothing says so, unless another did
/// that before it.
pub(super) fn meaning_of(record: &SignOff, say: Say) -> &'static str {
    if record.meaning == Meaning::Inspected && !is_released_before(record) {
        say.text("meaning-inspected-only")
    } else {
        meaning(record.meaning, say)
    }
}

/// The last line of every page of a signed sheet, no wider than `room`; a long name stands in full in the section.
pub(crate) fn closing(sign_off: SignOffInput<'_>, room: f32, say: Say) -> String {
    let record = sign_off.record;
    let with_name = |name: &str| {
        let (time, meaning) = (to_the_second(&record.signed_at, say), meaning_of(record, say));
        let values = [("name", name.into()), ("time", time.into()), ("meaning", meaning.into())];
        say.with("sheet-closing-signed", &values)
    };
    let style = Style::SMALL;
    with_name(&clipped(style, room - style.width(&with_name("")), &record.signer.name))
}
