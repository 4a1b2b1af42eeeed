//! How far a guard band reaches into a tolerance: for showing it. The verdict is that of the evaluation.

use headproof_metrology::guard_band_multiplier;
use headproof_wire::DecisionRule;

/// How many standard uncertainties a limit is moved inwards; none when no reading could be proved.
///
/// `tolerance` is the width between two limits in standard uncertainties, none with one limit. Simple
/// acceptance moves no limit.
pub(super) fn multiplier(rule: DecisionRule, tolerance: Option<f64>) -> Option<f64> {
    match rule {
        DecisionRule::Simple => Some(0.0),
        DecisionRule::Guarded { conformance_probability } => {
            guard_band_multiplier(conformance_probability, tolerance)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const AT_95: DecisionRule = DecisionRule::Guarded { conformance_probability: 0.95 };

    /// 1.644 853 627 0: the 95 % quantile of the normal distribution, from tables; 3.919 928 0: the least
    /// tolerance that 95 % can be proved in, twice the 97.5 % quantile.
    #[test]
    fn one_limit_and_two() {
        assert_eq!(multiplier(DecisionRule::Simple, None), Some(0.0));
        assert!((multiplier(AT_95, None).unwrap() - 1.644_853_627_0).abs() < 1e-9);
        assert!((multiplier(AT_95, Some(100.0)).unwrap() - 1.644_853_627_0).abs() < 1e-9);
        assert!((multiplier(AT_95, Some(3.92)).unwrap() - 1.96).abs() < 0.01);
        assert_eq!(multiplier(AT_95, Some(3.919)), None);
    }

    #[test]
    fn a_narrow_tolerance_takes_a_wider_band() {
        let widths = [8.0, 6.0, 5.0, 4.25, 4.0];
        let bands = widths.map(|width| multiplier(AT_95, Some(width)).unwrap());
        assert!(bands.windows(2).all(|pair| pair[0] < pair[1]), "{bands:?}");
    }
}
