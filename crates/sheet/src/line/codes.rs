//! What is said of values over time, and of those by bench, cutter, gauge and operator.

use headproof_texts::Say;
use headproof_wire::statistics::{
    CharacteristicStatistics, CodeKind, CodeMoments, GroupComparison, TrendLine,
};

use super::amounts::{Amounts, p_value, small};
use super::words::NAMED;

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

/// Codes of a kind whose values drift, each looked at by itself. Of many codes one drifts by chance soon enough, so each has
/// to be the less likely (Bonferroni's correction).
pub(super) fn drifting(
    groups: &GroupComparison,
    rejects: f64,
    amounts: &Amounts,
    say: Say,
) -> Option<String> {
    let rejects = rejects / groups.codes.len() as f64;
    let of_code = |code: &CodeMoments| {
        let trend = code.trend.as_ref().filter(|trend| drifts(trend, rejects))?;
        let values = [
            ("code", code.code.as_str().into()),
            ("slope", slope(trend, amounts, say).into()),
            ("p", chance(trend, say).into()),
        ];
        Some(say.with("line-code-drift", &values))
    };
    let codes: Vec<String> = groups.codes.iter().filter_map(of_code).collect();
    // What drifts with the only code there is drifts as a whole.
    if codes.is_empty() || groups.codes.len() < 2 {
        return None;
    }
    Some(told("line-codes-drift", groups.by, &codes, None, say))
}

/// A sentence about codes of a kind, the first of them named.
fn told(id: &'static str, by: CodeKind, codes: &[String], p: Option<f64>, say: Say) -> String {
    let by = say.text(match by {
        CodeKind::Bench => "line-by-bench",
        CodeKind::Cutter => "line-by-cutter",
        CodeKind::Gauge => "line-by-gauge",
        CodeKind::Operator => "line-by-operator",
    });
    let named = &codes[..codes.len().min(NAMED)];
    let mut values = vec![
        ("by", by.into()),
        ("codes", named.join("; ").into()),
        ("more", (codes.len() - named.len()).into()),
    ];
    values.extend(p.map(|p| ("p", p_value(p, say).into())));
    say.with(id, &values)
}

/// Codes whose values differ by more than chance.
pub(super) fn differing(
    groups: &GroupComparison,
    rejects: f64,
    amounts: &Amounts,
    say: Say,
) -> Option<String> {
    let p = groups.analysis_of_variance.as_ref().map(|analysis| analysis.p).filter(|p| *p < rejects)?;
    let of_code =
        |code: &CodeMoments| format!("{}\u{A0}{} (n\u{A0}{})", code.code, amounts.mean(code.mean), code.n);
    let codes: Vec<String> = groups.codes.iter().map(of_code).collect();
    Some(told("line-groups-differ", groups.by, &codes, Some(p), say))
}
