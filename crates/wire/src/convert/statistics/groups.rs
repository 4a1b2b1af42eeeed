//! The same values by code, and with time.

use headproof_line::{CodeSums, Groups, Series, Trend};

use super::{DIGITS, Scale, digits};
use crate::statistics::{AnalysisOfVariance, CodeKind, CodeMoments, GroupComparison, TrendLine};

const SECONDS_OF_A_DAY: f64 = 86_400.0;

/// Comparisons by those codes that were posted.
pub(super) fn comparisons(series: &Series, scale: Scale) -> Vec<GroupComparison> {
    let kinds = [
        (CodeKind::Bench, &series.benches),
        (CodeKind::Cutter, &series.cutters),
        (CodeKind::Gauge, &series.gauges),
        (CodeKind::Operator, &series.operators),
    ];
    let posted = kinds.into_iter().filter(|(_, groups)| groups.iter().next().is_some());
    posted.map(|(by, groups)| comparison(by, groups, scale)).collect()
}

fn comparison(by: CodeKind, groups: &Groups, scale: Scale) -> GroupComparison {
    let variance = groups.anova().ok().map(|found| AnalysisOfVariance {
        f: digits(found.f, DIGITS),
        degrees_between: found.degrees_between,
        degrees_within: found.degrees_within,
        p: digits(found.p, DIGITS),
        r_squared: digits(found.r_squared, DIGITS),
        s: scale.amount(found.s),
    });
    GroupComparison {
        by,
        codes: groups.iter().filter_map(|(code, sums)| of_code(code, sums, scale)).collect(),
        others: groups.others().n(),
        analysis_of_variance: variance,
    }
}

fn of_code(code: &str, sums: &CodeSums, scale: Scale) -> Option<CodeMoments> {
    let moments = &sums.values;
    Some(CodeMoments {
        code: code.to_owned(),
        n: moments.n(),
        heads: sums.heads.n(),
        mean: scale.amount(moments.mean()?),
        s: moments.s().map(|s| scale.amount(s)),
        min: scale.amount(moments.min()? as f64),
        max: scale.amount(moments.max()? as f64),
        trend: trend(&sums.heads, scale),
    })
}

pub(super) fn trend(sums: &Trend, scale: Scale) -> Option<TrendLine> {
    let line = sums.line().ok()?;
    Some(TrendLine {
        slope_per_day: scale.amount(line.slope * SECONDS_OF_A_DAY),
        standard_error: scale.amount(line.slope_error * SECONDS_OF_A_DAY),
        p: line.significance.map(|found| digits(found.p, DIGITS)),
        r_squared: line.r_squared.map(|share| digits(share, DIGITS)),
    })
}
