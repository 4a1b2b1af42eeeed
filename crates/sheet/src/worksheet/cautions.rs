//! The cautions that apply to the layout and to what the profile asks for.

use crate::cautions::draw_list;
use crate::flow::Flow;

use super::WorksheetInput;
use super::deck::carries_camshaft;
use super::parts::{CONTACT, DECK, LEAK, SEAT, SPRINGS, VALVE, wants_grid};
use super::wanted::Wanted;

/// Draws them; nothing is measured yet, so that each says what to look for.
pub(super) fn draw(flow: &mut Flow, input: &WorksheetInput<'_>, wanted: &Wanted<'_>) {
    let seats = SEAT.is_wanted(wanted) || CONTACT.is_wanted(wanted);
    let overhead = carries_camshaft(input);
    let deck = DECK.is_wanted(wanted) || wants_grid(wanted);
    let under_pressure = LEAK.is_wanted(wanted) || wanted.is_wanted("pressure-test", None);
    let cautions = [
        (true, "caution-about-limits", "caution-limits"),
        (SPRINGS.is_wanted(wanted), "caution-about-springs", "caution-springs"),
        (seats, "caution-about-eyes", "blank-caution-eyes"),
        (CONTACT.is_wanted(wanted), "caution-about-lapping", "caution-lapping"),
        (seats || VALVE.is_wanted(wanted), "caution-about-treated-valves", "blank-caution-treated"),
        (true, "caution-about-sodium", "blank-caution-sodium"),
        (under_pressure, "caution-about-air", "caution-air"),
        (under_pressure, "caution-about-held", "caution-held"),
        (LEAK.is_wanted(wanted), "caution-about-warmth", "caution-warmth"),
        (overhead && deck, "caution-about-warped-deck", "blank-caution-warped"),
        (overhead, "caution-about-turning-over", "caution-turning-over"),
        (true, "caution-about-soot", "caution-soot"),
        (input.layout.cylinders >= 2, "caution-about-lifting", "caution-lifting"),
    ];
    let say = input.say();
    let applying = cautions.into_iter().filter(|(applies, ..)| *applies);
    let list: Vec<(&str, String)> =
        applying.map(|(_, about, text)| (say.text(about), say.text(text).to_owned())).collect();
    draw_list(flow, &list);
}
