//! From a set, a profile and a shop to a plan.

mod grant;
mod judged;

use std::cell::Cell;

use headproof_head::{
    Assumption, CharacteristicId, Conflict, DeckCut, Evaluation, MeasurementSet, Outcome, Plan, PortId,
    PortPlan, PortRows, PortStatus, Proof, Search, Stage, Subject, TargetProfile, Totals, Workshop,
};
use headproof_judge::evaluate;
use headproof_quantity::Kind;

use crate::case::{Case, Shared, Worked};
use crate::conflict;
use crate::course::SeatCourse;
use crate::cure::Needs;
use crate::deck::{DeckState, is_of_the_deck, look};
use crate::facts::Facts;
use crate::grid::{NOTHING, length, on_grid};
use crate::head_rules::{HeadGround, HeadRule};
use crate::moved::Zones;
use crate::port_model::DeckRange;
use crate::present::{idle, measure_first, port_plan, without_plan};
use crate::proof::still_bad_of_the_head;
use crate::search::{Apart, Together, together};
use crate::solver::Effort;
use crate::steps::Bench;
use crate::weights::Weights;

/// How often a plan is tried again when the judge did not let pass what was foreseen to conform.
const TRIES: usize = 8;

/// The least rework that brings a head inside the limits of a profile, with the means of a shop.
///
/// The limits are those of the finished head, whatever stage the set was measured in. A port whose guide is
/// not in order, or that lacks a reading, gets no cut; the others are planned for all the same.
#[must_use]
pub fn plan(set: &MeasurementSet, profile: &TargetProfile, workshop: &Workshop, effort: Effort) -> Plan {
    let set = to_be_finished(set);
    let evaluation = evaluate(&set, profile);
    let unsure = Cell::new(false);
    Planner::new(&set, profile, workshop, &evaluation, effort, &unsure).plan()
}

/// As received only wear is looked at; work aims at the finished head.
fn to_be_finished(set: &MeasurementSet) -> MeasurementSet {
    let mut set = set.clone();
    if set.job.stage == Stage::AsReceived {
        set.job.stage = Stage::AfterRework;
    }
    set
}

struct Planner<'a> {
    set: &'a MeasurementSet,
    profile: &'a TargetProfile,
    workshop: &'a Workshop,
    evaluation: &'a Evaluation,
    shared: Shared<'a>,
    deck: DeckState,
}

/// A port that is planned for, and what was found for it by itself, where that still holds.
type Open<'a> = (Case<'a>, Option<Worked<'a>>);

/// What the search came to.
struct Findings<'a> {
    cases: Vec<Case<'a>>,
    failed: Vec<(PortId, Conflict)>,
    together: Option<Together<'a>>,
    alone: Vec<Worked<'a>>,
    conflict: Option<Conflict>,
    proof: Option<Proof>,
}

impl<'a> Planner<'a> {
    fn new(
        set: &'a MeasurementSet,
        profile: &'a TargetProfile,
        workshop: &'a Workshop,
        evaluation: &'a Evaluation,
        effort: Effort,
        unsure: &'a Cell<bool>,
    ) -> Self {
        let stage = set.job.stage;
        let deck = look(set, profile, workshop, evaluation, stage);
        let mut range = deck.range;
        if range.most < range.least {
            // Too little is left to clean it: nothing is cut.
            range = DeckRange::default();
        }
        let shared = Shared {
            profile,
            workshop,
            stage,
            lifter: set.layout.lifter,
            weights: Weights::of(workshop.objective),
            deck: range,
            effort,
            unsure,
        };
        Self { set, profile, workshop, evaluation, shared, deck }
    }

    fn plan(&self) -> Plan {
        let (cases, mut ports) = self.triage();
        let found = self.search(cases);
        let chosen = found.together.as_ref().map_or(&found.alone, |together| &together.ports);
        ports.extend(
            found.cases.iter().zip(chosen).map(|(case, worked)| port_plan(case, worked, self.workshop)),
        );
        ports.extend(found.failed.iter().map(|(port, conflict)| without_plan(*port, conflict.clone())));
        let order: Vec<PortId> = self.set.layout.ports().collect();
        ports.sort_by_key(|plan| order.iter().position(|port| *port == plan.port));
        let deck = self.deck_cut(chosen);
        let beyond = self.beyond(found.proof.as_ref());
        let assumptions = self.assumptions(&found.cases, chosen);
        let waits = self.deck.waits_for_cam_bores;
        let outcome = outcome(&ports, deck.is_some(), found.together.is_none(), waits);
        let unpredictable = found.proof.as_ref().map_or(&[][..], |proof| &proof.unpredictable);
        let bench = Bench { set: self.set, ports: &ports, deck, deck_state: self.deck, unpredictable };
        // What does not go together is no work for the bench.
        let steps = if found.together.is_some() { bench.steps() } else { Vec::new() };
        Plan {
            objective: self.workshop.objective,
            outcome,
            totals: self.totals(&ports, chosen, deck),
            search: search(found.together.as_ref(), found.conflict.is_some(), self.shared.unsure.get()),
            conflict: found.conflict,
            proof: found.proof.map(Box::new),
            ports,
            deck,
            beyond,
            steps,
            assumptions,
        }
    }

    /// Ports that can be planned for, and plans of those that cannot.
    fn triage(&self) -> (Vec<Case<'a>>, Vec<PortPlan>) {
        let (mut cases, mut plans) = (Vec::new(), Vec::new());
        for rows in &self.evaluation.ports {
            match self.case(rows) {
                Ok(case) => cases.push(case),
                Err(plan) => plans.push(*plan),
            }
        }
        (cases, plans)
    }

    fn case(&self, rows: &'a PortRows) -> Result<Case<'a>, Box<PortPlan>> {
        let id = rows.port;
        let needs = Needs::of(rows);
        let Some(port) = self.set.port(id) else { return Err(Box::new(measure_first(id, needs.readings))) };
        if needs.guide {
            return Err(Box::new(idle(id, PortStatus::GuideFirst)));
        }
        if !needs.readings.is_empty() {
            return Err(Box::new(measure_first(id, needs.readings)));
        }
        let facts = Facts::of(self.set, self.profile, self.workshop, port, rows);
        if needs.seat && facts.seat.is_none() {
            let missing = facts.seat_lacks.iter().map(|moved| moved.id()).collect();
            return Err(Box::new(measure_first(id, missing)));
        }
        let zones = Zones::new(self.profile, id.service, self.shared.stage, rows);
        Ok(Case { port, rows, facts, needs, zones, banned: Vec::new() })
    }

    /// Plans, judges, and plans again with what the judge taught.
    fn search(&self, cases: Vec<Case<'a>>) -> Findings<'a> {
        let mut failed = Vec::new();
        let mut open: Vec<Open<'a>> = cases.into_iter().map(|case| (case, None)).collect();
        let (mut tries, mut eased) = (TRIES, TRIES);
        let mut shared = self.shared;
        shared.split_among(open.len());
        loop {
            self.alone(&shared, &mut open, &mut failed);
            if shared.split_among(open.len()) {
                // The price of the deck is borne by fewer ports than was thought.
                for (_, worked) in &mut open {
                    *worked = None;
                }
                continue;
            }
            let (mut cases, alone): (Vec<Case<'a>>, Vec<Worked<'a>>) =
                open.into_iter().filter_map(|(case, worked)| Some((case, worked?))).unzip();
            let cuts = alone.iter().any(|worked| worked.model.course.cuts_seat());
            if cuts && eased > 0 && self.shared.deck.most <= 0.0 {
                // What each port teaches by itself is learned before they are searched together, which takes longer.
                eased -= 1;
                let learned = self.learn_misses(&self.judged(&cases, &alone), &mut cases, &alone);
                if !learned.is_empty() {
                    open = opened(cases, alone, &learned);
                    continue;
                }
            }
            let rules = self.ground().rules(&cases);
            let (joint, apart) = match together(&cases, alone.clone(), &rules, &shared) {
                Ok(joint) => (Some(centred(&cases, joint, &rules, &shared)), None),
                Err(apart) => (None, Some(apart)),
            };
            let chosen = joint.as_ref().map_or(&alone, |joint| &joint.ports);
            let proof = self.prove(&cases, chosen);
            let learned = self.taught(proof.as_ref(), &mut cases, chosen);
            tries -= 1;
            if learned.is_empty() {
                let conflict = (apart == Some(Apart::Infeasible))
                    .then(|| conflict::of_head(&cases, &alone, &rules, &shared));
                return Findings { cases, failed, together: joint, alone, conflict, proof };
            }
            open = opened(cases, alone, &learned);
            if tries == 0 {
                let given_up = open.extract_if(.., |(_, worked)| worked.is_none());
                failed.extend(given_up.map(|(case, _)| (case.port.id, conflict::of_banned(&case))));
            }
            tries = tries.max(1);
        }
    }

    /// Each port by itself; one that has no plan leaves the cases.
    fn alone(&self, shared: &Shared<'a>, open: &mut Vec<Open<'a>>, failed: &mut Vec<(PortId, Conflict)>) {
        open.retain_mut(|(case, worked)| {
            if worked.is_none() {
                *worked = case.cheapest(shared);
            }
            if worked.is_none() {
                let port = case.port.id;
                let enough = |bound, least| self.enough(shared, port, bound, least);
                failed.push((port, conflict::of_port(case, shared, enough)));
            }
            worked.is_some()
        });
    }

    fn ground(&self) -> HeadGround<'a> {
        HeadGround {
            set: self.set,
            profile: self.profile,
            workshop: self.workshop,
            evaluation: self.evaluation,
            stage: self.shared.stage,
            deck_can_move: self.shared.deck.most > 0.0,
        }
    }

    fn deck_cut(&self, chosen: &[Worked<'a>]) -> Option<DeckCut> {
        let depth = self.depth(chosen);
        (depth > NOTHING).then(|| DeckCut { depth: length(depth), needed: length(self.deck.needed) })
    }

    /// What stays wrong with head and cylinders.
    fn beyond(&self, proof: Option<&Proof>) -> Vec<(Subject, CharacteristicId)> {
        let evaluation = proof.map_or(self.evaluation, |proof| &proof.evaluation);
        let mut beyond = still_bad_of_the_head(evaluation);
        if self.deck.waits_for_cam_bores {
            beyond.retain(|(_, id)| !is_of_the_deck(*id));
        }
        beyond
    }

    fn assumptions(&self, cases: &[Case<'a>], chosen: &[Worked<'a>]) -> Vec<Assumption> {
        let cuts = || cases.iter().zip(chosen).filter(|(_, worked)| worked.model.course.cuts_seat());
        let mut all = Vec::new();
        let by_hand =
            |(_, worked): (_, &Worked<'a>)| matches!(worked.model.course.seat, SeatCourse::Hand { .. });
        let mut note = |assumption, holds: bool| {
            if holds {
                all.push(assumption);
            }
        };
        note(Assumption::CuttersAtNominalAngles, self.workshop.cutters.is_empty() && cuts().any(by_hand));
        let seat = |(case, _): (&Case<'a>, _)| case.facts.seat;
        note(Assumption::NominalAngles, cuts().filter_map(seat).any(|seat| seat.nominal_angles));
        note(Assumption::UsualAngles, cuts().filter_map(seat).any(|seat| seat.usual_angles));
        note(Assumption::DiametersFromContact, cuts().filter_map(seat).any(|seat| seat.from_contact));
        note(Assumption::SameLength, chosen.iter().any(|worked| worked.model.length_taken_for_granted));
        all
    }

    fn totals(&self, ports: &[PortPlan], chosen: &[Worked<'a>], deck: Option<DeckCut>) -> Totals {
        let costs = &self.workshop.costs;
        let planned = || ports.iter().filter(|plan| plan.status == PortStatus::Planned);
        let count = |numbers: usize| u16::try_from(numbers).unwrap_or(u16::MAX);
        let shims: u16 = planned().flat_map(|plan| &plan.shims).map(|(_, count)| u16::from(*count)).sum();
        let tips = planned().filter(|plan| plan.tip_grind.is_some()).count();
        let fixed = chosen.iter().map(|worked| worked.model.course.fixed_cost(self.workshop));
        let (minutes, money) = fixed.fold((0.0, 0.0), |sum, own| (sum.0 + own.0, sum.1 + own.1));
        let extra = f64::from(shims) * costs.shim
            + f64::from(count(tips)) * costs.tip_grind
            + if deck.is_some() { costs.deck_cut } else { 0.0 };
        Totals {
            ports: count(planned().count()),
            sink: on_grid(planned().map(|plan| plan.sink.to_f64()).sum(), Kind::Length),
            new_parts: count(planned().map(|plan| plan.new_parts.len()).sum()),
            shims,
            minutes: minutes + extra,
            cost: extra.mul_add(costs.per_minute, money),
        }
    }
}

/// What the judge taught of these is planned once more.
fn opened<'a>(cases: Vec<Case<'a>>, worked: Vec<Worked<'a>>, learned: &[usize]) -> Vec<Open<'a>> {
    let pairs = cases.into_iter().zip(worked).enumerate();
    pairs.map(|(index, (case, worked))| (case, (!learned.contains(&index)).then_some(worked))).collect()
}

/// What is free for each port drawn to the middle.
fn centred<'a>(
    cases: &[Case<'a>],
    joint: Together<'a>,
    rules: &[HeadRule],
    shared: &Shared<'a>,
) -> Together<'a> {
    if joint.joined {
        // What is free for one port is not free for all together.
        return joint;
    }
    // One after the other, and only as far as all that ports have in common stays as it should be.
    let mut ports = joint.ports;
    for (index, case) in cases.iter().enumerate() {
        let before = ports[index].clone();
        ports[index] = case.centred(shared, before.clone());
        if !rules.iter().all(|rule| rule.is_met(&ports, shared.workshop)) {
            ports[index] = before;
        }
    }
    Together { ports, ..joint }
}

fn outcome(ports: &[PortPlan], deck: bool, apart: bool, deck_waits: bool) -> Outcome {
    let any = |status| ports.iter().any(|plan| plan.status == status);
    if apart || any(PortStatus::NoPlan) {
        Outcome::NoPlan
    } else if deck_waits || any(PortStatus::GuideFirst) || any(PortStatus::MeasureFirst) {
        Outcome::Staged
    } else if any(PortStatus::Planned) || deck {
        Outcome::Planned
    } else {
        Outcome::NothingToDo
    }
}

/// Ports that are not together either have a conflict, or the search ended before it knew.
fn search(together: Option<&Together<'_>>, conflict: bool, unsure: bool) -> Search {
    let Some(found) = together else {
        return Search {
            proved_best: false,
            objective: None,
            gap: None,
            nodes: 0,
            limit_hit: !conflict || unsure,
            joined: true,
        };
    };
    const SAME: f64 = 1e-9;
    let away = (found.price - found.bound).max(0.0);
    let gap = if away < SAME { 0.0 } else { away / found.price.abs().max(SAME) };
    Search {
        proved_best: found.proved && gap == 0.0 && !unsure,
        objective: Some(found.price),
        gap: gap.is_finite().then_some(gap),
        nodes: found.nodes,
        limit_hit: found.limit_hit || unsure,
        joined: found.joined,
    }
}
