//! The guide: stem-to-guide clearance, its form and its fit.

use headproof_head::{MissingCause, Place, Port, Position, Reading};
use headproof_metrology as metrology;
use headproof_quantity::{Exact, Kind, Length, LengthDim};

use super::direct;
use crate::budget::Budget;
use crate::candidate::{Candidate, Candidates};
use crate::characteristic::{Characteristic, Derived};
use crate::context::{Context, need, not_computable};

pub(super) static ROWS: &[Characteristic] = &[
    Characteristic::of_port("stem-to-guide-clearance", "Stem-to-guide clearance", Kind::Length, clearance)
        .worked_out(
            "bore − stem at each height and axis, else t / (1 + 2x/L) from rocking travel",
            "definition; plane geometry",
            "published clearances of US Army manuals; a stem rocked in numpy until it touches",
        ),
    Characteristic::of_port("guide-bore", "Guide bore", Kind::Length, bores).on_request(),
    Characteristic::of_port("guide-taper", "Guide taper", Kind::Length, taper)
        .worked_out("greatest − least bore over the heights, on the worst axis", "definition", "numpy.ptp")
        .on_request(),
    Characteristic::of_port("guide-ovality", "Guide ovality", Kind::Length, ovality)
        .worked_out("greatest − least bore over the axes, at the worst height", "definition", "numpy.ptp")
        .on_request(),
    Characteristic::of_port("guide-bell-mouth", "Guide bell-mouth", Kind::Length, bell_mouth)
        .worked_out(
            "bore at an end − bore in the middle, on the same axis, at the worse end; negative where the \
             end is narrower",
            "definition (common practice, no source)",
            "exact decimal arithmetic in Python",
        )
        .on_request()
        .size_tells(),
    Characteristic::of_port("stem-tilt", "Stem tilt in the guide", Kind::Angle, tilt)
        .worked_out(
            "atan(c / L), c = greatest clearance, L = engaged length",
            "plane geometry",
            "numpy.arctan",
        )
        .on_request(),
    Characteristic::state_of_port("guide-fit", "Guide tight in the head", |port| {
        port.guide.fit.map(direct::good)
    }),
];

type LengthReading = Reading<LengthDim>;

/// A height along the guide, with the bores measured there on each axis and the stem there.
type AtHeight<'a> = (Position, &'a [LengthReading], Option<&'a LengthReading>);

/// Bores and stem side by side, height by height.
fn heights(port: &Port) -> [AtHeight<'_>; 3] {
    let (bores, stem) = (&port.guide.bores, &port.valve.stem);
    [
        (Position::Top, bores.top.as_slice(), stem.top.as_ref()),
        (Position::Middle, bores.middle.as_slice(), stem.middle.as_ref()),
        (Position::Bottom, bores.bottom.as_slice(), stem.bottom.as_ref()),
    ]
}

/// Every bore with its height and axis.
fn all_bores(port: &Port) -> impl Iterator<Item = (Position, u8, &LengthReading)> {
    heights(port)
        .into_iter()
        .flat_map(|(position, bores, _)| (1..).zip(bores).map(move |(axis, bore)| (position, axis, bore)))
}

/// A bore with the stem at its height.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pair<'a> {
    pub(crate) position: Position,
    pub(crate) axis: u8,
    bore: &'a LengthReading,
    stem: &'a LengthReading,
}

impl Pair<'_> {
    const fn place(&self) -> Place {
        Place::Along { position: self.position, axis: self.axis }
    }

    pub(crate) fn clearance(&self) -> Exact {
        (self.bore.value() - self.stem.value()).exact()
    }

    /// Both readings, with the value's sensitivity to their clearance.
    pub(crate) fn add(&self, budget: &mut Budget<'_>, sensitivity: f64) {
        budget.reading("guide bore", sensitivity, self.bore);
        budget.reading("stem diameter", -sensitivity, self.stem);
    }
}

/// Every bore with the stem at its height.
pub(crate) fn pairs(port: &Port) -> impl Iterator<Item = Pair<'_>> {
    heights(port).into_iter().flat_map(|(position, bores, stem)| {
        let of = move |(axis, bore)| Some(Pair { position, axis, bore, stem: stem? });
        (1..).zip(bores).filter_map(of)
    })
}

fn clearance(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    for pair in pairs(port) {
        let sum = metrology::clearance(pair.bore.value(), pair.stem.value());
        let mut budget = Budget::new(context);
        pair.add(&mut budget, 1.0);
        out.push(Candidate::computed(pair.place(), sum.value.get(), budget));
    }
    if !out.is_empty() {
        return every_bore_has_its_stem(port);
    }
    let rocked = rocked(port)?;
    let mut budget = Budget::new(context);
    rocked.add(&mut budget, 1.0);
    out.push(Candidate::computed(Place::Whole, rocked.clearance(), budget));
    Ok(())
}

/// A height where the bore was read and the stem was not may be the worst.
fn every_bore_has_its_stem(port: &Port) -> Derived {
    match heights(port).iter().all(|(_, bores, stem)| bores.is_empty() || stem.is_some()) {
        true => Ok(()),
        false => Err(MissingCause::Absent("absent-stem-at-every-bore")),
    }
}

/// A clearance from rocking travel, with what it was worked out of.
pub(crate) struct Rocked<'a> {
    travel: &'a LengthReading,
    distance: &'a LengthReading,
    length: &'a LengthReading,
    sum: metrology::Sum<LengthDim, 3>,
}

impl Rocked<'_> {
    pub(crate) const fn clearance(&self) -> f64 {
        self.sum.value.get()
    }

    /// Its readings, with the value's sensitivity to the clearance.
    pub(crate) fn add(&self, budget: &mut Budget<'_>, sensitivity: f64) {
        let [per_travel, per_distance, per_length] =
            self.sum.sensitivity.map(|partial| sensitivity * partial);
        budget.reading("rocking travel", per_travel, self.travel);
        budget.reading("distance outside the guide", per_distance, self.distance);
        budget.reading("engaged length", per_length, self.length);
    }
}

pub(crate) fn rocked(port: &Port) -> Result<Rocked<'_>, MissingCause> {
    let (Some(rocking), Some(length)) = (&port.guide.rocking, &port.guide.engaged_length) else {
        return Err(MissingCause::Absent("absent-bore-and-stem-or-rocking"));
    };
    let (travel, distance) = (&rocking.travel, &rocking.distance_outside);
    let sum = metrology::clearance_from_rocking(travel.value(), distance.value(), length.value())
        .map_err(not_computable)?;
    Ok(Rocked { travel, distance, length, sum })
}

fn tilt(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let length = need(&port.guide.engaged_length, "absent-engaged-length")?;
    for pair in pairs(port) {
        let sum =
            metrology::tilt(Length::from_exact(pair.clearance()), length.value()).map_err(not_computable)?;
        let mut budget = Budget::new(context);
        pair.add(&mut budget, sum.sensitivity[0]);
        budget.reading("engaged length", sum.sensitivity[1], length);
        out.push(Candidate::computed(pair.place(), sum.value.get(), budget));
    }
    if out.is_empty() {
        return Err(MissingCause::Absent("absent-bore-and-stem"));
    }
    every_bore_has_its_stem(port)
}

fn bores(_: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let place = |position, axis| Place::Along { position, axis };
    out.extend(all_bores(port).map(|(position, axis, bore)| Candidate::read(place(position, axis), bore)));
    if out.is_empty() { Err(MissingCause::Absent("absent-guide-bores")) } else { Ok(()) }
}

/// One bore less another, found where the first is; with the names of both.
fn difference(
    context: &Context<'_>,
    names: [&'static str; 2],
    first: (Position, u8, &LengthReading),
    other: &LengthReading,
) -> Candidate {
    let mut budget = Budget::new(context);
    budget.reading(names[0], 1.0, first.2);
    budget.reading(names[1], -1.0, other);
    let difference = first.2.value() - other.value();
    Candidate::exact(Place::Along { position: first.0, axis: first.1 }, difference.exact(), budget)
}

/// Greatest less least of bores that belong together; nothing of fewer than two.
fn range<'a>(
    context: &Context<'_>,
    bores: impl Iterator<Item = (Position, u8, &'a LengthReading)> + Clone,
) -> Option<Candidate> {
    let value = |bore: &(Position, u8, &LengthReading)| bore.2.value();
    // Of equal bores the last and the first: two, where there are two.
    let (wide, narrow) = (bores.clone().max_by_key(value)?, bores.clone().min_by_key(value)?);
    (bores.count() > 1).then(|| difference(context, ["wider bore", "narrower bore"], wide, narrow.2))
}

fn taper(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let axes = all_bores(port).map(|(_, axis, _)| axis).max().unwrap_or(0);
    for axis in 1..=axes {
        let on_axis = heights(port)
            .map(|(position, bores, _)| bores.get(usize::from(axis) - 1).map(|bore| (position, axis, bore)));
        out.extend(range(context, on_axis.into_iter().flatten()));
    }
    if out.is_empty() { Err(MissingCause::Absent("absent-guide-bores-at-two-heights")) } else { Ok(()) }
}

fn ovality(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    for (position, bores, _) in heights(port) {
        out.extend(range(context, (1..).zip(bores).map(|(axis, bore)| (position, axis, bore))));
    }
    if out.is_empty() { Err(MissingCause::Absent("absent-guide-bores-on-two-axes")) } else { Ok(()) }
}

fn bell_mouth(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let bores = &port.guide.bores;
    for (position, end) in [(Position::Top, &bores.top), (Position::Bottom, &bores.bottom)] {
        for ((axis, end), middle) in (1..).zip(end).zip(&bores.middle) {
            out.push(difference(
                context,
                ["bore at the end", "bore in the middle"],
                (position, axis, end),
                middle,
            ));
        }
    }
    if out.is_empty() {
        return Err(MissingCause::Absent("absent-guide-bores-middle-and-end"));
    }
    Ok(())
}
