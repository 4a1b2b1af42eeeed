//! What no gauge can have read.

use headproof_head::{ContactMark, Finding, FindingCode, Port};
use headproof_metrology::inner_edge_clearance;
use headproof_quantity::Exact;

use super::rests_on::{BAND, BORES, DECAY, Rows, STEMS, head_diameter, seat_diameters};
use super::{CERTAIN, blocking, by_chance, of_port, warning};
use crate::budget::Budget;
use crate::context::Context;
use crate::table::{Air, FaceBand, Pair, highest_atmosphere, pairs};

/// A seat that much larger than its valve may be waiting for its top cut, in mm (common practice, no source).
const BEFORE_THE_TOP_CUT: f64 = 2.0;
/// What a gauge of unknown quality may show of a pressure that did not rise, in kPa (common practice, no source).
const NOISE: f64 = 0.5;
/// What doubles may lose on the way, in mm: a band that ends on the edge of the face is on the face.
const ROUNDING: f64 = 1e-9;
/// Clearances up to this are what bores and stems posted the other way round would give, in mm.
const SWAPPED_AT_MOST: Exact = Exact::from_count(5, 1);

/// Bores smaller than their stems: single ones, or all of them because they were swapped.
pub(super) fn negative_clearance(context: &Context<'_>, port: &Port) -> Option<Finding> {
    let worst = pairs(port).min_by_key(Pair::clearance).filter(|pair| pair.clearance().is_negative())?;
    let fields = ["/guide/bores", "/valve/stem"];
    let is_swapped = |clearance: Exact| clearance.is_negative() && clearance.abs() <= SWAPPED_AT_MOST;
    let swapped = pairs(port).count() > 1 && pairs(port).all(|pair| is_swapped(pair.clearance()));
    if swapped {
        let says = of_port(port, "found-bore-and-stem-swapped");
        let rows = [BORES, STEMS].concat();
        return Some(blocking(port, FindingCode::BoreAndStemSwapped, &fields, says, rows));
    }
    let says = of_port(port, "found-negative-clearance")
        .and("height", worst.position.phrase())
        .and("axis", worst.axis);
    let mut budget = Budget::new(context);
    worst.add(&mut budget, 1.0);
    let excused = by_chance(budget).is_some_and(|allowed| worst.clearance().abs().approx() <= allowed);
    Some(if excused {
        warning(port, FindingCode::NegativeClearance, &fields, says)
    } else {
        blocking(port, FindingCode::NegativeClearance, &fields, says, [BORES, STEMS].concat())
    })
}

pub(super) fn crossed_diameters(port: &Port) -> Option<Finding> {
    let (inner, outer) = port.seat.inner_diameter.as_ref().zip(port.seat.outer_diameter.as_ref())?;
    (inner.value() >= outer.value()).then(|| {
        blocking(
            port,
            FindingCode::SeatDiametersCrossed,
            &["/seat/inner_diameter", "/seat/outer_diameter"],
            of_port(port, "found-seat-diameters-crossed"),
            seat_diameters(port),
        )
    })
}

pub(super) fn contact_outside_face(context: &Context<'_>, port: &Port) -> Option<Finding> {
    let marks = &port.contact.marks;
    let code = FindingCode::ContactOutsideFace;
    if marks.iter().any(is_over_outer_edge) {
        let says = of_port(port, "found-band-over-outer-edge");
        return Some(blocking(port, code, &["/contact/marks"], says, BAND.iter().copied()));
    }
    let face = FaceBand::of(context, port).ok();
    if marks
        .iter()
        .any(|mark| face.is_some_and(|face| is_over_inner_edge(context, &face, mark) == Some(true)))
    {
        let says = of_port(port, "found-band-over-inner-edge");
        let fields = ["/contact/marks", "/valve/face_inner_diameter"];
        return Some(blocking(port, code, &fields, says, BAND.iter().copied()));
    }
    let (valve, seat) = port.valve.head_diameter.as_ref().zip(port.seat.outer_diameter.as_ref())?;
    let larger = (seat.value() - valve.value()).exact().approx();
    if !marks.is_empty() || larger <= 0.0 {
        return None;
    }
    let says = of_port(port, "found-seat-larger-than-valve");
    let fields = ["/seat/outer_diameter", "/valve/head_diameter"];
    Some(if larger <= BEFORE_THE_TOP_CUT {
        warning(port, code, &fields, says)
    } else {
        blocking(port, code, &fields, says, outer_diameters(port))
    })
}

fn is_over_outer_edge(mark: &ContactMark) -> bool {
    let allowed = mark.from_edge.uncertainty().map_or(0.0, |u| CERTAIN * u.get());
    -mark.from_edge.value().approx() > allowed
}

fn is_over_inner_edge(context: &Context<'_>, face: &FaceBand<'_>, mark: &ContactMark) -> Option<bool> {
    let (left, budget) = face.at(context, (0, mark), inner_edge_clearance)?.ok()?;
    Some(-left > by_chance(budget).unwrap_or(0.0).max(ROUNDING))
}

/// What rests on the outer diameters of seat and valve.
fn outer_diameters(port: &Port) -> Rows {
    let of_the_inner = ["seat-inner-diameter", "inner-edge-clearance"];
    let mut rows = [seat_diameters(port), head_diameter(port)].concat();
    rows.retain(|row| !of_the_inner.contains(row));
    rows
}

pub(super) fn decay_rose(context: &Context<'_>, port: &Port) -> Option<Finding> {
    let decay = port.leak.decay.as_ref()?;
    let mut budget = Budget::new(context);
    budget.reading("pressure at the start", -1.0, &decay.start);
    budget.reading("pressure at the end", 1.0, &decay.end);
    let rise = (decay.end.value() - decay.start.value()).exact().approx();
    if rise <= by_chance(budget).unwrap_or(NOISE) {
        return None;
    }
    let says = of_port(port, if decay.vacuum { "found-vacuum-rose" } else { "found-pressure-rose" });
    // Where the temperatures are known the leak rate allows for what warmth did.
    let touches = if Air::of(decay).is_some() { &DECAY[1..] } else { DECAY };
    let fields = ["/leak/decay/start", "/leak/decay/end"];
    Some(blocking(port, FindingCode::DecayRose, &fields, says, touches.iter().copied()))
}

pub(super) fn vacuum_too_deep(port: &Port) -> Option<Finding> {
    let decay = port.leak.decay.as_ref().filter(|decay| decay.vacuum)?;
    let deepest = decay.start.value().max(decay.end.value()).approx();
    (deepest > highest_atmosphere(decay)).then(|| {
        let says = of_port(port, "found-vacuum-too-deep");
        let fields = ["/leak/decay/start", "/leak/decay/end"];
        blocking(port, FindingCode::VacuumTooDeep, &fields, says, DECAY.iter().copied())
    })
}
