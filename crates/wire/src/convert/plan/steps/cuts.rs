//! Cuts of a seat, told by what can be seen: hand cutters have no dial for their feed.

use headproof_head::{Cut, CutKind, Phrase, PhraseValue, SeatWork, Target};
use headproof_quantity::Length;

use crate::convert::plan::amounts::{Amounts, Stop, amount, angle, direction};
use crate::convert::plan::degrees_on;
use crate::convert::plan::words::tail;

pub(super) fn text(cut: &Cut, high_side: Option<i16>, seat: Option<&SeatWork>, amounts: Amounts) -> Phrase {
    let [outer, inner, width] = cut.leaves;
    let feed = cut.feed.map(|feed| amount(amounts.fine(feed)));
    let about =
        |feed: Option<PhraseValue>| tail(feed.map(|feed| Phrase::with("plan-about-feed", "feed", feed)));
    let text = match cut.kind {
        CutKind::Seat => Phrase::with("plan-seat-cut", "until", until_ring(cut, high_side, amounts)),
        CutKind::Form => Phrase::with("plan-form-cut", "until", until_ring(cut, high_side, amounts)),
        CutKind::Top => {
            let outer = stop(outer, seat.map(|seat| seat.outer_diameter), amounts);
            Phrase::with("plan-top-cut", "outer", outer.amount())
                .and("feed", about(feed))
                .and("touch", tail(first_touch(cut)))
        }
        CutKind::Throat => {
            let width = stop(width, seat.map(|seat| seat.width), amounts);
            let inner = stop(inner, seat.map(|seat| seat.inner_diameter), amounts);
            Phrase::with("plan-throat-cut", "width", width.wide())
                .and("inner", inner.amount())
                .and("feed", about(feed))
                .and("touch", tail(first_touch(cut)))
        }
        CutKind::LightTurns => match feed {
            Some(most) => Phrase::with("plan-light-turns-at-most", "most", most),
            None => Phrase::plain("plan-light-turns"),
        },
    };
    text.and("cutter", cutter(cut))
}

pub(super) fn check(cut: &Cut, amounts: Amounts) -> Phrase {
    let [outer, inner, width] = cut.leaves.map(|size| amount(amounts.size(size)));
    let ring = match (cut.kind, cut.feed) {
        (CutKind::Seat | CutKind::Form, Some(_)) => "plan-ring-check-feed",
        (CutKind::Seat | CutKind::Form, None) => "plan-ring-check",
        (CutKind::LightTurns, _) => "plan-light-turns-check",
        (CutKind::Top, _) => return Phrase::with("plan-top-cut-check", "outer", outer),
        (CutKind::Throat, _) => return Phrase::with("plan-throat-cut-check", "width", width),
    };
    Phrase::with(ring, "width", width).and("outer", outer).and("inner", inner)
}

/// `45° (C-45)`.
fn cutter(cut: &Cut) -> PhraseValue {
    let angle = amount(angle(cut.angle));
    match &cut.cutter {
        Some(id) => {
            Phrase::with("plan-named-cutter", "angle", angle).and("name", PhraseValue::text(id)).into()
        }
        None => angle,
    }
}

/// A size this cut leaves, with the tolerance of that size when the seat is done; where that is not known the
/// size alone is told.
fn stop(size: Length, planned: Option<Target>, amounts: Amounts) -> Stop {
    match planned {
        Some(planned) => amounts.stop(Target { size, tolerance: planned.tolerance }),
        None => Stop::at(amounts.size(size)),
    }
}

/// Where a cut that makes the ring ends: on a worn seat when the ring is unbroken; a raw insert has neither a
/// first touch to count from nor old metal to see, so that sizes have to tell.
fn until_ring(cut: &Cut, high_side: Option<i16>, amounts: Amounts) -> Phrase {
    let [outer, inner, _] = cut.leaves.map(|size| amount(amounts.size(size)));
    let end = match cut.feed {
        Some(feed) => Phrase::with("plan-until-unbroken", "feed", amount(amounts.feed(feed, cut.tolerance))),
        None => Phrase::with("plan-until-sizes", "outer", outer).and("inner", inner),
    };
    end.and("touch", tail(first_touch(cut))).and("ring", tail(high_side.map(ring)))
}

fn first_touch(cut: &Cut) -> Option<Phrase> {
    cut.touches_outer_edge_first
        .map(|outer| Phrase::plain(if outer { "plan-touches-outer-edge" } else { "plan-touches-inner-edge" }))
}

/// Where the ring shows first: the cutter turns about the guide, so that it meets the high side first.
fn ring(high_side: i16) -> Phrase {
    Phrase::with("plan-ring-shows", "side", amount(direction(degrees_on(high_side))))
}
