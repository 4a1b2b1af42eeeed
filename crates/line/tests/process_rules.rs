//! Run rules: each by hand, all against their definitions written apart, and against published run lengths.

use headproof_line::{
    Chart, ChartKind, Point, Reference, RuleSet, RunRule, Signal, Subgroup, Track, Watcher, chart, signals,
};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

/// A chart about 0 whose standard error is 1.
fn drawn(values: &[f64]) -> Chart {
    let reference = Reference { centre: 0.0, sigma: 1.0 };
    let one = [Subgroup::of(0, 0, &[0]).expect("a value")];
    let mut chart = chart(ChartKind::IndividualsMovingRange, &one, Some(&reference)).expect("a chart");
    let point = chart.location[0];
    chart.location = values.iter().zip(0..).map(|(&value, order)| Point { order, value, ..point }).collect();
    chart
}

/// The places where a rule of Nelson's or of Western Electric is broken: first and last point.
fn broken(rule: RunRule, values: &[f64]) -> Vec<(usize, usize)> {
    let set = if rule == RunRule::EightOnOneSide { RuleSet::WesternElectric } else { RuleSet::Nelson };
    let found = signals(&drawn(values), set);
    found.iter().filter(|signal| signal.rule == rule).map(|signal| (signal.from, signal.to)).collect()
}

#[test]
fn each_rule_by_hand() {
    use RunRule::{
        EightBeyondOneSigma, EightOnOneSide, FifteenWithinOneSigma, FourOfFiveBeyondOneSigma,
        FourteenAlternating, NineOnOneSide, OnePointBeyondThreeSigma, SixRisingOrFalling,
        TwoOfThreeBeyondTwoSigma,
    };
    assert_eq!(broken(OnePointBeyondThreeSigma, &[3.0, 3.1, -3.0, -3.1]), [(1, 1), (3, 3)]);
    assert_eq!(broken(TwoOfThreeBeyondTwoSigma, &[2.1, 0.0, 2.1, 2.0, -2.1, 2.1]), [(0, 2)]);
    assert_eq!(broken(TwoOfThreeBeyondTwoSigma, &[-2.1, -3.1]), [(0, 1)]);
    assert_eq!(broken(TwoOfThreeBeyondTwoSigma, &[2.1, 0.0, 0.0, 2.1]), []);
    assert_eq!(broken(FourOfFiveBeyondOneSigma, &[1.1, 1.1, 0.0, 1.1, 1.1]), [(0, 4)]);
    assert_eq!(broken(FourOfFiveBeyondOneSigma, &[1.1, 1.1, 1.0, 1.1, -1.1, 1.1]), []);
    // The newest point must be one of the four, or the breach was told before.
    assert_eq!(broken(FourOfFiveBeyondOneSigma, &[-1.1, -1.1, -1.1, -1.1, 0.0]), [(0, 3)]);
    assert_eq!(broken(EightOnOneSide, &[0.1; 9]), [(0, 7), (1, 8)]);
    assert_eq!(broken(NineOnOneSide, &[-0.1; 9]), [(0, 8)]);
    assert_eq!(broken(NineOnOneSide, &[0.1, 0.1, 0.1, 0.1, 0.0, 0.1, 0.1, 0.1, 0.1, 0.1]), []);
    assert_eq!(broken(SixRisingOrFalling, &[0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.5]), [(0, 5)]);
    assert_eq!(broken(SixRisingOrFalling, &[0.5, 0.4, 0.3, 0.2, 0.1, 0.0]), [(0, 5)]);
    assert_eq!(broken(SixRisingOrFalling, &[0.0, 0.1, 0.2, 0.3, 0.3, 0.5, 0.6]), []);
    let mut swing = [0.4, -0.4].repeat(7);
    assert_eq!(broken(FourteenAlternating, &swing), [(0, 13)]);
    assert_eq!(broken(FourteenAlternating, &swing[1..]), []);
    swing.rotate_left(1);
    assert_eq!(broken(FourteenAlternating, &swing), [(0, 13)]);
    swing[6] = swing[7];
    assert_eq!(broken(FourteenAlternating, &swing), []);
    let mut calm = [0.9, -0.9, -0.9].repeat(5);
    assert_eq!(broken(FifteenWithinOneSigma, &calm), [(0, 14)]);
    calm[7] = 1.0;
    assert_eq!(broken(FifteenWithinOneSigma, &calm), []);
    let mut wide = [1.1, -1.1, -1.1, 1.1].repeat(2);
    assert_eq!(broken(EightBeyondOneSigma, &wide), [(0, 7)]);
    wide[3] = 1.0;
    assert_eq!(broken(EightBeyondOneSigma, &wide), []);
}

#[test]
fn only_the_limits_hold_on_the_chart_of_spread() {
    // Twenty equal moving ranges on one side of their centre line, then a large one.
    let values: Vec<i64> = (0..20).map(|place| place % 2).chain([100]).collect();
    let groups: Vec<Subgroup> =
        values.iter().zip(0..).map(|(&value, order)| Subgroup::of(order, 0, &[value]).unwrap()).collect();
    let reference = Reference { centre: 0.0, sigma: 10.0 };
    let chart = chart(ChartKind::IndividualsMovingRange, &groups, Some(&reference)).unwrap();
    let found: Vec<Signal> =
        signals(&chart, RuleSet::Nelson).into_iter().filter(|signal| signal.chart == Track::Spread).collect();
    let expected = Signal { rule: RunRule::OnePointBeyondThreeSigma, chart: Track::Spread, from: 19, to: 19 };
    assert_eq!(found, [expected]);
    let mut watcher = Watcher::new(RuleSet::Nelson, Track::Spread);
    let watched: Vec<Signal> = chart.spread.iter().flat_map(|point| watcher.watch(point)).collect();
    assert_eq!(watched, found);
}

/// The rules as their authors say them, over whole windows of standardized values.
fn said(rule: RunRule, seen: &[f64]) -> bool {
    let last = |length: usize| seen.len().checked_sub(length).map(|start| &seen[start..]);
    let newest = seen[seen.len() - 1];
    let enough = |enough: usize, among: usize, level: f64| {
        let window = &seen[seen.len().saturating_sub(among)..];
        let over = |sign: f64| {
            sign * newest > level && window.iter().filter(|&&z| sign * z > level).count() >= enough
        };
        over(1.0) || over(-1.0)
    };
    let one_side = |length: usize| {
        last(length).is_some_and(|all| all.iter().all(|&z| z > 0.0) || all.iter().all(|&z| z < 0.0))
    };
    match rule {
        RunRule::OnePointBeyondThreeSigma => newest.abs() > 3.0,
        RunRule::TwoOfThreeBeyondTwoSigma => enough(2, 3, 2.0),
        RunRule::FourOfFiveBeyondOneSigma => enough(4, 5, 1.0),
        RunRule::EightOnOneSide => one_side(8),
        RunRule::NineOnOneSide => one_side(9),
        RunRule::SixRisingOrFalling => last(6).is_some_and(|all| {
            all.windows(2).all(|pair| pair[0] < pair[1]) || all.windows(2).all(|pair| pair[0] > pair[1])
        }),
        RunRule::FourteenAlternating => {
            last(14).is_some_and(|all| all.windows(3).all(|z| (z[1] - z[0]) * (z[2] - z[1]) < 0.0))
        }
        RunRule::FifteenWithinOneSigma => last(15).is_some_and(|all| all.iter().all(|z| z.abs() < 1.0)),
        RunRule::EightBeyondOneSigma => last(8).is_some_and(|all| all.iter().all(|z| z.abs() > 1.0)),
    }
}

/// Halves from −4 to 4, so that boundaries are met exactly: wild lines, calm, swinging and climbing ones.
fn lines() -> impl Strategy<Value = Vec<f64>> {
    let halves = |range: std::ops::RangeInclusive<i32>| prop::collection::vec(range, 0..50);
    let swinging =
        halves(1..=6).prop_map(|all| all.iter().zip([1, -1].iter().cycle()).map(|(a, b)| a * b).collect());
    let climbing = halves(0..=2).prop_map(|steps| {
        steps
            .iter()
            .scan(-8, |at, step| {
                *at += step;
                Some(*at)
            })
            .collect()
    });
    let wide = halves(2..=6).prop_map(|all| all.iter().map(|a| if a % 2 == 0 { *a } else { -a }).collect());
    prop_oneof![halves(-8..=8), halves(-2..=2), halves(-1..=5), swinging, climbing, wide]
        .prop_map(|halves: Vec<i32>| halves.into_iter().map(|half| f64::from(half) / 2.0).collect())
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 2000,
        rng_seed: RngSeed::Fixed(8612),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn signals_are_what_the_rules_say(values in lines()) {
        for set in [RuleSet::ThreeSigma, RuleSet::WesternElectric, RuleSet::Nelson] {
            let found = signals(&drawn(&values), set);
            let mut expected = Vec::new();
            for to in 0..values.len() {
                let broken = set.rules().iter().filter(|&&rule| said(rule, &values[..=to]));
                expected.extend(broken.map(|&rule| (rule, to)));
            }
            prop_assert_eq!(found.iter().map(|signal| (signal.rule, signal.to)).collect::<Vec<_>>(), expected);
            for signal in found {
                // What is told from its first point on is a breach by itself.
                prop_assert!(said(signal.rule, &values[signal.from..=signal.to]));
                prop_assert!(signal.to - signal.from < 15);
            }
        }
    }

    #[test]
    fn the_watcher_tells_the_same(values in lines()) {
        for set in [RuleSet::ThreeSigma, RuleSet::WesternElectric, RuleSet::Nelson] {
            let chart = drawn(&values);
            let mut watcher = Watcher::new(set, Track::Location);
            let watched: Vec<Signal> = chart.location.iter().flat_map(|point| watcher.watch(point)).collect();
            prop_assert_eq!(watched, signals(&chart, set));
        }
    }
}

/// Even values between 0 and 1 from a counter by the mixing of SplitMix64 (Steele, Lea and Flood 2014).
fn even(counter: &mut u64) -> f64 {
    *counter = counter.wrapping_add(0x9E37_79B9_7F4A_7C15);
    let mut z = *counter;
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    (((z ^ (z >> 31)) >> 12) as f64 + 0.5) / 2.0_f64.powi(52)
}

/// Normal values by the method of Box and Muller 1958, the first of each pair.
fn normal(counter: &mut u64) -> f64 {
    let radius = (-2.0 * libm::log(even(counter))).sqrt();
    radius * libm::cos(std::f64::consts::TAU * even(counter))
}

/// The mean number of points to the first signal, with its standard error.
fn run_length(set: RuleSet, shift: f64, runs: u32) -> (f64, f64) {
    let calm = drawn(&[0.0]).location[0];
    let mut counter = 20_261_126;
    let (mut sum, mut squares) = (0.0, 0.0);
    for _ in 0..runs {
        let mut watcher = Watcher::new(set, Track::Location);
        let mut length = 1.0;
        while watcher.watch(&Point { value: normal(&mut counter) + shift, ..calm }).is_empty() {
            length += 1.0;
        }
        sum += length;
        squares += length * length;
    }
    let mean = sum / f64::from(runs);
    (mean, ((squares / f64::from(runs) - mean * mean) / f64::from(runs)).sqrt())
}

#[test]
fn average_run_lengths() {
    // Three sigma: 1 / (2 Φ(−3)) = 370.398, and 43.89 a standard error off. All four Western Electric rules: 91.75 and
    // 9.22 (Champ and Woodall 1987, Technometrics 29, from memory); a simulation in numpy 2.4.6 of the rules written
    // apart (default_rng(7), 200,000 runs) gave 91.66 ± 0.20 and 9.224 ± 0.014, and for Nelson's eight tests
    // 73.35 ± 0.15 and 9.622 ± 0.015.
    let table = [
        (RuleSet::ThreeSigma, 0.0, 370.398, 4_000),
        (RuleSet::ThreeSigma, 1.0, 43.89, 10_000),
        (RuleSet::WesternElectric, 0.0, 91.75, 20_000),
        (RuleSet::WesternElectric, 1.0, 9.22, 20_000),
        (RuleSet::Nelson, 0.0, 73.35, 20_000),
        (RuleSet::Nelson, 1.0, 9.622, 20_000),
    ];
    for (set, shift, expected, runs) in table {
        let (mean, error) = run_length(set, shift, runs);
        println!("{set:?}, shift {shift}: {mean:.2} ± {error:.2} for {expected}");
        // Four standard errors of ours; those of the reference are a third of it at most.
        assert!((mean - expected).abs() < 4.0 * error, "{set:?}: {mean} ± {error} for {expected}");
        assert!(error < expected / 50.0);
    }
}
