//! What no gauge can have read.

use headproof_head::{ContactMark, Finding, FindingCode, Port, Reading};
use headproof_metrology::inner_edge_clearance;
use headproof_quantity::{Exact, LengthDim};

use super::rests_on::{BAND, BORES, DECAY, Rows, STEMS, head_diameter, seat_diameters};
use super::{CERTAIN, blocking, warning};
use crate::budget::Budget;
use crate::context::Context;
use crate::table::{Air, guide_heights, highest_atmosphere};

type LengthReading = Reading<LengthDim>;

/// A seat that much larger than its valve may be waiting for its top cut, in mm (common practice, no source).
const BEFORE_THE_TOP_CUT: f64 = 2.0;
/// What a gauge of unknown quality may show of a pressure that did not rise, in kPa (common practice, no source).
const NOISE: f64 = 0.5;
/// What doubles may lose on the way, in mm: a band that ends on the edge of the face is on the face.
const ROUNDING: f64 = 1e-9;
/// Clearances up to this are what bores and stems posted the other way round would give, in mm.
const SWAPPED_AT_MOST: Exact = Exact::from_count(5, 1);

/// How far chance may have moved a difference.
fn by_chance(budget: Budget<'_>) -> Option<f64> {
    budget.close().0.map(|u| CERTAIN * u)
}

/// Bores smaller than their stems: single ones, or all of them because they were swapped.
pub(super) fn negative_clearance(context: &Context<'_>, port: &Port) -> Option<Finding> {
    let pairs: Vec<_> = guide_heights(port)
        .into_iter()
        .flat_map(|(position, bores, stem)| {
            let of = move |(axis, bore)| Some((position, axis, bore, stem?));
            (1u8..).zip(bores).filter_map(of)
        })
        .collect();
    let clearance =
        |(_, _, bore, stem): &(_, _, &LengthReading, &LengthReading)| (bore.value() - stem.value()).exact();
    let worst =
        pairs.iter().min_by_key(|pair| clearance(pair)).filter(|pair| clearance(pair).is_negative())?;
    let (position, axis, bore, stem) = worst;
    let fields = ["/guide/bores", "/valve/stem"];
    let swapped = pairs.len() > 1
        && pairs.iter().map(clearance).all(|each| each.is_negative() && each.abs() <= SWAPPED_AT_MOST);
    if swapped {
        let text =
            "every guide bore is smaller than the stem in it: they would make sense the other way round";
        let text = format!("{}: {text}", port.id);
        let rows = [BORES, STEMS].concat();
        return Some(blocking(port, FindingCode::BoreAndStemSwapped, &fields, text, rows));
    }
    let text = format!(
        "{}: the stem is thicker than the guide bore at the {}, axis {axis}",
        port.id,
        position.word()
    );
    let mut budget = Budget::new(context);
    budget.reading("guide bore", 1.0, bore);
    budget.reading("stem diameter", -1.0, stem);
    let excused = by_chance(budget).is_some_and(|allowed| clearance(worst).abs().approx() <= allowed);
    Some(if excused {
        warning(port, FindingCode::NegativeClearance, &fields, text)
    } else {
        blocking(port, FindingCode::NegativeClearance, &fields, text, [BORES, STEMS].concat())
    })
}

pub(super) fn crossed_diameters(port: &Port) -> Option<Finding> {
    let (inner, outer) = port.seat.inner_diameter.as_ref().zip(port.seat.outer_diameter.as_ref())?;
    (inner.value() >= outer.value()).then(|| {
        blocking(
            port,
            FindingCode::SeatDiametersCrossed,
            &["/seat/inner_diameter", "/seat/outer_diameter"],
            format!("{}: the seat's inner diameter is not smaller than its outer", port.id),
            seat_diameters(port),
        )
    })
}

pub(super) fn contact_outside_face(context: &Context<'_>, port: &Port) -> Option<Finding> {
    let marks = &port.contact.marks;
    let code = FindingCode::ContactOutsideFace;
    if marks.iter().any(|mark| is_over_outer_edge(context, mark)) {
        let text = format!("{}: the contact band reaches over the outer edge of the valve face", port.id);
        return Some(blocking(port, code, &["/contact/marks"], text, BAND.iter().copied()));
    }
    if marks.iter().any(|mark| is_over_inner_edge(context, port, mark).unwrap_or(false)) {
        let text = format!("{}: the contact band reaches over the inner edge of the valve face", port.id);
        let fields = ["/contact/marks", "/valve/face_inner_diameter"];
        return Some(blocking(port, code, &fields, text, BAND.iter().copied()));
    }
    let (valve, seat) = port.valve.head_diameter.as_ref().zip(port.seat.outer_diameter.as_ref())?;
    let larger = (seat.value() - valve.value()).exact().approx();
    if !marks.is_empty() || larger <= 0.0 {
        return None;
    }
    let text = format!("{}: the seat's outer diameter is larger than the valve head", port.id);
    let fields = ["/seat/outer_diameter", "/valve/head_diameter"];
    Some(if larger <= BEFORE_THE_TOP_CUT {
        warning(port, code, &fields, text)
    } else {
        blocking(port, code, &fields, text, outer_diameters(port))
    })
}

fn is_over_outer_edge(context: &Context<'_>, mark: &ContactMark) -> bool {
    let mut budget = Budget::new(context);
    budget.reading("contact from the edge", 1.0, &mark.from_edge);
    -mark.from_edge.value().approx() > by_chance(budget).unwrap_or(0.0)
}

fn is_over_inner_edge(context: &Context<'_>, port: &Port, mark: &ContactMark) -> Option<bool> {
    let (outer, inner) = port.valve.head_diameter.as_ref().zip(port.valve.face_inner_diameter.as_ref())?;
    let width = mark.width.as_ref()?;
    let angle = context.face_angle(port).ok()?;
    let from_edge = &mark.from_edge;
    let left =
        inner_edge_clearance(outer.value(), inner.value(), angle.angle(), from_edge.value(), width.value())
            .ok()?;
    let mut budget = Budget::new(context);
    budget.reading("valve head diameter", left.sensitivity[0], outer);
    budget.reading("face inner diameter", left.sensitivity[1], inner);
    budget.angle("face angle", left.sensitivity[2], &angle);
    budget.reading("contact from the edge", left.sensitivity[3], from_edge);
    budget.reading("contact width", left.sensitivity[4], width);
    Some(-left.value.get() > by_chance(budget).unwrap_or(0.0).max(ROUNDING))
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
    let what = if decay.vacuum { "vacuum" } else { "pressure" };
    let text = format!(
        "{}: the {what} of the decay test was greater at the end than at the start; both are sizes \
         relative to the atmosphere",
        port.id
    );
    // Where the temperatures are known the leak rate allows for what warmth did.
    let touches = if Air::of(decay).is_some() { &DECAY[1..] } else { DECAY };
    let fields = ["/leak/decay/start", "/leak/decay/end"];
    Some(blocking(port, FindingCode::DecayRose, &fields, text, touches.iter().copied()))
}

pub(super) fn vacuum_too_deep(port: &Port) -> Option<Finding> {
    let decay = port.leak.decay.as_ref().filter(|decay| decay.vacuum)?;
    let deepest = decay.start.value().max(decay.end.value()).approx();
    (deepest > highest_atmosphere(decay)).then(|| {
        let text = format!(
            "{}: a vacuum is posted as its depth below the atmosphere, and this one is deeper than the \
             atmosphere; an absolute pressure may have been posted",
            port.id
        );
        let fields = ["/leak/decay/start", "/leak/decay/end"];
        blocking(port, FindingCode::VacuumTooDeep, &fields, text, DECAY.iter().copied())
    })
}
