//! What no gauge can have read.

use headproof_head::{ContactMark, Finding, FindingCode, Port};
use headproof_metrology::overhang_from_diameters;
use headproof_quantity::Exact;

use super::blocking;
use super::rests_on::{BAND, BORES, DECAY, Rows, STEMS, head_diameter, seat_diameters};
use crate::table::{Air, guide_heights};

/// What doubles may lose on the way, in mm: a band that ends on the edge of the face is on the face.
const ROUNDING: f64 = 1e-9;
/// Clearances up to this are what bores and stems posted the other way round would give, in mm.
const SWAPPED_AT_MOST: Exact = Exact::from_count(5, 1);

/// Bores smaller than their stems: single ones, or all of them because they were swapped.
pub(super) fn negative_clearance(port: &Port) -> Option<Finding> {
    let heights = guide_heights(port);
    let pairs: Vec<_> = heights
        .into_iter()
        .flat_map(|(position, bores, stem)| {
            let of = move |(axis, bore)| Some((position, axis, bore, stem?));
            (1u8..).zip(bores).filter_map(of)
        })
        .map(|(position, axis, bore, stem)| (position, axis, (bore.value() - stem.value()).exact()))
        .collect();
    let (position, axis, _) = pairs.iter().find(|(_, _, clearance)| clearance.is_negative())?;
    let swapped = pairs.len() > 1
        && pairs
            .iter()
            .all(|(_, _, clearance)| clearance.is_negative() && clearance.abs() <= SWAPPED_AT_MOST);
    let (code, text) = if swapped {
        let text =
            "every guide bore is smaller than the stem in it: they would make sense the other way round";
        (FindingCode::BoreAndStemSwapped, format!("{}: {text}", port.id))
    } else {
        let text = format!(
            "{}: the stem is thicker than the guide bore at the {}, axis {axis}",
            port.id,
            position.word()
        );
        (FindingCode::NegativeClearance, text)
    };
    Some(blocking(port, code, &["/guide/bores", "/valve/stem"], text, [BORES, STEMS].concat()))
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

pub(super) fn contact_outside_face(port: &Port) -> Option<Finding> {
    let marks = &port.contact.marks;
    let over_edge = marks.iter().any(|mark| mark.from_edge.value().exact().is_negative());
    let over_inner_edge = face_length(port).is_some_and(|length| {
        let reach = |mark: &ContactMark| {
            mark.from_edge.value().approx() + mark.width.as_ref().map_or(0.0, |width| width.value().approx())
        };
        marks.iter().any(|mark| reach(mark) > length + ROUNDING)
    });
    let larger = port
        .valve
        .head_diameter
        .as_ref()
        .zip(port.seat.outer_diameter.as_ref())
        .is_some_and(|(valve, seat)| marks.is_empty() && valve.value() < seat.value());
    let (fields, what, touches): (&[&'static str], _, Rows) = if over_edge {
        (&["/contact/marks"], "the contact band reaches over the outer edge of the valve face", BAND.to_vec())
    } else if over_inner_edge {
        let what = "the contact band reaches over the inner edge of the valve face";
        (&["/contact/marks", "/valve/face_inner_diameter"], what, BAND.to_vec())
    } else if larger {
        let what = "the seat's outer diameter is larger than the valve head";
        (&["/seat/outer_diameter", "/valve/head_diameter"], what, outer_diameters(port))
    } else {
        return None;
    };
    let text = format!("{}: {what}", port.id);
    Some(blocking(port, FindingCode::ContactOutsideFace, fields, text, touches))
}

/// What rests on the outer diameters of seat and valve.
fn outer_diameters(port: &Port) -> Rows {
    let of_the_inner = ["seat-inner-diameter", "inner-edge-clearance"];
    let mut rows = [seat_diameters(port), head_diameter(port)].concat();
    rows.retain(|row| !of_the_inner.contains(row));
    rows
}

/// Length of the valve face along its slope, where it was measured.
fn face_length(port: &Port) -> Option<f64> {
    let (outer, inner) = port.valve.head_diameter.as_ref().zip(port.valve.face_inner_diameter.as_ref())?;
    let angle = port.valve.face_angle.as_ref()?;
    let length = overhang_from_diameters(outer.value(), inner.value(), angle.value()).ok()?;
    Some(length.value.get())
}

pub(super) fn decay_rose(port: &Port) -> Option<Finding> {
    let decay = port.leak.decay.as_ref().filter(|decay| decay.end.value() > decay.start.value())?;
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
