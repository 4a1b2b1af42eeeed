//! What is said of values over time, and of those by bench, cutter, gauge and operator.

use headproof_texts::Say;
use headproof_wire::statistics::{
    CharacteristicStatistics, CodeKind, CodeMoments, GroupComparison, Statistics, TrendLine,
};

use super::amounts::{Amounts, p_value, small};
use super::summary::of_the_work;
use super::words::{NAMED, name};

/// What is less likely than this by chance is told. Among many characteristics something is unlikely soon enough, so each
/// has to be the less likely (Bonferroni's correction).
pub(super) fn rejects(statistics: &Statistics) -> f64 {
    (1.0 - statistics.confidence) / statistics.characteristics.len().max(1) as f64
}

/// Whether the values drift.
pub(super) fn trend(
    of: &CharacteristicStatistics,
    rejects: f64,
    amounts: &Amounts,
    say: Say,
) -> Option<String> {
    let trend = of.trend.as_ref()?;
    let id = if drifts(trend, rejects) { "line-trend" } else { "line-trend-none" };
    Some(say.with(id, &[("slope", slope(trend, amounts, say).into()), ("p", chance(trend, say).into())]))
}

/// By more than chance?
fn drifts(trend: &TrendLine, rejects: f64) -> bool {
    trend.p.is_none_or(|p| p < rejects) && trend.slope_per_day.abs() > 0.0
}

fn slope(trend: &TrendLine, amounts: &Amounts, say: Say) -> String {
    let slope = small(trend.slope_per_day, say);
    let slope = if trend.slope_per_day > 0.0 { format!("+{slope}") } else { slope };
    amounts.with_unit(&format!("{} ± {}", slope, small(trend.standard_error, say)))
}

fn chance(trend: &TrendLine, say: Say) -> String {
    trend.p.map_or_else(|| "p –".to_owned(), |p| p_value(p, say))
}

/// Codes of a kind whose heads drift, each looked at by itself, and how; the least likely by chance first. What drifts with
/// the only code there is drifts as a whole.
fn drifters(groups: &GroupComparison, rejects: f64) -> Vec<(&CodeMoments, &TrendLine)> {
    if groups.codes.len() < 2 {
        return Vec::new();
    }
    let rejects = rejects / groups.codes.len() as f64;
    let all = groups.codes.iter().filter_map(|code| Some((code, code.trend.as_ref()?)));
    let mut codes: Vec<_> = all.filter(|(_, trend)| drifts(trend, rejects)).collect();
    codes.sort_by(|(_, one), (_, other)| likely(one).total_cmp(&likely(other)));
    codes
}

/// How likely a trend is by chance: not at all when its heads lie on the line.
fn likely(trend: &TrendLine) -> f64 {
    trend.p.unwrap_or(0.0)
}

/// Codes of a kind whose heads drift, in words.
pub(super) fn drifting(
    groups: &GroupComparison,
    rejects: f64,
    amounts: &Amounts,
    say: Say,
) -> Option<String> {
    let of_code = |(code, trend): (&CodeMoments, &TrendLine)| {
        let values = [
            ("code", code.code.as_str().into()),
            ("slope", slope(trend, amounts, say).into()),
            ("p", chance(trend, say).into()),
        ];
        say.with("line-code-drift", &values)
    };
    let codes: Vec<String> = drifters(groups, rejects).into_iter().map(of_code).collect();
    (!codes.is_empty()).then(|| told("line-codes-drift", groups.by, &codes, None, say))
}

/// A sentence about codes of a kind, the first of them named.
fn told(id: &'static str, by: CodeKind, codes: &[String], p: Option<f64>, say: Say) -> String {
    let named = &codes[..codes.len().min(NAMED)];
    let mut values = vec![
        ("by", codes_of(by, say).into()),
        ("codes", named.join("; ").into()),
        ("more", (codes.len() - named.len()).into()),
    ];
    values.extend(p.map(|p| ("p", p_value(p, say).into())));
    say.with(id, &values)
}

fn codes_of(kind: CodeKind, say: Say) -> &'static str {
    say.text(match kind {
        CodeKind::Bench => "line-by-bench",
        CodeKind::Cutter => "line-by-cutter",
        CodeKind::Gauge => "line-by-gauge",
        CodeKind::Operator => "line-by-operator",
    })
}

fn code_of(kind: CodeKind, code: &str, say: Say) -> String {
    let id = match kind {
        CodeKind::Bench => "line-selection-bench",
        CodeKind::Cutter => "line-selection-cutter",
        CodeKind::Gauge => "line-selection-gauge",
        CodeKind::Operator => "line-selection-operator",
    };
    say.with(id, &[("value", code.into())])
}

/// The probability by chance of what codes differ by, where it is small enough, and the codes, the farthest off first.
fn differers<'a>(
    of: &CharacteristicStatistics,
    groups: &'a GroupComparison,
    rejects: f64,
) -> Option<(f64, Vec<&'a CodeMoments>)> {
    let p = groups.analysis_of_variance.as_ref().map(|analysis| analysis.p).filter(|p| *p < rejects)?;
    let middle = of.mean.unwrap_or_default();
    let off = |code: &CodeMoments| (code.mean - middle).abs() * (code.heads as f64).sqrt();
    let mut codes: Vec<&CodeMoments> = groups.codes.iter().collect();
    codes.sort_by(|one, other| off(other).total_cmp(&off(one)));
    Some((p, codes))
}

/// Codes whose heads differ by more than chance, in words.
pub(super) fn differing(
    of: &CharacteristicStatistics,
    groups: &GroupComparison,
    rejects: f64,
    amounts: &Amounts,
    say: Say,
) -> Option<String> {
    let (p, codes) = differers(of, groups, rejects)?;
    let of_code =
        |code: &CodeMoments| format!("{}\u{A0}{} (n\u{A0}{})", code.code, amounts.mean(code.mean), code.n);
    let codes: Vec<String> = codes.into_iter().map(of_code).collect();
    Some(told("line-groups-differ", groups.by, &codes, Some(p), say))
}

/// What stands out of all that was measured of the work, the least likely by chance first.
pub(super) fn standing_out(statistics: &Statistics, say: Say) -> Vec<String> {
    let rejects = rejects(statistics);
    let mut found: Vec<(f64, String)> = Vec::new();
    for of in of_the_work(statistics) {
        let (amounts, name) = (Amounts::of(of, say), name(&of.characteristic, of.service, say));
        for groups in &of.groups {
            let by = |code: &CodeMoments| code_of(groups.by, &code.code, say);
            for (code, trend) in drifters(groups, rejects) {
                let values = [
                    ("code", crate::words::sentence(&by(code)).into()),
                    ("of", (&name).into()),
                    ("slope", slope(trend, &amounts, say).into()),
                    ("p", chance(trend, say).into()),
                ];
                found.push((likely(trend), say.with("line-stands-out-drift", &values)));
            }
            let Some((p, codes)) = differers(of, groups, rejects) else { continue };
            let Some(first) = codes.first() else { continue };
            let code = format!("{}\u{A0}({})", by(first), amounts.with_unit(&amounts.mean(first.mean)));
            let values = [
                ("by", codes_of(groups.by, say).into()),
                ("of", (&name).into()),
                ("code", code.into()),
                ("p", p_value(p, say).into()),
            ];
            found.push((p, say.with("line-stands-out-differ", &values)));
        }
    }
    found.sort_by(|(one, _), (other, _)| one.total_cmp(other));
    found.into_iter().take(NAMED).map(|(_, said)| said).collect()
}
