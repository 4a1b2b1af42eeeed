//! References, unless said otherwise: scipy 1.17.1, scipy.stats (t.sf, f.sf, norm.logcdf, nct.cdf), printed
//! with repr.

mod quantiles;
mod tails;

use super::noncentral::noncentral_t_cdf;
use super::*;

/// How many digits two numbers have in common.
fn digits(ours: f64, reference: f64) -> f64 {
    let off = (ours / reference - 1.0).abs();
    if off == 0.0 { 16.0 } else { -libm::log10(off) }
}

fn agree(what: &str, ours: f64, reference: f64, floor: f64) {
    let digits = digits(ours, reference);
    println!("{what}: {ours:e} against {reference:e}, {digits:.1} digits");
    assert!(digits >= floor, "{what}: {ours:e} against {reference:e}");
}

/// mpmath 1.4.1 with 40 digits: roots of the series of P(a, x). (scipy's of 1.5 million degrees at 10⁻⁶ has
/// 10 digits.)
#[test]
fn chi_square_quantiles() {
    let probabilities = [1e-6, 0.025, 0.5, 0.95, 0.975, 1.0 - 1e-6];
    for (degrees, references) in [
        (
            1.0,
            [
                1.570_796_326_795_718_9e-12,
                0.000_982_069_117_175_256,
                0.454_936_423_119_572_8,
                3.841_458_820_694_124_5,
                5.023_886_187_314_887,
                23.928_126_976_879_47,
            ],
        ),
        (
            4.0,
            [
                0.002_829_761_322_958_686,
                0.484_418_557_087_929_8,
                3.356_693_980_033_321,
                9.487_729_036_781_155,
                11.143_286_781_877_795,
                33.376_841_581_658_88,
            ],
        ),
        (
            74.0,
            [
                29.769_602_493_739_69,
                52.102_829_134_212_06,
                73.334_411_627_514_71,
                95.081_466_669_243_25,
                99.678_348_978_472_37,
                146.800_490_432_651_95,
            ],
        ),
        (
            1.5e6,
            [
                1_491_781.219_521_345_7,
                1_496_607.137_500_599,
                1_499_999.333_333_386,
                1_502_850.106_628_641_4,
                1_503_396.651_110_798_6,
                1_508_247.573_857_836_4,
            ],
        ),
    ] {
        for (p, reference) in probabilities.into_iter().zip(references) {
            agree(&format!("chi-square {degrees} at {p}"), chi_square_quantile(p, degrees), reference, 13.0);
        }
    }
}

/// mpmath 1.4.1 as above; beyond ten million degrees of freedom the guess itself is the answer.
#[test]
fn chi_square_quantiles_of_very_many_degrees() {
    for (p, reference) in
        [(1e-6, 19_969_951.100_390_18), (0.025, 19_987_605.993_768_534), (0.975, 20_012_397.794_843_2)]
    {
        agree(&format!("chi-square 2e7 at {p}"), chi_square_quantile(p, 2e7), reference, 10.0);
    }
    assert!(chi_square_quantile(0.5, 1e300).is_finite());
}

#[test]
fn logarithms_of_the_normal_distribution() {
    for (z, reference) in [
        (-50.0, -1_254.831_361_139_419_9),
        (-30.0, -454.321_243_956_343_27),
        (-10.0, -53.231_285_150_512_48),
        (-1.0, -1.841_021_645_009_263_4),
        (0.0, -std::f64::consts::LN_2),
        (3.0, -0.001_350_809_964_748_192_5),
        (9.0, -1.128_588_405_953_832_4e-19),
    ] {
        agree(&format!("ln Φ({z})"), ln_normal_cdf(z), reference, 13.0);
    }
}

/// mpmath 1.4.1 with 40 digits: roots of ln Φ.
#[test]
fn quantiles_of_the_normal_distribution() {
    for (p, reference) in [
        (1e-300, -37.047_096_299_361_2),
        (1e-20, -9.262_340_089_798_407),
        (0.001, -3.090_232_306_167_813_5),
        (0.025, -1.959_963_984_540_054_2),
        (0.3, -0.524_400_512_708_040_8),
        (0.49, -0.025_068_908_258_711_058),
        (0.499_999_9, -2.506_628_274_703_106_5e-7),
        (0.975, 1.959_963_984_540_053_9),
    ] {
        agree(&format!("normal quantile of {p}"), normal_quantile(p), reference, 14.0);
    }
    assert!(normal_quantile(0.5).abs() < 1e-16);
    for p in [-1.0, 0.0, 5e-324, 1.0, 2.0] {
        assert!(normal_quantile(p).is_finite());
    }
}

#[test]
fn the_noncentral_t_distribution_and_its_noncentrality() {
    for (t, degrees, delta, reference) in [
        (4.0, 10.0, 3.0, 0.748_313_926_911_580_4),
        (12.0, 74.0, 10.0, 0.919_362_261_516_271_8),
        (40.0, 99.0, 41.0, 0.354_138_256_866_946_4),
        (3.0, 1.0, 2.0, 0.524_857_161_733_687_9),
        (-2.0, 20.0, 1.0, 0.002_230_705_499_573_335_3),
    ] {
        let ours = noncentral_t_cdf(t, degrees, delta);
        agree(&format!("noncentral t {t}, {degrees}, {delta}"), ours, reference, 9.0);
        let back = noncentrality(t, degrees, reference).expect("an ordinary t");
        agree("its noncentrality", back, delta, 9.0);
    }
    assert_eq!(noncentrality(1e6, 10.0, 0.5), None);
}
