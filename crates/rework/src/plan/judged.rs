//! Plans before the judge, as planned and as missed.

use headproof_head::{Evaluation, Proof};
use headproof_judge::evaluate;

use super::Planner;
use crate::apply::applied;
use crate::case::{Case, Worked};
use crate::present::is_work;
use crate::proof::{as_missed, learn, learn_misses, prove};

impl<'a> Planner<'a> {
    /// The judged prediction, where anything is done at all.
    pub(super) fn prove(&self, cases: &[Case<'a>], chosen: &[Worked<'a>]) -> Option<Proof> {
        let depth = self.depth(chosen);
        let works = cases.iter().zip(chosen).any(|(case, worked)| is_work(case, worked, self.workshop));
        (works || depth > 0.0)
            .then(|| prove(applied(self.set, self.workshop, cases, chosen, depth), self.profile))
    }

    /// Learns from the judged prediction, and says of which ports there was something to learn.
    pub(super) fn taught(
        &self,
        proof: Option<&Proof>,
        cases: &mut [Case<'a>],
        chosen: &[Worked<'a>],
    ) -> Vec<usize> {
        let Some(proof) = proof else { return Vec::new() };
        let mut learned = learn(proof, self.profile, cases, chosen);
        learned.extend(self.learn_misses(&proof.evaluation, cases, chosen));
        learned
    }

    /// Learns from the same plans with their cuts missed.
    pub(super) fn learn_misses(
        &self,
        planned: &Evaluation,
        cases: &mut [Case<'a>],
        chosen: &[Worked<'a>],
    ) -> Vec<usize> {
        let missed = as_missed(chosen, |missed| self.judged(cases, missed));
        learn_misses(planned, &missed, self.profile, cases, chosen)
    }

    /// What the judge says of these plans.
    pub(super) fn judged(&self, cases: &[Case<'a>], chosen: &[Worked<'a>]) -> Evaluation {
        evaluate(&applied(self.set, self.workshop, cases, chosen, self.depth(chosen)), self.profile)
    }

    /// What comes off the deck.
    pub(super) fn depth(&self, chosen: &[Worked<'a>]) -> f64 {
        let of_port = |worked: &Worked<'a>| worked.model.handles.deck.map(|var| worked.decisions[var]);
        chosen.iter().find_map(of_port).unwrap_or(self.shared.deck.least)
    }
}
