//! Before and after: what the rows of an earlier stage were, where they are others now.

use headproof_texts::Say;
use headproof_wire::{Evaluation, Row};

use crate::flow::{Flow, LEFT};
use crate::format::{InUnit, figures};
use crate::input::EarlierInput;
use crate::table::{Align, Cell, Column, Line, Place, Table};
use crate::text::Style;
use crate::words::{Verdict, cylinder_name, port_name, profile_name, short_digest, stage, with_unit};
use crate::{SheetInput, canvas::Ink};

/// Differences of decimals below this are noise of their binary form.
const NOTHING: f64 = 1e-9;

/// Draws the rows that became others since an earlier stage.
pub(crate) fn draw(flow: &mut Flow, input: &SheetInput<'_>, earlier: EarlierInput<'_>) {
    let (say, now) = (flow.say(), input.evaluation);
    let table = table(input, earlier.evaluation, flow.measure());
    flow.heading(say.text("changes-heading"), table.least_height());
    flow.paragraph(Style::STRONG, LEFT, flow.measure(), &summary(now, earlier, say));
    flow.paragraph(Style::SMALL.ink(Ink::Grey), LEFT, flow.measure(), say.text("changes-how-to-read"));
    flow.y += 1.6;
    if table.lines.is_empty() {
        flow.paragraph(Style::BODY, LEFT, flow.measure(), say.text("changes-none"));
    } else {
        table.draw(flow);
    }
}

/// How many characteristics conformed then and conform now.
fn summary(now: &Evaluation, earlier: EarlierInput<'_>, say: Say) -> String {
    let then = earlier.evaluation;
    say.with(
        "changes-summary",
        &[
            ("before", then.tally.conforms.into()),
            ("of-before", then.tally.limited().into()),
            ("stage", stage(then.stage, say).into()),
            ("profile", profile_name(&then.profile.id, &then.profile.revision, say).into()),
            ("record", short_digest(earlier.digest).into()),
            ("now", now.tally.conforms.into()),
            ("of-now", now.tally.limited().into()),
        ],
    )
}

fn table(input: &SheetInput<'_>, then: &Evaluation, measure: f32) -> Table {
    let say = input.say();
    let mut columns = vec![
        Column::new(say.text("rows-characteristic"), 0.0, Align::Snug),
        Column::new(say.text("changes-verdict-before"), 30.0, Align::Left),
        Column::new(say.text("changes-before"), 17.0, Align::Point),
        Column::new(say.text("changes-verdict-now"), 30.0, Align::Left),
        Column::new(say.text("changes-now"), 17.0, Align::Point),
        Column::new(say.text("changes-change"), 18.0, Align::Point),
        Column::new(say.text("changes-uncertainty"), 15.0, Align::Point),
    ];
    columns[0].width = measure - columns.iter().map(|column| column.width).sum::<f32>();
    let mut lines = Vec::new();
    for (name, rows, before) in subjects(input.evaluation, then, say) {
        let changed: Vec<Line> = rows
            .iter()
            .filter_map(|row| {
                let before = before.iter().find(|before| before.characteristic == row.characteristic)?;
                is_another(before, row).then(|| line(input, before, row))
            })
            .collect();
        if !changed.is_empty() {
            lines.push(Line::band(name));
            lines.extend(changed);
        }
    }
    let caption = say.text("changes-heading").to_owned();
    Table { columns, lines, caption, note_column: 0, place: Place::PAGE }
}

/// What is judged now, with its rows and those of the same thing then.
fn subjects<'a>(
    now: &'a Evaluation,
    then: &'a Evaluation,
    say: Say,
) -> impl Iterator<Item = (String, &'a [Row], &'a [Row])> {
    let head = (say.text("subject-head").to_owned(), now.head.as_slice(), then.head.as_slice());
    let cylinders = now.cylinders.iter().filter_map(move |cylinder| {
        let same = then.cylinders.iter().find(|other| other.cylinder == cylinder.cylinder)?;
        Some((cylinder_name(cylinder.cylinder, say), cylinder.rows.as_slice(), same.rows.as_slice()))
    });
    let ports = now.ports.iter().filter_map(move |port| {
        let address = (port.cylinder, port.service, port.index);
        let same = then.ports.iter().find(|other| (other.cylinder, other.service, other.index) == address)?;
        Some((
            port_name(port.cylinder, port.service, port.index, say),
            port.rows.as_slice(),
            same.rows.as_slice(),
        ))
    });
    std::iter::once(head).chain(cylinders).chain(ports)
}

/// Is a row another than it was: by its verdict, or by more than the uncertainty of the change?
fn is_another(before: &Row, now: &Row) -> bool {
    let moved = change(before, now).is_some_and(|(by, uncertainty)| by.abs() - uncertainty > NOTHING);
    before.verdict != now.verdict || before.in_order != now.in_order || moved
}

/// By how much a value changed, and the expanded uncertainty of that, both values taken as independent
/// (JCGM 100:2008, 5.1.2): one gauge for both shares its faults, so that the true one is smaller.
fn change(before: &Row, now: &Row) -> Option<(f64, f64)> {
    let by = now.measured? - before.measured?;
    let u = |row: &Row| row.expanded_uncertainty.unwrap_or(0.0);
    (before.unit == now.unit).then(|| (by, libm::hypot(u(before), u(now))))
}

fn line(input: &SheetInput<'_>, before: &Row, now: &Row) -> Line {
    let (say, units) = (input.say(), &input.set.units);
    let value = |row: &Row| match row.in_order {
        Some(in_order) => say.text(if in_order { "rows-in-order" } else { "rows-not-in-order" }).to_owned(),
        None => figures(row, units, say).measured.unwrap_or_else(|| "–".to_owned()),
    };
    let unit = InUnit::of(now.unit.as_deref().unwrap_or("1"), units, say);
    let change = change(before, now);
    let mark = |row: &Row| Cell::mark(Verdict::from_code(&row.verdict), say);
    Line {
        flagged: Verdict::from_code(&now.verdict) == Verdict::DoesNotConform,
        ..Line::new(vec![
            Cell::Text(with_unit(&now.characteristic, &unit.sign, say)),
            mark(before),
            Cell::Text(value(before)),
            mark(now),
            Cell::Text(value(now)),
            Cell::figure(change.map(|(by, _)| unit.signed(by))),
            Cell::figure(change.filter(|(_, u)| *u > 0.0).map(|(_, u)| unit.plain(u))),
        ])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(measured: f64, uncertainty: f64, verdict: &'static str) -> Row {
        Row {
            characteristic: "seat-width".into(),
            unit: Some("mm".into()),
            place: None,
            measured: Some(measured),
            in_order: None,
            lower: None,
            upper: None,
            deviation: None,
            expanded_uncertainty: Some(uncertainty),
            budget: Vec::new(),
            conformance_probability: None,
            verdict: verdict.into(),
            reason: "inside-limits".into(),
            detail: None,
            detail_says: None,
            limit: None,
        }
    }

    /// √(0.03² + 0.04²) = 0.05.
    #[test]
    fn a_value_moved_when_it_moved_by_more_than_both_uncertainties_explain() {
        let before = row(1.30, 0.03, "conforms");
        assert!(!is_another(&before, &row(1.35, 0.04, "conforms")));
        assert!(is_another(&before, &row(1.36, 0.04, "conforms")));
        assert!(is_another(&before, &row(1.30, 0.04, "not-proven")));
    }
}
