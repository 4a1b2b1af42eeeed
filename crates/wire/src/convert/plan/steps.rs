//! The steps in the language of the bench: what to do, and what to look at afterwards.

mod cuts;

use headproof_head::{CharacteristicId, DeckCut, SeatWork, Step, Work};
use headproof_quantity::Length;

use super::amounts::Amounts;
use crate::convert::evaluation::{inside_a_sentence, title};

/// What to do, and what to check after it.
type Sentences = (String, String);

/// The sentences of a step. `seat` is the whole work on the seat of the step's port: its sizes have the
/// tolerances that a single cut does not state.
pub(super) fn sentences(step: &Step, seat: Option<&SeatWork>, amounts: Amounts) -> Sentences {
    match &step.work {
        Work::MeasureFirst(ids) => measure_first(ids),
        Work::RenewGuide => renew_guide(),
        Work::FitInsert(id) => fit_insert(id),
        Work::CutDeck(cut) => cut_deck(*cut, amounts),
        Work::CutSeat { cut, high_side } => {
            (cuts::text(cut, *high_side, seat, amounts), cuts::check(cut, amounts))
        }
        Work::GrindFace { stock, margin } => grind_face(*stock, *margin, amounts),
        Work::GrindTip { stock, protrusion } => grind_tip(*stock, *protrusion, amounts),
        Work::FitValve { tag, spare } => {
            fit_valve(tag.as_deref(), spare.as_deref(), &step.subject.to_string())
        }
        Work::CheckMarking { from_edge, width } => check_marking(*from_edge, *width, amounts),
        Work::TestForLeaks => test_for_leaks(),
        Work::FitSprings { spare, shims, installed_height } => {
            fit_springs(spare.as_deref(), shims, *installed_height, amounts)
        }
        Work::FitLashShim { thickness, lash } => fit_lash_shim(*thickness, *lash, amounts),
        Work::SetLash => set_lash(),
        Work::MeasureAgain(ids) => measure_again(ids),
    }
}

/// Titles in a row.
fn listed(ids: &[CharacteristicId]) -> String {
    if ids.is_empty() {
        return "everything this profile limits".to_owned();
    }
    ids.iter().map(|id| inside_a_sentence(title(*id))).collect::<Vec<_>>().join(", ")
}

/// `; lash then 0.25 mm`, where it is known.
fn then(name: &str, size: Option<Length>, amounts: Amounts) -> String {
    size.map(|size| format!("; {name} then {}", amounts.size(size))).unwrap_or_default()
}

fn measure_first(ids: &[CharacteristicId]) -> Sentences {
    let check =
        "Post the set again with these readings and ask for a new plan; before that nothing is cut here.";
    (format!("Measure first: {}.", listed(ids)), check.to_owned())
}

fn renew_guide() -> Sentences {
    let text = "Repair or replace the guide: it comes before any work on this seat.";
    let check = "Measure guide, stem, seat and runout on the new axis and ask for a new plan: what was read \
                 on the old guide tells nothing about it.";
    (text.to_owned(), check.to_owned())
}

fn fit_insert(id: &str) -> Sentences {
    let check = "It sits on the floor of its counterbore all round and does not move.";
    (format!("Take the old insert out, clean its counterbore, and fit insert {id}."), check.to_owned())
}

fn cut_deck(cut: DeckCut, amounts: Amounts) -> Sentences {
    let (depth, needed) = (amounts.fine(cut.depth), amounts.fine(cut.needed));
    let check = "The deck is bright all over. Measure its flatness and roughness, the thickness of the head, \
                 and the chambers.";
    (
        format!("Cut the deck: {depth} off at its highest place ({needed} is what cleans it)."),
        check.to_owned(),
    )
}

fn grind_face(stock: Length, margin: Option<Length>, amounts: Amounts) -> Sentences {
    let text = format!("Grind the face of the valve: {} square to it.", amounts.fine(stock));
    let margin = match margin {
        Some(margin) => format!("the margin left is about {}", amounts.size(margin)),
        None => "measure the margin left".to_owned(),
    };
    (text, format!("The face is bright all round; {margin}, with no sharp edge anywhere."))
}

fn grind_tip(stock: Length, protrusion: Option<Length>, amounts: Amounts) -> Sentences {
    let text =
        format!("Grind the tip of the valve: {} square to the stem, with coolant.", amounts.fine(stock));
    let stands = protrusion
        .map(|protrusion| format!(" The stem stands {} above its spring seat.", amounts.size(protrusion)))
        .unwrap_or_default();
    (text, format!("The tip is flat and square, and clear of the retainer.{stands}"))
}

fn fit_valve(tag: Option<&str>, spare: Option<&str>, port: &str) -> Sentences {
    let text = match (tag, spare) {
        (Some(tag), None) => format!("Valve {tag} goes back to {port}."),
        (None, None) => format!("The valve that came from it goes back to {port}."),
        (Some(tag), Some(spare)) => {
            format!("New valve {spare} goes to {port} in place of valve {tag}; mark it for this seat.")
        }
        (None, Some(spare)) => {
            format!("New valve {spare} goes to {port} in place of the old one; mark it for this seat.")
        }
    };
    (text, "It slides and turns freely in its guide, and its mark is that of its seat.".to_owned())
}

fn check_marking(from_edge: Option<Length>, width: Length, amounts: Amounts) -> Sentences {
    let text = "Put marking compound thinly on the face, set the valve on its seat, turn it a little, and \
                lift it out.";
    let begins = from_edge
        .map(|edge| format!("begins {} from the outer edge of the face and ", amounts.size(edge)))
        .unwrap_or_default();
    let width = amounts.size(width);
    let check = format!(
        "The band {begins}is {width} wide, unbroken and even all round; if not, measure before more is cut."
    );
    (text.to_owned(), check)
}

fn test_for_leaks() -> Sentences {
    let check = "It holds. Held cold is no proof of a hot engine.";
    ("Test this port for leaks with its valve closed.".to_owned(), check.to_owned())
}

fn fit_springs(
    spare: Option<&str>,
    shims: &[(Length, u8)],
    installed_height: Option<Length>,
    amounts: Amounts,
) -> Sentences {
    let one = |(thickness, count): &(Length, u8)| format!("{count} × {}", amounts.fine(*thickness));
    let listed = shims.iter().map(one).collect::<Vec<_>>().join(" and ");
    let then = then("installed height", installed_height, amounts);
    let text = match (spare, shims.is_empty()) {
        (None, true) => format!("Fit the springs that came from this port{then}."),
        (None, false) => format!("Fit shims: {listed}{then}."),
        (Some(spare), true) => format!("Fit new springs {spare}{then}."),
        (Some(spare), false) => format!("Fit new springs {spare} and shims: {listed}{then}."),
    };
    let check = "Measure the installed height from spring seat to retainer; the keepers sit in their groove \
                 all round.";
    (text, check.to_owned())
}

fn fit_lash_shim(thickness: Length, lash: Option<Length>, amounts: Amounts) -> Sentences {
    let text = format!("Fit a lash shim of {}{}.", amounts.fine(thickness), then("lash", lash, amounts));
    (text, "Measure the lash with the heel of its cam on the follower.".to_owned())
}

fn set_lash() -> Sentences {
    let text =
        "Set the lash by its screw to what the engine maker says, with the heel of its cam on the follower.";
    (text.to_owned(), "Measure it again after two full turns by hand.".to_owned())
}

fn measure_again(ids: &[CharacteristicId]) -> Sentences {
    let check =
        "Post these readings: only they show whether it conforms. The numbers of this plan are predicted.";
    (format!("Measure again: {}.", listed(ids)), check.to_owned())
}
