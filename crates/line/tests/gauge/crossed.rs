//! Crossed studies against published and computed results.

use crate::common::{agree, read, study};
use headproof_line::{
    AnovaRow, CrossedCell, CrossedFactor, CrossedFault, CrossedReading, CrossedShape, CrossedStudy,
    DivisorRule, GaugeLimits, Pooling, ToleranceShare, range_divisor,
};

const PUBLISHED: CrossedShape = CrossedShape { parts: 10, operators: 3, trials: 3 };
const GENERATED: CrossedShape = CrossedShape { parts: 6, operators: 4, trials: 3 };

fn published() -> Vec<f64> {
    read(include_str!("../data/gauge_10x3x3.csv"), PUBLISHED)
}

fn agree_row(what: &str, row: &AnovaRow, ss: f64, df: u32, fp: Option<(f64, f64)>, floor: f64) {
    agree(&format!("{what} SS"), row.ss, ss, floor);
    assert_eq!(row.df, df, "{what}");
    assert_eq!(row.f.is_some(), fp.is_some(), "{what}");
    if let Some((f, p)) = fp {
        agree(&format!("{what} F"), row.f.expect("an F"), f, floor);
        agree(&format!("{what} p"), row.p.expect("a p"), p, floor - 1.0);
    }
}

// Sums of squares, F and p: statsmodels 0.15.0 anova_lm; F and p against the interaction: those mean squares
// with scipy 1.17.1 stats.f.sf.
#[test]
fn the_published_study_by_analysis_of_variance() {
    let anova = study(PUBLISHED, &published()).anova(Pooling::default());
    let full = &anova.with_interaction;
    let part = Some((492.291_422_664_075_07, 1.163_063_994_926_002e-19));
    agree_row("part", &full.part, 88.361_934_444_444_4, 9, part, 12.0);
    let operator = Some((79.406_049_200_826_98, 1.174_477_606_341_043_7e-9));
    agree_row("operator", &full.operator, 3.167_262_222_222_22, 2, operator, 12.0);
    let interaction = Some((0.433_721_030_135_103_1, 0.974_106_404_329_046_2));
    agree_row("interaction", &full.interaction.unwrap(), 0.358_982_222_222_222, 18, interaction, 12.0);
    agree_row("error", &full.error, 2.758_933_333_333_33, 60, None, 12.0);
    let parts = full.part.ss + full.operator.ss + full.interaction.unwrap().ss + full.error.ss;
    agree("total SS", full.total_ss, parts, 13.0);
    assert_eq!(full.total_df, 89);

    assert!(anova.is_pooled);
    assert_eq!(anova.interaction, None);
    let pooled = anova.table();
    let part = Some((245.613_910_385_523_5, 2.021_011_794_519_485_3e-53));
    agree_row("pooled part", &pooled.part, 88.361_934_444_444_4, 9, part, 12.0);
    let operator = Some((39.617_245_709_740_53, 1.337_594_623_836_528_5e-12));
    agree_row("pooled operator", &pooled.operator, 3.167_262_222_222_22, 2, operator, 12.0);
    assert_eq!(pooled.error.df, 78);

    // Printed in AIAG MSA 4th edition (from memory) to four places; more places computed from the above.
    let v = anova.variation;
    agree("EV", v.repeatability, 0.199_933_179_7, 9.0);
    agree("AV", v.reproducibility, 0.226_837_521_5, 9.0);
    agree("GRR", v.grr, 0.302_371_522_3, 9.0);
    agree("PV", v.part, 1.042_327_493_8, 9.0);
    agree("TV", v.total, 1.085_299_563_2, 9.0);
    agree("%GRR", v.percent_of_total().unwrap(), 27.860_650_88, 9.0);
    let categories = v.distinct_categories().unwrap();
    assert_eq!(categories.ndc, 4);
    assert!((categories.unrounded - 4.86).abs() < 0.005);

    // The weighted sums with scipy 1.17.1 stats.chi2.ppf.
    let interval = anova.grr_interval(0.95).unwrap();
    agree("GRR interval lower", interval.lower, 0.227_453_755_433_984_16, 12.0);
    agree("GRR interval upper", interval.upper, 1.457_293_517_040_572_8, 12.0);
    let interval = anova.repeatability_interval(0.95).unwrap();
    agree("EV interval lower", interval.lower, 0.172_884_811_573_145, 12.0);
    agree("EV interval upper", interval.upper, 0.237_093_811_781_287_16, 12.0);

    let never = study(PUBLISHED, &published()).anova(Pooling::Never);
    let component = never.interaction.unwrap();
    agree("interaction", component.estimate, -0.008_679_588_477_366_258, 12.0);
    assert!(component.set_to_zero() && component.variance == 0.0 && never.variation.interaction == 0.0);
    let interval = never.grr_interval(0.95).unwrap();
    agree("GRR interval lower", interval.lower, 0.223_429_271_845_875_05, 12.0);
    agree("GRR interval upper", interval.upper, 1.456_608_022_529_595, 12.0);
}

// AIAG MSA 4th edition, the same study by averages and ranges: 0.2019, 0.2297, 0.3058, 1.1046, 1.1461, 26.7
// %, 5 with the constants .5908, .5231, .3146.
#[test]
fn the_published_study_by_averages_and_ranges() {
    let result = study(PUBLISHED, &published()).average_range(DivisorRule::Table);
    let near = |got: f64, printed: f64, half: f64| {
        assert!((got - printed).abs() <= half, "{got}, printed {printed}")
    };
    near(result.constants.k1, 0.5908, 5e-5);
    near(result.constants.k2, 0.5231, 5e-5);
    near(result.constants.k3, 0.3146, 5e-5);
    near(result.mean_range, 0.341_666_7, 5e-8);
    near(result.operator_difference, 0.444_666_7, 5e-8);
    near(result.part_range, 3.511_111_1, 5e-8);
    let v = result.variation;
    near(v.repeatability, 0.2019, 5e-5);
    near(v.reproducibility, 0.2297, 5e-5);
    near(v.grr, 0.3058, 5e-5);
    // Printed results were made with K3 rounded to .3146, which is worth up to 5e-5 of the range of 3.511.
    near(result.part_range * 0.3146, 1.1046, 5e-5);
    near(v.part, 1.1046, 5e-5 + 5e-5 * 3.511);
    near(v.total, 1.1461, 5e-5 + 5e-5 * 3.511);
    near(v.percent_of_total().unwrap(), 26.7, 0.05);
    assert_eq!(v.distinct_categories().unwrap().ndc, 5);
    assert!(!result.reproducibility_set_to_zero);
    // With d2* for 30 ranges in place of d2 the repeatability is a little smaller.
    let exact = study(PUBLISHED, &published()).average_range(DivisorRule::Exact);
    assert!(exact.constants.k1 < result.constants.k1 && exact.constants.k1 > 0.588);
}

// d2 and d3: closed forms for 2 and d2 of 3 (ASTM E2587 has them to three places); other d2 by mpmath, 25
// digits, from ∫ 1 − Φ^m − (1 − Φ)^m; other d3 by scipy 1.17.1 integrate.quad of the range's distribution.
#[test]
fn range_divisors() {
    let pi = std::f64::consts::PI;
    for (size, d2, d3) in [
        (2, 2.0 / pi.sqrt(), (2.0 - 4.0 / pi).sqrt()),
        (3, 3.0 / pi.sqrt(), 0.888_368_004_045_211_3),
        (10, 3.077_505_461_670_346, 0.797_050_673_519_391_9),
        (20, 3.734_950_119_596_641, 0.728_686_345_707_271_5),
        (200, 5.492_084_894_902_309, 0.565_992_402_706_283_7),
    ] {
        agree(&format!("d2({size})"), range_divisor(size, 16, DivisorRule::Table).unwrap(), d2, 11.0);
        let star = (d2 * d2 + d3 * d3 / 4.0_f64).sqrt();
        agree(&format!("d2*({size}, 4)"), range_divisor(size, 4, DivisorRule::Table).unwrap(), star, 11.0);
        let star = (d2 * d2 + d3 * d3 / 16.0_f64).sqrt();
        agree(&format!("d2*({size}, 16)"), range_divisor(size, 16, DivisorRule::Exact).unwrap(), star, 11.0);
    }
    for (size, ranges) in [(0, 1), (1, 1), (201, 1), (3, 0)] {
        assert_eq!(range_divisor(size, ranges, DivisorRule::Exact), None);
    }
}

// statsmodels 0.15.0 anova_lm and scipy 1.17.1, as above.
#[test]
fn a_study_with_interaction() {
    let values = read(include_str!("../data/gauge_6x4x3.csv"), GENERATED);
    let anova = study(GENERATED, &values).anova(Pooling::default());
    let table = anova.table();
    let part = Some((48.456_257_827_098_28, 9.934_765_303_624_901e-9));
    agree_row("part", &table.part, 71.906_273_236_111_1, 5, part, 11.0);
    let operator = Some((5.381_564_918_406_325, 0.010_245_628_590_214_276));
    agree_row("operator", &table.operator, 4.791_557_930_555_55, 3, operator, 11.0);
    let interaction = Some((7.280_242_497_997_839, 5.759_804_378_642_063_4e-8));
    agree_row("interaction", &table.interaction.unwrap(), 4.451_825_819_445, 15, interaction, 11.0);
    agree_row("error", &table.error, 1.956_781_333_333_34, 48, None, 11.0);
    agree("repeatability", anova.repeatability.variance, 0.040_766_277_777_777_88, 11.0);
    agree("operator", anova.operator.variance, 0.072_244_310_493_827_03, 11.0);
    agree("interaction", anova.interaction.unwrap().variance, 0.085_340_703_395_061_85, 11.0);
    agree("part", anova.part.variance, 1.173_705_521_604_938_6, 11.0);
    let interval = anova.grr_interval(0.95).unwrap();
    agree("GRR interval lower", interval.lower, 0.356_259_687_526_802_37, 11.0);
    agree("GRR interval upper", interval.upper, 1.161_486_223_985_543_2, 11.0);
    let pooled = study(GENERATED, &values).anova(Pooling::Always);
    agree("pooled operator", pooled.operator.variance, 0.083_081_225_210_660_28, 11.0);
    agree("pooled p", pooled.table().operator.p.unwrap(), 9.851_862_049_620_685e-8, 10.0);
    // One reading, and the mean of three by one operator.
    let v = anova.variation;
    agree("u(1)", v.judging(1).unwrap().standard_uncertainty, v.grr, 15.0);
    let u: f64 = 0.040_766_277_777_777_88 / 3.0 + 0.072_244_310_493_827_03 + 0.085_340_703_395_061_85;
    let judging = v.judging(3).unwrap();
    agree("u(3)", judging.standard_uncertainty, u.sqrt(), 11.0);
    agree("tolerance 10 %", judging.tolerance_for_10_percent, 60.0 * u.sqrt(), 11.0);
    agree("tolerance 30 %", judging.tolerance_for_30_percent, 20.0 * u.sqrt(), 11.0);
    agree("guard band", judging.guard_band, 1.644_853_626_951_472_2 * u.sqrt(), 11.0);
    assert_eq!(v.judging(0), None);
}

// Offsets as in NIST StRD SmLs04 (1e6) and SmLs07 (1e12): the published study in whole hundredths, exact at
// both.
#[test]
fn an_offset_costs_no_digits() {
    let whole: Vec<f64> = published().iter().map(|value| (value * 100.0).round()).collect();
    let plain = study(PUBLISHED, &whole).anova(Pooling::Never);
    let plain_ranges = study(PUBLISHED, &whole).average_range(DivisorRule::Table).variation;
    agree("SS of hundredths", plain.with_interaction.part.ss, 883_619.344_444_444, 12.0);
    for offset in [1e6, 1e12, -1e12] {
        let moved: Vec<f64> = whole.iter().map(|value| value + offset).collect();
        let anova = study(PUBLISHED, &moved).anova(Pooling::Never);
        for (row, same) in [
            (anova.with_interaction.part, plain.with_interaction.part),
            (anova.with_interaction.operator, plain.with_interaction.operator),
            (anova.with_interaction.interaction.unwrap(), plain.with_interaction.interaction.unwrap()),
            (anova.with_interaction.error, plain.with_interaction.error),
        ] {
            agree(&format!("SS at {offset:e}"), row.ss, same.ss, 13.0);
        }
        let ranges = study(PUBLISHED, &moved).average_range(DivisorRule::Table).variation;
        agree(&format!("GRR at {offset:e}"), ranges.grr, plain_ranges.grr, 13.0);
        agree(&format!("mean at {offset:e}"), anova.variation.mean, offset + plain.variation.mean, 13.0);
    }
}

#[test]
fn shares_of_tolerances() {
    let v = study(PUBLISHED, &published()).anova(Pooling::default()).variation;
    let limits = |lower, upper| GaugeLimits::new(lower, upper).unwrap();
    let Some(ToleranceShare::TwoSided { percent }) = v.percent_of_tolerance(limits(Some(-4.0), Some(4.0)))
    else {
        panic!("two limits")
    };
    agree("two-sided", percent, 100.0 * 6.0 * 0.302_371_522_3 / 8.0, 9.0);
    let Some(ToleranceShare::OneSided { percent }) = v.percent_of_tolerance(limits(None, Some(4.0))) else {
        panic!("one limit")
    };
    agree("one-sided", percent, 100.0 * 3.0 * 0.302_371_522_3 / (4.0 - v.mean), 9.0);
    assert_eq!(v.percent_of_tolerance(limits(Some(3.0), None)), None);
    for (lower, upper) in
        [(None, None), (Some(1.0), Some(1.0)), (Some(2.0), Some(1.0)), (Some(f64::NAN), None)]
    {
        assert_eq!(GaugeLimits::new(lower, upper), None);
    }
}

#[test]
fn nothing_varies() {
    let shape = CrossedShape { parts: 3, operators: 2, trials: 3 };
    // 0.1 is no exact double: sums of it must not look like scatter.
    let anova = study(shape, &[0.1; 18]).anova(Pooling::default());
    assert!(anova.is_pooled);
    assert_eq!((anova.variation.total, anova.variation.percent_of_total()), (0.0, None));
    assert_eq!(anova.variation.distinct_categories(), None);
    assert_eq!((anova.table().part.f, anova.table().part.p), (None, None));
    let interval = anova.grr_interval(0.95).unwrap();
    assert_eq!((interval.lower, interval.upper), (0.0, 0.0));
    // Parts and operators that add up exactly, but for rounding: no error and no interaction.
    let shape = CrossedShape { parts: 7, operators: 3, trials: 3 };
    let additive: Vec<f64> =
        (0..63).map(|i| 5.3 + 0.137 * f64::from(i / 9) + 0.0713 * f64::from(i / 3 % 3)).collect();
    let anova = study(shape, &additive).anova(Pooling::default());
    assert_eq!((anova.table().error.ss, anova.table().operator.f), (0.0, None));
    assert!(anova.is_pooled && anova.variation.reproducibility > 0.0);
    // An interaction without any error is not pooled.
    let crossed: Vec<f64> =
        additive.iter().enumerate().map(|(i, v)| if i < 3 { v + 1.0 } else { *v }).collect();
    assert!(!study(shape, &crossed).anova(Pooling::default()).is_pooled);
    let ranges = study(shape, &[0.1; 63]).average_range(DivisorRule::Table);
    assert_eq!(ranges.variation.percent_of_total(), None);
}

#[test]
fn faults_are_located_and_come_at_once() {
    let shape = CrossedShape { parts: 2, operators: 2, trials: 2 };
    let cell = |part, operator, trial| CrossedCell { part, operator, trial };
    let reading = |cell, value| CrossedReading { cell, value };
    let readings = [
        reading(cell(0, 0, 0), 1.0),
        reading(cell(0, 0, 1), f64::NAN),
        reading(cell(0, 1, 0), 1.0),
        reading(cell(0, 0, 0), 1.0),
        reading(cell(1, 0, 0), 1.0),
        reading(cell(1, 0, 2), 1.0),
        reading(cell(1, 1, 0), 1e16),
        reading(cell(1, 1, 1), 1.0),
    ];
    let faults = CrossedStudy::new(shape, &readings).unwrap_err();
    let expected = [
        CrossedFault::Unusable { index: 1, cell: cell(0, 0, 1) },
        CrossedFault::Surplus { index: 3, cell: cell(0, 0, 0) },
        CrossedFault::Outside { index: 5, cell: cell(1, 0, 2) },
        CrossedFault::Unusable { index: 6, cell: cell(1, 1, 0) },
        CrossedFault::Missing(cell(0, 1, 1)),
        CrossedFault::Missing(cell(1, 0, 1)),
    ];
    assert_eq!(faults, expected);
    let shape = CrossedShape { parts: 201, operators: 1, trials: usize::MAX };
    let faults = CrossedStudy::new(shape, &[]).unwrap_err();
    let count = |factor, count, most| CrossedFault::Count { factor, count, least: 2, most };
    let expected = [
        count(CrossedFactor::Parts, 201, 200),
        count(CrossedFactor::Operators, 1, 20),
        count(CrossedFactor::Trials, usize::MAX, 20),
    ];
    assert_eq!(faults, expected);
}
