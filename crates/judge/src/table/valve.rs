//! The valve: face, margin, stem and tip.

use headproof_head::{MissingCause, Place, Port, Position, Reading};
use headproof_quantity::{Kind, LengthDim};

use super::direct::{self, direct};
use super::turn;
use crate::budget::Budget;
use crate::candidate::{Candidate, Candidates};
use crate::characteristic::{Characteristic, Derived};
use crate::context::Context;

pub(super) static ROWS: &[Characteristic] = &[
    direct!("face-angle", "Face angle", Angle, |port| port.valve.face_angle, "absent-face-angle"),
    turn::runout_row("face-runout", "Face runout (TIR)", |context, port, out| {
        turn::of_face(context, port, turn::runout, out)
    }),
    turn::eccentricity_row("face-eccentricity", "Face eccentricity", |context, port, out| {
        turn::of_face(context, port, turn::eccentricity, out)
    }),
    turn::ovality_row("face-ovality", "Face ovality", |context, port, out| {
        turn::of_face(context, port, turn::ovality, out)
    }),
    turn::minimum_zone_row(
        "face-roundness-minimum-zone",
        "Face roundness, min. zone",
        |context, port, out| turn::of_face(context, port, turn::roundness_minimum_zone, out),
    ),
    direct!("margin", "Margin", Length, |port| port.valve.margin, "absent-margin"),
    direct!(
        "valve-head-diameter",
        "Valve head diameter",
        Length,
        |port| port.valve.head_diameter,
        "absent-valve-head-diameter"
    )
    .on_request(),
    Characteristic::of_port("stem-diameter", "Stem diameter", Kind::Length, stem_diameter)
        .on_request()
        .least_tells(),
    Characteristic::of_port("stem-wear", "Stem wear", Kind::Length, stem_wear)
        .worked_out(
            "unworn − worn diameter, at the worst height; the greatest of the three heights stands in for \
             an unworn place that was not measured",
            "definition (common practice, no source)",
            "exact decimal arithmetic in Python",
        )
        .on_request(),
    direct!("valve-length", "Valve length", Length, |port| port.valve.overall_length, "absent-valve-length"),
    direct!("valve-stretch", "Valve stretch", Length, |port| port.valve.stretch, "absent-valve-stretch"),
    Characteristic::state_of_port("valve-tip", "Valve tip", |port| port.valve.tip.map(direct::good)),
    Characteristic::state_of_port("keeper-groove", "Keeper groove", |port| {
        port.valve.keeper_groove.map(direct::good)
    }),
    Characteristic::state_of_port("valve-neck", "Valve neck", |port| port.valve.neck.map(direct::good)),
];

/// The stem's diameters where it runs in the guide.
fn running(port: &Port) -> impl Iterator<Item = (Position, &Reading<LengthDim>)> {
    let stem = &port.valve.stem;
    let heights =
        [(Position::Top, &stem.top), (Position::Middle, &stem.middle), (Position::Bottom, &stem.bottom)];
    heights.into_iter().filter_map(|(position, reading)| Some((position, reading.as_ref()?)))
}

fn stem_diameter(_: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    out.extend(running(port).map(|(position, reading)| Candidate::read(Place::Level(position), reading)));
    if out.is_empty() { Err(MissingCause::Absent("absent-stem-diameters")) } else { Ok(()) }
}

fn stem_wear(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let greatest = || running(port).map(|(_, reading)| reading).max_by_key(|reading| reading.value());
    let unworn = port.valve.stem.unworn.as_ref().or_else(greatest);
    let unworn = unworn.ok_or(MissingCause::Absent("absent-stem-diameters"))?;
    let worn = running(port).filter(|(_, reading)| !std::ptr::eq(*reading, unworn));
    out.extend(worn.map(|(position, reading)| {
        let mut budget = Budget::new(context);
        budget.reading("unworn stem diameter", 1.0, unworn);
        budget.reading("worn stem diameter", -1.0, reading);
        let wear = unworn.value() - reading.value();
        Candidate::exact(Place::Level(position), wear.exact(), budget)
    }));
    if out.is_empty() {
        return Err(MissingCause::Absent("absent-stem-diameters-to-compare"));
    }
    Ok(())
}
