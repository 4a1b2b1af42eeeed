//! From a value, its uncertainty and its limits to a verdict.

use headproof_head::{DecisionRule, Reason, Verdict};
use headproof_metrology::{conformance_probability, guard_band_multiplier};
use headproof_quantity::{Exact, Kind, Rounded};

use crate::candidate::Candidate;

/// Limits on the grid on which they are compared.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct GridLimits {
    pub(crate) lower: Option<Rounded>,
    pub(crate) upper: Option<Rounded>,
}

impl GridLimits {
    pub(crate) fn new(lower: Option<Exact>, upper: Option<Exact>, kind: Kind) -> Self {
        let grid = |limit: Option<Exact>| limit.and_then(|limit| Rounded::from_exact(limit, kind));
        Self { lower: grid(lower), upper: grid(upper) }
    }

    /// How far a value lies beyond the nearer limit (negative inside), and which one that is; `None` without
    /// limits.
    fn deviation(&self, value: Rounded) -> Option<(Rounded, Reason)> {
        let above = self.upper.map(|upper| value.minus(upper));
        let below = self.lower.map(|lower| lower.minus(value));
        match (above, below) {
            (Some(above), Some(below)) if below.count() > above.count() => Some((below, Reason::BelowLower)),
            (Some(above), _) => Some((above, Reason::AboveUpper)),
            (None, Some(below)) => Some((below, Reason::BelowLower)),
            (None, None) => None,
        }
    }
}

/// A judged value.
#[derive(Debug, Clone)]
pub(crate) struct Judged {
    pub(crate) value: Rounded,
    pub(crate) deviation: Rounded,
    pub(crate) probability: Option<f64>,
    pub(crate) verdict: Verdict,
    pub(crate) reason: Reason,
}

impl Judged {
    /// Worse first by verdict; then, where proof is asked for, by how little is proven; then by how far it
    /// lies out.
    pub(crate) fn is_worse_than(&self, other: &Self, rule: DecisionRule) -> bool {
        let proven = |judged: &Self| match rule {
            DecisionRule::Simple => 0.0,
            DecisionRule::Guarded { .. } => judged.probability.unwrap_or(0.0),
        };
        self.verdict
            .cmp(&other.verdict)
            .then(proven(other).total_cmp(&proven(self)))
            .then(self.deviation.count().cmp(&other.deviation.count()))
            .is_gt()
    }
}

/// Lie the two limits so close together that no value at all could be proved to conform? At 95 % that is
/// closer than 3.92 standard uncertainties.
fn cannot_decide(limits: GridLimits, u: f64, wanted: f64) -> bool {
    let tolerance = limits.upper.zip(limits.lower).map(|(upper, lower)| upper.minus(lower).to_f64());
    tolerance.is_some_and(|tolerance| guard_band_multiplier(wanted, Some(tolerance / u)).is_none())
}

/// The worst of several values of one characteristic, judged.
///
/// A value that has no place on the grid may be worse than all others: then only what is found broken counts.
pub(crate) fn worst_of(
    candidates: &[Candidate],
    limits: GridLimits,
    kind: Kind,
    rule: DecisionRule,
) -> Option<(&Candidate, Judged)> {
    let mut all_there = true;
    let on_grid = candidates.iter().filter_map(|candidate| {
        let value = candidate.rounded(kind);
        all_there &= value.is_some();
        Some((candidate, value?))
    });
    let judged = |(candidate, value): (_, Rounded)| {
        let candidate: &Candidate = candidate;
        Some((candidate, judge(value, candidate.uncertainty, limits, rule)?))
    };
    let bits = |candidate: &Candidate| candidate.uncertainty.map(f64::to_bits);
    let worst = if candidates.windows(2).all(|pair| bits(&pair[0]) == bits(&pair[1])) {
        // Equally uncertain values rank by how far out they lie, so that only one needs its probability.
        let out = |(_, value): &(&Candidate, Rounded)| limits.deviation(*value).map(|(by, _)| by.count());
        judged(on_grid.reduce(|worst, next| if out(&next) > out(&worst) { next } else { worst })?)?
    } else {
        let judged = on_grid.filter_map(judged);
        judged.reduce(|worst, next| if next.1.is_worse_than(&worst.1, rule) { next } else { worst })?
    };
    (all_there || worst.1.verdict == Verdict::DoesNotConform).then_some(worst)
}

/// Standard uncertainties beyond which 1 − Φ is lost against one: Φ(−9) is 10⁻¹⁹.
const CERTAIN: f64 = 9.0;

/// Judges one value with its standard uncertainty, where that is known. `None` without limits.
///
/// Simple acceptance: inside the limits, both inclusive, conforms. Guarded: conforms when the
/// probability that the true value lies inside is at least the rule's, does not conform when it lies beyond
/// a limit and the probability that the true value does so is; in between it is not proven. A value of
/// unknown uncertainty proves nothing.
///
/// Source: JCGM 106:2012, clauses 7 and 8; ISO 14253-1:2017 (clause numbers from memory).
fn judge(value: Rounded, uncertainty: Option<f64>, limits: GridLimits, rule: DecisionRule) -> Option<Judged> {
    let (deviation, outside) = limits.deviation(value)?;
    let within = |lower: Option<Rounded>, upper: Option<Rounded>, u: f64| {
        conformance_probability(value.to_f64(), u, lower.map(Rounded::to_f64), upper.map(Rounded::to_f64))
    };
    let probability = uncertainty.map(|u| {
        // So far inside that no double tells the probability from one.
        if -deviation.to_f64() > CERTAIN * u { 1.0 } else { within(limits.lower, limits.upper, u) }
    });
    // The probability of lying on the right side of the one limit that was passed.
    let on_right_side = |u: f64| match outside {
        Reason::AboveUpper => within(None, limits.upper, u),
        _ => within(limits.lower, None, u),
    };
    let proven_outside =
        |wanted: f64| deviation.count() > 0 && uncertainty.is_some_and(|u| 1.0 - on_right_side(u) >= wanted);
    let (verdict, reason) = match (rule, probability) {
        (DecisionRule::Simple, _) if deviation.count() <= 0 => (Verdict::Conforms, Reason::Inside),
        (DecisionRule::Simple, _) => (Verdict::DoesNotConform, outside),
        (DecisionRule::Guarded { .. }, None) => (Verdict::NotProven, Reason::UncertaintyUnknown),
        (DecisionRule::Guarded { probability: wanted }, Some(inside)) => {
            if inside >= wanted {
                (Verdict::Conforms, Reason::Inside)
            } else if proven_outside(wanted) {
                (Verdict::DoesNotConform, outside)
            } else if uncertainty.is_some_and(|u| cannot_decide(limits, u, wanted)) {
                (Verdict::NotProven, Reason::GaugeTooCoarse)
            } else {
                (Verdict::NotProven, Reason::GuardBand)
            }
        }
    };
    Some(Judged { value, deviation, probability, verdict, reason })
}

#[cfg(test)]
#[path = "verdict_properties.rs"]
mod properties;

#[cfg(test)]
mod tests {
    use headproof_head::Place;
    use headproof_quantity::{Length, Unit};

    use super::*;

    use crate::candidate::Value;

    fn computed(value: f64, uncertainty: Option<f64>) -> Candidate {
        let value = Value::Computed(value);
        Candidate { place: Place::Whole, value, uncertainty, gauge: None, budget: Vec::new() }
    }

    fn judged(candidate: &Candidate, limits: GridLimits, kind: Kind, rule: DecisionRule) -> Option<Judged> {
        judge(candidate.rounded(kind)?, candidate.uncertainty, limits, rule)
    }

    const GUARDED: DecisionRule = DecisionRule::Guarded { probability: 0.95 };

    fn limits(lower: Option<f64>, upper: Option<f64>, unit: Unit) -> GridLimits {
        let exact = |limit: Option<f64>| limit.map(|limit| Length::from_f64(limit, unit).unwrap().exact());
        GridLimits::new(exact(lower), exact(upper), Kind::Length)
    }

    #[track_caller]
    fn check(
        value: f64,
        u: Option<f64>,
        limits: GridLimits,
        rule: DecisionRule,
        expected: (Verdict, Reason),
    ) {
        let candidate = computed(value, u);
        let judged = judged(&candidate, limits, Kind::Length, rule).unwrap();
        assert_eq!((judged.verdict, judged.reason), expected, "{value} ± {u:?}");
    }

    #[test]
    fn exactly_at_a_limit_conforms_under_simple_acceptance_and_is_not_proven_under_guarded() {
        let inch = limits(Some(0.0010), Some(0.0020), Unit::Inch);
        for value in [0.0508, 0.0254, 7.0508 - 7.0] {
            check(value, None, inch, DecisionRule::Simple, (Verdict::Conforms, Reason::Inside));
            check(value, Some(0.001), inch, GUARDED, (Verdict::NotProven, Reason::GuardBand));
            check(value, Some(0.0), inch, GUARDED, (Verdict::Conforms, Reason::Inside));
        }
        check(0.050_800_001, None, inch, DecisionRule::Simple, (Verdict::DoesNotConform, Reason::AboveUpper));
        check(0.025_399_999, None, inch, DecisionRule::Simple, (Verdict::DoesNotConform, Reason::BelowLower));
    }

    /// Probabilities computed with scipy.stats.norm 1.17: 0.9494974166 for 0.0418 ± 0.005 under 0.05.
    #[test]
    fn a_guarded_rule_asks_for_proof() {
        let upper = limits(None, Some(0.05), Unit::Millimetre);
        check(0.0418, Some(0.005), upper, GUARDED, (Verdict::NotProven, Reason::GuardBand));
        check(0.0417, Some(0.005), upper, GUARDED, (Verdict::Conforms, Reason::Inside));
        check(0.0583, Some(0.005), upper, GUARDED, (Verdict::DoesNotConform, Reason::AboveUpper));
        check(0.01, None, upper, GUARDED, (Verdict::NotProven, Reason::UncertaintyUnknown));
    }

    #[test]
    fn a_gauge_coarser_than_its_tolerance_does_not_prove_the_contrary() {
        let narrow = limits(Some(0.025), Some(0.065), Unit::Millimetre);
        check(0.045, Some(2.0), narrow, GUARDED, (Verdict::NotProven, Reason::GaugeTooCoarse));
        check(0.066, Some(2.0), narrow, GUARDED, (Verdict::NotProven, Reason::GaugeTooCoarse));
        // T/u = 4.0: in the middle it would do.
        check(0.066, Some(0.01), narrow, GUARDED, (Verdict::NotProven, Reason::GuardBand));
        check(4.0, Some(2.0), narrow, GUARDED, (Verdict::DoesNotConform, Reason::AboveUpper));
        check(-4.0, Some(2.0), narrow, GUARDED, (Verdict::DoesNotConform, Reason::BelowLower));
    }

    #[test]
    fn a_reading_is_compared_as_the_decimal_it_is() {
        let exact = |number| Length::from_f64(number, Unit::Millimetre).unwrap().exact();
        let bound = GridLimits::new(Some(exact(21.357_446_466_35)), None, Kind::Length);
        let value = Value::Exact(exact(21.357_446_466_35));
        let candidate =
            Candidate { place: Place::Whole, value, uncertainty: None, gauge: None, budget: Vec::new() };
        let judged = judged(&candidate, bound, Kind::Length, DecisionRule::Simple).unwrap();
        assert_eq!(judged.verdict, Verdict::Conforms);
    }

    #[test]
    fn the_worst_place_is_the_one_furthest_out_under_the_simple_rule() {
        let upper = limits(None, Some(0.1), Unit::Millimetre);
        let of = |value, u| {
            let candidate = computed(value, u);
            judged(&candidate, upper, Kind::Length, DecisionRule::Simple).unwrap()
        };
        assert!(of(0.9, None).is_worse_than(&of(0.101, Some(0.005)), DecisionRule::Simple));
        assert!(!of(0.101, Some(0.005)).is_worse_than(&of(0.9, None), DecisionRule::Simple));
    }

    /// T/u = 3.9 lies below 3.9199280 (computed with scipy.optimize.brentq): nothing can be accepted.
    #[test]
    fn a_gauge_too_coarse_for_its_tolerance_proves_nothing() {
        let narrow = limits(Some(0.0), Some(0.039), Unit::Millimetre);
        check(0.0195, Some(0.01), narrow, GUARDED, (Verdict::NotProven, Reason::GaugeTooCoarse));
        let wide = limits(Some(0.0), Some(0.0393), Unit::Millimetre);
        check(0.01965, Some(0.01), wide, GUARDED, (Verdict::Conforms, Reason::Inside));
    }
}
