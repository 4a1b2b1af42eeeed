//! The guide: stem-to-guide clearance and its fit.

use headproof_head::{CharacteristicId, MissingCause, Place, Port, Position, Reading};
use headproof_metrology as metrology;
use headproof_quantity::{Kind, LengthDim};

use super::direct::{self, state};
use crate::budget::Budget;
use crate::characteristic::{Candidate, Candidates, Characteristic, Derive, Derived, Measure};
use crate::context::{Context, not_computable};

pub(super) static ROWS: &[Characteristic] = &[
    Characteristic {
        id: CharacteristicId::new("stem-to-guide-clearance"),
        title: "Stem-to-guide clearance",
        formula: "bore − stem at each height and axis, else t / (1 + 2x/L) from rocking travel",
        source: "definition; plane geometry",
        uncertainty: direct::FIRST_ORDER,
        measure: Measure::Amount(Kind::Length),
        derive: Derive::Port(clearance),
    },
    state!("guide-fit", "Guide tight in the head", PortState, |port| port.guide.fit.map(direct::good)),
];

/// A height along the guide, with the bores measured there on each axis and the stem there.
type AtHeight<'a> = (Position, &'a [Reading<LengthDim>], Option<&'a Reading<LengthDim>>);

/// Bores and stem side by side, height by height.
pub(crate) fn heights(port: &Port) -> [AtHeight<'_>; 3] {
    let (bores, stem) = (&port.guide.bores, &port.valve.stem);
    [
        (Position::Top, bores.top.as_slice(), stem.top.as_ref()),
        (Position::Middle, bores.middle.as_slice(), stem.middle.as_ref()),
        (Position::Bottom, bores.bottom.as_slice(), stem.bottom.as_ref()),
    ]
}

fn clearance(_: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    for (position, bores, stem) in heights(port) {
        let Some(stem) = stem else { continue };
        for (axis, bore) in (1..).zip(bores) {
            let sum = metrology::clearance(bore.value(), stem.value());
            let mut budget = Budget::new();
            budget.reading(sum.sensitivity[0], bore);
            budget.reading(sum.sensitivity[1], stem);
            out.push(Candidate::computed(Place::Along { position, axis }, sum.value.get(), budget.total()));
        }
    }
    if out.is_empty() { from_rocking(port, out) } else { Ok(()) }
}

fn from_rocking(port: &Port, out: &mut Candidates) -> Derived {
    let (Some(rocking), Some(length)) = (&port.guide.rocking, &port.guide.engaged_length) else {
        return Err(MissingCause::Absent(
            "guide bore and stem at the same height, or rocking travel and engaged length",
        ));
    };
    let sum = metrology::clearance_from_rocking(
        rocking.travel.value(),
        rocking.distance_outside.value(),
        length.value(),
    )
    .map_err(not_computable)?;
    let mut budget = Budget::new();
    budget.reading(sum.sensitivity[0], &rocking.travel);
    budget.reading(sum.sensitivity[1], &rocking.distance_outside);
    budget.reading(sum.sensitivity[2], length);
    out.push(Candidate::computed(Place::Whole, sum.value.get(), budget.total()));
    Ok(())
}
