//! Judged rows as a table.

use headproof_texts::Say;
use headproof_wire::{DecisionRule, Row};

use crate::SheetInput;
use crate::format::{figures, percent, plain};
use crate::said::{place, reason_title, said};
use crate::sources::Sources;
use crate::table::{Align, Cell, Column, Line, Place, Table};
use crate::words::{Verdict, sentence, with_unit};

/// Makes tables of judged rows, all with the same columns.
pub(crate) struct RowTables<'a> {
    input: &'a SheetInput<'a>,
    sources: &'a Sources<'a>,
    measure: f32,
}

impl<'a> RowTables<'a> {
    /// For one head, on a page with so much between its margins.
    pub(crate) const fn new(input: &'a SheetInput<'a>, sources: &'a Sources<'a>, measure: f32) -> Self {
        Self { input, sources, measure }
    }

    /// The probability that the decision rule asks for.
    fn asked(&self) -> Option<f64> {
        match self.input.evaluation.decision_rule {
            DecisionRule::Simple => None,
            DecisionRule::Guarded { conformance_probability } => Some(conformance_probability),
        }
    }

    /// An empty table with the columns of judged rows.
    pub(crate) fn table(&self, caption: String) -> Table {
        let k = plain(self.input.evaluation.coverage_factor, 2);
        let k = if k.contains('.') { k.trim_end_matches('0').trim_end_matches('.') } else { &k };
        // Without the column of probabilities the figures get its room.
        let more = if self.asked().is_some() { 0.0 } else { 1.8 };
        let say = self.input.say();
        let mut columns = vec![
            Column::new(say.text("rows-verdict"), 27.0, Align::Left),
            Column::new(say.text("rows-characteristic"), 0.0, Align::Snug),
            Column::new(say.text("rows-measured"), 14.8 + more, Align::Point),
            Column::new(say.text("rows-lower"), 14.8 + more, Align::Point),
            Column::new(say.text("rows-upper"), 14.8 + more, Align::Point),
            Column::new(say.text("rows-deviation"), 15.0 + more, Align::Point),
            Column::new(
                say.with("rows-uncertainty", &[("k", say.number(k).into_owned().into())]),
                14.0 + more,
                Align::Point,
            ),
        ];
        if self.asked().is_some() {
            columns.push(Column::new(say.text("rows-probability"), 12.6, Align::Right));
        }
        columns.push(Column::new(say.text("rows-place"), 18.5, Align::Snug));
        columns.push(Column::new(say.text("rows-source"), 8.0, Align::Right));
        let taken: f32 = columns.iter().map(|column| column.width).sum();
        columns[1].width = self.measure - taken;
        Table { columns, lines: Vec::new(), caption, note_column: 1, place: Place::PAGE }
    }

    /// One row.
    pub(crate) fn line(&self, row: &Row) -> Line {
        let verdict = Verdict::from_code(&row.verdict);
        let say = self.input.say();
        let figures = figures(row, &self.input.set.units, say);
        let name = with_unit(&row.characteristic, &figures.unit, say);
        let mut cells = vec![Cell::mark(verdict, self.input.say()), Cell::Text(name)];
        if let Some(in_order) = row.in_order {
            cells.push(Cell::Wide(
                say.text(if in_order { "rows-in-order" } else { "rows-not-in-order" }).to_owned(),
                3,
            ));
            cells.extend([Cell::figure(None), Cell::figure(None)]);
        } else {
            let limited = row.lower.is_some() || row.upper.is_some();
            let limit = |figure: Option<String>| figure.or_else(|| limited.then(|| "–".to_owned()));
            let measured = figures.measured.unwrap_or_else(|| "–".to_owned());
            cells.push(Cell::Text(measured));
            cells.push(Cell::figure(limit(figures.lower)));
            cells.push(Cell::figure(limit(figures.upper)));
        }
        cells.push(Cell::figure(figures.deviation));
        cells.push(Cell::figure(figures.uncertainty));
        if let Some(asked) = self.asked() {
            cells.push(Cell::figure(row.conformance_probability.map(|p| percent(p, Some(asked), say))));
        }
        cells.push(Cell::figure(row.place.as_deref().map(|text| place(text, say))));
        let number = row.limit.and_then(|limit| self.sources.number(limit));
        cells.push(Cell::figure(number.map(|number| format!("[{number}]"))));
        let flagged = verdict == Verdict::DoesNotConform;
        Line { cells, note: note(row, verdict, say), flagged, band: false }
    }
}

/// The sentence under a row; where there is none and one is needed, its reason in words.
fn note(row: &Row, verdict: Verdict, say: Say) -> Option<String> {
    let unsaid = matches!(verdict, Verdict::NotMeasured | Verdict::NotProven);
    let detail = row.detail.as_deref().filter(|detail| !detail.trim().is_empty());
    let detail = detail.map(|detail| sentence(&said(detail, row.detail_says.as_ref(), say)));
    detail.or_else(|| unsaid.then(|| reason_title(&row.reason, say).into_owned()))
}
