//! What fails most in a batch: characteristics by how often they do not conform, and on which heads.

use std::collections::BTreeMap;

use headproof_wire::Evaluation;

use crate::SheetInput;
use crate::flow::{Flow, LEFT};
use crate::table::{Align, Cell, Column, Line, Place, Table};
use crate::text::Style;

/// Draws the table.
pub(crate) fn draw(flow: &mut Flow, sheets: &[SheetInput<'_>]) {
    let (say, ranked) = (flow.say(), ranked(sheets));
    let caption = say.text("failures");
    if ranked.is_empty() {
        flow.heading(caption, Style::BODY.leading());
        flow.paragraph(Style::BODY, LEFT, flow.measure(), say.text("failures-none"));
        return;
    }
    let columns = vec![
        Column::new(say.text("column-failures"), flow.measure() - 40.0, Align::Left),
        Column::new(say.text("column-times"), 20.0, Align::Right),
        Column::new(say.text("batch-heads"), 20.0, Align::Right),
    ];
    let lines = ranked.into_iter().map(|failure| {
        let heads: Vec<String> =
            failure.heads.iter().map(|(serial, times)| format!("{serial} ({times})")).collect();
        let cells = vec![
            Cell::Text(say.title(failure.characteristic).into_owned()),
            Cell::Text(failure.times.to_string()),
            Cell::Text(failure.heads.len().to_string()),
        ];
        Line { note: Some(heads.join(", ")), ..Line::new(cells) }
    });
    let table = Table {
        columns,
        lines: lines.collect(),
        caption: caption.to_owned(),
        note_column: 0,
        place: Place::PAGE,
    };
    flow.heading(caption, table.least_height());
    table.draw(flow);
}

/// How often one characteristic fails.
struct Failure<'a> {
    characteristic: &'a str,
    times: usize,
    /// Serial and times, in the order of the batch.
    heads: Vec<(&'a str, usize)>,
}

/// Most frequent first; equally frequent ones by name.
fn ranked<'a>(sheets: &[SheetInput<'a>]) -> Vec<Failure<'a>> {
    let mut by_name: BTreeMap<&str, Failure<'a>> = BTreeMap::new();
    for sheet in sheets {
        for (characteristic, times) in failing(sheet.evaluation) {
            let new = || Failure { characteristic, times: 0, heads: Vec::new() };
            let failure = by_name.entry(characteristic).or_insert_with(new);
            failure.times += times;
            failure.heads.push((&sheet.set.head.serial, times));
        }
    }
    let mut ranked: Vec<_> = by_name.into_values().collect();
    ranked.sort_by_key(|failure| std::cmp::Reverse(failure.times));
    ranked
}

fn failing(evaluation: &Evaluation) -> BTreeMap<&str, usize> {
    let rows = evaluation.head.iter().chain(evaluation.cylinders.iter().flat_map(|cylinder| &cylinder.rows));
    let rows = rows.chain(evaluation.ports.iter().flat_map(|port| &port.rows));
    let mut times = BTreeMap::new();
    for row in rows.filter(|row| row.verdict == "does-not-conform") {
        *times.entry(row.characteristic.as_ref()).or_default() += 1;
    }
    times
}
