//! What signals with one head.

use headproof_line::{self as line, Line, RuleSet, Series, SeriesKey};

use super::Scale;
use crate::HeadSignal;

/// The signals of all charts at the head that was gathered under this place, in the order of their series; none of charts
/// of fewer heads than `fewest`.
#[must_use]
pub fn signals_of_head(line: &Line, id: u32, rules: RuleSet, fewest: usize) -> Vec<HeadSignal> {
    let enough = line.series().filter(|(_, series)| series.groups.len() >= fewest);
    enough.flat_map(|(key, series)| of_series(key, series, id, rules)).collect()
}

fn of_series(key: &SeriesKey, series: &Series, id: u32, rules: RuleSet) -> Vec<HeadSignal> {
    let (Some(kind), Ok(chart)) = (series.kind, series.chart(None)) else { return Vec::new() };
    let scale = Scale::of(kind);
    let at_head = |signal: line::Signal| {
        let point = chart.points(signal.chart).get(signal.to).filter(|point| point.id == id)?;
        Some(HeadSignal {
            characteristic: key.characteristic.as_str().to_owned(),
            service: key.service.map(Into::into),
            rule: signal.rule.into(),
            track: signal.chart.into(),
            value: scale.amount(point.value),
            lower: scale.amount(point.lower),
            upper: scale.amount(point.upper),
            unit: kind.base_unit().code().to_owned(),
        })
    };
    line::signals(&chart, rules).into_iter().filter_map(at_head).collect()
}
