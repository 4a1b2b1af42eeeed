//! Studies on one reference.

use crate::common::agree;
use headproof_line::{ReferenceFault, ReferenceRules, ReferenceStudy, SignificanceOfBias};

// Generated: numpy 2.4.6 default_rng(20261126) after the study of 6 parts, normal about 6.0012 (sd 0.0031).
const READINGS: [f64; 30] = [
    6.002, 6.007, 6.0054, 5.9997, 6.0058, 6.0049, 6.0053, 6.0006, 5.9964, 6.0011, 6.0022, 5.9962, 5.9983,
    6.0024, 5.9973, 5.9958, 6.0009, 5.9991, 6.0038, 6.0016, 6.0011, 6.0039, 5.9991, 6.0028, 6.0037, 6.0075,
    6.0042, 6.0024, 5.997, 5.9989,
];

// t, p and interval: scipy 1.17.1 stats.ttest_1samp(readings, 6.0); s: numpy 2.4.6; its interval:
// stats.chi2.ppf.
#[test]
fn against_scipy() {
    let study = ReferenceStudy::new(6.0, 0.0005, &READINGS).unwrap();
    let rules = ReferenceRules { tolerance: Some(0.1), resolution: Some(0.001), ..ReferenceRules::default() };
    let result = study.evaluate(&rules).unwrap();
    let SignificanceOfBias::Tested { t, p, significant } = result.significance else { panic!("{result:?}") };
    // The readings are about 6 and differ in the third place: both sides have lost some three digits to that.
    agree("t", t, 2.587_483_901_147_433_3, 11.0);
    agree("p", p, 0.014_947_582_236_111_529, 11.0);
    assert!(significant && !result.few && result.n == 30);
    agree("mean", result.mean, 6.001_546_666_666_667, 14.0);
    agree("bias lower", result.bias_interval.lower, 6.000_324_132_098_718 - 6.0, 11.0);
    agree("bias upper", result.bias_interval.upper, 6.002_769_201_234_616 - 6.0, 11.0);
    agree("s", result.s, 0.003_274_007_702_614_825, 12.0);
    agree("s lower", result.s_interval.lower, 0.002_607_442_432_280_715_3, 12.0);
    agree("s upper", result.s_interval.upper, 0.004_401_298_251_575_252_5, 12.0);

    // The definitions with those numbers.
    let (s, bias) = (0.003_274_007_702_614_825_f64, 0.001_546_666_666_666_7_f64);
    let capability = result.capability.unwrap();
    agree("Cg", capability.cg.unwrap(), 0.2 * 0.1 / (6.0 * s), 12.0);
    agree("Cgk", capability.cgk.unwrap(), (0.1 * 0.1 - bias) / (3.0 * s), 11.0);
    assert!(!capability.cg_sufficient && !capability.cgk_sufficient);
    agree("%RE", capability.resolution_percent.unwrap(), 1.0, 14.0);
    assert_eq!(capability.resolution_sufficient, Some(true));
    agree("smallest T, Cg", result.smallest_tolerance_cg, 1.33 * 6.0 * s / 0.2, 12.0);
    agree("smallest T, Cgk", result.smallest_tolerance_cgk, (1.33 * 3.0 * s + bias) / 0.1, 11.0);
    agree("smallest T, %RE", result.smallest_tolerance_resolution.unwrap(), 0.02, 14.0);
    let u = result.uncertainty;
    agree("u", u.combined, (s * s + bias * bias / 3.0 + 0.0005 * 0.0005).sqrt(), 11.0);

    // At the smallest tolerance the index is what is wanted.
    let rules = ReferenceRules { tolerance: Some(result.smallest_tolerance_cgk), ..rules };
    agree("Cgk there", study.evaluate(&rules).unwrap().capability.unwrap().cgk.unwrap(), 1.33, 12.0);
    // Another definition: 0.15 T against 4 s.
    let rules =
        ReferenceRules { tolerance: Some(0.1), share: 0.15, multiple: 4.0, ..ReferenceRules::default() };
    let capability = study.evaluate(&rules).unwrap().capability.unwrap();
    agree("Cg 0.15 T / 4 s", capability.cg.unwrap(), 0.15 * 0.1 / (4.0 * s), 12.0);
    agree("Cgk 0.15 T / 4 s", capability.cgk.unwrap(), (0.075 * 0.1 - bias) / (2.0 * s), 11.0);
    assert_eq!(capability.resolution_percent, None);
}

// Offsets as in NIST StRD NumAcc4 and SmLs07, in whole steps.
#[test]
fn an_offset_costs_no_digits() {
    let whole: Vec<f64> = READINGS.iter().map(|reading| (reading * 1e4).round() - 60_000.0).collect();
    let rules = ReferenceRules::default();
    let plain = ReferenceStudy::new(0.0, 0.0, &whole).unwrap().evaluate(&rules).unwrap();
    for offset in [1e7, 1e12] {
        let moved: Vec<f64> = whole.iter().map(|value| value + offset).collect();
        let result = ReferenceStudy::new(offset, 0.0, &moved).unwrap().evaluate(&rules).unwrap();
        agree("bias", result.bias, plain.bias, 14.0);
        agree("s", result.s, plain.s, 14.0);
        agree("s again", result.s, 32.740_077_026_148_25, 12.0);
    }
}

#[test]
fn without_scatter() {
    let rules = ReferenceRules { tolerance: Some(0.1), resolution: Some(0.01), ..ReferenceRules::default() };
    // 6.005 − 6.0 in doubles is not 0.005: what is left over is no scatter.
    let result = ReferenceStudy::new(6.0, 0.0, &[6.005; 25]).unwrap().evaluate(&rules).unwrap();
    assert_eq!((result.s, result.s_interval.upper), (0.0, 0.0));
    assert_eq!(result.significance, SignificanceOfBias::WithoutScatter);
    let capability = result.capability.unwrap();
    assert_eq!((capability.cg, capability.cgk), (None, None));
    assert!(capability.cg_sufficient && capability.cgk_sufficient);
    assert_eq!(capability.resolution_sufficient, Some(false));
    agree("u", result.uncertainty.combined, (0.01_f64.powi(2) / 12.0 + 0.005_f64.powi(2) / 3.0).sqrt(), 11.0);
    let far = ReferenceStudy::new(6.0, 0.0, &[6.02; 25]).unwrap().evaluate(&rules).unwrap();
    assert!(!far.capability.unwrap().cgk_sufficient);
    let exact = ReferenceStudy::new(6.1, 0.0, &[6.1; 10]).unwrap().evaluate(&rules).unwrap();
    assert_eq!((exact.significance, exact.few), (SignificanceOfBias::None, true));
}

#[test]
fn faults_come_at_once() {
    let faults = ReferenceStudy::new(f64::NAN, -1.0, &[1.0, f64::INFINITY, 1e16]).unwrap_err();
    let expected = [
        ReferenceFault::Reference,
        ReferenceFault::ReferenceUncertainty,
        ReferenceFault::Count(3),
        ReferenceFault::Reading(1),
        ReferenceFault::Reading(2),
    ];
    assert_eq!(faults, expected);
    let rules = ReferenceRules {
        tolerance: Some(0.0),
        resolution: Some(f64::NAN),
        share: 0.0,
        multiple: 0.5,
        wanted: f64::INFINITY,
        confidence: 1.0,
    };
    let faults = ReferenceStudy::new(6.0, 0.0, &READINGS).unwrap().evaluate(&rules).unwrap_err();
    let expected = [
        ReferenceFault::Tolerance,
        ReferenceFault::Resolution,
        ReferenceFault::Share,
        ReferenceFault::Multiple,
        ReferenceFault::Wanted,
        ReferenceFault::Confidence,
    ];
    assert_eq!(faults, expected);
}
