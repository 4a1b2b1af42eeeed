//! What fails most in a batch: characteristics by how often they do not conform, and on which heads.

use std::collections::BTreeMap;

use headproof_wire::Evaluation;

use crate::HeadInIndex;
use crate::flow::{Flow, LEFT};
use crate::table::{Align, Cell, Column, Line, Place, Table};
use crate::text::Style;

/// Draws the table. Beside each characteristic the first heads are named, so many at the most, and the others counted.
pub(crate) fn draw(flow: &mut Flow, heads: &[HeadInIndex], listed: usize) {
    let (say, ranked) = (flow.say(), ranked(heads));
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
        let named = failure.heads.iter().take(listed);
        let mut heads: Vec<String> = named.map(|(serial, times)| format!("{serial} ({times})")).collect();
        let more = failure.heads.len() - heads.len();
        if more > 0 {
            heads.push(say.with("more-heads", &[("count", more.into())]));
        }
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
    heads: Vec<(&'a str, u32)>,
}

/// Most frequent first; equally frequent ones by name.
fn ranked(heads: &[HeadInIndex]) -> Vec<Failure<'_>> {
    let mut by_name: BTreeMap<&str, Failure<'_>> = BTreeMap::new();
    for head in heads {
        for (characteristic, times) in &head.failing {
            let new = || Failure { characteristic, times: 0, heads: Vec::new() };
            let failure = by_name.entry(characteristic).or_insert_with(new);
            failure.times += *times as usize;
            failure.heads.push((&head.serial, *times));
        }
    }
    let mut ranked: Vec<_> = by_name.into_values().collect();
    ranked.sort_by_key(|failure| std::cmp::Reverse(failure.times));
    ranked
}

/// What does not conform on a head, by name, and in how many rows.
pub(crate) fn failing(evaluation: &Evaluation) -> Vec<(String, u32)> {
    let rows = evaluation.head.iter().chain(evaluation.cylinders.iter().flat_map(|cylinder| &cylinder.rows));
    let rows = rows.chain(evaluation.ports.iter().flat_map(|port| &port.rows));
    let mut times: BTreeMap<&str, u32> = BTreeMap::new();
    for row in rows.filter(|row| row.verdict == "does-not-conform") {
        *times.entry(row.characteristic.as_ref()).or_default() += 1;
    }
    times.into_iter().map(|(characteristic, times)| (characteristic.to_owned(), times)).collect()
}
