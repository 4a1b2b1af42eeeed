//! What a spring should do by what it is wound of.

use headproof_head::{MissingCause, Port, Spring, Winding};
use headproof_metrology as metrology;
use headproof_quantity::{Kind, Length};

use super::spring::{add_rate, points, spring_place, springs};
use crate::budget::Budget;
use crate::candidate::{Candidate, Candidates};
use crate::characteristic::{Characteristic, Derived};
use crate::context::{Context, not_computable};

pub(super) static ROWS: &[Characteristic] = &[
    Characteristic::of_port("spring-rate-to-theory", "Spring rate ÷ theory", Kind::Ratio, to_theory)
        .worked_out(
            "measured rate ÷ G d⁴ / (8 D³ n), D = outer diameter − wire",
            "EN 13906-1 (from memory)",
            "a published handbook example and a published spring of a US Army manual",
        )
        .with_uncertainty("first order, readings of one gauge as correlated as it states; the shear modulus counts as known")
        .least_tells()
        .on_request(),
    Characteristic::of_port(
        "spring-natural-frequency",
        "Spring frequency",
        Kind::Frequency,
        natural_frequency,
    )
    .worked_out(
        "d / (2π n D²) · √(G / (2ρ)), both ends at rest",
        "EN 13906-1 (from memory)",
        "the constant 3560 of EN 13906-1 (from memory), worked in numpy",
    )
    .with_uncertainty("first order, readings of one gauge as correlated as it states; shear modulus and density count as known")
    .on_request()
    .least_tells(),
];

fn winding(spring: &Spring) -> Result<(&Winding, Length), MissingCause> {
    let winding = spring.winding.as_ref().ok_or(MissingCause::Absent("absent-windings"))?;
    let mean = winding.outer_diameter.value() - winding.wire_diameter.value();
    Ok((winding, Length::from_exact(mean.exact())))
}

/// Partials to wire, mean coil and active coils, for the readings wire, outer diameter and active coils.
fn add_winding(winding: &Winding, per: [f64; 3], budget: &mut Budget<'_>) {
    let [per_wire, per_mean, per_coil] = per;
    budget.reading("wire diameter", per_wire - per_mean, &winding.wire_diameter);
    budget.reading("outer diameter of the coils", per_mean, &winding.outer_diameter);
    budget.reading("active coils", per_coil, &winding.active_coils);
}

fn to_theory(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let springs = springs(port)?;
    for (number, spring) in (1..).zip(springs) {
        let (winding, mean) = winding(spring)?;
        let measured = metrology::rate(&points(spring)?).map_err(not_computable)?;
        let theory = metrology::theory_rate(
            winding.wire_diameter.value(),
            mean,
            winding.active_coils.value(),
            winding.shear_modulus,
        )
        .map_err(not_computable)?;
        let share = measured.value.get() / theory.value.get();
        let mut budget = Budget::new(context);
        add_rate(spring, &measured, 1.0 / theory.value.get(), &mut budget);
        let [wire, coil, coils, _] = theory.sensitivity.map(|partial| -share / theory.value.get() * partial);
        add_winding(winding, [wire, coil, coils], &mut budget);
        out.push(Candidate::computed(spring_place(number, springs.len()), share, budget));
    }
    Ok(())
}

fn natural_frequency(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let springs = springs(port)?;
    for (number, spring) in (1..).zip(springs) {
        let (winding, mean) = winding(spring)?;
        let sum = metrology::natural_frequency(
            winding.wire_diameter.value(),
            mean,
            winding.active_coils.value(),
            winding.shear_modulus,
            winding.density,
        )
        .map_err(not_computable)?;
        let [wire, coil, coils, _] = sum.sensitivity;
        let mut budget = Budget::new(context);
        add_winding(winding, [wire, coil, coils], &mut budget);
        out.push(Candidate::computed(spring_place(number, springs.len()), sum.value.get(), budget));
    }
    Ok(())
}
