//! One port on its way to a plan.

use std::cell::Cell;

use headproof_head::{Bound, CharacteristicId, Lifter, Port, PortRows, Stage, TargetProfile, Workshop};

use crate::course::{Course, Courses, Ground};
use crate::cure::Needs;
use crate::facts::Facts;
use crate::moved::Zones;
use crate::port_model::{DeckRange, PortModel, Rule, build, least_price};
use crate::solver::{Effort, Found, Program, Solved};
use crate::weights::Weights;

/// What all ports share.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Shared<'a> {
    pub(crate) profile: &'a TargetProfile,
    pub(crate) workshop: &'a Workshop,
    pub(crate) stage: Stage,
    pub(crate) lifter: Lifter,
    pub(crate) weights: Weights,
    pub(crate) deck: DeckRange,
    pub(crate) effort: Effort,
    /// Set where a search ended before it knew, or something was not looked at.
    pub(crate) unsure: &'a Cell<bool>,
}

impl Shared<'_> {
    /// Spreads the price of a deck that can be cut over so many ports; says whether that is another number
    /// than before.
    pub(crate) fn split_among(&mut self, ports: usize) -> bool {
        if self.deck.most <= 0.0 || self.deck.ports == ports {
            return false;
        }
        self.deck.ports = ports;
        true
    }
}

/// One port that can be planned for.
#[derive(Debug, Clone)]
pub(crate) struct Case<'a> {
    pub(crate) port: &'a Port,
    pub(crate) rows: &'a PortRows,
    pub(crate) facts: Facts,
    pub(crate) needs: Needs,
    pub(crate) zones: Zones,
    /// Courses whose outcome the judge did not let pass, by what it found.
    pub(crate) banned: Vec<(Course<'a>, CharacteristicId)>,
}

/// A course with decisions that meet every rule of its port.
#[derive(Debug, Clone)]
pub(crate) struct Worked<'a> {
    pub(crate) model: PortModel<'a>,
    pub(crate) decisions: Vec<f64>,
    /// Price of course and decisions.
    pub(crate) price: f64,
    pub(crate) nodes: u64,
    pub(crate) proved: bool,
}

/// What a solver's tolerances may make of one price.
pub(crate) const NOISE: f64 = 1e-6;

/// Of two prices this far apart neither is the better one.
pub(crate) const SAME_PRICE: f64 = 1e-9;

impl<'a> Case<'a> {
    fn ground<'c>(&'c self, shared: &Shared<'a>) -> Ground<'a, 'c> {
        Ground {
            port: self.port,
            profile: shared.profile,
            stage: shared.stage,
            workshop: shared.workshop,
            facts: &self.facts,
            needs: &self.needs,
            lifter: shared.lifter,
        }
    }

    /// Every course that is still open.
    pub(crate) fn courses(&self, shared: &Shared<'a>) -> Courses<'a> {
        let mut courses = self.ground(shared).courses();
        courses.list.retain(|course| self.banned.iter().all(|(banned, _)| banned != course));
        courses
    }

    /// Could a course that was left out be cheaper than this?
    fn may_be_beaten(&self, shared: &Shared<'a>, left_out: Option<u16>, price: f64) -> bool {
        left_out
            .is_some_and(|parts| shared.weights.price(parts, self.ground(shared).least_money(parts)) < price)
    }

    /// Every course that leads to a plan for this port alone, cheapest first; at most so many. Says whether that
    /// is all of them.
    pub(crate) fn all_ways(&self, shared: &Shared<'a>, most: usize) -> (Vec<Worked<'a>>, bool) {
        let courses = self.courses(shared);
        let worked = courses.list.into_iter().filter_map(|course| tried(self.model(shared, course), shared));
        let mut ways: Vec<Worked<'a>> = worked.collect();
        ways.sort_by(|a, b| a.price.total_cmp(&b.price));
        let all = ways.len() <= most && courses.left_out.is_none();
        ways.truncate(most);
        (ways, all)
    }

    /// What a course costs at least.
    pub(crate) fn least_price(&self, shared: &Shared<'a>, course: &Course<'a>) -> f64 {
        least_price(&self.ground(shared), course, &shared.weights)
    }

    /// The model of one course.
    pub(crate) fn model(&self, shared: &Shared<'a>, course: Course<'a>) -> PortModel<'a> {
        build(&self.ground(shared), &self.zones, course, shared.deck, &shared.weights)
    }

    /// Nothing done at all, where nothing is wrong and the deck above does no harm. Nothing is cheaper.
    fn idle(&self, shared: &Shared<'a>) -> Option<Worked<'a>> {
        if !self.needs.nothing() {
            return None;
        }
        let model = self.model(shared, Course::LEAVE);
        let mut decisions: Vec<f64> = model.decisions.iter().map(|decision| decision.least).collect();
        if let (Some(var), Some(old)) = (model.handles.lash_shim, self.facts.lash_shim) {
            decisions[var] = old;
        }
        let price = model.price_of(&decisions);
        model.is_met_by(&decisions).then_some(Worked { model, decisions, price, nodes: 0, proved: true })
    }

    /// The cheapest course, planned as if there were no other port. Courses that cannot beat one already
    /// found are not worked out.
    pub(crate) fn cheapest(&self, shared: &Shared<'a>) -> Option<Worked<'a>> {
        if let Some(idle) = self.idle(shared) {
            return Some(idle);
        }
        let Courses { list, left_out } = self.courses(shared);
        let cheapest = self.cheapest_of(shared, list);
        if cheapest.is_none() && left_out.is_some() {
            shared.unsure.set(true);
        }
        let cheapest = cheapest?;
        let proved = cheapest.proved && !self.may_be_beaten(shared, left_out, cheapest.price);
        Some(Worked { proved, ..cheapest })
    }

    /// The cheapest of these courses.
    pub(crate) fn cheapest_of(&self, shared: &Shared<'a>, courses: Vec<Course<'a>>) -> Option<Worked<'a>> {
        let priced = courses.into_iter().map(|course| (self.least_price(shared, &course), course));
        let mut courses: Vec<(f64, Course<'a>)> = priced.collect();
        courses.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut best: Option<Worked<'a>> = None;
        for (least, course) in courses {
            if best.as_ref().is_some_and(|best| best.price <= least + SAME_PRICE) {
                break;
            }
            let Some(worked) = tried(self.model(shared, course), shared) else { continue };
            if best.as_ref().is_none_or(|best| worked.price < best.price - SAME_PRICE) {
                best = Some(worked);
            }
        }
        best
    }

    /// The same course and price, with what is free drawn to the middle of its zone.
    pub(crate) fn centred(&self, shared: &Shared<'a>, worked: Worked<'a>) -> Worked<'a> {
        if self.needs.nothing() {
            // What is in order is left alone.
            return worked;
        }
        let drawn = worked.model.drawn_to_the_middle(&self.zones, &shared.weights);
        if drawn.decisions.len() == worked.model.decisions.len() {
            return worked;
        }
        let own = worked.model.decisions.len();
        let Some(mut centred) = work_out(drawn, shared.effort) else { return worked };
        centred.decisions.truncate(own);
        if worked.model.price_of(&centred.decisions) > worked.price + NOISE {
            return worked;
        }
        Worked { decisions: centred.decisions, ..worked }
    }
}

/// Does any of these models have decisions when the rules of these bounds are left out?
pub(crate) fn feasible_without(models: &[PortModel<'_>], dropped: &[Bound], effort: Effort) -> bool {
    models
        .iter()
        .any(|model| matches!(decided(model, |bound| dropped.contains(&bound), effort), Solved::Found(_)))
}

fn decided(model: &PortModel<'_>, dropped: impl Fn(Bound) -> bool, effort: Effort) -> Solved {
    let kept = || model.rules.iter().filter(|rule| !rule.bound.is_some_and(&dropped));
    if kept().any(Rule::is_hopeless) {
        return Solved::Infeasible;
    }
    let mut program = Program::new();
    for decision in &model.decisions {
        program.add(*decision);
    }
    for rule in kept() {
        program.rule(rule.terms.iter().copied(), rule.at_most);
    }
    program.solve(effort)
}

/// The cheapest decisions of one model.
pub(crate) fn work_out(model: PortModel<'_>, effort: Effort) -> Option<Worked<'_>> {
    match decided(&model, |_| false, effort) {
        Solved::Found(found) => Some(worked(model, found)),
        Solved::Infeasible | Solved::Unknown => None,
    }
}

/// The same, noting where the search ended before it knew.
fn tried<'m>(model: PortModel<'m>, shared: &Shared<'_>) -> Option<Worked<'m>> {
    match decided(&model, |_| false, shared.effort) {
        Solved::Found(found) => Some(worked(model, found)),
        Solved::Infeasible => None,
        Solved::Unknown => {
            shared.unsure.set(true);
            None
        }
    }
}

fn worked(model: PortModel<'_>, found: Found) -> Worked<'_> {
    let Found { decisions, price, nodes, proved, .. } = found;
    Worked { price: price + model.price, decisions, nodes, proved, model }
}
