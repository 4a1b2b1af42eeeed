//! The steps in the language of the bench: what to do, and what to look at afterwards.

mod cuts;

use headproof_head::{CharacteristicId, DeckCut, Phrase, PhraseValue, SeatWork, Step, Subject, Work};
use headproof_quantity::Length;

use super::amounts::{Amounts, amount};
use super::words::tail;
use crate::convert::phrases::named;

/// What to do, and what to check after it.
type Sentences = (Phrase, Phrase);

/// The sentences of a step. `seat` is the whole work on the seat of the step's port: its sizes have the
/// tolerances that a single cut does not state.
pub(super) fn sentences(step: &Step, seat: Option<&SeatWork>, amounts: Amounts) -> Sentences {
    match &step.work {
        Work::MeasureFirst(ids) => measure_first(ids),
        Work::RenewGuide => (Phrase::plain("plan-renew-guide"), Phrase::plain("plan-renew-guide-check")),
        Work::FitInsert(id) => fit_insert(id),
        Work::CutDeck(cut) => cut_deck(*cut, amounts),
        Work::CutSeat { cut, high_side } => {
            (cuts::text(cut, *high_side, seat, amounts), cuts::check(cut, amounts))
        }
        Work::GrindFace { stock, margin } => grind_face(*stock, *margin, amounts),
        Work::GrindTip { stock, protrusion } => grind_tip(*stock, *protrusion, amounts),
        Work::FitValve { tag, spare } => fit_valve(tag.as_deref(), spare.as_deref(), step.subject),
        Work::CheckMarking { from_edge, width } => check_marking(*from_edge, *width, amounts),
        Work::TestForLeaks => (Phrase::plain("plan-leak-test"), Phrase::plain("plan-leak-test-check")),
        Work::FitSprings { spare, shims, installed_height } => {
            fit_springs(spare.as_deref(), shims, *installed_height, amounts)
        }
        Work::FitLashShim { thickness, lash } => fit_lash_shim(*thickness, *lash, amounts),
        Work::SetLash => (Phrase::plain("plan-set-lash"), Phrase::plain("plan-set-lash-check")),
        Work::MeasureAgain(ids) => measure_again(ids),
    }
}

/// Characteristics in a row.
fn listed(ids: &[CharacteristicId]) -> PhraseValue {
    if ids.is_empty() {
        return Phrase::plain("plan-everything-limited").into();
    }
    PhraseValue::List(ids.iter().map(|id| named(*id)).collect())
}

/// `; lash then 0.25 mm`, where it is known.
fn then(id: &'static str, size: Option<Length>, amounts: Amounts) -> PhraseValue {
    tail(size.map(|size| Phrase::with(id, "size", amount(amounts.size(size)))))
}

fn measure_first(ids: &[CharacteristicId]) -> Sentences {
    (Phrase::with("plan-measure-first", "what", listed(ids)), Phrase::plain("plan-measure-first-check"))
}

fn fit_insert(id: &str) -> Sentences {
    (Phrase::with("plan-fit-insert", "insert", PhraseValue::text(id)), Phrase::plain("plan-fit-insert-check"))
}

fn cut_deck(cut: DeckCut, amounts: Amounts) -> Sentences {
    let (depth, needed) = (amount(amounts.fine(cut.depth)), amount(amounts.fine(cut.needed)));
    let text = Phrase::with("plan-cut-deck", "depth", depth).and("needed", needed);
    (text, Phrase::plain("plan-cut-deck-check"))
}

fn grind_face(stock: Length, margin: Option<Length>, amounts: Amounts) -> Sentences {
    let check = match margin {
        Some(margin) => Phrase::with("plan-grind-face-check", "margin", amount(amounts.size(margin))),
        None => Phrase::plain("plan-grind-face-check-margin"),
    };
    (Phrase::with("plan-grind-face", "stock", amount(amounts.fine(stock))), check)
}

fn grind_tip(stock: Length, protrusion: Option<Length>, amounts: Amounts) -> Sentences {
    let check = match protrusion {
        Some(stands) => Phrase::with("plan-grind-tip-check-stem", "protrusion", amount(amounts.size(stands))),
        None => Phrase::plain("plan-grind-tip-check"),
    };
    (Phrase::with("plan-grind-tip", "stock", amount(amounts.fine(stock))), check)
}

fn fit_valve(tag: Option<&str>, spare: Option<&str>, subject: Subject) -> Sentences {
    let text = match (tag, spare) {
        (Some(tag), None) => Phrase::with("plan-valve-back", "valve", PhraseValue::text(tag)),
        (None, None) => Phrase::plain("plan-old-valve-back"),
        (Some(tag), Some(spare)) => Phrase::with("plan-new-valve", "new", PhraseValue::text(spare))
            .and("valve", PhraseValue::text(tag)),
        (None, Some(spare)) => Phrase::with("plan-new-valve-for-old", "new", PhraseValue::text(spare)),
    };
    (text.and("port", port(subject)), Phrase::plain("plan-fit-valve-check"))
}

/// `cylinder 2 exhaust 1`.
fn port(subject: Subject) -> PhraseValue {
    let Subject::Port(port) = subject else { return PhraseValue::text(subject.to_string()) };
    port.phrase().into()
}

fn check_marking(from_edge: Option<Length>, width: Length, amounts: Amounts) -> Sentences {
    let width = amount(amounts.size(width));
    let check = match from_edge {
        Some(edge) => Phrase::with("plan-check-marking-check-edge", "edge", amount(amounts.size(edge))),
        None => Phrase::plain("plan-check-marking-check"),
    };
    (Phrase::plain("plan-check-marking"), check.and("width", width))
}

fn fit_springs(
    spare: Option<&str>,
    shims: &[(Length, u8)],
    installed_height: Option<Length>,
    amounts: Amounts,
) -> Sentences {
    let one = |(thickness, count): &(Length, u8)| amount(format!("{count} × {}", amounts.fine(*thickness)));
    let and = |first: PhraseValue, next| Phrase::with("plan-and", "first", first).and("next", next).into();
    let text = match (spare, shims.iter().map(one).reduce(and)) {
        (None, None) => Phrase::plain("plan-springs-back"),
        (None, Some(shims)) => Phrase::with("plan-fit-shims", "shims", shims),
        (Some(spare), None) => Phrase::with("plan-new-springs", "springs", PhraseValue::text(spare)),
        (Some(spare), Some(shims)) => {
            Phrase::with("plan-new-springs-and-shims", "springs", PhraseValue::text(spare))
                .and("shims", shims)
        }
    };
    let text = text.and("then", then("plan-then-installed-height", installed_height, amounts));
    (text, Phrase::plain("plan-fit-springs-check"))
}

fn fit_lash_shim(thickness: Length, lash: Option<Length>, amounts: Amounts) -> Sentences {
    let text = Phrase::with("plan-fit-lash-shim", "thickness", amount(amounts.fine(thickness)))
        .and("then", then("plan-then-lash", lash, amounts));
    (text, Phrase::plain("plan-fit-lash-shim-check"))
}

fn measure_again(ids: &[CharacteristicId]) -> Sentences {
    (Phrase::with("plan-measure-again", "what", listed(ids)), Phrase::plain("plan-measure-again-check"))
}
