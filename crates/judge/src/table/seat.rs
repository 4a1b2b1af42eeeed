//! The seat: angles, width, uniformity, runout, insert.

use headproof_head::{CharacteristicId, Dial, DialDirection, MissingCause, Place, Port};
use headproof_metrology as metrology;
use headproof_quantity::{Exact, Kind, Length};

use super::direct::{self, direct, state};
use crate::budget::Budget;
use crate::characteristic::{Candidate, Candidates, Characteristic, Derive, Derived, Measure};
use crate::context::{Context, KnownAngle, not_computable};

pub(super) static ROWS: &[Characteristic] = &[
    direct!("seat-angle", "Seat angle", Angle, |port| port.seat.seat_angle, "seat angle"),
    direct!("top-cut-angle", "Top cut angle", Angle, |port| port.seat.top_angle, "top cut angle"),
    direct!("throat-cut-angle", "Throat cut angle", Angle, |port| port.seat.throat_angle, "throat cut angle"),
    Characteristic {
        id: CharacteristicId::new("seat-width"),
        title: "Seat width",
        formula: "as read at each clock position, else w = (Do − Di) / (2 cos θ)",
        source: "plane geometry",
        uncertainty: direct::FIRST_ORDER,
        measure: Measure::Amount(Kind::Length),
        derive: Derive::Port(width),
    },
    Characteristic {
        id: CharacteristicId::new("seat-width-uniformity"),
        title: "Seat width uniformity",
        formula: "greatest − least width over the clock positions",
        source: "definition",
        uncertainty: direct::FIRST_ORDER,
        measure: Measure::Amount(Kind::Length),
        derive: Derive::Port(uniformity),
    },
    Characteristic {
        id: CharacteristicId::new("seat-runout"),
        title: "Seat runout (TIR)",
        formula: "the greater of max − min and twice the fitted eccentricity, square to the seat",
        source: "plane geometry; first harmonic by least squares",
        uncertainty: direct::FIRST_ORDER,
        measure: Measure::Amount(Kind::Length),
        derive: Derive::Port(|context, port, out| {
            dial_runout(port.seat.runout.as_ref(), context.seat_angle(port), "seat runout readings", out)
        }),
    },
    direct!(
        "throat-diameter",
        "Throat diameter",
        Length,
        |port| port.seat.throat_diameter,
        "throat diameter"
    ),
    Characteristic {
        id: CharacteristicId::new("pit-depth"),
        title: "Pit depth in the band",
        formula: "as read; none where the deepest pit lies outside the final band",
        source: direct::DEFINITION,
        uncertainty: direct::OF_THE_READING,
        measure: Measure::Amount(Kind::Length),
        derive: Derive::Port(pit_depth),
    },
    state!("insert-fit", "Insert tight", PortState, |port| port
        .seat
        .insert
        .as_ref()
        .and_then(|insert| insert.state())
        .map(direct::good)),
    Characteristic {
        id: CharacteristicId::new("insert-wall"),
        title: "Wall left behind the insert",
        formula: direct::READ_DIRECTLY,
        source: direct::DEFINITION,
        uncertainty: direct::OF_THE_READING,
        measure: Measure::Amount(Kind::Length),
        derive: Derive::Port(|_, port, out| {
            let wall = port.seat.insert.as_ref().and_then(|insert| insert.wall_left.as_ref());
            direct::one(wall, "wall left behind the insert", out)
        }),
    },
];

fn pit_depth(_: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let pit = port.seat.pit.as_ref().ok_or(MissingCause::Absent("deepest pit"))?;
    if pit.inside_band {
        return direct::one(Some(&pit.depth), "deepest pit", out);
    }
    out.push(Candidate::exact(Place::Whole, Exact::ZERO, Some(0.0)));
    Ok(())
}

fn width(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let seat = &port.seat;
    if !seat.widths.is_empty() {
        return direct::each(&seat.widths, direct::around, "seat widths", out);
    }
    let (Some(outer), Some(inner)) = (&seat.outer_diameter, &seat.inner_diameter) else {
        return Err(MissingCause::Absent("seat widths, or inner and outer diameter"));
    };
    let angle = context.seat_angle(port).ok_or(MissingCause::Absent("seat angle"))?;
    let sum =
        metrology::width_from_diameters(outer.value(), inner.value(), angle.angle).map_err(not_computable)?;
    let mut budget = Budget::new();
    budget.reading(sum.sensitivity[0], outer);
    budget.reading(sum.sensitivity[1], inner);
    budget.add(sum.sensitivity[2], angle.uncertainty);
    out.push(Candidate::computed(Place::Whole, sum.value.get(), budget.total()));
    Ok(())
}

fn uniformity(_: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let widths = &port.seat.widths;
    if widths.is_empty() {
        return Err(MissingCause::Absent("seat widths at several clock positions"));
    }
    let values: Vec<Length> = widths.iter().map(|width| width.value()).collect();
    let sum = metrology::spread(&values).map_err(not_computable)?;
    let mut budget = Budget::new();
    for (index, sensitivity) in sum.sensitivity {
        budget.reading(sensitivity, &widths[index]);
    }
    out.push(Candidate::computed(Place::Whole, sum.value.get(), budget.total()));
    Ok(())
}

/// Runout square to a face, from a dial that stood square, radial or axial.
pub(super) fn dial_runout(
    dial: Option<&Dial>,
    angle: Option<KnownAngle>,
    what: &'static str,
    out: &mut Candidates,
) -> Derived {
    let dial = dial.ok_or(MissingCause::Absent(what))?;
    let values: Vec<Length> = dial.readings.iter().map(|reading| reading.value()).collect();
    let sum = metrology::runout(&values).map_err(not_computable)?;
    let direction = match dial.direction {
        DialDirection::Square => metrology::DialDirection::Square,
        DialDirection::Radial => metrology::DialDirection::Radial,
        DialDirection::Axial => metrology::DialDirection::Axial,
    };
    let mut budget = Budget::new();
    let factor = if direction == metrology::DialDirection::Square {
        1.0
    } else {
        let angle =
            angle.ok_or(MissingCause::Absent("angle of the face the dial did not stand square to"))?;
        let factor = direction.factor(angle.angle).map_err(not_computable)?;
        budget.add(sum.value.get() * factor.sensitivity[0], angle.uncertainty);
        factor.value.get()
    };
    for (index, sensitivity) in sum.sensitivity {
        budget.reading(sensitivity * factor, &dial.readings[index]);
    }
    out.push(Candidate::computed(Place::Whole, sum.value.get() * factor, budget.total()));
    Ok(())
}
