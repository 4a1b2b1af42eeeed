//! What a concession has to be, tried out: the port is planned and judged as if the limit had given way.

use std::cell::Cell;
use std::slice;

use headproof_head::{Bound, PortId, PortStatus, TargetProfile};
use headproof_judge::evaluate;
use headproof_quantity::Exact;

use super::{Planner, TRIES};
use crate::case::{Case, Shared};
use crate::conflict::least_concession;
use crate::moved::HAIR;
use crate::proof::is_unpredictable;

/// More than a hair, less than any gauge shows: as much more is tried where a course that the judge turned down tells no
/// amount.
const STEP: f64 = 1e-5;

impl<'a> Planner<'a> {
    /// The least that a limit has to give way for the judge to let a plan of this port pass, from `least` on; nothing
    /// where no amount that was tried is enough.
    pub(super) fn enough(&self, shared: &Shared<'a>, port: PortId, bound: Bound, least: f64) -> Option<f64> {
        const ROUNDS: usize = 4;
        let mut by = least;
        let mut too_little = None;
        for _ in 0..ROUNDS {
            match self.short_of(shared, port, bound, by) {
                Ok(()) => {
                    let is_enough = |by| self.short_of(shared, port, bound, by).is_ok();
                    return Some(too_little.map_or(by, |too_little| halved(too_little, by, is_enough)));
                }
                Err(more) => {
                    too_little = Some(by);
                    by += more.unwrap_or(0.0).max(STEP);
                }
            }
        }
        None
    }

    /// Is there a plan for this port when the limit gives way by so much? Else by how much more it has to, as far as
    /// that can be told.
    fn short_of(&self, shared: &Shared<'a>, port: PortId, bound: Bound, by: f64) -> Result<(), Option<f64>> {
        let profile = self.conceded(port, bound, by + 2.0 * HAIR).ok_or(None)?;
        let evaluation = evaluate(self.set, &profile);
        // What this search leaves out says nothing of the plan.
        let unsure = Cell::new(false);
        let shared = Shared { profile: &profile, unsure: &unsure, ..*shared };
        let planner = Planner { profile: &profile, evaluation: &evaluation, shared, ..*self };
        let rows = evaluation.ports.iter().find(|rows| rows.port == port).ok_or(None)?;
        let mut case = match planner.case(rows) {
            Ok(case) => case,
            // Nothing is to be done then but to prove it.
            Err(plan)
                if plan.status == PortStatus::MeasureFirst
                    && plan.needs.iter().all(|id| is_unpredictable(*id)) =>
            {
                return Ok(());
            }
            Err(_) => return Err(None),
        };
        if planner.is_settled(&shared, &mut case) {
            return Ok(());
        }
        Err(least_concession(&case, &shared, bound))
    }

    /// The profile with this limit of this port given way.
    fn conceded(&self, port: PortId, bound: Bound, by: f64) -> Option<TargetProfile> {
        let (Bound::Lower(id) | Bound::Upper(id)) = bound else { return None };
        let (at, _) = self.profile.limit(id, Some(port.service), self.shared.stage)?;
        #[expect(clippy::cast_possible_truncation, reason = "no limit gives way by a metre")]
        let by = Exact::from_count((by * 1e9).ceil() as i64, 9);
        let mut profile = self.profile.clone();
        let limit = &mut profile.limits[at];
        match bound {
            Bound::Lower(_) => limit.lower = Some(limit.lower? - by),
            _ => limit.upper = Some(limit.upper? + by),
        }
        Some(profile)
    }

    /// Plans one port by itself until the judge lets it pass; says whether that came about.
    fn is_settled(&self, shared: &Shared<'a>, case: &mut Case<'a>) -> bool {
        let case = slice::from_mut(case);
        for _ in 0..TRIES {
            let Some(worked) = case[0].cheapest(shared) else { return false };
            let chosen = [worked];
            let proof = self.prove(case, &chosen);
            if self.taught(proof.as_ref(), case, &chosen).is_empty() {
                return true;
            }
        }
        false
    }
}

/// The least amount between these that is enough, to a step: what was learned from one plan may be more than another one
/// needs.
fn halved(mut too_little: f64, mut enough: f64, is_enough: impl Fn(f64) -> bool) -> f64 {
    while enough - too_little > STEP {
        let middle = 0.5 * (too_little + enough);
        if is_enough(middle) {
            enough = middle;
        } else {
            too_little = middle;
        }
    }
    enough
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn halving_ends_a_step_above_what_is_too_little() {
        let least = 0.186_3;
        let found = halved(0.073_9, 0.275_5, |by| by >= least);
        assert!(found >= least && found - least <= STEP, "{found}");
    }
}
