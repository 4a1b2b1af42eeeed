//! What a plan comes to, told so that what is worked out never sounds like what was measured.

use std::collections::BTreeMap;

use headproof_head::{
    CharacteristicId, Disposition, Outcome, Plan, PortStatus, Proof, TargetProfile, Verdict,
};

use crate::convert::evaluation::{inside_a_sentence, not_measured, title};

pub(super) fn headline(plan: &Plan, profile: &TargetProfile) -> String {
    let target = format!("profile {} revision {}", profile.id, profile.revision);
    let mut text = match plan.outcome {
        Outcome::NothingToDo => {
            format!("Nothing to do: as measured, no port needs work to conform to {target}.")
        }
        Outcome::Planned => match work(plan) {
            Some((work, what)) => format!(
                "Planned: {work}, predicted to bring {what} inside {target} if each cut stops where it \
                 should. Predicted, not measured."
            ),
            None => "Planned: measure again.".to_owned(),
        },
        Outcome::Staged => match work(plan) {
            Some((work, what)) => format!(
                "In stages: {work}, predicted to bring {what} inside {target} if each cut stops where it \
                 should; {}. Predicted, not measured.",
                waiting(plan)
            ),
            None => format!("In stages: nothing can be cut yet; {}.", waiting(plan)),
        },
        Outcome::NoPlan => no_plan(plan, &target),
    };
    if !plan.beyond.is_empty() {
        let named = counted(plan.beyond.iter().map(|(_, id)| *id));
        text.push_str(&format!(" In the way of acceptance and beyond any work of this kind: {named}."));
    }
    text
}

/// What is to be done, and what that is for; none where nothing is.
fn work(plan: &Plan) -> Option<(String, &'static str)> {
    let count = ports(plan.totals.ports);
    let (these, deck_too) = match plan.outcome {
        Outcome::Staged => ("these ports", "the deck and these ports"),
        _ => ("every port", "the deck and every port"),
    };
    match (plan.totals.ports, &plan.deck) {
        (0, None) => None,
        (0, Some(_)) => Some(("a cut of the deck".to_owned(), "the deck")),
        (_, Some(_)) => Some((format!("a cut of the deck and work on {count}"), deck_too)),
        (_, None) => Some((format!("work on {count}"), these)),
    }
}

fn ports(count: u16) -> String {
    if count == 1 { "1 port".to_owned() } else { format!("{count} ports") }
}

fn with_status(plan: &Plan, status: PortStatus) -> u16 {
    plan.ports.iter().filter(|port| port.status == status).fold(0, |count, _| count + 1)
}

/// What has to come before the rest can be planned.
fn waiting(plan: &Plan) -> String {
    let (guides, readings) =
        (with_status(plan, PortStatus::GuideFirst), with_status(plan, PortStatus::MeasureFirst));
    let mut parts = Vec::new();
    if guides > 0 {
        parts.push(format!("the guide comes first on {}", ports(guides)));
    }
    if readings > 0 {
        parts.push(format!("something has to be measured first on {}", ports(readings)));
    }
    if parts.is_empty() {
        parts.push("something else has to be measured first".to_owned());
    }
    parts.join(", and ")
}

fn no_plan(plan: &Plan, target: &str) -> String {
    if plan.search.limit_hit {
        return format!(
            "No plan found: the search was ended by its limit before it found work that brings the head \
             inside {target}; there may be some."
        );
    }
    match with_status(plan, PortStatus::NoPlan) {
        0 => format!(
            "No plan: each port by itself could be brought inside {target}, but not all of them together by \
             work that this shop can do. What would free that is named."
        ),
        count => format!(
            "No plan: {} cannot be brought inside {target} by work that this shop can do, because limits \
             fight each other. What would free them is named.",
            ports(count)
        ),
    }
}

/// Each characteristic once, with how often.
fn counted(ids: impl Iterator<Item = CharacteristicId>) -> String {
    let mut counts: BTreeMap<&str, u32> = BTreeMap::new();
    ids.for_each(|id| *counts.entry(title(id)).or_default() += 1);
    let named = counts.iter().map(|(title, count)| match count {
        1 => inside_a_sentence(title),
        _ => format!("{} ({count})", inside_a_sentence(title)),
    });
    named.collect::<Vec<_>>().join(", ")
}

/// The headline of the judgement of readings that nobody read.
pub(super) fn predicted(proof: &Proof, profile: &TargetProfile) -> String {
    let evaluation = &proof.evaluation;
    let opening = match evaluation.disposition {
        Disposition::Accept => "the head would be acceptable at these limits",
        Disposition::Rework => "the head would still need rework",
        Disposition::Incomplete => "something required would still not be measured or proven",
        Disposition::Reject => "the head would not be acceptable at these limits",
    };
    let tally = evaluation.tally;
    let mut text = format!(
        "Predicted, not measured: if each cut stops where it should, {opening}. It would conform to \
         profile {} revision {} on {} of {} characteristics",
        profile.id,
        profile.revision,
        tally.conforms,
        tally.limited()
    );
    for (count, words) in
        [(tally.does_not_conform, "would not conform"), (tally.not_proven, "could not be proven")]
    {
        if count > 0 {
            text.push_str(&format!("; {count} {words}"));
        }
    }
    if evaluation_misses(proof) {
        text.push_str(&format!("; not measured: {}", not_measured(evaluation)));
    }
    if !proof.unpredictable.is_empty() {
        let named = counted(proof.unpredictable.iter().copied());
        text.push_str(&format!("; to be found by measuring only: {named}"));
    }
    text.push('.');
    text
}

fn evaluation_misses(proof: &Proof) -> bool {
    let evaluation = &proof.evaluation;
    let of_cylinders = evaluation.cylinders.iter().flat_map(|(_, rows)| rows);
    let of_ports = evaluation.ports.iter().flat_map(|port| &port.rows);
    evaluation.head.iter().chain(of_cylinders).chain(of_ports).any(|row| row.verdict == Verdict::NotMeasured)
}
