//! The reasons of the disposition and the findings on the data, as tables.

use headproof_wire::{Evaluation, Row};

use crate::SheetInput;
use crate::format::figures;
use crate::said::{finding_title, place, said, severity};
use crate::table::{Align, Cell, Column, Line, Place, Table};
use crate::words::{disposition, sentence, subject_of};

/// The reasons, gravest first, with the amounts behind them.
pub(crate) fn reasons(input: &SheetInput<'_>, measure: f32) -> Table {
    let say = input.say();
    let columns = vec![
        Column::new(say.text("reasons-disposition"), 19.0, Align::Snug),
        Column::new(say.text("reasons-subject"), 33.0, Align::Left).naming(),
        Column::new(say.text("reasons-why"), measure - 100.0, Align::Left),
        Column::new(say.text("reasons-amounts"), 48.0, Align::Left),
    ];
    let lines = input.evaluation.reasons.iter().map(|reason| {
        let cells = vec![
            Cell::Text(disposition(&reason.disposition, say)),
            Cell::Text(sentence(&place(&reason.subject, say))),
            Cell::Text(sentence(&said(&reason.text, reason.says.as_ref(), say))),
            Cell::figure(amounts_of(input, &reason.subject, reason.characteristic.as_deref())),
        ];
        let flagged = matches!(reason.disposition.as_ref(), "reject" | "rework");
        Line { flagged, ..Line::new(cells) }
    });
    Table {
        columns,
        lines: lines.collect(),
        caption: say.text("reasons-caption").to_owned(),
        note_column: 0,
        place: Place::PAGE,
    }
}

/// The amounts behind a reason: `0.071 mm, at most 0.050`.
pub(crate) fn amounts_of(
    input: &SheetInput<'_>,
    subject: &str,
    characteristic: Option<&str>,
) -> Option<String> {
    amounts(input, row_of(input.evaluation, subject, characteristic)?)
}

/// The row a reason speaks of.
fn row_of<'a>(evaluation: &'a Evaluation, subject: &str, characteristic: Option<&str>) -> Option<&'a Row> {
    let rows = if subject == "head" {
        Some(&evaluation.head)
    } else {
        let cylinder = evaluation.cylinders.iter().find(|of| subject == format!("cylinder {}", of.cylinder));
        let port =
            evaluation.ports.iter().find(|of| subject == subject_of(of.cylinder, of.service, of.index));
        cylinder.map(|of| &of.rows).or_else(|| port.map(|of| &of.rows))
    };
    rows?.iter().find(|row| Some(row.characteristic.as_ref()) == characteristic)
}

fn amounts(input: &SheetInput<'_>, row: &Row) -> Option<String> {
    let say = input.say();
    let figures = figures(row, &input.set.units, say);
    let unit = if figures.unit.is_empty() { String::new() } else { format!(" {}", figures.unit) };
    let limits = match (figures.lower, figures.upper) {
        (Some(lower), Some(upper)) => {
            say.with("reasons-between", &[("lower", lower.into()), ("upper", upper.into())])
        }
        (Some(lower), None) => say.with("reasons-at-least", &[("lower", lower.into())]),
        (None, Some(upper)) => say.with("reasons-at-most", &[("upper", upper.into())]),
        (None, None) => return figures.measured.map(|measured| format!("{measured}{unit}")),
    };
    Some(match figures.measured {
        Some(measured) => format!("{measured}{unit}, {limits}"),
        None => format!("{limits}{unit}"),
    })
}

/// What is wrong or doubtful with the data, the blocking first.
pub(crate) fn findings(input: &SheetInput<'_>, measure: f32) -> Table {
    let say = input.say();
    let columns = vec![
        Column::new(say.text("findings-severity"), 19.0, Align::Left),
        Column::new(say.text("findings-title"), 33.0, Align::Left).naming(),
        Column::new(say.text("findings-why"), measure - 52.0, Align::Left),
    ];
    let mut sorted: Vec<_> = input.evaluation.findings.iter().collect();
    sorted.sort_by_key(|finding| finding.severity != "blocking");
    let lines = sorted.into_iter().map(|finding| Line {
        cells: vec![
            Cell::Text(severity(&finding.severity, say)),
            Cell::Text(finding_title(&finding.code, say).into_owned()),
            Cell::Text(sentence(&said(&finding.text, finding.says.as_ref(), say))),
        ],
        note: (!finding.pointers.is_empty()).then(|| finding.pointers.join("  ")),
        flagged: finding.severity == "blocking",
        band: false,
    });
    Table {
        columns,
        lines: lines.collect(),
        caption: say.text("findings-caption").to_owned(),
        note_column: 2,
        place: Place::PAGE,
    }
}
