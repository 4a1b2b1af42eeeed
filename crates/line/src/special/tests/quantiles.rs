//! Quantiles as studies of gauges need them; scipy 1.17.1: stats.t.ppf, stats.chi2.ppf.

use super::super::{chi_square_within, t_within};
use super::agree;

#[test]
fn of_t() {
    for (confidence, degrees, reference) in [
        (0.95, 9.0, 2.262_157_162_798_205),
        (0.95, 1.0, 12.706_204_736_174_694),
        (0.99, 24.0, 2.796_939_504_774_456),
        (0.5, 9999.0, 0.674_514_286_937_346),
        (0.999, 2.0, 31.599_054_576_445_365),
    ] {
        agree(&format!("t within {confidence}, {degrees}"), t_within(confidence, degrees), reference, 13.0);
    }
}

#[test]
fn of_chi_square() {
    for (confidence, degrees, low, high) in [
        (0.95, 1.0, 0.000_982_069_117_175_258_3, 5.023_886_187_314_888),
        (0.95, 2.0, 0.050_635_615_968_579_795, 7.377_758_908_227_871),
        (0.99, 24.0, 9.886_233_502_241_472, 45.558_511_936_530_586),
        (0.95, 76_000.0, 75_237.761_431_356_63, 76_766.027_173_235_85),
        (0.9, 3781.0, 3_639.109_943_711_355, 3_925.164_049_174_198_7),
        (0.999, 60.0, 30.340_475_459_288_026, 102.694_755_341_168_96),
    ] {
        let (ours_low, ours_high) = chi_square_within(confidence, degrees);
        agree(&format!("low chi-square {degrees}"), ours_low, low, 13.5);
        agree(&format!("high chi-square {degrees}"), ours_high, high, 13.5);
    }
}

/// No confidence, however great, makes a quantile that is no number.
#[test]
fn of_the_greatest_confidence() {
    for degrees in [1.0, 2.0, 60.0, 76_000.0, 1.5e6] {
        for confidence in [1e-300, 1e-17, 0.999_999, 1.0 - f64::EPSILON / 2.0] {
            let (low, high) = chi_square_within(confidence, degrees);
            assert!(low.is_finite() && high.is_finite() && 0.0 < low && low <= high * (1.0 + 1e-12));
            assert!(t_within(confidence, degrees).is_finite());
        }
    }
}
