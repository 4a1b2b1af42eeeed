//! The seat: angles, width, uniformity, runout.

use headproof_head::{MissingCause, Place, Port};
use headproof_metrology as metrology;
use headproof_quantity::{Exact, Kind};

use super::direct::{self, direct};
use super::turn;
use crate::budget::Budget;
use crate::candidate::{Candidate, Candidates};
use crate::characteristic::{Characteristic, Derived};
use crate::context::{Context, need, not_computable};

pub(super) static ROWS: &[Characteristic] = &[
    direct!("seat-angle", "Seat angle", Angle, |port| port.seat.seat_angle, "absent-seat-angle"),
    direct!("top-cut-angle", "Top cut angle", Angle, |port| port.seat.top_angle, "absent-top-cut-angle"),
    direct!(
        "throat-cut-angle",
        "Throat cut angle",
        Angle,
        |port| port.seat.throat_angle,
        "absent-throat-cut-angle"
    ),
    direct!(
        "seat-inner-diameter",
        "Seat inner diameter",
        Length,
        |port| port.seat.inner_diameter,
        "absent-seat-inner-diameter"
    )
    .on_request(),
    direct!(
        "seat-outer-diameter",
        "Seat outer diameter",
        Length,
        |port| port.seat.outer_diameter,
        "absent-seat-outer-diameter"
    )
    .on_request(),
    Characteristic::of_port("seat-width", "Seat width", Kind::Length, width).worked_out(
        "as read at each clock position, else w = (Do − Di) / (2 cos θ)",
        "plane geometry",
        "a cone built point by point in numpy; published seat widths and angles of US Army manuals",
    ),
    Characteristic::of_port("seat-width-uniformity", "Seat width uniformity", Kind::Length, uniformity)
        .worked_out("greatest − least width over the clock positions", "definition", "numpy.ptp"),
    turn::runout_row("seat-runout", "Seat runout (TIR)", |context, port, out| {
        turn::of_seat(context, port, turn::runout, out)
    }),
    turn::eccentricity_row("seat-eccentricity", "Seat eccentricity", |context, port, out| {
        turn::of_seat(context, port, turn::eccentricity, out)
    }),
    turn::ovality_row("seat-ovality", "Seat ovality", |context, port, out| {
        turn::of_seat(context, port, turn::ovality, out)
    }),
    Characteristic::of_port("seat-chatter", "Seat runout, remainder", Kind::Length, |context, port, out| {
        turn::of_seat(context, port, turn::remainder, out)
    })
    .worked_out(
        "greatest − least of what is left of the dial readings after the first two harmonics",
        "least squares",
        turn::HARMONICS,
    )
    .on_request(),
    Characteristic::of_port(
        "seat-roundness-least-squares",
        "Seat roundness, LS",
        Kind::Length,
        |context, port, out| turn::of_seat(context, port, turn::roundness_least_squares, out),
    )
    .worked_out(
        "greatest − least distance from the least-squares circle of the dial readings",
        "ISO 12181-1, LSCI (from memory)",
        "numpy.linalg.lstsq on random turns",
    )
    .on_request(),
    turn::minimum_zone_row(
        "seat-roundness-minimum-zone",
        "Seat roundness, min. zone",
        |context, port, out| turn::of_seat(context, port, turn::roundness_minimum_zone, out),
    ),
    direct!(
        "throat-diameter",
        "Throat diameter",
        Length,
        |port| port.seat.throat_diameter,
        "absent-throat-diameter"
    ),
    Characteristic::of_port("pit-depth", "Pit depth in the band", Kind::Length, pit_depth),
];

fn pit_depth(_: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let pit = port.seat.pit.as_ref().ok_or(MissingCause::Absent("absent-deepest-pit"))?;
    if pit.inside_band {
        return direct::one(Some(&pit.depth), "absent-deepest-pit", out);
    }
    // A pit outside the final band does not count.
    out.push(Candidate::known(Place::Whole, Exact::ZERO));
    Ok(())
}

fn width(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let seat = &port.seat;
    if !seat.widths.is_empty() {
        return direct::each(&seat.widths, direct::around, "absent-seat-widths", out);
    }
    let missing = "absent-seat-widths-or-diameters";
    let (outer, inner) = (need(&seat.outer_diameter, missing)?, need(&seat.inner_diameter, missing)?);
    let angle = context.seat_angle(port)?;
    let sum = metrology::width_from_diameters(outer.value(), inner.value(), angle.angle())
        .map_err(not_computable)?;
    let mut budget = Budget::new(context);
    budget.reading("seat outer diameter", sum.sensitivity[0], outer);
    budget.reading("seat inner diameter", sum.sensitivity[1], inner);
    budget.angle("seat angle", sum.sensitivity[2], &angle);
    out.push(Candidate::computed(Place::Whole, sum.value.get(), budget));
    Ok(())
}

fn uniformity(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let widths = &port.seat.widths;
    if widths.is_empty() {
        return Err(MissingCause::Absent("absent-several-seat-widths"));
    }
    direct::spread(context, "seat width", &widths.iter().collect::<Vec<_>>(), out)
}
