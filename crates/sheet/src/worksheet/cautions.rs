//! The cautions that apply to the layout and to what the profile asks for.

use crate::cautions as known;
use crate::flow::Flow;

use super::WorksheetInput;
use super::deck::carries_camshaft;
use super::parts::{CONTACT, DECK, LEAK, SEAT, SPRINGS, VALVE, wants_grid};
use super::wanted::Wanted;

const EYES: &str = "Wear eye protection for cutting, grinding and blowing out. Carbide edges cut skin even when the \
                    cutter stands still.";
const SODIUM: &str = "Stems of exhaust valves may hold sodium. Until it is known that they do not, never cut, weld, \
                      drill or break them; sodium burns and bursts with water.";
const TREATED: &str = "Coated, nitrided or titanium valves are not ground or lapped unless their maker allows it: the \
                       hard layer is thinner than one pass. Look before you prove the contact.";
const WARPED: &str = "Should the deck be out of flat: measure the cam bores before any deck cut. A flat deck over a \
                      bent cam line seizes.";

/// Draws them; nothing is measured yet, so that each says what to look for.
pub(super) fn draw(flow: &mut Flow, input: &WorksheetInput<'_>, wanted: &Wanted<'_>) {
    let seats = SEAT.is_wanted(wanted) || CONTACT.is_wanted(wanted);
    let overhead = carries_camshaft(input);
    let deck = DECK.is_wanted(wanted) || wants_grid(wanted);
    let cautions = [
        (true, "These limits", known::LIMITS),
        (SPRINGS.is_wanted(wanted), "Valve springs", known::SPRINGS),
        (seats, "Eyes and hands", EYES),
        (CONTACT.is_wanted(wanted), "Lapping compound", known::LAPPING),
        (seats || VALVE.is_wanted(wanted), "Treated valves", TREATED),
        (true, "Sodium in stems", SODIUM),
        (LEAK.is_wanted(wanted) || wanted.is_wanted("pressure-test", None), "Compressed air", known::AIR),
        (LEAK.is_wanted(wanted) || wanted.is_wanted("pressure-test", None), "Leak tests", known::HELD),
        (LEAK.is_wanted(wanted), "Leaks and warmth", known::WARMTH),
        (overhead && deck, "Warped deck", WARPED),
        (overhead, "Turning over", known::TURNING_OVER),
        (true, "Old gaskets and soot", known::SOOT),
        (input.layout.cylinders >= 2, "Lifting", known::LIFTING),
    ];
    let applying = cautions.into_iter().filter(|(applies, ..)| *applies);
    let list: Vec<(&str, String)> =
        applying.map(|(_, about, text)| (about, crate::english().text(text).to_owned())).collect();
    known::draw_list(flow, &list);
}
