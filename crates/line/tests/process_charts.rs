//! Control charts against published examples and references computed apart.

use std::f64::consts::FRAC_2_SQRT_PI;

use headproof_line::{
    Chart, ChartError, ChartKind, Point, Reference, RuleSet, SigmaEstimator, Subgroup, chart, chart_factors,
    signals,
};

/// Whether `given` has all `digits` that `expected` was printed with after the point.
#[track_caller]
fn printed(given: f64, expected: f64, digits: i32) {
    let half = 0.5 * 10_f64.powi(-digits) * 1.0001;
    assert!((given - expected).abs() <= half, "{given} for {expected}");
}

/// Asserts agreement to `digits` significant digits (the log relative error of NIST).
#[track_caller]
fn agrees(what: &str, given: f64, expected: f64, digits: f64) {
    let error = -((given - expected) / expected).abs().max(1e-17).log10();
    println!("{what}: {error:.1} digits");
    assert!(error >= digits, "{what}: {given} for {expected}");
}

fn groups(values: &[Vec<i64>]) -> Vec<Subgroup> {
    values.iter().zip(0..).map(|(values, order)| Subgroup::of(order, 0, values).expect("values")).collect()
}

/// The piston rings in whole µm.
fn piston_rings() -> Vec<Subgroup> {
    let lines = include_str!("data/piston-rings.txt").lines().filter(|line| !line.starts_with('#'));
    let micrometres = |text: &str| text.replace('.', "").parse::<i64>().expect("a number");
    groups(&lines.map(|line| line.split(' ').map(micrometres).collect()).collect::<Vec<_>>())
}

#[test]
fn means_and_ranges_of_piston_rings() {
    // Printed by the R package qcc 2.7 for pistonrings, samples 1 to 25, type "xbar" (UWAVE-R); its d2 is 2.326.
    let chart = chart(ChartKind::MeanRange, &piston_rings(), None).unwrap();
    assert_eq!((chart.location.len(), chart.spread.len()), (25, 25));
    printed(chart.centre / 1e3, 74.00118, 5);
    printed(chart.within.sigma / 1e3 * 2.325928947281039 / 2.326, 0.009785039, 9);
    printed(chart.location[0].lower / 1e3, 73.98805, 5);
    printed(chart.location[0].upper / 1e3, 74.0143, 5);
    printed(chart.spread[0].centre / 1e3, 0.02276, 5);
    assert!(chart.spread[0].lower.abs() < f64::EPSILON);
    // numpy 2.4.6 from R̄ and D4.
    printed(chart.spread[0].upper / 1e3, 0.048_126, 6);
    assert_eq!(chart.within.estimator, SigmaEstimator::MeanRange);
    // scipy 1.17.1 (brentq): the ν whose standard deviation has the variation d3/(d2 √25).
    agrees("degrees of 25 ranges of 5", chart.within.degrees.unwrap(), 90.8197449243329, 10.0);
    // qcc reports none beyond the limits.
    assert!(signals(&chart, RuleSet::ThreeSigma).is_empty());
}

#[test]
fn means_and_deviations_of_piston_rings() {
    // numpy 2.4.6, from s̄ of the 25 samples; Montgomery's example 6.3 prints 74.014 and 73.988, and 0.0094 for s̄ of
    // its own edition's data (from memory).
    let chart = chart(ChartKind::MeanDeviation, &piston_rings(), None).unwrap();
    agrees("sigma", chart.within.sigma / 1e3, 0.009829976728289325, 11.0);
    agrees("lower", chart.location[7].lower / 1e3, 73.987987702291, 12.0);
    agrees("upper", chart.location[7].upper / 1e3, 74.01436429770904, 12.0);
    agrees("mean deviation", chart.spread[7].centre / 1e3, 0.009240036602285536, 11.0);
    printed(chart.spread[7].upper / 1e3, 0.01930241706, 9);
}

#[test]
fn flow_rates_of_the_nist_handbook() {
    // NIST/SEMATECH e-Handbook 6.3.2.2, in tenths. It prints the mean 50.81, the mean moving range 1.8778, and limits
    // 55.8041 and 45.8159 made with d2 = 1.128, hence the tolerance.
    let values = [496, 476, 499, 513, 478, 512, 526, 524, 536, 521].map(|value| vec![value]);
    let chart = chart(ChartKind::IndividualsMovingRange, &groups(&values), None).unwrap();
    assert_eq!((chart.location.len(), chart.spread.len()), (10, 9));
    // A moving range stands where the later of its values does.
    assert!(chart.spread.iter().map(|point| point.place).eq(1..10));
    printed(chart.centre / 10.0, 50.81, 10);
    printed(chart.spread[0].centre / 10.0, 1.8778, 4);
    let wide = chart.centre + (chart.location[0].upper - chart.centre) * FRAC_2_SQRT_PI / 1.128;
    printed(wide / 10.0, 55.8041, 4);
    printed((2.0 * chart.centre - wide) / 10.0, 45.8159, 4);
    printed(chart.spread[0].upper / 10.0, 1.877_778 * 3.266_532, 5);
    assert_eq!(chart.within.estimator, SigmaEstimator::MeanMovingRange);
    // scipy 1.17.1, from the covariance of neighbouring moving ranges; numpy simulation (default_rng(2), 400,000 lines
    // of ten) 5.84.
    agrees("degrees of 9 moving ranges", chart.within.degrees.unwrap(), 5.857608486128494, 10.0);
    assert!(signals(&chart, RuleSet::Nelson).is_empty());
}

/// numpy 2.4.6, `default_rng(20261126)`, `rint(normal(1000, 50, n))` for n = 5, 3, 1, 8, 4, 6, 2, 12, 5, 7, 40, 3.
fn unequal() -> Vec<Subgroup> {
    groups(&[
        vec![981, 987, 1047, 1070, 929],
        vec![1004, 1094, 1044],
        vec![915],
        vec![1056, 969, 953, 1020, 1004, 983, 1070, 1033],
        vec![989, 1010, 953, 988],
        vec![1034, 1036, 1033, 1060, 995, 942],
        vec![1076, 1081],
        vec![924, 957, 957, 967, 975, 949, 971, 1040, 1080, 953, 1042, 1000],
        vec![1011, 992, 941, 1005, 992],
        vec![1001, 938, 987, 972, 972, 894, 952],
        vec![
            989, 1016, 988, 1064, 1051, 973, 997, 1038, 972, 1052, 940, 1053, 1073, 1018, 1028, 1096, 1007,
            1065, 934, 942, 1015, 1134, 950, 1008, 1055, 1001, 1009, 953, 1003, 1114, 991, 943, 934, 994,
            926, 1027, 898, 1071, 1070, 936,
        ],
        vec![1038, 1014, 940],
    ])
}

#[test]
fn groups_of_many_sizes() {
    // numpy 2.4.6 and scipy 1.17.1 from the formulas of the SAS/QC documentation (SHEWHART, SMETHOD=MVLUE).
    let chart = chart(ChartKind::MeanDeviation, &unequal(), None).unwrap();
    agrees("sigma", chart.within.sigma, 49.15648412100898, 11.0);
    agrees("centre", chart.centre, 1001.5416666666666, 15.0);
    agrees("degrees", chart.within.degrees.unwrap(), 82.04475970676955, 10.0);
    let means = [
        (0, 1002.8, 935.5913226489876, 1067.4920106843456),
        (2, 915.0, 854.0722143036397, 1149.0111190296936),
        (10, 1008.2, 978.2246989284233, 1024.85863440491),
    ];
    for (place, value, lower, upper) in means {
        let Point { value: given, lower: low, upper: high, .. } = chart.location[place];
        agrees("mean", given, value, 15.0);
        agrees("lower limit", low, lower, 12.0);
        agrees("upper limit", high, upper, 12.0);
    }
    // The single value has no standard deviation: the group of 40 is the tenth point.
    assert_eq!(chart.spread.len(), 11);
    let last = chart.spread[9];
    assert_eq!((last.n, last.place), (40, 10));
    agrees("s", last.value, 55.85888814338668, 14.0);
    agrees("centre of s", last.centre, 48.84242053377653, 11.0);
    agrees("lower limit of s", last.lower, 32.19907387913432, 11.0);
    agrees("upper limit of s", last.upper, 65.48576718841875, 11.0);
    assert!(chart.spread[0].lower.abs() < f64::EPSILON);
}

/// One range of 2 is worth exactly 1 degree; the others were read off scipy 1.17.1 (brentq) and round to the table of
/// d2* in the MSA manual, 4th edition: 3.8, 17.8, 72.7 (from memory).
#[test]
fn degrees_of_freedom_of_ranges() {
    for (n, count, expected) in
        [(2, 1, 1.0), (5, 1, 3.8265133821922337), (2, 20, 17.75885690688784), (5, 20, 72.70486891269819)]
    {
        let values: Vec<i64> = (0..n).collect();
        let chart = chart(ChartKind::MeanRange, &groups(&vec![values; count]), None).unwrap();
        agrees("degrees", chart.within.degrees.unwrap(), expected, 10.0);
    }
    // One standard deviation of n values is worth n − 1 degrees.
    for n in 2..=40 {
        let values: Vec<i64> = (0..n).collect();
        let chart = chart(ChartKind::MeanDeviation, &groups(&[values]), None).unwrap();
        agrees("degrees", chart.within.degrees.unwrap(), (n - 1) as f64, 10.0);
    }
}

#[test]
fn factors_make_the_limits() {
    let f = chart_factors(5).unwrap();
    let chart = chart(ChartKind::MeanRange, &piston_rings(), None).unwrap();
    let mean_range = chart.spread[0].centre;
    agrees("A2", (chart.location[0].upper - chart.centre) / mean_range, f.a2, 9.0);
    agrees("D4", chart.spread[0].upper / mean_range, f.big_d4, 14.0);
}

#[test]
fn a_reference_fixes_the_limits() {
    let made = chart(ChartKind::MeanRange, &piston_rings(), None).unwrap();
    let later = [Subgroup::of(1, 0, &[74_030, 74_031, 74_032, 74_029, 74_030]).unwrap()];
    let held = chart(ChartKind::MeanRange, &later, Some(&made.reference())).unwrap();
    assert_eq!((held.within.estimator, held.within.degrees), (SigmaEstimator::Reference, None));
    agrees("limit", held.location[0].upper, made.location[0].upper, 16.0);
    assert_eq!(signals(&held, RuleSet::ThreeSigma).len(), 1);
    // A single value needs no scatter of its own.
    let reference = Reference { centre: 5.0, sigma: 2.0 };
    let one = [Subgroup::of(1, 0, &[7]).unwrap()];
    let held: Chart = chart(ChartKind::IndividualsMovingRange, &one, Some(&reference)).unwrap();
    assert!((held.location[0].upper - 11.0).abs() < 1e-12 && held.spread.is_empty());
}

#[test]
fn why_there_is_no_chart() {
    let all = [ChartKind::MeanRange, ChartKind::MeanDeviation, ChartKind::IndividualsMovingRange];
    for kind in all {
        assert_eq!(chart(kind, &[], None), Err(ChartError::Empty));
        for (centre, sigma) in
            [(f64::NAN, 1.0), (0.0, f64::INFINITY), (0.0, -1.0), (1e300, 1.0), (0.0, f64::NAN)]
        {
            let found = chart(kind, &piston_rings(), Some(&Reference { centre, sigma }));
            assert_eq!(found, Err(ChartError::Reference));
        }
        let lying = Subgroup { squares: 1, ..Subgroup::of(3, 9, &[100]).unwrap() };
        assert_eq!(chart(kind, &[lying], None), Err(ChartError::Unsound { order: 3, id: 9 }));
        let huge = Subgroup { n: 40, sum: i128::MAX, ..lying };
        assert_eq!(chart(kind, &[huge], None), Err(ChartError::Unsound { order: 3, id: 9 }));
    }
    let one = [Subgroup::of(1, 0, &[5]).unwrap()];
    assert_eq!(chart(ChartKind::MeanRange, &one, None), Err(ChartError::Size { n: 1 }));
    assert_eq!(chart(ChartKind::MeanDeviation, &one, None), Err(ChartError::NoScatter));
    assert_eq!(chart(ChartKind::IndividualsMovingRange, &one, None), Err(ChartError::NoScatter));
    assert_eq!(chart(ChartKind::MeanRange, &unequal(), None), Err(ChartError::Size { n: 3 }));
    assert_eq!(
        chart(ChartKind::IndividualsMovingRange, &piston_rings(), None),
        Err(ChartError::Size { n: 5 })
    );
    assert!(Subgroup::of(0, 0, &[]).is_none() && Subgroup::of(0, 0, &[i64::MIN; 40]).is_none());
}

#[test]
fn equal_values_have_limits_on_the_centre_line() {
    let values: Vec<Vec<i64>> = (0..40).map(|place| vec![999_999_999_999_999_983; 1 + place % 7]).collect();
    let still = chart(ChartKind::MeanDeviation, &groups(&values), None).unwrap();
    assert!(still.within.sigma.abs() < f64::EPSILON);
    assert!(
        signals(&still, RuleSet::Nelson).is_empty() && signals(&still, RuleSet::WesternElectric).is_empty()
    );
    let still = chart(ChartKind::IndividualsMovingRange, &groups(&vec![vec![7]; 30]), None).unwrap();
    assert!(signals(&still, RuleSet::Nelson).is_empty());
}
