//! The contact between seat and face: where the band lies, how wide it is, which edge touches first.

use headproof_head::{ContactMark, Edge, MissingCause, Place, Port, Reading};
use headproof_metrology::{self as metrology, Bound, ContactEdge};
use headproof_quantity::{Angle, Exact, Kind, Length, LengthDim};

use super::direct;
use crate::budget::{Budget, nth};
use crate::candidate::{Candidate, Candidates};
use crate::characteristic::{Characteristic, Derived};
use crate::context::{Context, KnownAngle, need, not_computable};

pub(super) static ROWS: &[Characteristic] = &[
    Characteristic::of_port("overhang", "Overhang", Kind::Length, overhang)
        .worked_out(
            "as read at each clock position, else (Dv − Do) / (2 cos θv) with contact at the seat's outer \
             edge",
            "plane geometry",
            "a cone built point by point in numpy",
        )
        .least_tells(),
    Characteristic::of_port("contact-width", "Contact band width", Kind::Length, width),
    Characteristic::of_port("contact-width-uniformity", "Contact band uniformity", Kind::Length, uniformity)
        .worked_out(
            "greatest − least width of the contact band over the clock positions",
            "definition",
            "numpy.ptp",
        )
        .on_request(),
    Characteristic::of_port("contact-offset", "Contact band off centre", Kind::Length, offset)
        .worked_out(
            "distance of the band's middle from the face's outer edge − half the face, + towards the \
             stem; at each clock position, else from the diameters of seat and face",
            "plane geometry; that it should be near nothing is common practice, no source",
            "numpy on random contacts",
        )
        .on_request()
        .size_tells(),
    Characteristic::of_port("inner-edge-clearance", "Inner-edge clearance", Kind::Length, inner_edge)
        .worked_out(
            "(Dv − Di) / (2 cos θv) − distance from the outer edge − width of the band, at each clock \
             position; else (seat Di − face Di) / (2 cos θv)",
            "plane geometry",
            "numpy on random contacts; a published least clearance of a US Army manual",
        )
        .on_request()
        .least_tells(),
    Characteristic::of_port("contact-gap", "Gaps in the contact band", Kind::Angle, gaps).worked_out(
        "sum of the arcs without contact",
        "definition",
        "exact decimal arithmetic in Python",
    ),
    Characteristic::of_port("interference-angle", "Interference angle", Kind::Angle, interference)
        .worked_out(
            "seat angle − face angle, both measured",
            "definition",
            "exact decimal arithmetic in Python; a published pair of angles of a US Army manual",
        ),
    Characteristic::of_port("contact-edge-gap", "Gap at the free edge", Kind::Length, edge_gap)
        .worked_out(
            "w · sin |seat angle − face angle|, square to the face; w = common length along the seat; the \
             edge that touches first beside it",
            "plane geometry",
            "two lines laid on each other in numpy",
        )
        .on_request(),
];

/// A place for each clock position.
fn clock(index: usize, marks: &[ContactMark]) -> Place {
    direct::around(direct::number(index + 1), direct::number(marks.len()))
}

fn overhang(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let marks = &port.contact.marks;
    if !marks.is_empty() {
        let read =
            |(index, mark): (usize, &ContactMark)| Candidate::read(clock(index, marks), &mark.from_edge);
        out.extend(marks.iter().enumerate().map(read));
        return Ok(());
    }
    let missing = "absent-band-or-outer-diameters";
    let face = need(&port.valve.head_diameter, missing)?;
    let contact = need(&port.seat.outer_diameter, missing)?;
    let angle = context.face_angle(port)?;
    let sum = metrology::overhang_from_diameters(face.value(), contact.value(), angle.angle())
        .map_err(not_computable)?;
    let mut budget = Budget::new(context);
    budget.reading("valve head diameter", sum.sensitivity[0], face);
    budget.reading("seat outer diameter", sum.sensitivity[1], contact);
    budget.angle("face angle", sum.sensitivity[2], &angle);
    out.push(Candidate::computed(Place::Whole, sum.value.get(), budget));
    Ok(())
}

const EVERY_WIDTH: &str = "absent-contact-width-everywhere";

fn width(_: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let marks = &port.contact.marks;
    let read = |(index, mark): (usize, &ContactMark)| {
        Some(Candidate::read(clock(index, marks), mark.width.as_ref()?))
    };
    out.extend(marks.iter().enumerate().filter_map(read));
    if marks.is_empty() || out.len() < marks.len() {
        return Err(MissingCause::Absent(EVERY_WIDTH));
    }
    Ok(())
}

fn uniformity(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let readings: Vec<_> = port.contact.marks.iter().filter_map(|mark| mark.width.as_ref()).collect();
    if readings.is_empty() || readings.len() < port.contact.marks.len() {
        return Err(MissingCause::Absent(EVERY_WIDTH));
    }
    direct::spread(context, "contact width", &readings, out)
}

/// A sum of face outer and inner diameter, face angle, and the band's distance and width.
type BandSum = fn(
    Length,
    Length,
    Angle,
    Length,
    Length,
) -> Result<metrology::Sum<LengthDim, 5>, metrology::MetrologyError>;

/// The face that a contact band lies on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FaceBand<'p> {
    outer: &'p Reading<LengthDim>,
    inner: &'p Reading<LengthDim>,
    angle: KnownAngle<'p>,
}

impl<'p> FaceBand<'p> {
    pub(crate) fn of(context: &Context<'_>, port: &'p Port) -> Result<Self, MissingCause> {
        Ok(Self {
            outer: need(&port.valve.head_diameter, "absent-valve-head-diameter")?,
            inner: need(&port.valve.face_inner_diameter, "absent-face-inner-diameter")?,
            angle: context.face_angle(port)?,
        })
    }

    /// The sum at the `index`-th clock position, and what its uncertainty is made of; nothing without the
    /// band's width there.
    pub(crate) fn at<'a>(
        &self,
        context: &Context<'a>,
        (index, mark): (usize, &ContactMark),
        sum: BandSum,
    ) -> Option<Result<(f64, Budget<'a>), MissingCause>> {
        let Self { outer, inner, angle } = self;
        let (from_edge, width) = (&mark.from_edge, mark.width.as_ref()?);
        let sum = sum(outer.value(), inner.value(), angle.angle(), from_edge.value(), width.value());
        Some(sum.map_err(not_computable).map(|sum| {
            let mut budget = Budget::new(context);
            budget.reading("valve head diameter", sum.sensitivity[0], outer);
            budget.reading("face inner diameter", sum.sensitivity[1], inner);
            budget.angle("face angle", sum.sensitivity[2], angle);
            budget.reading(nth("contact from the edge", index), sum.sensitivity[3], from_edge);
            budget.reading(nth("contact width", index), sum.sensitivity[4], width);
            (sum.value.get(), budget)
        }))
    }
}

/// The same sum at every clock position.
fn at_each_mark(context: &Context<'_>, port: &Port, sum: BandSum, out: &mut Candidates) -> Derived {
    let face = FaceBand::of(context, port)?;
    let marks = &port.contact.marks;
    for (index, mark) in marks.iter().enumerate() {
        if let Some(found) = face.at(context, (index, mark), sum) {
            let (value, budget) = found?;
            out.push(Candidate::computed(clock(index, marks), value, budget));
        }
    }
    if out.len() < marks.len() { Err(MissingCause::Absent(EVERY_WIDTH)) } else { Ok(()) }
}

fn offset(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    if !port.contact.marks.is_empty() {
        return at_each_mark(context, port, metrology::band_offset, out);
    }
    let face_outer = need(&port.valve.head_diameter, "absent-valve-head-diameter")?;
    let face_inner = need(&port.valve.face_inner_diameter, "absent-face-inner-diameter")?;
    let seat_outer = need(&port.seat.outer_diameter, "absent-band-or-seat-outer-diameter")?;
    let seat_inner = need(&port.seat.inner_diameter, "absent-band-or-seat-inner-diameter")?;
    let angle = context.face_angle(port)?;
    let sum = metrology::band_offset_from_diameters(
        face_outer.value(),
        face_inner.value(),
        seat_outer.value(),
        seat_inner.value(),
        angle.angle(),
    )
    .map_err(not_computable)?;
    let mut budget = Budget::new(context);
    budget.reading("valve head diameter", sum.sensitivity[0], face_outer);
    budget.reading("face inner diameter", sum.sensitivity[1], face_inner);
    budget.reading("seat outer diameter", sum.sensitivity[2], seat_outer);
    budget.reading("seat inner diameter", sum.sensitivity[3], seat_inner);
    budget.angle("face angle", sum.sensitivity[4], &angle);
    out.push(Candidate::computed(Place::Whole, sum.value.get(), budget));
    Ok(())
}

fn inner_edge(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    if !port.contact.marks.is_empty() {
        return at_each_mark(context, port, metrology::inner_edge_clearance, out);
    }
    let face = need(&port.valve.face_inner_diameter, "absent-face-inner-diameter")?;
    let seat = need(&port.seat.inner_diameter, "absent-band-or-seat-inner-diameter")?;
    let angle = context.face_angle(port)?;
    let sum = metrology::inner_edge_clearance_from_diameters(seat.value(), face.value(), angle.angle())
        .map_err(not_computable)?;
    let mut budget = Budget::new(context);
    budget.reading("seat inner diameter", sum.sensitivity[0], seat);
    budget.reading("face inner diameter", sum.sensitivity[1], face);
    budget.angle("face angle", sum.sensitivity[2], &angle);
    out.push(Candidate::computed(Place::Whole, sum.value.get(), budget));
    Ok(())
}

/// All arcs without contact together.
fn gaps(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let gaps = port.contact.gaps.as_ref().ok_or(MissingCause::Absent("absent-contact-gaps"))?;
    let mut budget = Budget::new(context);
    let mut total = Exact::ZERO;
    for (index, gap) in gaps.iter().enumerate() {
        total = total + gap.value().exact();
        budget.reading(nth("gap", index), 1.0, gap);
    }
    out.push(Candidate::exact(Place::Whole, total, budget));
    Ok(())
}

const BOTH_ANGLES: &str = "absent-both-angles";

fn interference(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let (seat, face) =
        (need(&port.seat.seat_angle, BOTH_ANGLES)?, need(&port.valve.face_angle, BOTH_ANGLES)?);
    let sum = metrology::interference_angle(seat.value(), face.value());
    let mut budget = Budget::new(context);
    budget.reading("seat angle", sum.sensitivity[0], seat);
    budget.reading("face angle", sum.sensitivity[1], face);
    out.push(Candidate::computed(Place::Whole, sum.value.get(), budget));
    Ok(())
}

fn edge_gap(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let (seat, valve) = (&port.seat, &port.valve);
    let (seat_angle, face_angle) =
        (need(&seat.seat_angle, BOTH_ANGLES)?, need(&valve.face_angle, BOTH_ANGLES)?);
    let outer = need(&seat.outer_diameter, "absent-seat-outer-diameter")?;
    let inner = need(&seat.inner_diameter, "absent-seat-inner-diameter")?;
    let (face_outer, face_inner) = (valve.head_diameter.as_ref(), valve.face_inner_diameter.as_ref());
    let line = metrology::contact_line(
        seat_angle.value(),
        face_angle.value(),
        outer.value(),
        inner.value(),
        face_outer.map(|reading| reading.value()),
        face_inner.map(|reading| reading.value()),
    )
    .map_err(not_computable)?;
    let bounding = |bound, of_the_seat, of_the_face: Option<_>| match bound {
        Bound::Seat => of_the_seat,
        Bound::Face => of_the_face.unwrap_or(of_the_seat),
    };
    let sum = line.gap_square_to_face;
    let mut budget = Budget::new(context);
    budget.reading("seat angle", sum.sensitivity[0], seat_angle);
    budget.reading("face angle", sum.sensitivity[1], face_angle);
    budget.reading("outer diameter", sum.sensitivity[2], bounding(line.outer, outer, face_outer));
    budget.reading("inner diameter", sum.sensitivity[3], bounding(line.inner, inner, face_inner));
    let edge = match line.edge {
        ContactEdge::SeatOuter => Edge::SeatOuter,
        ContactEdge::SeatInner => Edge::SeatInner,
        ContactEdge::FaceOuter => Edge::FaceOuter,
        ContactEdge::FaceInner => Edge::FaceInner,
        ContactEdge::Everywhere => Edge::Everywhere,
    };
    out.push(Candidate::computed(Place::Touching(edge), sum.value.get(), budget));
    Ok(())
}
