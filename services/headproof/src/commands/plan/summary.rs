//! A plan for people at a terminal.

use std::fmt::{self, Display, Formatter};

use headproof_wire::{PlanConflict, PlanSearch, PlanStep, PlanTotals, PortPlan, ReworkPlan};

/// What is to be done, in the order of the bench, and what is not planned and why.
pub(super) fn of(plan: &ReworkPlan) -> String {
    Summary(plan).to_string().trim_end().to_owned()
}

struct Summary<'a>(&'a ReworkPlan);

impl Display for Summary<'_> {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        let plan = self.0;
        writeln!(f, "{}: {}", plan.head_serial, plan.outcome.to_uppercase())?;
        writeln!(f, "  {}", plan.headline)?;
        if plan.totals.ports > 0 || plan.deck.is_some() {
            takes(f, &plan.totals)?;
            found(f, &plan.search)?;
        }
        list(f, "Taken for granted", &plan.assumptions)?;
        if !plan.steps.is_empty() {
            writeln!(f, "\nSteps:")?;
        }
        plan.steps.iter().try_for_each(|one| step(f, one))?;
        plan.ports.iter().try_for_each(|port| unplanned(f, port))?;
        if let Some(found) = &plan.conflict {
            writeln!(f, "\nNo plan for the head as a whole:")?;
            conflict(f, found)?;
        }
        let beyond = plan.beyond.iter().map(|one| format!("{}: {}", one.subject, one.text));
        list(f, "Beyond any plan of this kind", &beyond.collect::<Vec<_>>())?;
        let Some(predicted) = &plan.predicted else { return Ok(()) };
        writeln!(f, "\n{}", predicted.evaluation.headline)
    }
}

fn takes(f: &mut Formatter<'_>, totals: &PlanTotals) -> fmt::Result {
    let PlanTotals { ports, sink, new_parts, shims, minutes, cost } = totals;
    writeln!(
        f,
        "  Takes work on {}: {sink:.3} mm of sink in all, {}, {}, {minutes} minutes, cost {cost}.",
        count(*ports, "port"),
        count(*new_parts, "new part"),
        count(*shims, "shim"),
    )
}

fn count(number: u16, what: &str) -> String {
    format!("{number} {what}{}", if number == 1 { "" } else { "s" })
}

/// How good the plan is proved to be; nothing where there is none.
fn found(f: &mut Formatter<'_>, search: &PlanSearch) -> fmt::Result {
    match (search.proved_best, search.gap) {
        (true, _) => writeln!(f, "  Proved: no other plan is better in the objective."),
        (false, Some(gap)) => {
            writeln!(f, "  Not proved to be the best: another could be better by {:.1} %.", gap * 100.0)
        }
        (false, None) => Ok(()),
    }
}

fn step(f: &mut Formatter<'_>, step: &PlanStep) -> fmt::Result {
    writeln!(f, "{:4}. {}: {}", step.number, step.subject, step.text)?;
    if !step.check.is_empty() {
        writeln!(f, "      Then: {}", step.check)?;
    }
    step.cautions.iter().try_for_each(|caution| writeln!(f, "      Caution: {caution}"))
}

/// Why a port has no plan.
fn unplanned(f: &mut Formatter<'_>, port: &PortPlan) -> fmt::Result {
    let Some(found) = &port.conflict else { return Ok(()) };
    let service = match port.service {
        headproof_wire::Service::Intake => "intake",
        headproof_wire::Service::Exhaust => "exhaust",
    };
    writeln!(f, "\nNo plan for cylinder {} {service} {}:", port.cylinder, port.index)?;
    conflict(f, found)
}

fn conflict(f: &mut Formatter<'_>, conflict: &PlanConflict) -> fmt::Result {
    conflict.between.iter().try_for_each(|bound| writeln!(f, "  - {}", bound.text))?;
    conflict.freed_by.iter().try_for_each(|way| writeln!(f, "  Freed by: {}", way.text))
}

fn list(f: &mut Formatter<'_>, title: &str, lines: &[String]) -> fmt::Result {
    if lines.is_empty() {
        return Ok(());
    }
    writeln!(f, "\n{title}:")?;
    lines.iter().try_for_each(|line| writeln!(f, "  - {line}"))
}
