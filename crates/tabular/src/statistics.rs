//! Statistics over many heads as a table: one row for each characteristic, service, stage and pair of limits.

use headproof_wire::Service;
use headproof_wire::statistics::{CapabilityIndex, CharacteristicStatistics, CodeKind, Statistics};

/// A column: its name, and what stands in it for a row. Amounts are in the unit of the row.
type Column = (&'static str, fn(&CharacteristicStatistics) -> String);

/// The columns, in their order. An empty cell is what the document leaves out.
const COLUMNS: [Column; 41] = [
    ("stage", |row| row.stage.word().to_owned()),
    ("profile", |row| row.profile.clone()),
    ("characteristic", |row| row.characteristic.clone()),
    ("service", |row| row.service.map(Service::word).unwrap_or_default().to_owned()),
    ("unit", |row| row.unit.clone()),
    ("lower", |row| number(row.lower)),
    ("upper", |row| number(row.upper)),
    ("conforms", |row| row.conforms.to_string()),
    ("does_not_conform", |row| row.does_not_conform.to_string()),
    ("not_proven", |row| row.not_proven.to_string()),
    ("n", |row| row.n.to_string()),
    ("mean", |row| number(row.mean)),
    ("s", |row| number(row.s)),
    ("min", |row| number(row.min)),
    ("max", |row| number(row.max)),
    ("normality", |row| row.normality.outcome.clone()),
    ("normality_p", |row| number(row.normality.anderson_darling.map(|test| test.p))),
    ("method", |row| row.capability.as_ref().map(|of| of.method.word()).unwrap_or_default().to_owned()),
    ("no_capability", |row| row.no_capability.clone().unwrap_or_default()),
    ("cp", |row| value(row.capability.as_ref().and_then(|of| of.cp.as_ref()))),
    ("cpk", |row| value(row.capability.as_ref().and_then(|of| of.cpk.as_ref()))),
    ("cpk_lower", |row| number(row.capability.as_ref().and_then(|of| of.cpk.as_ref()?.lower))),
    ("cpk_upper", |row| number(row.capability.as_ref().and_then(|of| of.cpk.as_ref()?.upper))),
    ("pp", |row| value(row.capability.as_ref().and_then(|of| of.pp.as_ref()))),
    ("ppk", |row| value(row.capability.as_ref().map(|of| &of.ppk))),
    ("ppk_lower", |row| number(row.capability.as_ref().and_then(|of| of.ppk.lower))),
    ("ppk_upper", |row| number(row.capability.as_ref().and_then(|of| of.ppk.upper))),
    ("chart", |row| row.chart.as_ref().map(|chart| chart.kind.word()).unwrap_or_default().to_owned()),
    ("no_chart", |row| row.no_chart.clone().unwrap_or_default()),
    ("centre", |row| number(row.chart.as_ref().map(|chart| chart.centre))),
    ("sigma", |row| number(row.chart.as_ref().map(|chart| chart.sigma))),
    ("groups", |row| row.chart.as_ref().map(|chart| chart.groups.to_string()).unwrap_or_default()),
    ("signals", |row| row.chart.as_ref().map(|chart| chart.signal_count.to_string()).unwrap_or_default()),
    ("slope_per_day", |row| number(row.trend.map(|trend| trend.slope_per_day))),
    ("slope_p", |row| number(row.trend.and_then(|trend| trend.p))),
    ("bench_p", |row| differs(row, CodeKind::Bench)),
    ("cutter_p", |row| differs(row, CodeKind::Cutter)),
    ("gauge_p", |row| differs(row, CodeKind::Gauge)),
    ("operator_p", |row| differs(row, CodeKind::Operator)),
    ("histogram_from", |row| number(row.histogram.as_ref().and_then(|bins| bins.edges.first().copied()))),
    ("histogram_to", |row| number(row.histogram.as_ref().and_then(|bins| bins.edges.last().copied()))),
];

fn number(number: Option<f64>) -> String {
    number.map(|number| number.to_string()).unwrap_or_default()
}

fn value(index: Option<&CapabilityIndex>) -> String {
    number(index.map(|index| index.value))
}

/// The probability that codes of a kind differ by chance only.
fn differs(row: &CharacteristicStatistics, by: CodeKind) -> String {
    let groups = row.groups.iter().find(|groups| groups.by == by);
    number(groups.and_then(|groups| Some(groups.analysis_of_variance?.p)))
}

/// The names of the columns of [`statistics_table`].
pub fn statistics_columns() -> impl Iterator<Item = &'static str> {
    COLUMNS.iter().map(|(name, _)| *name)
}

/// The table as RFC 4180 text in UTF-8, its first row the names of the columns.
///
/// # Errors
/// Only when memory cannot be written to.
pub fn statistics_table(statistics: &Statistics) -> csv::Result<Vec<u8>> {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    writer.write_record(statistics_columns())?;
    for row in &statistics.characteristics {
        writer.write_record(COLUMNS.iter().map(|(_, cell)| plain(cell(row))))?;
    }
    writer.into_inner().map_err(|error| error.into_error().into())
}

/// A cell that no spreadsheet takes for a formula: what begins like one, and is no number, is set behind an apostrophe.
fn plain(cell: String) -> String {
    let risky = cell.starts_with(['=', '+', '-', '@', '\t', '\r']) && cell.parse::<f64>().is_err();
    if risky { format!("'{cell}") } else { cell }
}
