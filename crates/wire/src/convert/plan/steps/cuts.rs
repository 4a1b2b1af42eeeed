//! Cuts of a seat, told by what can be seen: hand cutters have no dial for their feed.

use headproof_head::{Cut, CutKind, SeatWork, Target};
use headproof_quantity::Length;

use crate::convert::plan::amounts::{Amounts, angle, direction};
use crate::convert::plan::degrees_on;

pub(super) fn text(cut: &Cut, high_side: Option<i16>, seat: Option<&SeatWork>, amounts: Amounts) -> String {
    let [outer, inner, width] = cut.leaves;
    let about = cut.feed.map(|feed| format!(", about {} of feed", amounts.fine(feed))).unwrap_or_default();
    let touch = first_touch(cut);
    match cut.kind {
        CutKind::Seat => {
            let until = until_ring(cut, high_side, amounts);
            format!("Ink the seat. {}: turn until {until}.", cutter("Seat cutter", cut))
        }
        CutKind::Form => {
            let until = until_ring(cut, high_side, amounts);
            format!("Ink the seat. {}: one plunge, until {until}.", cutter("Form cutter", cut))
        }
        CutKind::Top => {
            let outer = stop(outer, seat.map(|seat| seat.outer_diameter), "", amounts);
            let cutter = cutter("Top cutter", cut);
            format!("{cutter}: bring the seat's outer diameter in to {outer}{about}{touch}.")
        }
        CutKind::Throat => {
            let width = stop(width, seat.map(|seat| seat.width), " wide", amounts);
            let inner = stop(inner, seat.map(|seat| seat.inner_diameter), "", amounts);
            let cutter = cutter("Throat cutter", cut);
            format!("{cutter}: until the band is {width}, its inner diameter then {inner}{about}{touch}.")
        }
        CutKind::LightTurns => {
            let most = cut.feed.map(|feed| format!(": no more than {}", amounts.fine(feed)));
            let cutter = cutter("seat cutter", cut);
            format!("Two light turns of the {cutter} against the burr{}.", most.unwrap_or_default())
        }
    }
}

pub(super) fn check(cut: &Cut, amounts: Amounts) -> String {
    let [outer, inner, width] = cut.leaves.map(|size| amounts.size(size));
    match cut.kind {
        CutKind::Seat | CutKind::Form => {
            let stem = match cut.feed {
                Some(_) => " The stem of a reference valve tells the feed: it has risen by about as much.",
                None => "",
            };
            format!(
                "No ink is left on the ring: about {width} wide, {outer} outside and {inner} inside.{stem}"
            )
        }
        CutKind::Top => {
            format!("Measure the outer diameter, {outer}, at several places: stop early rather than late.")
        }
        CutKind::Throat => {
            format!("Measure the width of the band, {width}, at several places: it is even all round.")
        }
        CutKind::LightTurns => format!(
            "No burr is left on either edge; the band is {width} wide, {outer} outside and {inner} inside."
        ),
    }
}

/// `Seat cutter 45° (C-45)`.
fn cutter(name: &str, cut: &Cut) -> String {
    let angle = angle(cut.angle);
    match &cut.cutter {
        Some(id) => format!("{name} {angle} ({id})"),
        None => format!("{name} {angle}"),
    }
}

/// A size this cut leaves, with the tolerance of that size when the seat is done; where that is not known the
/// size alone is told.
fn stop(size: Length, planned: Option<Target>, which: &str, amounts: Amounts) -> String {
    match planned {
        Some(planned) => amounts.stop(Target { size, tolerance: planned.tolerance }, which),
        None => format!("{}{which}", amounts.size(size)),
    }
}

/// Where a cut that makes the ring ends: on a worn seat when the ring is unbroken; a raw insert has neither a
/// first touch to count from nor old metal to see, so that sizes have to tell.
fn until_ring(cut: &Cut, high_side: Option<i16>, amounts: Amounts) -> String {
    let [outer, inner, _] = cut.leaves.map(|size| amounts.size(size));
    let end = match cut.feed {
        Some(feed) => {
            let feed = amounts.feed(feed, cut.tolerance);
            format!("the bright ring is unbroken, about {feed} past first touch")
        }
        None => format!("the ring on the new insert is {outer} outside and {inner} inside"),
    };
    format!("{end}{}{}", first_touch(cut), ring(high_side))
}

fn first_touch(cut: &Cut) -> &'static str {
    match cut.touches_outer_edge_first {
        Some(true) => "; it touches the outer edge first",
        Some(false) => "; it touches the inner edge first",
        None => "",
    }
}

/// Where the ring shows first: the cutter turns about the guide, so that it meets the high side first.
fn ring(high_side: Option<i16>) -> String {
    let Some(tenths) = high_side else { return String::new() };
    let side = direction(degrees_on(tenths));
    format!("; the ring shows first at {side} from the first dial reading and the last ink goes opposite")
}
