//! What dial readings once round a seat or a face show.

use headproof_head::{Dial, DialDirection, MissingCause, Place, Port};
use headproof_metrology::{self as metrology, Harmonics, MetrologyError, SeriesSum, Turn};
use headproof_quantity::{Kind, Length, LengthDim};

use crate::budget::{Budget, nth};
use crate::candidate::{Candidate, Candidates};
use crate::characteristic::{Characteristic, Derived, PortSum};
use crate::context::{Context, KnownAngle, not_computable};

pub(super) const HARMONICS: &str =
    "numpy.linalg.lstsq and numpy.fft on random turns, equal and unequal angles";

/// The rows that seat and face have alike; each is asked for with its own names and readings.
pub(super) const fn runout_row(id: &'static str, title: &'static str, sum: PortSum) -> Characteristic {
    Characteristic::of_port(id, title, Kind::Length, sum).worked_out(
        "the greater of max − min and twice the fitted eccentricity, square to the face of the cone",
        "plane geometry; first harmonic by least squares",
        "pure eccentricity in closed form; numpy.linalg.lstsq",
    )
}

pub(super) const fn eccentricity_row(id: &'static str, title: &'static str, sum: PortSum) -> Characteristic {
    Characteristic::of_port(id, title, Kind::Length, sum)
        .worked_out(
            "amplitude of the first harmonic of the dial readings, square to the face of the cone; its \
             direction beside it",
            "least squares",
            HARMONICS,
        )
        .on_request()
}

pub(super) const fn ovality_row(id: &'static str, title: &'static str, sum: PortSum) -> Characteristic {
    Characteristic::of_port(id, title, Kind::Length, sum)
        .worked_out(
            "peak to peak of the second harmonic of the dial readings, square to the face of the cone",
            "least squares",
            HARMONICS,
        )
        .on_request()
}

pub(super) const fn minimum_zone_row(id: &'static str, title: &'static str, sum: PortSum) -> Characteristic {
    Characteristic::of_port(id, title, Kind::Length, sum)
        .worked_out(
            "least distance between two concentric circles that hold all dial readings",
            "ISO 12181-1, MZCI (from memory)",
            "scipy.optimize.linprog on random turns",
        )
        .on_request()
}

/// What is taken from a turn, and where it was found.
type Pick = fn(&Turn<'_>) -> Result<Found, MetrologyError>;
type Found = (Place, SeriesSum<LengthDim>);

pub(super) fn of_seat(context: &Context<'_>, port: &Port, pick: Pick, out: &mut Candidates) -> Derived {
    let dial = port.seat.runout.as_ref().ok_or(MissingCause::Absent("absent-seat-runout-readings"))?;
    square_to_the_face(context, dial, || context.seat_angle(port), pick, out)
}

pub(super) fn of_face(context: &Context<'_>, port: &Port, pick: Pick, out: &mut Candidates) -> Derived {
    let dial = port.valve.face_runout.as_ref().ok_or(MissingCause::Absent("absent-face-runout-readings"))?;
    square_to_the_face(context, dial, || context.face_angle(port), pick, out)
}

pub(super) fn runout(turn: &Turn<'_>) -> Result<Found, MetrologyError> {
    Ok((Place::Whole, turn.runout()))
}

pub(super) fn eccentricity(turn: &Turn<'_>) -> Result<Found, MetrologyError> {
    let harmonics = turn.harmonics();
    Ok((toward(&harmonics).map_or(Place::Whole, Place::Toward), harmonics.eccentricity))
}

/// The direction of the first harmonic in tenths of a degree, 0 to 3599.
fn toward(harmonics: &Harmonics) -> Option<i16> {
    let degrees = harmonics.direction.as_ref()?.value.get();
    let turned = if degrees < 0.0 { degrees + 360.0 } else { degrees };
    #[expect(clippy::cast_possible_truncation, reason = "a direction is at most 360°")]
    Some((turned * 10.0).round() as i16 % 3600)
}

/// The side that stands highest once round a seat or a face: the direction of its eccentricity in tenths of a
/// degree, 0 to 3599, as `seat-eccentricity` and `face-eccentricity` state it. None where the readings tell
/// no direction.
#[must_use]
pub fn high_side(dial: &Dial) -> Option<i16> {
    once_round(dial, |turn| Ok(toward(&turn.harmonics()))).ok().flatten()
}

/// What dial readings show when they are taken as a turn.
fn once_round<T>(
    dial: &Dial,
    pick: impl FnOnce(&Turn<'_>) -> Result<T, MetrologyError>,
) -> Result<T, MetrologyError> {
    let values: Vec<Length> = dial.readings.iter().map(|reading| reading.value()).collect();
    match &dial.angles {
        None => pick(&Turn::equal(&values)?),
        Some(angles) => pick(&Turn::at(&values, angles)?),
    }
}

/// The ovality, where there are enough readings at angles that tell it.
fn told(
    turn: &Turn<'_>,
    needed: usize,
    ovality: Option<SeriesSum<LengthDim>>,
) -> Result<Found, MetrologyError> {
    let given = turn.len();
    if given < needed {
        return Err(MetrologyError::NotEnough { needed, given });
    }
    Ok((Place::Whole, ovality.ok_or(MetrologyError::AnglesTooClose)?))
}

pub(super) fn ovality(turn: &Turn<'_>) -> Result<Found, MetrologyError> {
    told(turn, 5, turn.harmonics().ovality)
}

/// Five readings are met by mean and two harmonics whatever they are, and a sixth leaves next to nothing.
const LEAST_FOR_REMAINDER: usize = 7;

pub(super) fn remainder(turn: &Turn<'_>) -> Result<Found, MetrologyError> {
    let harmonics = turn.harmonics();
    told(turn, LEAST_FOR_REMAINDER, harmonics.ovality.is_some().then_some(harmonics.remainder))
}

pub(super) fn roundness_least_squares(turn: &Turn<'_>) -> Result<Found, MetrologyError> {
    Ok((Place::Whole, turn.roundness_least_squares()))
}

pub(super) fn roundness_minimum_zone(turn: &Turn<'_>) -> Result<Found, MetrologyError> {
    Ok((Place::Whole, turn.roundness_minimum_zone()?))
}

/// A value of the turn, made square to the face it was read on.
fn square_to_the_face<'p>(
    context: &Context<'_>,
    dial: &Dial,
    angle: impl FnOnce() -> Result<KnownAngle<'p>, MissingCause>,
    pick: Pick,
    out: &mut Candidates,
) -> Derived {
    let (place, sum) = once_round(dial, pick).map_err(not_computable)?;
    let mut budget = Budget::new(context);
    let factor = match direction(dial.direction) {
        metrology::DialDirection::Square => 1.0,
        direction => {
            let angle = angle()?;
            let factor = direction.factor(angle.angle()).map_err(not_computable)?;
            budget.angle("angle of the cone", sum.value.get() * factor.sensitivity[0], &angle);
            factor.value.get()
        }
    };
    for (index, sensitivity) in sum.sensitivity {
        budget.reading(nth("dial reading", index), sensitivity * factor, &dial.readings[index]);
    }
    out.push(Candidate::computed(place, sum.value.get() * factor, budget));
    Ok(())
}

const fn direction(direction: DialDirection) -> metrology::DialDirection {
    match direction {
        DialDirection::Square => metrology::DialDirection::Square,
        DialDirection::Radial => metrology::DialDirection::Radial,
        DialDirection::Axial => metrology::DialDirection::Axial,
    }
}
