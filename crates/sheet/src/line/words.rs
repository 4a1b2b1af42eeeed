//! What is said of one characteristic in words.

use headproof_texts::Say;
use headproof_wire::Service;
use headproof_wire::statistics::{
    Capability, CapabilityMethod, CharacteristicStatistics, ChartKind, ChartSignal, ControlChart, Normality,
    RuleSet, RunRule, SigmaEstimator, Statistics, Track,
};

use super::amounts::{Amounts, p_value, small};
use super::chart::drawn;
use super::codes::{differing, drifting, rejects, trend};
use crate::words::{service_word, stage};

/// So many signals, or codes of a kind, are named.
pub(super) const NAMED: usize = 5;

/// `Seat width, exhaust`.
pub(super) fn name(characteristic: &str, service: Option<Service>, say: Say) -> String {
    let title = say.title(characteristic);
    match service {
        Some(service) => format!("{title}, {}", service_word(service, say)),
        None => title.into_owned(),
    }
}

/// `Seat width · exhaust · after rework · profile demo-iron`.
pub(super) fn title(of: &CharacteristicStatistics, say: Say) -> String {
    let mut parts = vec![say.title(&of.characteristic).into_owned()];
    parts.extend(of.service.map(|service| service_word(service, say).to_owned()));
    parts.push(stage(of.stage, say).to_owned());
    parts.push(profile(of, say));
    parts.join(" · ")
}

/// `profile demo-iron`.
pub(super) fn profile(of: &CharacteristicStatistics, say: Say) -> String {
    say.with("line-profile", &[("profile", (&of.profile).into())])
}

/// What stands over one of the two charts.
pub(super) fn track_of(kind: ChartKind, track: Track, say: Say) -> &'static str {
    say.text(match (kind, track) {
        (ChartKind::MeanRange | ChartKind::MeanDeviation, Track::Location) => "line-track-means",
        (ChartKind::IndividualsMovingRange, Track::Location) => "line-track-values",
        (ChartKind::MeanRange, Track::Spread) => "line-track-ranges",
        (ChartKind::MeanDeviation, Track::Spread) => "line-track-deviations",
        (ChartKind::IndividualsMovingRange, Track::Spread) => "line-track-moving-ranges",
    })
}

/// The name of a set of run rules.
pub(super) fn rule_set(rules: RuleSet, say: Say) -> &'static str {
    say.text(match rules {
        RuleSet::ThreeSigma => "line-rules-three-sigma",
        RuleSet::WesternElectric => "line-rules-western-electric",
        RuleSet::Nelson => "line-rules-nelson",
    })
}

/// In how many heads, on the average, a chart signals by chance alone with these rules: 1/(2Φ(−3)); C. W. Champ and W. H.
/// Woodall 1987, Technometrics 29 (from memory); by simulation for the eight tests. Limits made of the same heads, and the
/// chart of spread beside it, make it somewhat less.
pub(super) const fn by_chance(rules: RuleSet) -> u64 {
    match rules {
        RuleSet::ThreeSigma => 370,
        RuleSet::WesternElectric => 92,
        RuleSet::Nelson => 73,
    }
}

/// How capability was found, or why not.
pub(super) fn method(of: &CharacteristicStatistics, say: Say) -> &'static str {
    say.text(match (&of.capability, of.no_capability.as_deref()) {
        (Some(capability), _) => match capability.method {
            CapabilityMethod::Normal => "line-method-normal",
            CapabilityMethod::LogNormalPercentiles => "line-method-log-normal",
            CapabilityMethod::EmpiricalPercentiles => "line-method-empirical",
        },
        (None, Some("no-limits")) => "line-no-capability-no-limits",
        (None, Some("too-few")) => "line-no-capability-too-few",
        (None, Some("no-spread")) => "line-no-capability-no-spread",
        (None, Some("not-positive")) => "line-no-capability-not-positive",
        (None, Some("limits-crossed")) => "line-no-capability-limits-crossed",
        (None, _) => "line-no-capability",
    })
}

/// Why there is no index from the scatter within heads.
pub(super) fn no_cpk(capability: &Capability, say: Say) -> Option<&'static str> {
    let id = match capability.no_cpk.as_deref()? {
        "not-normal" => "line-no-cpk-not-normal",
        "by-percentiles" => "line-no-cpk-by-percentiles",
        "no-spread" => "line-no-cpk-no-spread",
        _ => "line-no-cpk",
    };
    Some(say.text(id))
}

/// All that stands under the figures of a characteristic, a paragraph each.
pub(super) fn under(
    of: &CharacteristicStatistics,
    chart: &ControlChart,
    statistics: &Statistics,
    amounts: &Amounts,
    say: Say,
) -> Vec<String> {
    let rejects = rejects(statistics);
    let mut said = vec![about_chart(chart, statistics.run_rules, amounts, say), signals(chart, say)];
    let mut capability = vec![normality(&of.normality, say), sentence(method(of, say))];
    if let Some(of) = &of.capability {
        capability.extend(no_cpk(of, say).map(sentence));
        if of.thin_tails {
            capability.push(sentence(say.text("line-thin-tails")));
        }
    }
    said.push(capability.join(" "));
    said.extend(trend(of, rejects, amounts, say));
    said.extend(of.groups.iter().filter_map(|groups| differing(of, groups, rejects, amounts, say)));
    said.extend(of.groups.iter().filter_map(|groups| drifting(groups, rejects, amounts, say)));
    said
}

fn sentence(text: &str) -> String {
    format!("{}.", crate::words::sentence(text))
}

fn about_chart(chart: &ControlChart, rules: RuleSet, amounts: &Amounts, say: Say) -> String {
    let kind = say.text(match chart.kind {
        ChartKind::MeanRange => "line-kind-mean-range",
        ChartKind::MeanDeviation => "line-kind-mean-deviation",
        ChartKind::IndividualsMovingRange => "line-kind-individuals",
    });
    let within = say.text(match chart.estimator {
        SigmaEstimator::MeanMovingRange => "line-from-head-to-head",
        _ => "line-within-heads",
    });
    let estimator = say.text(match chart.estimator {
        SigmaEstimator::MeanRange => "line-sigma-mean-range",
        SigmaEstimator::MeanDeviation => "line-sigma-mean-deviation",
        SigmaEstimator::MeanMovingRange => "line-sigma-moving-range",
        SigmaEstimator::Reference => "line-sigma-reference",
    });
    say.with(
        "line-about-chart",
        &[
            ("kind", kind.into()),
            ("groups", chart.groups.into()),
            ("drawn", drawn(chart).2.into()),
            ("within", within.into()),
            ("sigma", amounts.with_unit(&small(chart.sigma, say)).into()),
            ("estimator", estimator.into()),
            ("rules", rule_set(rules, say).into()),
        ],
    )
}

fn signals(chart: &ControlChart, say: Say) -> String {
    if chart.signal_count == 0 {
        return say.text("line-signals-none").to_owned();
    }
    let newest = chart.signals.iter().rev().take(NAMED);
    let named: Vec<String> = newest.map(|one| signal(one, chart.kind, say)).collect();
    let more = chart.signal_count.saturating_sub(named.len() as u64);
    say.with(
        "line-signals",
        &[
            ("count", chart.signal_count.into()),
            ("named", named.len().into()),
            ("heads", named.join("; ").into()),
            ("more", more.into()),
        ],
    )
}

fn signal(signal: &ChartSignal, kind: ChartKind, say: Say) -> String {
    let rule = say.text(match signal.rule {
        RunRule::OnePointBeyondThreeSigma => "line-rule-one-beyond-three",
        RunRule::TwoOfThreeBeyondTwoSigma => "line-rule-two-of-three",
        RunRule::FourOfFiveBeyondOneSigma => "line-rule-four-of-five",
        RunRule::EightOnOneSide => "line-rule-eight-on-one-side",
        RunRule::NineOnOneSide => "line-rule-nine-on-one-side",
        RunRule::SixRisingOrFalling => "line-rule-six-rising",
        RunRule::FourteenAlternating => "line-rule-fourteen-alternating",
        RunRule::FifteenWithinOneSigma => "line-rule-fifteen-within",
        RunRule::EightBeyondOneSigma => "line-rule-eight-beyond",
    });
    let places = if signal.from == signal.to {
        format!("#{}", signal.to)
    } else {
        format!("#{}–#{}", signal.from, signal.to)
    };
    let head = format!("{} ({places})", signal.head);
    format!("{head}: {}: {rule}", track_of(kind, signal.track, say))
}

fn normality(normality: &Normality, say: Say) -> String {
    let id = match normality.outcome.as_str() {
        "normal" => "line-normal",
        "not-normal" => "line-not-normal",
        _ => "line-normality-unknown",
    };
    let test = |name: &str, of: Option<headproof_wire::statistics::TestStatistic>| {
        of.map(|of| format!("{name}\u{A0}{}, {}", small(of.statistic, say), p_value(of.p, say)))
    };
    let tests: Vec<String> =
        [test("A²", normality.anderson_darling), test("K²", normality.dagostino_pearson)]
            .into_iter()
            .flatten()
            .collect();
    let text = say.text(id);
    if tests.is_empty() {
        sentence(text)
    } else {
        format!("{} ({}).", crate::words::sentence(text), tests.join("; "))
    }
}
