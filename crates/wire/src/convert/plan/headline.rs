//! What a plan comes to, told so that what is worked out never sounds like what was measured.

use headproof_head::{Disposition, Outcome, Phrase, PhraseValue, Plan, PortStatus, Proof, TargetProfile};

use super::words::tail;
use crate::convert::phrases::{counted, not_measured};

pub(super) fn headline(plan: &Plan, profile: &TargetProfile) -> Phrase {
    let outcome = match plan.outcome {
        Outcome::NothingToDo => Phrase::with("plan-headline-nothing-to-do", "target", target(profile)),
        Outcome::Planned => match work(plan) {
            Some((work, what)) => Phrase::with("plan-headline-planned", "work", work)
                .and("what", what)
                .and("target", target(profile)),
            None => Phrase::plain("plan-headline-measure-again"),
        },
        Outcome::Staged => match work(plan) {
            Some((work, what)) => Phrase::with("plan-headline-staged", "work", work)
                .and("what", what)
                .and("target", target(profile))
                .and("waiting", waiting(plan)),
            None => Phrase::with("plan-headline-nothing-yet", "waiting", waiting(plan)),
        },
        Outcome::NoPlan => no_plan(plan, profile),
    };
    if plan.beyond.is_empty() {
        return outcome;
    }
    let beyond = PhraseValue::List(counted(plan.beyond.iter().map(|(_, id)| *id)));
    Phrase::with("plan-headline-beyond", "headline", outcome).and("beyond", beyond)
}

/// Which limits.
fn target(profile: &TargetProfile) -> Phrase {
    Phrase::with("plan-target", "profile", PhraseValue::text(&profile.id))
        .and("revision", PhraseValue::text(&profile.revision))
}

/// What is to be done, and what that is for; none where nothing is.
fn work(plan: &Plan) -> Option<(Phrase, Phrase)> {
    let count = u32::from(plan.totals.ports);
    let (these, deck_too) = match plan.outcome {
        Outcome::Staged => ("plan-these-ports", "plan-the-deck-and-these-ports"),
        _ => ("plan-every-port", "plan-the-deck-and-every-port"),
    };
    match (count, &plan.deck) {
        (0, None) => None,
        (0, Some(_)) => Some((Phrase::plain("plan-work-on-deck"), Phrase::plain("plan-the-deck"))),
        (_, Some(_)) => {
            Some((Phrase::with("plan-work-on-deck-and-ports", "count", count), Phrase::plain(deck_too)))
        }
        (_, None) => Some((Phrase::with("plan-work-on-ports", "count", count), Phrase::plain(these))),
    }
}

fn with_status(plan: &Plan, status: PortStatus) -> usize {
    plan.ports.iter().filter(|port| port.status == status).count()
}

/// What has to come before the rest can be planned.
fn waiting(plan: &Plan) -> Phrase {
    let guides = Phrase::with("plan-guide-first-on", "count", with_status(plan, PortStatus::GuideFirst));
    let readings =
        Phrase::with("plan-measure-first-on", "count", with_status(plan, PortStatus::MeasureFirst));
    let has = |status: PortStatus| with_status(plan, status) > 0;
    match (has(PortStatus::GuideFirst), has(PortStatus::MeasureFirst)) {
        (true, true) => Phrase::with("plan-waiting-for-both", "guides", guides).and("readings", readings),
        (true, false) => guides,
        (false, true) => readings,
        (false, false) => Phrase::plain("plan-measure-something-first"),
    }
}

fn no_plan(plan: &Plan, profile: &TargetProfile) -> Phrase {
    let target = target(profile);
    if plan.search.limit_hit {
        return Phrase::with("plan-headline-search-ended", "target", target);
    }
    match with_status(plan, PortStatus::NoPlan) {
        0 => Phrase::with("plan-headline-not-together", "target", target),
        count => Phrase::with("plan-headline-no-plan", "count", count).and("target", target),
    }
}

/// The headline of the judgement of readings that nobody read.
pub(super) fn predicted(proof: &Proof, profile: &TargetProfile) -> Phrase {
    let evaluation = &proof.evaluation;
    let opening = Phrase::plain(match evaluation.disposition {
        Disposition::Accept => "plan-would-be-acceptable",
        Disposition::Rework => "plan-would-need-rework",
        Disposition::Incomplete => "plan-would-be-incomplete",
        Disposition::Reject => "plan-would-not-be-acceptable",
    });
    let tally = evaluation.tally;
    let some = |count: u32, id: &'static str| tail((count > 0).then(|| Phrase::with(id, "count", count)));
    let listed = |values: Vec<PhraseValue>, id: &'static str| {
        tail((!values.is_empty()).then(|| Phrase::with(id, "what", PhraseValue::List(values))))
    };
    let missed = listed(counted(not_measured(evaluation)), "plan-would-miss");
    let unasked = listed(counted(proof.unpredictable.iter().copied()), "plan-measuring-only");
    Phrase::with("plan-predicted-headline", "opening", opening)
        .and("target", target(profile))
        .and("conforms", tally.conforms)
        .and("limited", tally.limited())
        .and("outside", some(tally.does_not_conform, "plan-would-not-conform"))
        .and("unproven", some(tally.not_proven, "plan-would-not-be-proven"))
        .and("missed", missed)
        .and("unasked", unasked)
}
