//! Plans of many invented heads, judged by the same judge.

mod dice;
mod invented;
mod scenes;
mod together;

use headproof_head::{
    MeasurementSet, Objective, Outcome, Plan, PortStatus, TargetProfile, Verdict, Workshop,
};
use headproof_rework::{Effort, plan};

use crate::dice::Dice;
use crate::invented::{Kind, head, profile, workshop};

/// How many heads; the long run asks for more.
fn count() -> u64 {
    if std::env::var("HEADPROOF_COUNTS").is_ok_and(|counts| counts == "long") { 2000 } else { 150 }
}

fn thrown(seed: u64) -> (MeasurementSet, TargetProfile, Workshop) {
    let mut dice = Dice::new(seed);
    let kind = Kind::thrown(&mut dice);
    let objective =
        [Objective::LeastSink, Objective::LeastCost, Objective::FewestParts][dice.below(3) as usize];
    let set = head(&mut dice, kind);
    (set, profile(kind), workshop(&mut dice, objective))
}

fn check(seed: u64, plan: &Plan) {
    for port in plan.ports.iter().filter(|port| port.status == PortStatus::Planned) {
        let proof = plan.proof.as_ref().expect("what is planned is proved");
        let rows =
            proof.evaluation.ports.iter().find(|rows| rows.port == port.port).expect("a port of the layout");
        assert_eq!(rows.verdict, Verdict::Conforms, "seed {seed}, {}: {:#?}", port.port, bad(rows));
    }
}

fn bad(rows: &headproof_head::PortRows) -> Vec<String> {
    let bad = rows.rows.iter().filter(|row| row.limit.is_some() && row.verdict != Verdict::Conforms);
    bad.map(|row| format!("{} {:?} {:?}", row.characteristic, row.verdict, row.measured)).collect()
}

#[test]
fn every_planned_port_conforms_and_every_kind_of_outcome_occurs() {
    let (mut outcomes, mut joined, mut planned, mut refused) = (Vec::new(), 0, 0, 0);
    for seed in 1..=count() {
        let (set, profile, workshop) = thrown(seed);
        let plan = plan(&set, &profile, &workshop, Effort::default());
        check(seed, &plan);
        joined += usize::from(plan.search.joined);
        let with = |status| plan.ports.iter().filter(|port| port.status == status).count();
        planned += with(PortStatus::Planned);
        refused += with(PortStatus::NoPlan);
        outcomes.push(plan.outcome);
    }
    let had = |outcome| outcomes.contains(&outcome);
    assert!(had(Outcome::Planned) && had(Outcome::Staged) && had(Outcome::NoPlan));
    println!("{} heads: {planned} ports planned, {refused} without plan, {joined} planned together", count());
    assert!(planned > 200 && refused > 20 && joined > 5);
}

/// The same question gets the same answer.
#[test]
fn a_plan_is_the_same_every_time() {
    for seed in [2, 5, 9] {
        let (set, profile, workshop) = thrown(seed);
        let once = plan(&set, &profile, &workshop, Effort::default());
        assert_eq!(once, plan(&set, &profile, &workshop, Effort::default()));
    }
}
