//! Codes of a plan in plain words.

use headproof_wire::{PortPlan, ReworkPlan};

use crate::format::plain;
use crate::words::port_name;

/// The subject of a port as the steps name it.
pub(super) fn subject_of(port: &PortPlan) -> String {
    crate::words::subject_of(port.cylinder, port.service, port.index)
}

/// The name of a port for people.
pub(super) fn name_of(port: &PortPlan) -> String {
    port_name(port.cylinder, port.service, port.index, crate::english())
}

/// A code this edition has no words for, as words.
fn spelled(code: &str) -> String {
    code.replace('-', " ")
}

/// What the plan comes to.
pub(super) fn outcome(code: &str) -> String {
    match code {
        "staged" => "in stages".to_owned(),
        _ => spelled(code),
    }
}

/// What the plan for one port comes to.
pub(super) fn status(code: &str) -> String {
    match code {
        "guide-first" => "guide comes first".to_owned(),
        "measure-first" => "to be measured first".to_owned(),
        _ => spelled(code),
    }
}

/// A cut of a seat.
pub(super) fn cut(code: &str) -> String {
    match code {
        "form" => "form blade".to_owned(),
        _ => spelled(code),
    }
}

/// What a plan is best in.
pub(super) fn objective(code: &str) -> String {
    match code {
        "least-sink" => {
            "Least sink: as few new parts as there must be, then valves that sink as little as they can."
        }
        "least-cost" => "Least cost: as little money for parts and minutes as there can be.",
        "fewest-parts" => "Fewest parts: as few new parts and shims as there must be, then as little sink.",
        _ => return spelled(code),
    }
    .to_owned()
}

/// How good a plan is proved to be; nothing where there is nothing to prove.
pub(super) fn proof(plan: &ReworkPlan) -> Option<String> {
    let search = &plan.search;
    let nothing_is_done = plan.totals.ports == 0 && plan.deck.is_none();
    if nothing_is_done && plan.outcome != "no-plan" {
        return None;
    }
    let mut text = match (plan.outcome.as_ref(), search.proved_best) {
        ("no-plan", true) => "Every course of work open to this shop was ruled out.".to_owned(),
        ("no-plan", false) => "It is not proved that there is none.".to_owned(),
        (_, true) if search.objective.is_some() => {
            "Proved best: with the means stated no other plan does better in what it is best in.".to_owned()
        }
        (_, true) => return None,
        (_, false) => match search.gap.filter(|gap| gap.is_finite()) {
            Some(gap) => format!(
                "Not proved best: another plan could be better in it by {} % at the most.",
                // Rounded up: less must not be promised than was found.
                plain((gap * 1000.0 - 1e-9).ceil() / 10.0, 1)
            ),
            None => "Not proved best: how much better another plan could be is not known.".to_owned(),
        },
    };
    if search.limit_hit {
        text.push_str(" The search was ended by its limit.");
    }
    Some(text)
}

/// A title as it stands inside a sentence.
pub(super) fn inside(title: &str) -> String {
    let mut rest = title.chars();
    match (rest.next(), rest.as_str().chars().next()) {
        (Some(first), Some(second)) if !second.is_uppercase() => first.to_lowercase().chain(rest).collect(),
        _ => title.to_owned(),
    }
}

/// `insert`, `valve`, `spring` with what is new of it.
pub(super) fn new_part(part: &str) -> String {
    match part {
        "spring" => "new springs".to_owned(),
        _ => format!("new {}", spelled(part)),
    }
}
