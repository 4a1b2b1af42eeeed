//! What many heads of a service say together.

use std::error::Error;
use std::fmt::Write as _;
use std::path::Path;
use std::process::ExitCode;

use headproof_client::{ReportAsked, StatisticsAsked};
use headproof_line::ENOUGH_GROUPS;
use headproof_wire::statistics::{CharacteristicStatistics, Statistics};

use super::files::{print, write};
use super::service::{Place, block_on};

/// How it is told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Form {
    /// Lines for people.
    Text,
    /// The document.
    Json,
    /// The table.
    Csv,
    /// The report.
    Pdf(ReportAsked),
}

/// Asks a service and prints what it says, or writes it into a file.
///
/// Exit code 0; 1 when it is told as lines or as a document and a chart of enough heads signals, 2 when the service cannot
/// be asked.
pub(crate) fn run(
    at: &Place,
    asked: &StatisticsAsked,
    form: Form,
    out: Option<&Path>,
) -> Result<ExitCode, Box<dyn Error>> {
    let (said, holds) = block_on(async {
        let client = at.client()?;
        Ok(match form {
            Form::Csv => (client.statistics_table(asked).await?, true),
            Form::Pdf(report) => (client.statistics_report(asked, &report).await?, true),
            Form::Json | Form::Text => {
                let statistics = client.statistics(asked).await?;
                let said = match form {
                    Form::Json => serde_json::to_string_pretty(&statistics)? + "\n",
                    _ => lines(&statistics),
                };
                (said.into_bytes(), holds(&statistics))
            }
        })
    })?;
    match out {
        Some(path) => write(path, said)?,
        None => print(std::str::from_utf8(&said)?)?,
    }
    Ok(super::wait::code(holds))
}

fn holds(statistics: &Statistics) -> bool {
    let charts = statistics.characteristics.iter().filter_map(|of| of.chart.as_ref());
    charts.filter(|chart| chart.groups >= u64::from(ENOUGH_GROUPS)).all(|chart| chart.signal_count == 0)
}

/// The most important of it, a line for each characteristic.
fn lines(statistics: &Statistics) -> String {
    let heads = &statistics.heads;
    let mut text = format!("{} measurement sets\n", heads.counted);
    for of in &heads.by_stage {
        let _ = writeln!(
            text,
            "{}: {} accept, {} rework, {} incomplete, {} reject",
            of.stage.word(),
            of.accept,
            of.rework,
            of.incomplete,
            of.reject
        );
    }
    if let Some(share) = heads.first_pass_yield {
        let [share, lower, upper] = [share.share, share.lower, share.upper].map(|share| share * 100.0);
        let _ = writeln!(text, "first-pass yield {share:.1} % ({lower:.1} to {upper:.1} %)");
    }
    if let Some(share) = heads.concession_rate {
        let _ = writeln!(text, "signed with a concession: {} of {}", share.count, share.of);
    }
    for of_stage in statistics.failures.chunk_by(|one, next| one.stage == next.stage) {
        for failure in of_stage.iter().take(5) {
            let of = failure.service.map_or("", headproof_wire::Service::word);
            let (name, count, share) = (&failure.characteristic, failure.count, failure.cumulative * 100.0);
            let stage = failure.stage.word();
            let _ = writeln!(text, "fails {stage}: {name} {of} {count} ({share:.0} % with those above)");
        }
    }
    let parts = statistics
        .characteristics
        .chunk_by(|one, next| (one.stage, &one.profile) == (next.stage, &next.profile));
    for part in parts {
        text += &table(part);
    }
    text
}

/// The characteristics of one stage and profile, a line each.
fn table(part: &[CharacteristicStatistics]) -> String {
    let mut text = String::new();
    if let Some(first) = part.first() {
        let _ = writeln!(text, "\n{}, profile {}", first.stage.word(), first.profile);
    }
    let head = ["characteristic", "service", "n", "mean", "s", "unit", "Cpk", "Ppk", "signals"];
    text += &row(head.map(str::to_owned));
    for of in part {
        let number = |number: Option<f64>| number.map_or_else(String::new, |number| format!("{number:.4}"));
        let index = |number: Option<f64>| number.map_or_else(String::new, |number| format!("{number:.2}"));
        let capability = of.capability.as_ref();
        text += &row([
            of.characteristic.clone(),
            of.service.map_or("", headproof_wire::Service::word).to_owned(),
            of.n.to_string(),
            number(of.mean),
            number(of.s),
            of.unit.clone(),
            index(capability.and_then(|of| Some(of.cpk.as_ref()?.value))),
            index(capability.map(|of| of.ppk.value)),
            of.chart.as_ref().map_or_else(String::new, |chart| chart.signal_count.to_string()),
        ]);
    }
    text
}

fn row([characteristic, service, n, mean, s, unit, cpk, ppk, signals]: [String; 9]) -> String {
    let line = format!(
        "{characteristic:<28} {service:<8} {n:>7} {mean:>12} {s:>10} {unit:<8} {cpk:>7} {ppk:>7} {signals:>7}"
    );
    format!("{}\n", line.trim_end())
}
