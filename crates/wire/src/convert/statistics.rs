//! What many heads say together, as a document.

use headproof_head as head;
use headproof_line::{self as line, Asked, Line, Series, SeriesKey};
use headproof_quantity::Kind;
use time::OffsetDateTime;
use time::format_description::well_known::Rfc3339;

use super::evaluation::digits;
use crate::Stage;
use crate::statistics::{
    CharacteristicStatistics, FailureCount, HeadCounts, Histogram, Normality, PortFailures, Selection, Share,
    StageCounts, Statistics, TestStatistic,
};

mod capability;
mod chart;
mod groups;
mod signals;

pub use signals::signals_of_head;

/// Format of the document.
const FORMAT: &str = "headproof/statistics/1";

/// Significant digits of what is worked out: more than any gauge has, fewer than a number on the wire may have.
const DIGITS: i32 = 10;

/// The most bins of a histogram.
const MOST_BINS: usize = 40;

/// What was gathered, and what is known besides.
#[derive(Debug, Clone, Copy)]
pub struct Gathered<'a> {
    /// The heads.
    pub line: &'a Line,
    /// Serials of the heads, in the order of the places they were gathered under.
    pub serials: &'a [String],
    /// Sets that a later revision took the place of.
    pub superseded: u64,
    /// Sets without values.
    pub without_values: u64,
    /// How the series are looked at.
    pub asked: Asked,
    /// The most points of a chart, and signals, that are told.
    pub points: usize,
}

/// The statistics of what was gathered.
#[must_use]
pub fn statistics_document(gathered: Gathered<'_>, selection: Selection) -> Statistics {
    let Gathered { line, asked, .. } = gathered;
    let characteristics =
        line.series().filter_map(|(key, series)| of_series(gathered, key, series)).collect();
    let failures = || line.failures.iter().map(|(stage, of)| (Stage::from(*stage), of));
    Statistics {
        format: FORMAT.to_owned(),
        selection,
        confidence: asked.confidence,
        run_rules: asked.rules.into(),
        method: asked.method.map(Into::into),
        heads: heads(gathered),
        failures: failures()
            .flat_map(|(stage, of)| of.characteristics.rows().into_iter().map(move |row| failure(stage, row)))
            .collect(),
        failing_ports: failures()
            .flat_map(|(stage, of)| of.ports.rows().into_iter().map(move |row| failing_port(stage, row)))
            .collect(),
        characteristics,
    }
}

fn heads(gathered: Gathered<'_>) -> HeadCounts {
    let Gathered { line, asked, superseded, without_values, .. } = gathered;
    let share = |share: line::Proportion| Share {
        count: share.count,
        of: share.of,
        share: digits(share.share, DIGITS),
        lower: digits(share.lower, DIGITS),
        upper: digits(share.upper, DIGITS),
    };
    let all = line.all();
    let of_stage = |(stage, of): (&head::Stage, &line::Outcomes)| StageCounts {
        stage: (*stage).into(),
        counted: of.heads,
        accept: of.accepted,
        rework: of.reworked,
        incomplete: of.incomplete,
        reject: of.rejected,
    };
    HeadCounts {
        counted: all.heads,
        superseded,
        without_values,
        values_left_out: line.left_out,
        measured_from: line.measured.map(|(from, _)| moment(from)),
        measured_to: line.measured.map(|(_, to)| moment(to)),
        accept: all.accepted,
        rework: all.reworked,
        incomplete: all.incomplete,
        reject: all.rejected,
        by_stage: line.outcomes.iter().map(of_stage).collect(),
        first_pass_yield: line.passes.acceptance(asked.confidence).map(share),
        concession_rate: all.concession_rate(asked.confidence).map(share),
    }
}

/// A time in milliseconds since 1970, as text.
fn moment(ms: i64) -> String {
    let moment = OffsetDateTime::from_unix_timestamp_nanos(i128::from(ms) * 1_000_000);
    moment.ok().and_then(|moment| moment.format(&Rfc3339).ok()).unwrap_or_else(|| ms.to_string())
}

fn failure(
    stage: Stage,
    row: line::ParetoRow<'_, (head::CharacteristicId, Option<head::Service>)>,
) -> FailureCount {
    let (characteristic, service) = row.key;
    FailureCount {
        stage,
        characteristic: characteristic.as_str().to_owned(),
        service: service.map(Into::into),
        count: row.count,
        share: digits(row.share, DIGITS),
        cumulative: digits(row.cumulative, DIGITS),
    }
}

fn failing_port(stage: Stage, row: line::ParetoRow<'_, head::PortId>) -> PortFailures {
    PortFailures {
        stage,
        cylinder: row.key.cylinder,
        service: row.key.service.into(),
        index: row.key.index,
        count: row.count,
        share: digits(row.share, DIGITS),
        cumulative: digits(row.cumulative, DIGITS),
    }
}

/// Counts of a grid as amounts in the base unit.
#[derive(Debug, Clone, Copy)]
struct Scale(f64);

impl Scale {
    fn of(kind: Kind) -> Self {
        Self(10f64.powi(kind.grid_decimals() as i32))
    }

    /// An amount, to the digits of the document.
    fn amount(self, counts: f64) -> f64 {
        digits(counts / self.0, DIGITS)
    }
}

/// What one series says; nothing where it has no values.
fn of_series(gathered: Gathered<'_>, key: &SeriesKey, series: &Series) -> Option<CharacteristicStatistics> {
    let kind = series.kind?;
    let scale = Scale::of(kind);
    let study = series.study(key, gathered.asked);
    let moments = series.values.moments();
    let (capability, no_capability) = capability::of(&study.capability, scale);
    let (chart, no_chart) = chart::of(&study, gathered, scale);
    Some(CharacteristicStatistics {
        stage: key.stage.into(),
        profile: key.profile.clone(),
        characteristic: key.characteristic.as_str().to_owned(),
        service: key.service.map(Into::into),
        unit: kind.base_unit().code().to_owned(),
        lower: key.lower.map(|count| scale.amount(count as f64)),
        upper: key.upper.map(|count| scale.amount(count as f64)),
        conforms: series.conforms,
        does_not_conform: series.does_not_conform,
        not_proven: series.not_proven,
        n: moments.n(),
        mean: moments.mean().map(|mean| scale.amount(mean)),
        s: moments.s().map(|s| scale.amount(s)),
        min: moments.min().map(|min| scale.amount(min as f64)),
        max: moments.max().map(|max| scale.amount(max as f64)),
        histogram: histogram(series, scale),
        normality: normality(&study.normality, gathered.asked.confidence),
        capability,
        no_capability: no_capability.map(str::to_owned),
        chart,
        no_chart: no_chart.map(str::to_owned),
        groups: groups::comparisons(series, scale),
        trend: groups::trend(&series.trend, scale),
    })
}

/// None where all values are equal: there is nothing to be seen.
fn histogram(series: &Series, scale: Scale) -> Option<Histogram> {
    let moments = series.values.moments();
    if moments.min() == moments.max() {
        return None;
    }
    let (axis, rule) = line::Axis::of(&series.values, MOST_BINS)?;
    let rule = match rule {
        line::BinRule::FreedmanDiaconis => "freedman-diaconis",
        line::BinRule::Sturges => "sturges",
    };
    Some(Histogram {
        rule: rule.to_owned(),
        edges: (0..=axis.bins()).map(|at| scale.amount(axis.edge(at))).collect(),
        counts: series.values.histogram(&axis)?.counts,
    })
}

fn normality(tests: &line::Normality, confidence: f64) -> Normality {
    let outcome = match tests.passes(confidence) {
        Some(true) => "normal",
        Some(false) => "not-normal",
        None => "unknown",
    };
    let test = |statistic, p| TestStatistic { statistic: digits(statistic, DIGITS), p: digits(p, DIGITS) };
    Normality {
        outcome: outcome.to_owned(),
        anderson_darling: tests.anderson_darling.ok().map(|found| test(found.a_squared, found.p)),
        dagostino_pearson: tests.dagostino_pearson.ok().map(|found| test(found.k_squared, found.p)),
    }
}
