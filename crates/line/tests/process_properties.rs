//! What holds of every chart: order, scale and odd input.

use headproof_line::{Chart, ChartKind, Reference, RuleSet, Subgroup, Track, Watcher, chart, signals};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

const KINDS: [ChartKind; 3] =
    [ChartKind::MeanRange, ChartKind::MeanDeviation, ChartKind::IndividualsMovingRange];

fn finite(chart: &Chart) -> bool {
    let points = chart.location.iter().chain(&chart.spread);
    let mut numbers = points.flat_map(|p| [p.value, p.centre, p.lower, p.upper]);
    numbers.all(f64::is_finite)
        && chart.centre.is_finite()
        && chart.within.sigma.is_finite()
        && chart.within.degrees.is_none_or(f64::is_finite)
}

/// Groups of any sizes, some with the same order.
fn groups(values: impl Strategy<Value = i64> + Clone, size: usize) -> impl Strategy<Value = Vec<Subgroup>> {
    let group = (0..50_i64, 0..5_u32, prop::collection::vec(values, 1..=size));
    prop::collection::vec(group, 1..40).prop_map(|all| {
        all.iter().filter_map(|(order, id, values)| Subgroup::of(*order, *id, values)).collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig {
        rng_seed: RngSeed::Fixed(3071),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn any_order_gives_the_same_chart(
        (sorted, shuffled) in groups(-1_000_000..1_000_000_i64, 12)
            .prop_flat_map(|all| (Just(all.clone()), Just(all).prop_shuffle()))
    ) {
        for kind in KINDS {
            prop_assert_eq!(chart(kind, &sorted, None), chart(kind, &shuffled, None));
        }
    }

    #[test]
    fn limits_move_and_stretch_with_the_values(
        values in prop::collection::vec(prop::array::uniform5(-1000..1000_i64), 2..20),
        kind in prop::sample::select(vec![ChartKind::MeanRange, ChartKind::MeanDeviation]),
        (stretch, shift) in (1..1000_i64, -1_000_000..1_000_000_i64),
    ) {
        let of = |stretch: i64, shift: i64| {
            let groups: Vec<Subgroup> = values.iter().zip(0..)
                .filter_map(|(five, order)| Subgroup::of(order, 0, &five.map(|value| value * stretch + shift)))
                .collect();
            chart(kind, &groups, None).unwrap()
        };
        let (plain, moved) = (of(1, 0), of(stretch, shift));
        let (by, to) = (stretch as f64, shift as f64);
        let near = |given: f64, expected: f64| (given - expected).abs() <= 1e-9 * (1.0 + expected.abs());
        prop_assert!(near(moved.within.sigma, plain.within.sigma * by));
        for (plain, moved) in plain.location.iter().zip(&moved.location) {
            prop_assert!(near(moved.lower, plain.lower * by + to) && near(moved.upper, plain.upper * by + to));
            prop_assert!(near(moved.value, plain.value * by + to));
        }
        for (plain, moved) in plain.spread.iter().zip(&moved.spread) {
            prop_assert!(near(moved.value, plain.value * by) && near(moved.upper, plain.upper * by));
        }
    }

    #[test]
    fn points_that_come_one_by_one_tell_the_same(all in groups(-40..60_i64, 6), sigma in 0.0..30.0) {
        let reference = Reference { centre: 10.0, sigma };
        let whole = chart(ChartKind::MeanDeviation, &all, Some(&reference)).unwrap();
        let mut sorted = all;
        sorted.sort();
        let mut watchers = [Track::Location, Track::Spread].map(|track| Watcher::new(RuleSet::Nelson, track));
        let mut watched = [Vec::new(), Vec::new()];
        for group in sorted {
            let one = chart(ChartKind::MeanDeviation, &[group], Some(&reference)).unwrap();
            for (place, points) in [one.location, one.spread].iter().enumerate() {
                watched[place].extend(points.iter().flat_map(|point| watchers[place].watch(point)));
            }
        }
        prop_assert_eq!(watched.concat(), signals(&whole, RuleSet::Nelson));
    }

    #[test]
    fn equal_means_are_equal(
        values in prop::collection::vec(-99..99_i64, 1..9),
        (times, far) in (1..5_usize, -9..9_i64),
    ) {
        // The same mean from other values and another number of them.
        let far: Vec<i64> = values.iter().map(|value| value + far * 1_000_000_000_007).collect();
        let mut apart = far.repeat(times);
        let last = apart.len() - 1;
        apart[0] -= 5;
        apart[last] += 5;
        let groups = [Subgroup::of(0, 0, &far).unwrap(), Subgroup::of(1, 0, &apart).unwrap()];
        let reference = Reference { centre: 0.0, sigma: 1.0 };
        let chart = chart(ChartKind::MeanDeviation, &groups, Some(&reference)).unwrap();
        prop_assert_eq!(chart.location[0].value.to_bits(), chart.location[1].value.to_bits());
    }

    #[test]
    fn numbers_are_finite_at_the_ends(
        all in groups(prop_oneof![Just(i64::MIN), Just(i64::MAX), Just(0), any::<i64>(), -3..3_i64], 3),
        centre in -1e30..1e30, sigma in 0.0..1e30,
    ) {
        for kind in KINDS {
            for reference in [None, Some(Reference { centre, sigma })] {
                for some in [&all[..], all.get(..1).unwrap_or_default()] {
                    if let Ok(chart) = chart(kind, some, reference.as_ref()) {
                        prop_assert!(finite(&chart));
                        let found = signals(&chart, RuleSet::Nelson);
                        prop_assert!(found.iter().all(|signal| signal.from <= signal.to));
                    }
                }
            }
        }
    }

    #[test]
    fn false_sums_are_refused_or_finite(
        (order, id, n) in (any::<i64>(), any::<u32>(), any::<u16>()),
        (sum, squares) in (any::<i128>(), any::<i128>()),
        (min, max) in (any::<i64>(), any::<i64>()),
    ) {
        let group = Subgroup { order, id, n, sum, squares, min, max };
        for kind in KINDS {
            if let Ok(chart) = chart(kind, &[group, Subgroup { n: 2, ..group }], None) {
                prop_assert!(finite(&chart));
            }
        }
    }
}
