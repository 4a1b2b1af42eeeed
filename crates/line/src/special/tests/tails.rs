//! Tails of t and F.

use super::super::{f_upper_tail, t_two_sided};
use super::agree;

#[test]
fn tails_of_t_and_f() {
    for (t, degrees, reference) in [
        (2.0, 3.0, 0.139_325_968_558_843_05),
        (1.0, 1.0, 0.5),
        (30.0, 10.0, 3.961_792_342_031_325e-11),
        (3.0, 1000.0, 0.002_766_709_044_238_192_5),
        (5.0, 1.5e6, 5.733_675_711_872_069e-7),
        (0.001, 50.0, 0.999_206_094_775_501_7),
    ] {
        agree(&format!("t {t}, {degrees}"), t_two_sided(t, degrees), reference, 13.0);
    }
    for (f, between, within, reference) in [
        (1.180_462_374_402_55, 4.0, 20.0, 0.349_447_493_402_192_94),
        (21.0, 8.0, 180.0, 2.583_264_337_268_937_5e-22),
        (3.0, 99.0, 1.5e6, 1.176_782_833_138_908e-21),
        (100.0, 2.0, 5.0, 9.290_527_179_572_046e-5),
        (0.01, 7.0, 9.0, 0.999_998_526_970_337_8),
        (2.0, 2000.0, 3000.0, 1.165_165_981_222_686_6e-66),
    ] {
        agree(&format!("F {f}, {between}, {within}"), f_upper_tail(f, between, within), reference, 13.0);
    }
    assert_eq!((t_two_sided(f64::MAX, 5.0), f_upper_tail(f64::MAX, 2.0, 5.0)), (0.0, 0.0));
    assert_eq!((t_two_sided(0.0, 5.0), f_upper_tail(0.0, 2.0, 5.0)), (1.0, 1.0));
}

/// Degrees of freedom as studies of gauges have them.
#[test]
fn tails_of_gauge_studies() {
    for (f, between, within, reference) in [
        (0.433_721, 18.0, 60.0, 0.974_106_413_565_522_9),
        (2.5, 1.0, 9.0, 0.148_304_707_366_559_5),
        (79.4, 2.0, 60.0, 1.390_330_280_971_511_6e-17),
        (1.02, 3781.0, 76_000.0, 0.197_668_975_542_849_23),
        (1.5, 19.0, 3781.0, 0.075_021_862_576_043_36),
        (40.0, 9.0, 81.0, 3.434_930_785_085_01e-26),
        (0.03, 5.0, 7.0, 0.999_333_015_522_648_6),
    ] {
        agree(&format!("F {f}, {between}, {within}"), f_upper_tail(f, between, within), reference, 13.0);
    }
    for (t, degrees, reference) in [
        (0.1, 9.0, 0.922_536_447_956_681_2),
        (2.262, 9.0, 0.050_012_845_502_454_63),
        (8.0, 24.0, 3.156_000_607_513_214e-8),
        (1.5, 9999.0, 0.133_645_974_980_801_1),
        (30.0, 24.0, 1.538_343_895_055_541_5e-20),
    ] {
        agree(&format!("t {t}, {degrees}"), t_two_sided(t, degrees), reference, 13.0);
    }
    assert_eq!((f_upper_tail(0.0, 3.0, 4.0), f_upper_tail(1e308, 1e5, 4.0)), (1.0, 0.0));
}

/// mpmath 1.4.1 with 40 digits: the density integrated over the logarithm of F.
#[test]
fn tails_with_millions_of_degrees() {
    for (f, between, within, reference) in [
        (2.0, 7.0, 1.5e6, 0.051_182_100_424_027_99),
        (0.5, 7.0, 1.5e6, 0.835_225_297_252_661_5),
        (1.001, 7.0, 1e8, 0.428_151_391_044_350_5),
        (1.01, 76_000.0, 76_000.0, 0.085_101_610_406_740_5),
        (1.001, 1.5e6, 1.5e6, 0.270_246_933_709_694_1),
        (3.0, 99.0, 1.5e6, 1.176_782_833_138_904_5e-21),
        (1.5, 1e6, 40.0, 0.052_438_694_260_663_525),
        (6.0, 3.0, 200_000.0, 0.000_440_009_464_940_661_43),
    ] {
        agree(&format!("F {f}, {between}, {within}"), f_upper_tail(f, between, within), reference, 12.5);
    }
}
