//! Shape, quantiles, normality and capability against values from outside.

use headproof_line::{
    CapabilityMethod, Distribution, IntervalMethod, Limits, NoCapability, NoWithin, Normality, Percentiles,
    Sample, ThinTails, Within, capability, indices,
};

fn distribution(text: &str) -> Distribution {
    let mut values = Distribution::default();
    for word in text.lines().filter(|line| !line.starts_with('#')).flat_map(str::split_whitespace) {
        values.observe(word.replace('.', "").parse().expect("a number")).expect("fits");
    }
    values
}

fn lottery() -> Distribution {
    distribution(include_str!("data/lottery.txt"))
}

/// In counts of 0.01.
fn michelso() -> Distribution {
    distribution(include_str!("data/michelso.txt"))
}

fn digits(what: &str, ours: f64, reference: f64, floor: f64) {
    let off = ((ours - reference) / reference).abs();
    let digits = if off == 0.0 { 15.0 } else { (-off.log10()).min(15.0) };
    println!("{what}: {ours:.13e} against {reference:.13e}, {digits:.1} digits");
    assert!(digits >= floor, "{what}: {ours:e} against {reference:e}");
}

/// statsmodels 0.15.0 `normal_ad`, scipy 1.17.1 `normaltest`, `skewtest`, `kurtosistest`, `skew` and
/// `kurtosis` (with and without `bias`) of NIST's Lottery and of Michelso times 100; the shape of Michelso by
/// Python's `fractions` and 40 digits of `decimal`, because scipy keeps 10 digits there.
/// Where values repeat (Michelso was read to 0.01), A² is that of values spread evenly over the step about them, by numpy.
#[test]
fn shape_and_normality() {
    for (name, values, ad, ad_p, k, k_p, z, shape) in [
        (
            "Lottery",
            lottery(),
            2.573_465_950_895_979_4,
            1.632_472_519_496_331_2e-6,
            100.338_624_080_866_32,
            1.628_338_232_359_361e-22,
            (-0.575_393_339_360_452_6, -10.000_377_322_175_696),
            (
                -0.092_688_231_450_355_79,
                -0.093_331_653_107_793_83,
                -1.192_780_941_757_953_8,
                -1.192_560_910_748_562_2,
            ),
        ),
        (
            "Michelso",
            michelso(),
            0.342_653_759_243_148_67,
            0.484_623_509_727_468_6,
            0.723_134_789_119_227_6,
            0.696_583_648_545_281_4,
            (-0.079_339_413_361_878_44, 0.846_664_069_514_362),
            (
                -0.018_259_613_963_112_966,
                -0.018_538_863_775_218_39,
                0.263_530_532_311_391_6,
                0.339_684_598_420_141_1,
            ),
        ),
    ] {
        let found = Normality::of(&values);
        let whole = found.anderson_darling.expect("enough values");
        digits(&format!("{name} A²"), whole.a_squared, ad, 10.0);
        digits(&format!("{name} p of A²"), whole.p, ad_p, 10.0);
        let omnibus = found.dagostino_pearson.expect("enough values");
        digits(&format!("{name} K²"), omnibus.k_squared, k, 10.0);
        digits(&format!("{name} p of K²"), omnibus.p, k_p, 10.0);
        digits(&format!("{name} z of skewness"), omnibus.z_skewness, z.0, 10.0);
        digits(&format!("{name} z of kurtosis"), omnibus.z_kurtosis, z.1, 10.0);
        let found = values.shape().expect("values that differ");
        digits(&format!("{name} g1"), found.skewness, shape.0, 13.0);
        digits(&format!("{name} G1"), found.sample_skewness.expect("enough"), shape.1, 13.0);
        digits(&format!("{name} g2"), found.excess_kurtosis, shape.2, 13.0);
        digits(&format!("{name} G2"), found.sample_excess_kurtosis.expect("enough"), shape.3, 13.0);
    }
}

/// numpy 2.4.6 `quantile` with the method `median_unbiased`, which is definition 8 of Hyndman and Fan.
#[test]
fn quantiles() {
    let probabilities = [0.001_35, 0.1, 0.25, 0.5, 0.75, 0.9, 0.998_65];
    let (lottery, michelso) = (lottery(), michelso());
    for (values, references) in [
        (
            lottery,
            [
                4.0,
                104.666_666_666_666_67,
                270.833_333_333_333_3,
                522.5,
                780.166_666_666_666_7,
                916.666_666_666_666_7,
                999.0,
            ],
        ),
        (
            michelso,
            [
                29_962.0,
                29_976.0,
                29_980.416_666_666_668,
                29_985.0,
                29_989.583_333_333_332,
                29_996.0,
                30_007.0,
            ],
        ),
    ] {
        for (p, reference) in probabilities.into_iter().zip(references) {
            digits(&format!("quantile {p}"), values.quantile(p).expect("values"), reference, 13.0);
        }
    }
}

/// SAS/QC User's Guide, PROC CAPABILITY, "Displaying a Confidence Interval for Cpk": 75 amplifications,
/// limits 4 and 6 dB, level 90 %. Printed are the indices and limits to six decimals; mean and s follow from
/// the data given there.
#[test]
fn the_published_example_of_amplifiers() {
    let sample = Sample { n: 75, mean: 4.809_333_33, s: 0.654_927_958, degrees: 74.0 };
    let found = indices(sample, Limits { lower: Some(4.0), upper: Some(6.0) }, 0.9).expect("indices");
    for (index, method, printed) in [
        (found.both.expect("two limits"), IntervalMethod::ChiSquare, [0.508_962, 0.439_538, 0.576_922]),
        (found.lower.expect("a limit"), IntervalMethod::NoncentralT, [0.411_920, 0.326_620, 0.495_136]),
        (found.upper.expect("a limit"), IntervalMethod::NoncentralT, [0.606_004, 0.501_261, 0.708_127]),
        (found.least, IntervalMethod::Bissell, [0.411_920, 0.327_599, 0.496_241]),
    ] {
        let interval = index.interval.expect("normal values");
        println!("{method:?}: {} {} {} against {printed:?}", index.value, interval.low, interval.high);
        assert_eq!(interval.method, method);
        for (ours, printed) in [index.value, interval.low, interval.high].into_iter().zip(printed) {
            assert!((ours - printed).abs() <= 1e-6, "{method:?}: {ours} against {printed}");
        }
    }
}

/// Where noncentral t would take too many steps, Bissell's approximation stands in and says so.
#[test]
fn an_index_beyond_any_process_has_an_interval_all_the_same() {
    let sample = Sample { n: 30, mean: 0.0, s: 1.0, degrees: 29.0 };
    for (limit, method) in [(100.0, IntervalMethod::NoncentralT), (1e9, IntervalMethod::Bissell)] {
        let found = indices(sample, Limits { lower: None, upper: Some(limit) }, 0.95).expect("indices");
        assert_eq!((found.both, found.lower, found.upper), (None, None, Some(found.least)));
        let interval = found.least.interval.expect("normal values");
        assert_eq!(interval.method, method);
        assert!(interval.low < found.least.value && found.least.value < interval.high);
    }
}

#[test]
fn normal_values_are_judged_by_mean_and_s_and_within_subgroups() {
    let limits = Limits { lower: Some(29_950.0), upper: Some(30_020.0) };
    let within = Within { s: 6.5, degrees: 80.0 };
    let report = capability(&michelso(), Some(within), limits, 0.95, None).expect("indices");
    assert_eq!((report.method, report.n, report.percentiles), (CapabilityMethod::Normal, 100, None));
    let overall = report.overall;
    let s = michelso().moments().s().expect("values");
    digits("Ppl", overall.lower.expect("a limit").value, (29_985.24 - 29_950.0) / (3.0 * s), 13.0);
    digits("Ppu", overall.upper.expect("a limit").value, (30_020.0 - 29_985.24) / (3.0 * s), 13.0);
    let within = report.within.expect("a spread");
    digits("Cp", within.both.expect("two limits").value, 70.0 / 39.0, 14.0);
    let refused =
        capability(&michelso(), Some(Within { s: 0.0, degrees: 80.0 }), limits, 0.95, None).expect("indices");
    assert_eq!(refused.within, Err(NoWithin::NotASpread));
}

/// Percentiles exp(m ± 3s) with m, s of the logarithms and the indices by the percentile method, computed
/// with numpy 2.4.6 from the file's values; A² and its p of the logarithms by statsmodels 0.15.0: 0.489,
/// 0.221.
#[test]
fn log_normal_values_are_judged_by_percentiles_of_the_fit() {
    let values = distribution(include_str!("data/log_normal.txt"));
    let limits = Limits { lower: Some(30.0), upper: Some(600.0) };
    let report = capability(&values, None, limits, 0.95, None).expect("indices");
    assert_eq!(
        (report.method, report.within),
        (CapabilityMethod::LogNormalPercentiles, Err(NoWithin::NotGiven))
    );
    digits("A²", report.normality.anderson_darling.expect("enough").a_squared, 5.921_219_159_326_597, 9.0);
    let percentiles = report.percentiles.expect("by percentiles");
    digits("X0.135", percentiles.low, 46.429_179_857_503_85, 12.0);
    digits("X50", percentiles.median, 146.189_707_748_105_83, 12.0);
    digits("X99.865", percentiles.high, 460.301_705_028_342_5, 12.0);
    digits("Pp", report.overall.both.expect("two limits").value, 1.377_235_659_131_310_9, 12.0);
    digits("Ppl", report.overall.lower.expect("a limit").value, 1.164_686_176_034_675_6, 12.0);
    digits("Ppu", report.overall.upper.expect("a limit").value, 1.444_740_398_906_269_5, 12.0);
    assert_eq!(report.overall.least, report.overall.lower.expect("a limit"));
    assert_eq!(report.overall.least.interval, None);
    let near = Limits { lower: Some(30.0), upper: Some(200.0) };
    let report = capability(&values, None, near, 0.95, None).expect("indices");
    assert_eq!(Some(report.overall.least), report.overall.upper);
    let zero = capability(&distribution("0 1 2 3 5 8 13 100"), None, near, 0.95, None).expect("indices");
    assert_eq!(zero.method, CapabilityMethod::EmpiricalPercentiles, "zero has no logarithm");
}

/// The percentiles of 218 values are their extremes, 4 and 999, and the median is 522.5 (numpy, above).
#[test]
fn other_values_are_judged_by_their_own_percentiles_and_too_few_are_told() {
    let limits = Limits { lower: None, upper: Some(1000.0) };
    let report = capability(&lottery(), None, limits, 0.95, None).expect("indices");
    assert_eq!(report.method, CapabilityMethod::EmpiricalPercentiles);
    assert_eq!(report.thin_tails, Some(ThinTails { needed: 741, given: 218 }));
    assert_eq!((report.overall.both, report.overall.lower), (None, None));
    digits("Ppk", report.overall.least.value, (1000.0 - 522.5) / (999.0 - 522.5), 13.0);
}

/// How often normal values are called not so at 5 %, by simulation of 400 samples: about so often, also where a gauge
/// reads them to a third of their standard deviation. scipy's test of the values as they were read rejects nearly all such
/// samples of 300. Exponential values are found out all the same.
#[test]
fn steps_of_a_gauge_are_no_reason_to_reject() {
    let rejected = |n: u32, draw: &mut dyn FnMut() -> i64| {
        let is_rejected = |_: &u32| {
            let mut values = Distribution::default();
            (0..n).for_each(|_| values.observe(draw()).expect("fits"));
            Normality::of(&values).passes(0.95) == Some(false)
        };
        (0..400).filter(is_rejected).count() as f64 / 400.0
    };
    let mut state = 11_u64;
    let mut even = move || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((state >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    };
    for (n, per_s) in [(100, 3.0), (300, 3.0), (300, 8.0), (1000, 3.0)] {
        // Box and Muller 1958.
        let share = rejected(n, &mut || {
            let radius = libm::sqrt(-2.0 * libm::log(even()));
            (per_s * radius * libm::cos(std::f64::consts::TAU * even())).round() as i64
        });
        assert!(share < 0.09, "{share} of {n} values, {per_s} steps in s");
    }
    let share = rejected(100, &mut || (-3.0 * libm::log(even())).floor() as i64);
    assert!(share > 0.99, "{share} of exponential values");
}

/// Mean and s as certified by NIST (StRD Lottery: 518.958715596330 and 291.699727470969).
#[test]
fn a_method_asked_for_is_taken_whatever_the_tests_say() {
    let limits = Limits { lower: None, upper: Some(1000.0) };
    let within = Some(Within { s: 290.0, degrees: 200.0 });
    let of = |values: &Distribution, method| capability(values, within, limits, 0.95, Some(method));
    let normal = of(&lottery(), CapabilityMethod::Normal).expect("indices");
    assert_eq!(normal.normality.passes(0.95), Some(false));
    let [ppk, cpk] = [normal.overall.least, normal.within.expect("a spread").least].map(|index| index.value);
    digits("Ppk", ppk, (1000.0 - 518.958_715_596_330) / (3.0 * 291.699_727_470_969), 14.0);
    digits("Cpk", cpk, (1000.0 - 518.958_715_596_330) / 870.0, 14.0);
    let empirical = of(&michelso(), CapabilityMethod::EmpiricalPercentiles);
    assert_eq!(empirical.expect("indices").within, Err(NoWithin::ByPercentiles));
    let values = distribution(include_str!("data/log_normal.txt"));
    let fit = of(&values, CapabilityMethod::LogNormalPercentiles).expect("indices");
    assert_eq!((fit.percentiles, fit.method), told(&values, limits));
    let zero = of(&distribution("0 1 2 3 5 8 13 100"), CapabilityMethod::LogNormalPercentiles);
    assert_eq!(zero, Err(NoCapability::NotPositive));
    let same = of(&distribution("3 3 3"), CapabilityMethod::EmpiricalPercentiles);
    assert_eq!(same, Err(NoCapability::NoSpread));
}

/// What the tests tell.
fn told(values: &Distribution, limits: Limits) -> (Option<Percentiles>, CapabilityMethod) {
    let report = capability(values, None, limits, 0.95, None).expect("indices");
    (report.percentiles, report.method)
}
