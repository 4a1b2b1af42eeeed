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
        (true, "blank-caution-limits-about", "blank-caution-limits"),
        (SPRINGS.is_wanted(wanted), "blank-caution-springs-about", "blank-caution-springs"),
        (seats, "blank-caution-eyes-about", "blank-caution-eyes"),
        (CONTACT.is_wanted(wanted), "blank-caution-lapping-about", "blank-caution-lapping"),
        (seats || VALVE.is_wanted(wanted), "blank-caution-treated-about", "blank-caution-treated"),
        (true, "blank-caution-sodium-about", "blank-caution-sodium"),
        (under_pressure, "blank-caution-air-about", "blank-caution-air"),
        (under_pressure, "blank-caution-held-about", "blank-caution-held"),
        (LEAK.is_wanted(wanted), "blank-caution-warmth-about", "blank-caution-warmth"),
        (overhead && deck, "blank-caution-warped-about", "blank-caution-warped"),
        (overhead, "blank-caution-turning-over-about", "blank-caution-turning-over"),
        (true, "blank-caution-soot-about", "blank-caution-soot"),
        (input.layout.cylinders >= 2, "blank-caution-lifting-about", "blank-caution-lifting"),
    ];
    let say = input.say();
    let applying = cautions.into_iter().filter(|(applies, ..)| *applies);
    let list: Vec<(&str, String)> =
        applying.map(|(_, about, text)| (say.text(about), say.text(text).to_owned())).collect();
    draw_list(flow, &list);
}
