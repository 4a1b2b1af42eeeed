//! The springs: heights, loads and margins.

use headproof_head::{CharacteristicId, MissingCause, Place, Port, Reading, Spring};
use headproof_metrology as metrology;
use headproof_quantity::{Kind, Length, LengthDim};

use super::direct::{self, direct};
use crate::budget::Budget;
use crate::characteristic::{Candidate, Candidates, Characteristic, Derive, Derived, Measure};
use crate::context::{Context, not_computable};

pub(super) static ROWS: &[Characteristic] = &[
    direct!(
        "installed-height",
        "Installed height",
        Length,
        |port| port.springs.installed_height,
        "installed height"
    ),
    Characteristic {
        id: CharacteristicId::new("seat-load"),
        title: "Seat load",
        formula: "load at the installed height, interpolated between the readings; nested springs added",
        source: "linear interpolation",
        uncertainty: direct::FIRST_ORDER,
        measure: Measure::Amount(Kind::Force),
        derive: Derive::Port(|_, port, out| load(port, false, out)),
    },
    Characteristic {
        id: CharacteristicId::new("open-load"),
        title: "Open load",
        formula: "load at the installed height less the lift, interpolated; nested springs added",
        source: "linear interpolation",
        uncertainty: direct::FIRST_ORDER,
        measure: Measure::Amount(Kind::Force),
        derive: Derive::Port(|_, port, out| load(port, true, out)),
    },
    Characteristic {
        id: CharacteristicId::new("coil-bind-margin"),
        title: "Coil-bind margin",
        formula: "installed height − seat step − lift − solid height, least of a nested set",
        source: "definition",
        uncertainty: direct::FIRST_ORDER,
        measure: Measure::Amount(Kind::Length),
        derive: Derive::Port(coil_bind),
    },
    Characteristic {
        id: CharacteristicId::new("retainer-margin"),
        title: "Retainer-to-seal margin",
        formula: "retainer to seal, valve closed − lift",
        source: "definition",
        uncertainty: direct::FIRST_ORDER,
        measure: Measure::Amount(Kind::Length),
        derive: Derive::Port(retainer),
    },
    Characteristic {
        id: CharacteristicId::new("spring-free-length"),
        title: "Spring free length",
        formula: direct::READ_DIRECTLY,
        source: direct::DEFINITION,
        uncertainty: direct::OF_THE_READING,
        measure: Measure::Amount(Kind::Length),
        derive: Derive::Port(|_, port, out| {
            per_spring(port, |spring| spring.free_length.as_ref(), "free length of every spring", out)
        }),
    },
    Characteristic {
        id: CharacteristicId::new("spring-squareness"),
        title: "Spring squareness",
        formula: direct::READ_DIRECTLY,
        source: direct::DEFINITION,
        uncertainty: direct::OF_THE_READING,
        measure: Measure::Amount(Kind::Length),
        derive: Derive::Port(|_, port, out| {
            per_spring(port, |spring| spring.squareness.as_ref(), "squareness of every spring", out)
        }),
    },
];

type LengthReading = Reading<LengthDim>;

fn need<'a>(
    reading: Option<&'a LengthReading>,
    what: &'static str,
) -> Result<&'a LengthReading, MissingCause> {
    reading.ok_or(MissingCause::Absent(what))
}

fn springs(port: &Port) -> Result<&[Spring], MissingCause> {
    let springs = port.springs.springs.as_slice();
    if springs.is_empty() { Err(MissingCause::Absent("springs")) } else { Ok(springs) }
}

/// The installed height of one spring of a set: less its own seat step.
fn own_height(spring: &Spring, installed: &LengthReading) -> Length {
    let step = spring.seat_step.as_ref().map_or(Length::ZERO, |step| step.value());
    Length::from_exact(installed.value().exact() - step.exact())
}

fn load(port: &Port, open: bool, out: &mut Candidates) -> Derived {
    let installed = need(port.springs.installed_height.as_ref(), "installed height")?;
    let lift = match open {
        true => Some(need(port.springs.lift.as_ref(), "lift")?),
        false => None,
    };
    let (mut total, mut per_height, mut budget) = (0.0, 0.0, Budget::new());
    for spring in springs(port)? {
        if spring.loads.is_empty() {
            return Err(MissingCause::Absent("spring loads"));
        }
        let points: Vec<_> =
            spring.loads.iter().map(|point| (point.height.value(), point.load.value())).collect();
        let closed = own_height(spring, installed);
        let height = lift.map_or(closed, |lift| Length::from_exact(closed.exact() - lift.value().exact()));
        let sum = metrology::load_at(&points, height).map_err(not_computable)?;
        total += sum.value.get();
        per_height += sum.asked_height_sensitivity;
        for (index, sensitivity) in sum.load_sensitivity {
            budget.reading(sensitivity, &spring.loads[index].load);
        }
        for (index, sensitivity) in sum.height_sensitivity {
            budget.reading(sensitivity, &spring.loads[index].height);
        }
        if let Some(step) = &spring.seat_step {
            budget.reading(-sum.asked_height_sensitivity, step);
        }
    }
    budget.reading(per_height, installed);
    if let Some(lift) = lift {
        budget.reading(-per_height, lift);
    }
    out.push(Candidate::computed(Place::Whole, total, budget.total()));
    Ok(())
}

fn coil_bind(_: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let installed = need(port.springs.installed_height.as_ref(), "installed height")?;
    let lift = need(port.springs.lift.as_ref(), "lift")?;
    let springs = springs(port)?;
    let mut all = Ok(());
    for (number, spring) in (1..).zip(springs) {
        let Some(solid) = &spring.solid_height else {
            all = Err(MissingCause::Absent("solid height of every spring"));
            continue;
        };
        let sum = metrology::coil_bind_margin(own_height(spring, installed), lift.value(), solid.value());
        let mut budget = Budget::new();
        budget.reading(sum.sensitivity[0], installed);
        budget.reading(sum.sensitivity[1], lift);
        budget.reading(sum.sensitivity[2], solid);
        if let Some(step) = &spring.seat_step {
            budget.reading(-sum.sensitivity[0], step);
        }
        out.push(Candidate::computed(spring_place(number, springs.len()), sum.value.get(), budget.total()));
    }
    all
}

fn retainer(_: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let gap = need(port.springs.retainer_travel.as_ref(), "retainer to seal")?;
    let lift = need(port.springs.lift.as_ref(), "lift")?;
    let margin = gap.value() - lift.value();
    let mut budget = Budget::new();
    budget.reading(1.0, gap);
    budget.reading(-1.0, lift);
    out.push(Candidate::exact(Place::Whole, margin.exact(), budget.total()));
    Ok(())
}

fn per_spring(
    port: &Port,
    reading: impl Fn(&Spring) -> Option<&LengthReading>,
    what: &'static str,
    out: &mut Candidates,
) -> Derived {
    let springs = springs(port)?;
    for (number, spring) in (1..).zip(springs) {
        if let Some(reading) = reading(spring) {
            out.push(direct::at(spring_place(number, springs.len()), reading));
        }
    }
    if out.len() == springs.len() { Ok(()) } else { Err(MissingCause::Absent(what)) }
}

/// A single spring needs no number.
const fn spring_place(number: u8, of: usize) -> Place {
    if of == 1 { Place::Whole } else { Place::Spring(number) }
}
