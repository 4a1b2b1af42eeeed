//! Linear programs with whole numbers, handed to the solver (crate `microlp`: simplex and branch and bound).

use microlp::{
    ComparisonOp, LinearExpr, OptimizationDirection, Problem, SolveOptions, SolveOutcome, TerminationReason,
};

use crate::affine::Var;

/// How much searching is worth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Branches of a program of a hundred decisions that may be looked at; of a larger one fewer, as each takes
    /// longer. A count and not a time, so that the same question gets the same answer on every machine.
    pub nodes: u64,
}

impl Effort {
    /// For questions that are asked many times over, and where not to know is no harm.
    pub(crate) const BRIEF: Self = Self { nodes: 100 };

    fn nodes_for(self, decisions: usize) -> u64 {
        const HUNDRED: u64 = 100;
        let decisions = u64::try_from(decisions).unwrap_or(u64::MAX).max(HUNDRED);
        (self.nodes.saturating_mul(HUNDRED) / decisions).max(1)
    }
}

impl Default for Effort {
    fn default() -> Self {
        Self { nodes: 2_000 }
    }
}

/// Something to decide: between two ends, at a price for each unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Decision {
    pub(crate) least: f64,
    pub(crate) most: f64,
    pub(crate) price: f64,
    pub(crate) whole: bool,
}

/// Decisions, prices and rules, ready to be solved.
pub(crate) struct Program {
    problem: Problem,
    vars: Vec<microlp::Variable>,
    whole: Vec<bool>,
    hopeless: bool,
}

/// What came out.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Solved {
    /// The best there is, or the best that was found.
    Found(Found),
    /// There is none.
    Infeasible,
    /// The search ended before it knew.
    Unknown,
}

/// Decisions that meet every rule.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Found {
    pub(crate) decisions: Vec<f64>,
    pub(crate) price: f64,
    /// No decisions can be better than this.
    pub(crate) bound: f64,
    pub(crate) proved: bool,
    pub(crate) nodes: u64,
}

/// A rule without decisions is met when it is met by so much.
const NEARLY: f64 = 1e-9;

impl Program {
    pub(crate) fn new() -> Self {
        Self {
            problem: Problem::new(OptimizationDirection::Minimize),
            vars: Vec::new(),
            whole: Vec::new(),
            hopeless: false,
        }
    }

    pub(crate) fn decide(&mut self, least: f64, most: f64, price: f64) -> Var {
        self.vars.push(self.problem.add_var(price, (least, most)));
        self.whole.push(false);
        self.vars.len() - 1
    }

    pub(crate) fn count(&mut self, least: i32, most: i32, price: f64) -> Var {
        self.vars.push(self.problem.add_integer_var(price, (least, most)));
        self.whole.push(true);
        self.vars.len() - 1
    }

    pub(crate) fn add(&mut self, decision: Decision) -> Var {
        let Decision { least, most, price, whole } = decision;
        if whole {
            #[expect(clippy::cast_possible_truncation, reason = "counts of shims")]
            self.count(least as i32, most as i32, price)
        } else {
            self.decide(least, most, price)
        }
    }

    /// Σ coefficient · decision ≤ `at_most`.
    pub(crate) fn rule(&mut self, terms: impl IntoIterator<Item = (Var, f64)>, at_most: f64) {
        self.compare(terms, false, at_most);
    }

    /// Σ coefficient · decision = `amount`.
    pub(crate) fn equal(&mut self, terms: impl IntoIterator<Item = (Var, f64)>, amount: f64) {
        self.compare(terms, true, amount);
    }

    fn compare(&mut self, terms: impl IntoIterator<Item = (Var, f64)>, equal: bool, right: f64) {
        let mut expression = LinearExpr::empty();
        let mut any = false;
        for (var, coefficient) in terms {
            if coefficient.abs() > 1e-12 {
                expression.add(self.vars[var], coefficient);
                any = true;
            }
        }
        if any {
            let op = if equal { ComparisonOp::Eq } else { ComparisonOp::Le };
            self.problem.add_constraint(expression, op, right);
        } else {
            self.hopeless |= right < -NEARLY || (equal && right > NEARLY);
        }
    }

    /// The cheapest decisions that meet every rule.
    pub(crate) fn solve(&self, effort: Effort) -> Solved {
        if self.hopeless {
            return Solved::Infeasible;
        }
        let mut options = SolveOptions::default();
        options.node_limit = Some(effort.nodes_for(self.vars.len()));
        // These programs are small: tidying them up first takes longer than it saves.
        options.presolve = false;
        options.dual_fixing = false;
        match self.problem.solve_with(options) {
            Err(microlp::Error::Infeasible) => Solved::Infeasible,
            Err(_) | Ok(SolveOutcome::Interrupted(_)) => Solved::Unknown,
            Ok(SolveOutcome::Solution(solution)) => {
                let value = |(var, whole): (&microlp::Variable, &bool)| {
                    let value = solution.var_value(*var);
                    if *whole { value.round() } else { value }
                };
                let price = solution.objective();
                let stats = solution.stats();
                let proved = solution.termination_reason() == TerminationReason::ProvenOptimal;
                Solved::Found(Found {
                    decisions: self.vars.iter().zip(&self.whole).map(value).collect(),
                    price,
                    bound: if proved { price } else { stats.best_bound.unwrap_or(f64::NEG_INFINITY) },
                    proved,
                    nodes: stats.nodes_solved,
                })
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked example of branch and bound; the optimum 8·0 + 5·... is found by enumeration here.
    #[test]
    fn whole_numbers_are_whole_and_the_best() {
        let mut program = Program::new();
        let (x, y) = (program.count(0, 10, -5.0), program.count(0, 10, -4.0));
        program.rule([(x, 6.0), (y, 4.0)], 24.0);
        program.rule([(x, 1.0), (y, 2.0)], 6.0);
        let best = (0..=10)
            .flat_map(|x| (0..=10).map(move |y| (x, y)))
            .filter(|(x, y)| 6 * x + 4 * y <= 24 && x + 2 * y <= 6)
            .map(|(x, y)| -5 * x - 4 * y)
            .min();
        let Solved::Found(found) = program.solve(Effort::default()) else { panic!("feasible") };
        assert!((found.price - f64::from(best.unwrap())).abs() < 1e-9);
        assert!(found.proved);
    }

    #[test]
    fn rules_that_fight_leave_nothing() {
        let mut program = Program::new();
        let x = program.decide(0.0, 10.0, 1.0);
        program.rule([(x, 1.0)], 2.0);
        program.rule([(x, -1.0)], -3.0);
        assert_eq!(program.solve(Effort::default()), Solved::Infeasible);
        let mut empty = Program::new();
        empty.rule([], -1.0);
        assert_eq!(empty.solve(Effort::default()), Solved::Infeasible);
    }
}
