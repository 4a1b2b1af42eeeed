//! What the sentences of all documents have in common.

use std::borrow::Cow;
use std::collections::BTreeMap;

use headproof_head::{CharacteristicId, Evaluation, Phrase, PhraseValue, Verdict};
use headproof_texts::{Language, Say};

/// Says what stands in the documents.
pub(super) fn english() -> Say {
    Say::of(Language::English)
}

/// A sentence in English, and as it can be said in any language.
pub(super) fn said(phrase: Phrase) -> (String, crate::Phrase) {
    (english().phrase(&phrase), phrase.into())
}

/// A characteristic at the beginning of a sentence.
pub(super) const fn title(id: CharacteristicId) -> PhraseValue {
    PhraseValue::Title(Cow::Borrowed(id.as_str()))
}

/// A characteristic inside a sentence.
pub(super) const fn named(id: CharacteristicId) -> PhraseValue {
    PhraseValue::Named(Cow::Borrowed(id.as_str()))
}

/// Each characteristic once, with how often, in the order of their English titles.
pub(super) fn counted(ids: impl Iterator<Item = CharacteristicId>) -> Vec<PhraseValue> {
    let mut counts = BTreeMap::new();
    for id in ids {
        counts.entry(english().title(id.as_str())).or_insert((id, 0_u32)).1 += 1;
    }
    let one = |(id, count): (CharacteristicId, u32)| match count {
        1 => named(id),
        _ => Phrase::with("several-times", "what", named(id)).and("count", count).into(),
    };
    counts.into_values().map(one).collect()
}

/// What was not measured.
pub(super) fn not_measured(evaluation: &Evaluation) -> impl Iterator<Item = CharacteristicId> {
    let of_cylinders = evaluation.cylinders.iter().flat_map(|(_, rows)| rows);
    let of_ports = evaluation.ports.iter().flat_map(|port| &port.rows);
    let rows = evaluation.head.iter().chain(of_cylinders).chain(of_ports);
    rows.filter(|row| row.verdict == Verdict::NotMeasured).map(|row| row.characteristic)
}
