//! What must hold of verdicts whatever the value, its uncertainty and its limits are.

use headproof_head::Place;
use proptest::prelude::*;
use proptest::test_runner::{RngAlgorithm, TestRng, TestRunner};

use super::*;
use crate::candidate::Value;

const GUARDED: DecisionRule = DecisionRule::Guarded { probability: 0.95 };

/// The same cases on every run.
fn for_all<S: Strategy>(cases: S, holds: impl Fn(S::Value)) {
    let config = ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() };
    let mut runner = TestRunner::new_with_rng(config, TestRng::deterministic_rng(RngAlgorithm::ChaCha));
    let outcome = runner.run(&cases, |case| {
        holds(case);
        Ok(())
    });
    outcome.expect("holds for all");
}

/// Micrometres as millimetres.
fn mm(micrometres: i64) -> Exact {
    Exact::from_count(micrometres, 3)
}

fn limits(lower: Option<i64>, upper: Option<i64>) -> GridLimits {
    GridLimits::new(lower.map(mm), upper.map(mm), Kind::Length)
}

fn candidate(value: i64, uncertainty: Option<f64>) -> Candidate {
    Candidate {
        place: Place::Whole,
        value: Value::Exact(mm(value)),
        uncertainty,
        gauge: None,
        budget: Vec::new(),
    }
}

fn judged(candidate: &Candidate, limits: GridLimits, kind: Kind, rule: DecisionRule) -> Option<Judged> {
    judge(candidate.rounded(kind)?, candidate.uncertainty, limits, rule)
}

fn verdict(value: i64, u: i64, limits: GridLimits, rule: DecisionRule) -> Verdict {
    let uncertainty = Some(u as f64 / 1000.0);
    judged(&candidate(value, uncertainty), limits, Kind::Length, rule).expect("on the grid").verdict
}

fn any_limits() -> impl Strategy<Value = (Option<i64>, Option<i64>)> {
    let both = (-300..300i64, 0..400i64).prop_map(|(lower, width)| (Some(lower), Some(lower + width)));
    prop_oneof![
        both,
        (-300..300i64).prop_map(|upper| (None, Some(upper))),
        (-300..300i64).prop_map(|lower| (Some(lower), None)),
    ]
}

#[test]
fn a_value_nearer_to_the_middle_is_never_judged_worse() {
    let cases = (any_limits(), -700..700i64, 0..200i64, 1..100i64);
    for_all(cases, |((lower, upper), value, step, u)| {
        // A step towards the middle of two limits, away from a single one, and not across the middle.
        let middle = match (lower, upper) {
            (Some(lower), Some(upper)) => (lower + upper) / 2,
            (None, _) => i64::MIN / 2,
            (_, None) => i64::MAX / 2,
        };
        let step = step.min((middle - value).abs());
        let nearer = value + step * (middle - value).signum();
        for rule in [GUARDED, DecisionRule::Simple] {
            let limits = limits(lower, upper);
            assert!(verdict(nearer, u, limits, rule) <= verdict(value, u, limits, rule), "{rule:?}");
        }
    });
}

#[test]
fn a_poorer_gauge_never_proves_more() {
    let cases = (any_limits(), -700..700i64, 0..100i64, 0..100i64);
    for_all(cases, |((lower, upper), value, u, more)| {
        let limits = limits(lower, upper);
        let (good, poor) = (verdict(value, u, limits, GUARDED), verdict(value, u + more, limits, GUARDED));
        assert!(poor == good || poor == Verdict::NotProven, "{good:?} {poor:?}");
        let simple = |u| verdict(value, u, limits, DecisionRule::Simple);
        assert_eq!(simple(u), simple(u + more));
    });
}

#[test]
fn the_quick_way_to_the_worst_place_finds_it() {
    let cases = (any_limits(), proptest::collection::vec(-700..700i64, 1..12), 0..100i64);
    for_all(cases, |((lower, upper), values, u)| {
        let limits = limits(lower, upper);
        let all: Vec<_> = values.iter().map(|value| candidate(*value, Some(u as f64 / 1000.0))).collect();
        for rule in [GUARDED, DecisionRule::Simple] {
            let (_, quick) = worst_of(&all, limits, Kind::Length, rule).expect("on the grid");
            for other in &all {
                let other = judged(other, limits, Kind::Length, rule).expect("on the grid");
                assert!(!other.is_worse_than(&quick, rule), "{other:?} {quick:?}");
            }
        }
    });
}

#[test]
fn a_gauge_is_too_coarse_exactly_when_the_middle_itself_is_not_proven() {
    let cases = (1..400i64, 0..700i64, 1..200i64);
    for_all(cases, |(half, value, u)| {
        let limits = limits(Some(0), Some(2 * half));
        let of = |value| {
            let candidate = candidate(value, Some(u as f64 / 1000.0));
            judged(&candidate, limits, Kind::Length, GUARDED).expect("on the grid")
        };
        let judged = of(value);
        if judged.verdict == Verdict::NotProven {
            let coarse = of(half).verdict != Verdict::Conforms;
            assert_eq!(judged.reason == Reason::GaugeTooCoarse, coarse, "{half} {value} {u}");
        }
    });
}
