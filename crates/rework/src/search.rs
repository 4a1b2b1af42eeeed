//! The best plan for all ports together.
//!
//! Ports hang together only by a few things: the deck, the chambers, the shelf, equal protrusion. First each is
//! planned as if it stood alone; the sum of their prices is a bound that no plan of the whole head can beat. If
//! these plans happen to meet all that the ports have in common, they are the best plan. Only where they do
//! not, the ports are planned together: first with the courses they would take alone, which gives a plan and
//! its price; then with every course that could still belong to a better one.

use headproof_head::Bound;

use crate::case::{Case, NOISE, SAME_PRICE, Shared, Worked};
use crate::head_rules::{HeadRule, Share, Total, share_of};
use crate::port_model::PortModel;
use crate::solver::{Decision, Effort, Program, Solved};

/// Ports planned together.
#[derive(Debug, Clone)]
pub(crate) struct Together<'a> {
    pub(crate) ports: Vec<Worked<'a>>,
    pub(crate) price: f64,
    /// No plan can be cheaper than this.
    pub(crate) bound: f64,
    pub(crate) nodes: u64,
    pub(crate) proved: bool,
    pub(crate) limit_hit: bool,
    pub(crate) joined: bool,
}

/// Why ports could not be planned together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Apart {
    /// There is no such plan.
    Infeasible,
    /// The search ended before it knew.
    Unknown,
}

/// Decisions in one program that is still solved in reasonable time.
const ROOM: usize = 8_000;

/// Plans ports, each of which has a plan of its own, together.
pub(crate) fn together<'a>(
    cases: &[Case<'a>],
    alone: Vec<Worked<'a>>,
    rules: &[HeadRule],
    shared: &Shared<'a>,
) -> Result<Together<'a>, Apart> {
    let bound: f64 = alone.iter().map(|worked| worked.price).sum();
    let nodes = alone.iter().map(|worked| worked.nodes).sum();
    let proved = alone.iter().all(|worked| worked.proved);
    if rules.iter().all(|rule| rule.is_met(&alone, shared.workshop)) {
        let limit_hit = !proved;
        return Ok(Together { ports: alone, price: bound, bound, nodes, proved, limit_hit, joined: false });
    }
    let (ways, all_there) = every_way(cases, &alone, shared, ROOM);
    let join = |ways: &Ways<'a>| Join { ways, rules, shared, passing: None }.solve(shared.effort);
    let first = first_found(&ways, all_there, join)?;
    let dearer = first.price - bound;
    if dearer <= SAME_PRICE {
        return Ok(Together { bound, proved: proved && first.proved, ..first });
    }
    // Every course that could still belong to a cheaper plan.
    let near = beside(&ways, |way, cheapest| way.price <= cheapest.price + dearer + SAME_PRICE);
    Ok(match join(&near) {
        Ok(all) if all.price <= first.price + NOISE && all_there => {
            Together { bound: all.bound.max(bound), ..all }
        }
        Ok(all) if all.price <= first.price + NOISE => {
            Together { bound, proved: false, limit_hit: true, ..all }
        }
        Ok(_) | Err(_) => Together { bound, proved: false, limit_hit: true, ..first },
    })
}

/// The courses of each port that lead to a plan for it alone, the cheapest first.
pub(crate) type Ways<'a> = Vec<Vec<Worked<'a>>>;

/// Every such course, as far as there is room for them in one program, and whether that is all of them.
pub(crate) fn every_way<'a>(
    cases: &[Case<'a>],
    alone: &[Worked<'a>],
    shared: &Shared<'a>,
    room: usize,
) -> (Ways<'a>, bool) {
    let per_way: usize = alone.iter().map(|worked| worked.model.decisions.len().max(1)).sum();
    let most = (room / per_way.max(1)).max(1);
    let mut all_there = true;
    let of_port = |(case, cheapest): (&Case<'a>, &Worked<'a>)| {
        let (ways, all) = case.all_ways(shared, most);
        all_there &= all;
        let others = ways.into_iter().filter(|way| way.model.course != cheapest.model.course);
        std::iter::once(cheapest.clone()).chain(others).take(most).collect()
    };
    (cases.iter().zip(alone).map(of_port).collect(), all_there)
}

/// The cheapest way of each port, and those beside it that are kept.
fn beside<'a>(ways: &Ways<'a>, keep: impl Fn(&Worked<'a>, &Worked<'a>) -> bool) -> Ways<'a> {
    let of_port = |ways: &Vec<Worked<'a>>| {
        let kept = ways.iter().skip(1).filter(|way| keep(way, &ways[0]));
        ways.iter().take(1).chain(kept).cloned().collect()
    };
    ways.iter().map(of_port).collect()
}

/// Some plan for all ports: with the courses they would take alone; then with others that need no further new
/// part, one more, any number.
fn first_found<'a>(
    ways: &Ways<'a>,
    all_there: bool,
    join: impl Fn(&Ways<'a>) -> Result<Together<'a>, Apart>,
) -> Result<Together<'a>, Apart> {
    let mut unknown = !all_there;
    let mut tried = 0;
    for more_parts in [None, Some(0), Some(1), Some(u16::MAX)] {
        let within = |way: &Worked<'a>, cheapest: &Worked<'a>| {
            let parts = cheapest.model.course.new_parts();
            more_parts.is_some_and(|more| way.model.course.new_parts() <= parts.saturating_add(more))
        };
        let tight = beside(ways, within);
        let size = tight.iter().map(Vec::len).sum();
        if size == tried {
            continue;
        }
        tried = size;
        match join(&tight) {
            Ok(found) => return Ok(found),
            Err(apart) => unknown |= apart == Apart::Unknown,
        }
    }
    Err(if unknown { Apart::Unknown } else { Apart::Infeasible })
}

/// Can ports be planned together when the rules of these bounds are left out, of the head and of the ports?
pub(crate) fn feasible_together<'a>(
    ways: &Ways<'a>,
    rules: &[HeadRule],
    dropped: &[Bound],
    shared: &Shared<'a>,
) -> bool {
    let kept: Vec<HeadRule> = rules.iter().filter(|rule| !dropped.contains(&rule.bound())).cloned().collect();
    let loosened = changed(ways, |model| model.without(|bound| dropped.contains(&bound)));
    let join = Join { ways: &loosened, rules: &kept, shared, passing: None };
    // What the search could not find out is not held against anything.
    !matches!(join.solve(Effort::BRIEF), Err(Apart::Infeasible))
}

/// By how much one bound has to be passed at least for all the others to be met together; nothing where the
/// search ended before it knew.
pub(crate) fn least_excess<'a>(
    ways: &Ways<'a>,
    rules: &[HeadRule],
    passing: Bound,
    shared: &Shared<'a>,
) -> Option<f64> {
    let free = changed(ways, |model| {
        let mut model = PortModel { price: 0.0, ..model.clone() };
        for decision in &mut model.decisions {
            decision.price = 0.0;
        }
        model
    });
    let join = Join { ways: &free, rules, shared, passing: Some(passing) };
    join.solve(Effort::BRIEF).ok().filter(|found| found.proved).map(|found| found.price)
}

/// Ways whose models were changed: what they cost at least is not known any more.
fn changed<'a>(ways: &Ways<'a>, change: impl Fn(&PortModel<'a>) -> PortModel<'a>) -> Ways<'a> {
    let of_way =
        |way: &Worked<'a>| Worked { model: change(&way.model), price: f64::NEG_INFINITY, ..way.clone() };
    ways.iter().map(|ways| ways.iter().map(of_way).collect()).collect()
}

/// Several courses a port, all ports in one program.
struct Join<'j, 'a> {
    ways: &'j Ways<'a>,
    rules: &'j [HeadRule],
    shared: &'j Shared<'a>,
    /// A bound that may be passed, at a price of one for each unit.
    passing: Option<Bound>,
}

/// Where a model's decisions begin in the joint program, and the decision that takes its course.
struct Placed {
    first: usize,
    taken: Option<usize>,
}

impl<'a> Join<'_, 'a> {
    fn solve(&self, effort: Effort) -> Result<Together<'a>, Apart> {
        let mut program = Program::new();
        const FAR: f64 = 1e4;
        let passed = self.passing.map(|bound| (bound, program.decide(0.0, FAR, 1.0)));
        let placed: Vec<Vec<Placed>> =
            self.ways.iter().map(|ways| place(&mut program, ways, passed)).collect();
        for rule in self.rules {
            self.add_rule(&mut program, &placed, rule, passed);
        }
        let found = match program.solve(effort) {
            Solved::Found(found) => found,
            Solved::Infeasible => return Err(Apart::Infeasible),
            Solved::Unknown => return Err(Apart::Unknown),
        };
        let base: f64 = self.ways.iter().filter(|ways| ways.len() == 1).map(|ways| ways[0].model.price).sum();
        let ports = self.ways.iter().zip(&placed).map(|(ways, placed)| {
            let is_taken = |placed: &Placed| placed.taken.is_none_or(|taken| found.decisions[taken] > 0.5);
            let which = placed.iter().position(is_taken).unwrap_or(0);
            let (model, first) = (&ways[which].model, placed[which].first);
            let decisions = found.decisions[first..first + model.decisions.len()].to_vec();
            let price = model.price_of(&decisions);
            Worked { model: model.clone(), decisions, price, nodes: 0, proved: found.proved }
        });
        Ok(Together {
            ports: ports.collect(),
            price: found.price + base,
            bound: found.bound + base,
            nodes: found.nodes,
            proved: found.proved,
            limit_hit: !found.proved,
            joined: true,
        })
    }

    fn add_rule(
        &self,
        program: &mut Program,
        placed: &[Vec<Placed>],
        rule: &HeadRule,
        passed: Option<(Bound, usize)>,
    ) {
        let passed = passed.filter(|(bound, _)| *bound == rule.bound()).map(|(_, passed)| (passed, -1.0));
        match rule {
            HeadRule::AtMost { total, at_most, .. } => {
                let (terms, constant) = self.terms(placed, total, 1.0);
                program.rule(terms.into_iter().chain(passed), at_most - constant);
            }
            HeadRule::Spread { totals, .. } if totals.len() < 2 => {}
            HeadRule::Spread { totals, at_most, .. } => {
                const FAR: f64 = 1e5;
                let (low, high) = (program.decide(-FAR, FAR, 0.0), program.decide(-FAR, FAR, 0.0));
                for total in totals {
                    let (mut terms, constant) = self.terms(placed, total, 1.0);
                    terms.push((high, -1.0));
                    program.rule(terms, -constant);
                    let (mut terms, constant) = self.terms(placed, total, -1.0);
                    terms.push((low, 1.0));
                    program.rule(terms, -constant);
                }
                program.rule([(high, 1.0), (low, -1.0)].into_iter().chain(passed), *at_most);
            }
            HeadRule::OneDeck => {
                let deck = program.decide(self.shared.deck.least, self.shared.deck.most, 0.0);
                for port in 0..self.ways.len() {
                    let own = Total { constant: 0.0, terms: vec![(port, Share::Deck, 1.0)] };
                    let (mut terms, constant) = self.terms(placed, &own, 1.0);
                    terms.push((deck, -1.0));
                    program.equal(terms, -constant);
                }
            }
        }
    }

    /// `sign` times a total with what it may be off added: its terms in the joint program and its constant.
    fn terms(&self, placed: &[Vec<Placed>], total: &Total, sign: f64) -> (Vec<(usize, f64)>, f64) {
        let mut terms: Vec<(usize, f64)> = Vec::new();
        let mut constant = sign * total.constant;
        for (case, share, times) in &total.terms {
            for (way, place) in self.ways[*case].iter().zip(&placed[*case]) {
                let model = &way.model;
                let value = share_of(*share, model, self.shared.workshop).times(sign * times);
                let fixed = value.constant + value.spread(model.tolerance);
                match place.taken {
                    Some(taken) => push(&mut terms, taken, fixed),
                    None => constant += fixed,
                }
                for (var, coefficient) in value.terms {
                    push(&mut terms, place.first + var, coefficient);
                }
            }
        }
        (terms, constant)
    }
}

fn push(terms: &mut Vec<(usize, f64)>, var: usize, coefficient: f64) {
    match terms.iter_mut().find(|(own, _)| *own == var) {
        Some((_, own)) => *own += coefficient,
        None => terms.push((var, coefficient)),
    }
}

/// Puts the models of one port into the program. Of several exactly one is taken; the decisions of the others
/// are nothing.
fn place(program: &mut Program, ways: &[Worked<'_>], passed: Option<(Bound, usize)>) -> Vec<Placed> {
    let one_of_several = ways.len() > 1;
    let mut placed = Vec::with_capacity(ways.len());
    for way in ways {
        let model = &way.model;
        let taken = one_of_several.then(|| program.count(0, 1, model.price));
        let mut first = None;
        for decision in &model.decisions {
            let (least, most) = (decision.least.min(0.0), decision.most.max(0.0));
            let or_nothing = Decision { least, most, ..*decision };
            let var = program.add(if one_of_several { or_nothing } else { *decision });
            first.get_or_insert(var);
            if let Some(taken) = taken {
                program.rule([(var, 1.0), (taken, -decision.most)], 0.0);
                program.rule([(var, -1.0), (taken, decision.least)], 0.0);
            }
        }
        for rule in &model.rules {
            let first = first.unwrap_or(0);
            let mut terms: Vec<_> = rule.terms.iter().map(|(var, c)| (first + var, *c)).collect();
            terms.extend(
                passed.filter(|(bound, _)| Some(*bound) == rule.bound).map(|(_, passed)| (passed, -1.0)),
            );
            match taken {
                Some(taken) => {
                    push(&mut terms, taken, -rule.at_most);
                    program.rule(terms, 0.0);
                }
                None => program.rule(terms, rule.at_most),
            }
        }
        // Its decisions cost no less among others than alone; a solver that is told so need not find it out by
        // branching.
        let least = way.price - model.price;
        if way.proved && least > SAME_PRICE {
            let first = first.unwrap_or(0);
            let spent = model.decisions.iter().enumerate().map(|(var, own)| (first + var, -own.price));
            match taken {
                Some(taken) => program.rule(spent.chain([(taken, least - SAME_PRICE)]), 0.0),
                None => program.rule(spent, SAME_PRICE - least),
            }
        }
        placed.push(Placed { first: first.unwrap_or(0), taken });
    }
    if one_of_several {
        program.equal(placed.iter().filter_map(|placed| placed.taken).map(|taken| (taken, 1.0)), 1.0);
    }
    placed
}
