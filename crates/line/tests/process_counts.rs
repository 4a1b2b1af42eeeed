//! Counts of what fails, and shares of heads with their intervals.

use headproof_line::{Outcomes, Pareto, wilson};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

#[test]
fn intervals_of_statsmodels() {
    // statsmodels 0.15.0: proportion_confint(count, of, alpha=1 - confidence, method="wilson").
    let table = [
        (8, 10, 0.95, 0.49016247153664183, 0.9433178485456247),
        (0, 20, 0.95, 0.0, 0.1611251580528194),
        (20, 20, 0.95, 0.8388748419471804, 1.0),
        (1, 3, 0.9, 0.07826572633372836, 0.746466131718776),
        (512, 1000, 0.99, 0.4713395266216968, 0.5525022854206215),
        (17, 4000, 0.95, 0.0026552476087553854, 0.00679604041298364),
        (3, 7, 0.5, 0.3106034777497514, 0.5552572159915451),
        (999_999, 1_000_000_000, 0.999, 0.0009967155191214952, 0.0010032932867894476),
    ];
    let mut least = f64::INFINITY;
    for (count, of, confidence, lower, upper) in table {
        let share = wilson(count, of, confidence).unwrap();
        for (given, expected) in [(share.lower, lower), (share.upper, upper)] {
            let error = if expected == 0.0 { given } else { (given - expected) / expected };
            least = least.min(-error.abs().max(1e-17).log10());
        }
    }
    println!("score intervals: {least:.1} digits");
    assert!(least > 12.0, "{least}");
}

#[test]
fn no_share_of_nothing() {
    assert!(wilson(0, 0, 0.95).is_none() && wilson(2, 1, 0.95).is_none());
    for confidence in [0.0, 1.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(wilson(1, 2, confidence).is_none());
    }
    let none = Outcomes::default();
    assert!(none.acceptance(0.95).is_none() && none.concession_rate(0.95).is_none());
    assert!(Pareto::<u8>::default().rows().is_empty());
}

#[test]
fn shares_of_a_line() {
    let line = Outcomes {
        heads: 50,
        accepted: 40,
        reworked: 6,
        rejected: 3,
        incomplete: 1,
        signed: 45,
        with_concession: 9,
    };
    for (share, expected) in [(line.acceptance(0.9), 0.8), (line.concession_rate(0.9), 0.2)] {
        assert!((share.unwrap().share - expected).abs() < 1e-15);
    }
}

#[test]
fn counts_stay_at_their_largest() {
    let full = Outcomes { heads: u64::MAX, accepted: u64::MAX, ..Outcomes::default() };
    let mut twice = full;
    twice.merge(&full);
    assert_eq!(twice, full);
    assert!(full.acceptance(0.95).is_some_and(|share| share.upper <= 1.0 && share.lower > 0.99));
    let mut pareto = Pareto::default();
    pareto.add('a', u64::MAX);
    pareto.add('a', 1);
    pareto.add('b', u64::MAX);
    assert_eq!(pareto.total(), 2 * u128::from(u64::MAX));
}

fn counted(keys: &[(u8, u64)]) -> Pareto<u8> {
    let mut pareto = Pareto::default();
    for &(key, times) in keys {
        pareto.add(key, times);
    }
    pareto
}

proptest! {
    #![proptest_config(ProptestConfig {
        rng_seed: RngSeed::Fixed(1927),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn an_interval_holds_its_share(of in 1..=u64::MAX, part in 0.0..=1.0, confidence in 1e-9..0.999_999_999) {
        let count = ((of as f64 * part) as u64).min(of);
        let share = wilson(count, of, confidence).unwrap();
        prop_assert!(0.0 <= share.lower && share.lower <= share.share);
        prop_assert!(share.share <= share.upper && share.upper <= 1.0);
    }

    #[test]
    fn parts_make_the_whole(keys in prop::collection::vec((0..20_u8, 0..100_u64), 0..60), cut in 0..60_usize) {
        let whole = counted(&keys);
        let (left, right) = keys.split_at(cut.min(keys.len()));
        for (first, second) in [(left, right), (right, left)] {
            let mut merged = counted(first);
            merged.merge(counted(second));
            prop_assert_eq!(&merged, &whole);
        }
        let rows = whole.rows();
        prop_assert_eq!(rows.iter().map(|row| u128::from(row.count)).sum::<u128>(), whole.total());
        for pair in rows.windows(2) {
            let (first, second) = (&pair[0], &pair[1]);
            prop_assert!(first.count > second.count || first.count == second.count && first.key < second.key);
            prop_assert!(pair[0].cumulative < pair[1].cumulative);
        }
        prop_assert!(rows.last().is_none_or(|row| (row.cumulative - 1.0).abs() < f64::EPSILON));
    }

    #[test]
    fn outcomes_merge_in_any_order(counts in prop::collection::vec(prop::array::uniform7(0..1000_u64), 0..8)) {
        let outcomes = counts.iter().map(|c| Outcomes {
            heads: c[0], accepted: c[1], reworked: c[2], rejected: c[3],
            incomplete: c[4], signed: c[5], with_concession: c[6],
        });
        let sum = |parts: &mut dyn Iterator<Item = Outcomes>| {
            parts.fold(Outcomes::default(), |mut sum, part| { sum.merge(&part); sum })
        };
        let whole = sum(&mut outcomes.clone());
        prop_assert_eq!(whole, sum(&mut outcomes.rev()));
        prop_assert_eq!(whole.heads, counts.iter().map(|c| c[0]).sum::<u64>());
    }
}
