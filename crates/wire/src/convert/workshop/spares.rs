//! New parts on the shelf.

use headproof_head as head;
use headproof_quantity::{Force, Length};

use super::{MOST_KINDS, TWENTY_MILLIMETRES, cost, count, optional, own_name, up_to};
use crate::convert::block::{Conversion, Range};
use crate::pointer::At;
use crate::{Service, SpareInsert, SpareSpring, SpareValve, SpringLoad, Workshop};

/// Most loads of one spring.
const MOST_LOADS: usize = 50;

pub(super) fn spares(c: &mut Conversion<'_>, at: &At<'_>, doc: &Workshop) -> head::Spares {
    head::Spares {
        inserts: inserts(c, &at.member("inserts"), &doc.inserts),
        valves: valves(c, &at.member("valves"), &doc.valves),
        springs: springs(c, &at.member("springs"), &doc.springs),
    }
}

/// What every part on the shelf states.
struct Stated<'d> {
    id: &'d str,
    service: Option<Service>,
    count: u16,
    price: Option<f64>,
    minutes: Option<f64>,
}

macro_rules! stated {
    ($doc:expr) => {
        Stated {
            id: &$doc.id,
            service: $doc.service,
            count: $doc.count,
            price: $doc.price,
            minutes: $doc.minutes,
        }
    };
}

fn part<'d>(
    c: &mut Conversion<'_>,
    at: &At<'_>,
    doc: Stated<'d>,
    ids: &mut Vec<&'d str>,
    kind: &str,
) -> head::Part {
    count(c, at, doc.count);
    head::Part {
        id: own_name(c, at, doc.id, ids, kind),
        service: doc.service.map(Into::into),
        count: doc.count,
        price: cost(c, &at.member("price"), doc.price, 0.0),
        minutes: cost(c, &at.member("minutes"), doc.minutes, 0.0),
    }
}

fn inserts(c: &mut Conversion<'_>, at: &At<'_>, docs: &[SpareInsert]) -> Vec<head::SpareInsert> {
    let mut ids = Vec::new();
    let inserts = c.bounded(at, docs, 0..=MOST_KINDS).iter().enumerate().filter_map(|(index, doc)| {
        let at = at.element(index);
        let part = part(c, &at, stated!(doc), &mut ids, "insert");
        let diameter = optional(c, &at.member("diameter"), doc.diameter, Range::Positive);
        let raises_seat =
            up_to(c, &at.member("raises_seat"), doc.raises_seat, Range::NonNegative, TWENTY_MILLIMETRES)?;
        Some(head::SpareInsert { part, raises_seat, diameter })
    });
    inserts.collect()
}

fn valves(c: &mut Conversion<'_>, at: &At<'_>, docs: &[SpareValve]) -> Vec<head::SpareValve> {
    let mut ids = Vec::new();
    let valves = c.bounded(at, docs, 0..=MOST_KINDS).iter().enumerate().filter_map(|(index, doc)| {
        let at = at.element(index);
        let part = part(c, &at, stated!(doc), &mut ids, "valve");
        valve(c, &at, doc, part)
    });
    valves.collect()
}

fn valve(
    c: &mut Conversion<'_>,
    at: &At<'_>,
    doc: &SpareValve,
    part: head::Part,
) -> Option<head::SpareValve> {
    let head_diameter = c.quantity(&at.member("head_diameter"), doc.head_diameter, Range::Positive);
    let margin = c.quantity(&at.member("margin"), doc.margin, Range::Positive);
    let face_angle = c.quantity(&at.member("face_angle"), doc.face_angle, Range::Slope);
    let overall_length = optional(c, &at.member("overall_length"), doc.overall_length, Range::Positive);
    let face_inner_diameter =
        optional(c, &at.member("face_inner_diameter"), doc.face_inner_diameter, Range::Positive);
    let stem_diameter = optional(c, &at.member("stem_diameter"), doc.stem_diameter, Range::Positive);
    // Faults between members stand at what holds them all: none of them is known to be the wrong one.
    for (name, size) in [("face_inner_diameter", face_inner_diameter), ("stem_diameter", stem_diameter)] {
        if size.zip(head_diameter).is_some_and(|(size, head): (Length, Length)| size >= head) {
            c.fault(at, format!("needs a {name} that is less than its head_diameter"), None);
        }
    }
    Some(head::SpareValve {
        part,
        head_diameter: head_diameter?,
        margin: margin?,
        face_angle: face_angle?,
        face_inner_diameter,
        stem_diameter,
        overall_length,
    })
}

fn springs(c: &mut Conversion<'_>, at: &At<'_>, docs: &[SpareSpring]) -> Vec<head::SpareSpring> {
    let mut ids = Vec::new();
    let springs = c.bounded(at, docs, 0..=MOST_KINDS).iter().enumerate().map(|(index, doc)| {
        let at = at.element(index);
        let part = part(c, &at, stated!(doc), &mut ids, "spring");
        let free_length = optional(c, &at.member("free_length"), doc.free_length, Range::Positive);
        let solid_height = optional(c, &at.member("solid_height"), doc.solid_height, Range::Positive);
        let loads = loads(c, &at.member("loads"), &doc.loads);
        let spring = head::SpareSpring { part, free_length, loads, solid_height };
        if let Some(detail) = contradiction(&spring) {
            c.fault(&at, detail, None);
        }
        spring
    });
    springs.collect()
}

/// Heights of one spring that cannot all be right.
fn contradiction(spring: &head::SpareSpring) -> Option<&'static str> {
    let [solid, free] = [spring.solid_height, spring.free_length];
    if solid.zip(free).is_some_and(|(solid, free)| solid >= free) {
        return Some("needs a solid_height that is less than its free_length");
    }
    let outside =
        |height: Length| solid.is_some_and(|solid| height < solid) || free.is_some_and(|free| height > free);
    let is_outside = spring.loads.iter().any(|(height, _)| outside(*height));
    is_outside.then_some("needs loads at heights between its solid_height and its free_length")
}

/// Loads at heights: the lower a spring is pressed, the more it carries.
fn loads(c: &mut Conversion<'_>, at: &At<'_>, docs: &[SpringLoad]) -> Vec<(Length, Force)> {
    let loads = c.bounded(at, docs, 1..=MOST_LOADS).iter().enumerate().filter_map(|(index, doc)| {
        let at = at.element(index);
        let height = c.quantity(&at.member("height"), doc.height, Range::Positive);
        let load = c.quantity(&at.member("load"), doc.load, Range::NonNegative);
        height.zip(load)
    });
    let loads: Vec<(Length, Force)> = loads.collect();
    let mut by_height = loads.clone();
    by_height.sort_by_key(|(height, _)| *height);
    if by_height.windows(2).any(|pair| pair[0].0 == pair[1].0) {
        c.fault(at, "has two loads at one height", None);
    } else if by_height.windows(2).any(|pair| pair[0].1 <= pair[1].1) {
        c.fault(at, "needs a greater load at a lower height", None);
    }
    loads
}
