//! A seat in section through the valve axis: three cones as straight lines, before and after the work.
//!
//! Height is counted from the outer edge of the finished seat. A feed lowers the line of its cutter.
//!
//! Source: plane geometry.

#[cfg(test)]
mod tests;

use headproof_wire::{PortPlan, SeatWork};

use super::Part;
use crate::drawing::{Angles, Cone, Known, Point, Posted, Profile, Sizes, USUAL_STEP, tangent};

/// A seat in section.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Section {
    /// Once the work is done.
    pub(super) after: Profile,
    /// As it is, where that is known and the metal is the same.
    pub(super) before: Option<Profile>,
    /// Is the seat itself cut?
    pub(super) seat_is_cut: bool,
    /// Angle of the seat, where the plan states it.
    pub(super) seat_degrees: Option<f64>,
    /// The flatter cone on the chamber side.
    pub(super) top: Cone,
    /// The steeper cone on the port side.
    pub(super) throat: Cone,
    /// The sizes aimed at, each with how far it may be off: outer diameter, inner diameter, width.
    pub(super) sizes: [(f64, f64); 3],
}

impl Section {
    /// Of the work on one port; none when its sizes make no seat.
    pub(super) fn of(part: &Part<'_>, port: &PortPlan, work: &SeatWork) -> Option<Self> {
        let posted = Posted::of(part.input, (port.cylinder, port.service, port.index));
        // None unless enough was measured to draw a seat from it.
        let sizes = Some(posted.sizes()).filter(|sizes| sizes.known() >= 2);
        let new_insert = port.new_parts.iter().any(|new| new.part == "insert");
        Self::new(work, &posted.angles(), sizes, new_insert)
    }

    fn new(work: &SeatWork, old: &Angles, sizes: Option<Sizes>, new_insert: bool) -> Option<Self> {
        let (outer, inner) = (work.outer_diameter.size / 2.0, work.inner_diameter.size / 2.0);
        let cosine = (outer - inner) / work.width.size;
        if !(inner > 0.0 && outer > inner && cosine.is_finite() && cosine <= 1.0) {
            return None;
        }
        let cuts = Cuts::of(work);
        // A size stated with few decimals says less of the angle than the cutter does.
        let seat_slope = cuts.seat_degrees.map_or_else(|| (1.0 - cosine * cosine).sqrt() / cosine, tangent);
        let seat_degrees = cuts.seat_degrees.unwrap_or_else(|| libm::atan(seat_slope).to_degrees());
        let top = cone(cuts.top, cuts.form, old.top, (seat_degrees - USUAL_STEP).max(0.0));
        let throat = cone(cuts.throat, cuts.form, old.throat, (seat_degrees + USUAL_STEP).min(85.0));
        let in_order = 0.0 <= top.degrees
            && top.degrees < seat_degrees
            && seat_degrees < throat.degrees
            && throat.degrees < 90.0;
        if !in_order {
            return None;
        }
        let after = Profile {
            inner: Point { radius: inner, height: (inner - outer) * seat_slope },
            outer: Point { radius: outer, height: 0.0 },
            throat: tangent(throat.degrees),
            top: tangent(top.degrees),
        };
        let before = if new_insert { None } else { before(&after, seat_slope, &cuts, old, sizes) };
        let size = |target: headproof_wire::PlanTarget| (target.size, target.tolerance);
        Some(Self {
            after,
            before,
            seat_is_cut: cuts.seat_degrees.is_some(),
            seat_degrees: cuts.seat_degrees,
            top,
            throat,
            sizes: [size(work.outer_diameter), size(work.inner_diameter), size(work.width)],
        })
    }
}

/// A cone of the finished seat: as it is cut, else as it was.
fn cone(cut: Option<f64>, by_form: bool, old: Option<(f64, Known)>, guess: f64) -> Cone {
    if let Some(degrees) = cut {
        return Cone { degrees, known: Known::Cut };
    }
    let (degrees, known) = old.unwrap_or((guess, Known::Guessed));
    Cone { degrees, known: if by_form { Known::Form } else { known } }
}

/// The seat as it was, hung so that the cutters had the feeds of the plan to go from their first touch.
fn before(
    after: &Profile,
    seat_slope: f64,
    cuts: &Cuts<'_>,
    old: &Angles,
    sizes: Option<Sizes>,
) -> Option<Profile> {
    let feed = cuts.seat_feed?;
    let inner_first = cuts.touches_first == Some("inner-edge");
    let same_angle = cuts.touches_first.is_none();
    let old_slope = match old.seat {
        Some((degrees, _)) if !same_angle => tangent(degrees),
        _ if same_angle => seat_slope,
        _ => return None,
    };
    let (outer, inner) = match sizes {
        Some(sizes) => sizes.radii(old_slope)?,
        None if same_angle => cuts.radii_before(after, seat_slope)?,
        None => return None,
    };
    let on_cutter = |radius: f64| (radius - after.outer.radius) * seat_slope + feed;
    let drop = (outer - inner) * old_slope;
    let outer_height = if inner_first { on_cutter(inner) + drop } else { on_cutter(outer) };
    let slope = |old: Option<(f64, Known)>, cut: f64| old.map_or(cut, |(degrees, _)| tangent(degrees));
    Some(Profile {
        inner: Point { radius: inner, height: outer_height - drop },
        outer: Point { radius: outer, height: outer_height },
        throat: slope(old.throat, after.throat),
        top: slope(old.top, after.top),
    })
}

/// What a plan cuts, as far as a section needs it.
struct Cuts<'a> {
    seat_degrees: Option<f64>,
    top: Option<f64>,
    throat: Option<f64>,
    form: bool,
    /// Feeds from first touch; none where one is not stated.
    seat_feed: Option<f64>,
    top_feed: Option<f64>,
    throat_feed: Option<f64>,
    touches_first: Option<&'a str>,
}

impl<'a> Cuts<'a> {
    fn of(work: &'a SeatWork) -> Self {
        let of = |kinds: &'static [&'static str]| {
            work.cuts.iter().filter(move |cut| kinds.contains(&cut.cut.as_ref()))
        };
        let feed = |kinds| of(kinds).map(|cut| cut.feed).sum::<Option<f64>>();
        let angle = |kinds| of(kinds).map(|cut| cut.angle).next_back();
        const SEAT: &[&str] = &["seat", "form", "light-turns"];
        Self {
            seat_degrees: angle(SEAT),
            top: angle(&["top"]),
            throat: angle(&["throat"]),
            form: of(&["form"]).next().is_some(),
            seat_feed: feed(SEAT),
            top_feed: feed(&["top"]).filter(|_| of(&["top"]).next().is_some()),
            throat_feed: feed(&["throat"]).filter(|_| of(&["throat"]).next().is_some()),
            touches_first: of(SEAT).find_map(|cut| cut.touches_first.as_deref()),
        }
    }

    /// Edges before the work, from the edges after it and the feeds, with cones of the cutters' angles:
    /// `ro' = ro + (a_s − a_t) / (tan θ − tan θt)` and `ri' = ri + (a_b − a_s) / (tan θb − tan θ)`, solved for
    /// `ro` and `ri`. Source: plane geometry.
    fn radii_before(&self, after: &Profile, seat_slope: f64) -> Option<(f64, f64)> {
        let seat = self.seat_feed?;
        let outer = after.outer.radius - (seat - self.top_feed?) / (seat_slope - after.top);
        let inner = after.inner.radius - (self.throat_feed? - seat) / (after.throat - seat_slope);
        (0.0 < inner && inner < outer).then_some((outer, inner))
    }
}
