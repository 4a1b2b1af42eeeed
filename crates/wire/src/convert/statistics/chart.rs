//! Control charts, or the word for why there is none.

use headproof_line::{self as line, ChartError, Point, Signal, Study};

use super::{Gathered, Scale, moment};
use crate::statistics::{ChartPoint, ChartSignal, ControlChart};

pub(super) fn of(
    study: &Study,
    gathered: Gathered<'_>,
    scale: Scale,
) -> (Option<ControlChart>, Option<&'static str>) {
    match &study.chart {
        Ok(chart) => (Some(document(chart, &study.signals, gathered, scale)), None),
        Err(reason) => (None, Some(why_not(*reason))),
    }
}

const fn why_not(reason: ChartError) -> &'static str {
    match reason {
        ChartError::Empty => "empty",
        ChartError::Size { .. } => "sizes-differ",
        ChartError::NoScatter => "no-spread",
        ChartError::Unsound { .. } | ChartError::Reference => "out-of-range",
    }
}

fn document(chart: &line::Chart, signals: &[Signal], gathered: Gathered<'_>, scale: Scale) -> ControlChart {
    let runs = runs(signals);
    let points = |points: &[Point]| -> Vec<ChartPoint> {
        let last = points.iter().skip(points.len().saturating_sub(gathered.points));
        last.map(|point| self::point(point, gathered, scale)).collect()
    };
    let named = |run: &Signal| {
        let points = chart.points(run.chart);
        Some(signal(run, points.get(run.from)?, points.get(run.to)?, gathered))
    };
    ControlChart {
        kind: chart.kind.into(),
        centre: scale.amount(chart.centre),
        sigma: scale.amount(chart.within.sigma),
        estimator: chart.within.estimator.into(),
        groups: chart.location.len() as u64,
        location: points(&chart.location),
        spread: points(&chart.spread),
        signal_count: runs.len() as u64,
        signals: runs.iter().skip(runs.len().saturating_sub(gathered.points)).filter_map(named).collect(),
    }
}

/// Breaches of a rule at points that follow each other are one run.
fn runs(signals: &[Signal]) -> Vec<Signal> {
    let mut runs: Vec<Signal> = Vec::new();
    for signal in signals {
        let same = |run: &&mut Signal| run.rule == signal.rule && run.chart == signal.chart;
        match runs.iter_mut().rev().find(same) {
            Some(run) if run.to + 1 == signal.to => run.to = signal.to,
            _ => runs.push(*signal),
        }
    }
    runs.sort_by_key(|run| run.to);
    runs
}

fn serial<'a>(point: &Point, gathered: Gathered<'a>) -> &'a str {
    usize::try_from(point.id).ok().and_then(|id| gathered.serials.get(id)).map_or("", String::as_str)
}

/// The place in the line, from 1: the same on both charts, though not every group has a point on that of spread.
const fn place(point: &Point) -> u64 {
    point.place as u64 + 1
}

fn point(point: &Point, gathered: Gathered<'_>, scale: Scale) -> ChartPoint {
    ChartPoint {
        place: place(point),
        head: serial(point, gathered).to_owned(),
        measured_at: moment(point.order),
        n: point.n,
        value: scale.amount(point.value),
        centre: scale.amount(point.centre),
        lower: scale.amount(point.lower),
        upper: scale.amount(point.upper),
    }
}

fn signal(run: &Signal, first: &Point, last: &Point, gathered: Gathered<'_>) -> ChartSignal {
    ChartSignal {
        rule: run.rule.into(),
        track: run.chart.into(),
        from: place(first),
        to: place(last),
        head: serial(last, gathered).to_owned(),
    }
}
