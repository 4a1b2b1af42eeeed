//! Leak tests.

use headproof_head::{CharacteristicId, Decay, MissingCause, Place, Port};
use headproof_metrology as metrology;
use headproof_quantity::Kind;

use super::direct::{self, state};
use crate::budget::Budget;
use crate::characteristic::{Candidate, Candidates, Characteristic, Derive, Derived, Measure};
use crate::context::{Context, not_computable};

pub(super) static ROWS: &[Characteristic] = &[
    Characteristic {
        id: CharacteristicId::new("leak-rate"),
        title: "Leak rate",
        formula: "Q = V · Δp / Δt",
        source: "ideal gas at constant temperature",
        uncertainty: direct::FIRST_ORDER,
        measure: Measure::Amount(Kind::Flow),
        derive: Derive::Port(rate),
    },
    Characteristic {
        id: CharacteristicId::new("leak-pressure-drop"),
        title: "Pressure lost in the leak test",
        formula: "start − end",
        source: "definition",
        uncertainty: direct::FIRST_ORDER,
        measure: Measure::Amount(Kind::Pressure),
        derive: Derive::Port(drop),
    },
    state!("leak-seep", "No solvent seen to seep", PortState, |port| port.leak.seep.map(|seep| !seep)),
];

fn decay(port: &Port) -> Result<&Decay, MissingCause> {
    port.leak.decay.as_ref().ok_or(MissingCause::Absent("decay test"))
}

fn rate(_: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let test = decay(port)?;
    let volume = test.volume.as_ref().ok_or(MissingCause::Absent("test volume"))?;
    let sum =
        metrology::decay_flow(volume.value(), test.start.value(), test.end.value(), test.duration.value())
            .map_err(not_computable)?;
    let mut budget = Budget::new();
    budget.reading(sum.sensitivity[0], volume);
    budget.reading(sum.sensitivity[1], &test.start);
    budget.reading(sum.sensitivity[2], &test.end);
    budget.reading(sum.sensitivity[3], &test.duration);
    out.push(Candidate::computed(Place::Whole, sum.value.get(), budget.total()));
    Ok(())
}

fn drop(_: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let test = decay(port)?;
    let lost = test.start.value() - test.end.value();
    let mut budget = Budget::new();
    budget.reading(1.0, &test.start);
    budget.reading(-1.0, &test.end);
    out.push(Candidate::exact(Place::Whole, lost.exact(), budget.total()));
    Ok(())
}
