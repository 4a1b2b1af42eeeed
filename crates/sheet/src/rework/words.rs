//! Codes and sentences of a plan in the language of the sheet.

use headproof_texts::Say;
use headproof_wire::{Phrase, PortPlan, ReworkPlan};

use crate::format::number;
use crate::said::said;
use crate::words::port_name;

/// Sentences of a document in a row; phrases count only where each sentence has its own.
pub(super) fn all_said(texts: &[String], phrases: &[Phrase], say: Say) -> Vec<String> {
    let phrase = |n: usize| phrases.get(n).filter(|_| phrases.len() == texts.len());
    texts.iter().enumerate().map(|(n, text)| said(text, phrase(n), say)).collect()
}

/// The name of a port for people.
pub(super) fn name_of(port: &PortPlan, say: Say) -> String {
    port_name(port.cylinder, port.service, port.index, say)
}

/// A code this edition has no words for, as words.
fn spelled(code: &str) -> String {
    code.replace('-', " ")
}

/// What the plan comes to.
pub(super) fn outcome(code: &str, say: Say) -> String {
    let id = match code {
        "nothing-to-do" => "plan-outcome-nothing-to-do",
        "planned" => "plan-outcome-planned",
        "staged" => "plan-outcome-staged",
        "no-plan" => "plan-outcome-no-plan",
        _ => return spelled(code),
    };
    say.text(id).to_owned()
}

/// What the plan for one port comes to.
pub(super) fn status(code: &str, say: Say) -> String {
    let id = match code {
        "guide-first" => "plan-status-guide-first",
        "measure-first" => "plan-status-measure-first",
        _ => return outcome(code, say),
    };
    say.text(id).to_owned()
}

/// A cut of a seat.
pub(super) fn cut(code: &str, say: Say) -> String {
    let id = match code {
        "seat" => "cone-seat",
        "top" => "cone-top",
        "throat" => "cone-throat",
        "form" => "plan-cut-form",
        "light-turns" => "plan-cut-light-turns",
        _ => return spelled(code),
    };
    say.text(id).to_owned()
}

/// What a plan is best in.
pub(super) fn objective(code: &str, say: Say) -> String {
    let id = match code {
        "least-sink" => "plan-objective-least-sink",
        "least-cost" => "plan-objective-least-cost",
        "fewest-parts" => "plan-objective-fewest-parts",
        _ => return spelled(code),
    };
    say.text(id).to_owned()
}

/// How good a plan is proved to be; nothing where there is nothing to prove.
pub(super) fn proof(plan: &ReworkPlan, say: Say) -> Option<String> {
    let search = &plan.search;
    let nothing_is_done = plan.totals.ports == 0 && plan.deck.is_none();
    if nothing_is_done && plan.outcome != "no-plan" {
        return None;
    }
    let text = match (plan.outcome.as_ref(), search.proved_best) {
        ("no-plan", true) => say.text("plan-proof-none").to_owned(),
        ("no-plan", false) => say.text("plan-no-proof-of-none").to_owned(),
        (_, true) if search.objective.is_some() => say.text("plan-proof-best").to_owned(),
        (_, true) => return None,
        (_, false) => match search.gap.filter(|gap| gap.is_finite()) {
            Some(gap) => {
                // Rounded up: less must not be promised than was found.
                let percent = number((gap * 1000.0 - 1e-9).ceil() / 10.0, 1, say);
                say.with("plan-no-proof-of-best", &[("percent", percent.into())])
            }
            None => say.text("plan-no-proof-and-no-gap").to_owned(),
        },
    };
    Some(if search.limit_hit { say.with("plan-search-ended", &[("proof", text.into())]) } else { text })
}

/// `new valve V-33`.
pub(super) fn new_part(part: &str, name: &str, say: Say) -> String {
    let id = match part {
        "insert" => "plan-new-insert",
        "valve" => "plan-new-valve-named",
        "spring" => "plan-new-springs-named",
        _ => return format!("{} {name}", spelled(part)),
    };
    say.with(id, &[("name", name.into())])
}
