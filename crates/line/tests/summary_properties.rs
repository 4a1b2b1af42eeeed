//! What holds for any values: merging in any order is observing all, and nothing panics or leaves as no
//! number.

use headproof_line::{
    Axis, CodeSums, Distribution, Groups, Limits, MOST_DISTINCT, MOST_GROUPS, Moments, NoAnova, NoCapability,
    NoTrend, Normality, Sample, Trend, Untestable, Within, capability, indices,
};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

fn moments(values: &[i64]) -> Moments {
    let mut moments = Moments::default();
    for value in values {
        moments.observe(*value).expect("fits");
    }
    moments
}

fn distribution(values: &[i64]) -> Distribution {
    let mut distribution = Distribution::default();
    for value in values {
        distribution.observe(*value).expect("fits");
    }
    distribution
}

fn groups(values: &[(u16, i64)]) -> Groups {
    let mut groups = Groups::default();
    for (code, value) in values {
        let mut heads = Trend::default();
        heads.observe(value / 3, *value).expect("fits");
        let sums = CodeSums { values: *heads.values(), heads };
        groups.add(&format!("cutter {code}"), &sums).expect("fits");
    }
    groups
}

/// Values as the grid has them: few distinct, many distinct, far apart.
fn values() -> impl Strategy<Value = Vec<i64>> {
    prop_oneof![
        prop::collection::vec(-5i64..5, 0..60),
        prop::collection::vec(-1_000_000_000_000i64..1_000_000_000_000, 0..200),
    ]
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * (1.0 + a.abs().max(b.abs()))
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: if std::env::var("HEADPROOF_COUNTS").is_ok_and(|counts| counts == "long") { 2000 } else { 100 },
        rng_seed: RngSeed::Fixed(20240607),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn parts_in_any_order_give_the_same_bits(values in values(), cut in 0usize..200) {
        let (first, second) = values.split_at(cut.min(values.len()));
        let mut backwards = values.clone();
        backwards.reverse();
        let mut merged = moments(second);
        merged.merge(&moments(first)).expect("fits");
        prop_assert_eq!(merged, moments(&values));
        prop_assert_eq!(merged, moments(&backwards));
        let mut merged = distribution(second);
        merged.merge(&distribution(first)).expect("fits");
        prop_assert_eq!(&merged, &distribution(&values));
        prop_assert_eq!(&merged, &distribution(&backwards));
    }

    #[test]
    fn codes_beyond_the_most_are_the_same_ones_in_any_order(
        values in prop::collection::vec((0u16..300, -1000i64..1000), 0..700),
        cut in 0usize..700,
    ) {
        let (first, second) = values.split_at(cut.min(values.len()));
        let mut merged = groups(second);
        merged.merge(&groups(first)).expect("fits");
        let whole = groups(&values);
        prop_assert_eq!(&merged, &whole);
        prop_assert!(whole.iter().count() <= MOST_GROUPS);
        let kept: u64 = whole.iter().map(|(_, sums)| sums.values.n()).sum();
        prop_assert_eq!(kept + whole.others().n(), values.len() as u64);
    }

    #[test]
    fn a_trend_is_the_same_in_any_order_and_found_again(
        places in prop::collection::vec(-2_000_000_000i64..2_000_000_000, 3..40),
        slope in -1000i64..1000,
        cut in 0usize..40,
    ) {
        let mut parts = [Trend::default(), Trend::default()];
        let mut whole = Trend::default();
        for (index, place) in places.iter().enumerate() {
            parts[usize::from(index < cut)].observe(*place, slope * place + 7).expect("fits");
            whole.observe(*place, slope * place + 7).expect("fits");
        }
        let [mut merged, other] = parts;
        merged.merge(&other).expect("fits");
        prop_assert_eq!(merged, whole);
        if let Ok(line) = whole.line() {
            prop_assert!(close(line.slope, slope as f64) && close(line.intercept, 7.0), "{:?}", line);
            prop_assert_eq!((line.s, line.significance), (0.0, None));
        }
    }

    #[test]
    fn a_shift_moves_the_mean_and_nothing_else(values in values(), shift in -1_000_000_000_000i64..1_000_000_000_000) {
        let moved: Vec<i64> = values.iter().map(|v| v + shift).collect();
        prop_assert_eq!(moments(&values).s(), moments(&moved).s());
        if let (Some(a), Some(b)) = (distribution(&values).shape(), distribution(&moved).shape()) {
            prop_assert!((a.skewness - b.skewness).abs() < 1e-6 && (a.excess_kurtosis - b.excess_kurtosis).abs() < 1e-6);
        }
    }

    #[test]
    fn scaling_values_and_limits_leaves_indices_and_tests(values in prop::collection::vec(-500i64..500, 8..60)) {
        let tenfold: Vec<i64> = values.iter().map(|v| v * 10).collect();
        let (one, ten) = (distribution(&values), distribution(&tenfold));
        let limits = |scale: f64| Limits { lower: Some(-600.0 * scale), upper: Some(700.0 * scale) };
        match (capability(&one, None, limits(1.0), 0.95, None), capability(&ten, None, limits(10.0), 0.95, None)) {
            (Ok(a), Ok(b)) => {
                prop_assert_eq!(a.method, b.method);
                prop_assert!(close(a.overall.least.value, b.overall.least.value));
                let p = |n: Normality| n.anderson_darling.map(|t| t.a_squared).expect("enough and different");
                prop_assert!(close(p(a.normality), p(b.normality)));
            }
            (a, b) => prop_assert_eq!(a.map(|_| ()), b.map(|_| ())),
        }
    }

    #[test]
    fn quantiles_rise_and_stay_between_the_extremes(values in values(), p in 0.0f64..=1.0, q in 0.0f64..=1.0) {
        let values = distribution(&values);
        if let (Some(a), Some(b)) = (values.quantile(p.min(q)), values.quantile(p.max(q))) {
            prop_assert!(a <= b);
            prop_assert!(Some(a) >= values.quantile(0.0) && Some(b) <= values.quantile(1.0));
        } else {
            prop_assert_eq!(values.n(), 0);
        }
    }

    #[test]
    fn a_histogram_holds_every_value(values in values(), most in 2usize..100) {
        let values = distribution(&values);
        if let Some((axis, _)) = Axis::of(&values, most) {
            let histogram = values.histogram(&axis).expect("not finer than the grid");
            prop_assert!(axis.bins() <= most);
            prop_assert_eq!(histogram.counts.iter().sum::<u64>(), values.n());
            prop_assert_eq!((histogram.below, histogram.above), (0, 0));
        }
    }

    #[test]
    fn whatever_is_given_no_index_is_no_number(
        n in 0u64..2_000_000,
        mean in prop::num::f64::ANY,
        s in prop::num::f64::ANY,
        degrees in prop_oneof![prop::num::f64::ANY, 0.5f64..2e6],
        lower in prop::option::of(prop_oneof![prop::num::f64::ANY, -1e12f64..1e12]),
        upper in prop::option::of(prop_oneof![prop::num::f64::ANY, -1e12f64..1e12]),
        level in prop_oneof![prop::num::f64::ANY, 0.0f64..1.0],
    ) {
        if let Ok(found) = indices(Sample { n, mean, s, degrees }, Limits { lower, upper }, level) {
            for index in [found.both, found.lower, found.upper, Some(found.least)].into_iter().flatten() {
                prop_assert!(index.value.is_finite());
                if let Some(interval) = index.interval {
                    prop_assert!(interval.low.is_finite() && interval.high.is_finite());
                    prop_assert!(interval.low <= interval.high, "{:?}", interval);
                }
            }
        }
    }
}

/// A plain linear congruence, so that more than the most distinct values come in a mixed order.
fn scattered(n: u64) -> Vec<i64> {
    let mut state = 20_240_607u64;
    let mut next = || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 20) as i64 - (1 << 43)
    };
    (0..n).map(|_| next()).collect()
}

#[test]
fn more_than_the_most_distinct_values_merge_to_the_same_cells_in_any_order() {
    let values = scattered(20_000);
    let whole = distribution(&values);
    assert!(whole.width() > 1 && whole.cells().count() <= MOST_DISTINCT);
    let mut sorted = values.clone();
    sorted.sort_unstable();
    assert_eq!(whole, distribution(&sorted));
    for size in [7, 1000, 4096, 9999] {
        let mut merged = Distribution::default();
        for part in sorted.chunks(size).rev() {
            merged.merge(&distribution(part)).expect("fits");
        }
        assert_eq!(whole, merged, "parts of {size}");
    }
    // Gathered, the median is off by less than the width of a cell.
    let median = (sorted[9_999] as f64 + sorted[10_000] as f64) / 2.0;
    assert!((whole.quantile(0.5).expect("values") - median).abs() <= whole.width() as f64);
}

#[test]
fn the_widest_values_neither_panic_nor_wrap() {
    let widest = distribution(&[i64::MIN / 2, i64::MAX / 2, 0, -1, 1]);
    assert_eq!(widest.width(), 1);
    assert!(widest.shape().expect("differ").skewness.is_finite());
    assert!(Axis::of(&widest, 20).is_some());
    let mut trend = Trend::default();
    for (place, value) in [(i64::MIN / 4, i64::MAX / 4), (i64::MAX / 4, i64::MIN / 4), (0, 0), (1, 0)] {
        trend.observe(place, value).expect("fits");
    }
    assert!((trend.line().expect("a line").slope + 1.0).abs() < 1e-12);
}

#[test]
fn what_has_no_answer_says_why() {
    let limits = Limits { lower: Some(0.0), upper: Some(10.0) };
    let of = |values: &[i64], limits, level| {
        capability(&distribution(values), None, limits, level, None).map(|_| ())
    };
    assert_eq!(of(&[], limits, 0.95), Err(NoCapability::TooFew { needed: 2, given: 0 }));
    assert_eq!(of(&[4], limits, 0.95), Err(NoCapability::TooFew { needed: 2, given: 1 }));
    assert_eq!(of(&[4, 4], limits, 0.95), Err(NoCapability::NoSpread));
    assert_eq!(of(&[4, 5], Limits::default(), 0.95), Err(NoCapability::NoLimits));
    for crossed in [(10.0, 0.0), (5.0, 5.0)] {
        let limits = Limits { lower: Some(crossed.0), upper: Some(crossed.1) };
        assert_eq!(of(&[4, 5], limits, 0.95), Err(NoCapability::LimitsCrossed));
    }
    for limit in [f64::NAN, f64::INFINITY, 1e300] {
        let limits = Limits { lower: None, upper: Some(limit) };
        assert_eq!(of(&[4, 5], limits, 0.95), Err(NoCapability::LimitOutOfRange));
    }
    for level in [0.0, 1.0, f64::NAN] {
        assert_eq!(of(&[4, 5], limits, level), Err(NoCapability::LevelOutOfRange));
    }
    // More than half of the values are the least one: nothing is known of the spread on the side of the lower
    // limit.
    let mut lopsided = vec![3; 30];
    lopsided.extend([4, 50, 51, 900, 901]);
    assert_eq!(of(&lopsided, limits, 0.95), Err(NoCapability::NoSpread));
    let within = Some(Within { s: 1.0, degrees: 5.0 });
    assert!(capability(&distribution(&[4, 5]), within, limits, 0.95, None).expect("indices").within.is_ok());

    let tests = Normality::of(&distribution(&[1, 2, 3]));
    assert_eq!(tests.anderson_darling, Err(Untestable::TooFew { needed: 8, given: 3 }));
    assert_eq!(tests.dagostino_pearson, Err(Untestable::TooFew { needed: 20, given: 3 }));
    let tests = Normality::of(&distribution(&[3; 20]));
    assert_eq!(tests.anderson_darling, Err(Untestable::AllEqual));
    assert_eq!(tests.dagostino_pearson, Err(Untestable::AllEqual));

    assert_eq!(groups(&[(1, 4), (1, 5)]).anova(), Err(NoAnova::FewerThanTwoGroups));
    assert_eq!(groups(&[(1, 4), (2, 5)]).anova(), Err(NoAnova::NoneRepeated));
    assert_eq!(groups(&[(1, 4), (1, 4), (2, 5)]).anova(), Err(NoAnova::NoSpreadWithin));

    let mut trend = Trend::default();
    assert_eq!(trend.line(), Err(NoTrend::TooFew { needed: 3, given: 0 }));
    for value in [1, 2, 3] {
        trend.observe(9, value).expect("fits");
    }
    assert_eq!(trend.line(), Err(NoTrend::SamePlace));
    let mut level = Trend::default();
    for place in [1, 2, 3] {
        level.observe(place, 5).expect("fits");
    }
    let line = level.line().expect("a line");
    assert_eq!((line.slope, line.r_squared, line.significance), (0.0, None, None));
}
