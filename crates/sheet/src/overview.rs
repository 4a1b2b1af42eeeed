//! What a report of a batch says of its heads without their sheets: how many came out how, each on a line, and those
//! without a sheet. Both kinds of report are built on it.

use headproof_texts::Say;
use headproof_wire::statistics::Statistics;
use headproof_wire::{Evaluation, MeasurementSet, SheetOptions, Stage, Tally};
use serde::{Deserialize, Serialize};

use crate::chrome::Chrome;
use crate::failures::failing;
use crate::flow::{Flow, LEFT, measure_of};
use crate::input::paper_size;
use crate::inspection::{MOST_LINES, Pages};
use crate::table::{Align, Cell, Column, Line, Place, Table};
use crate::text::Style;
use crate::unshown;
use crate::words::{disposition, disposition_mark, stage};
use crate::{SheetError, SheetInput};

/// The greatest number of pages of a whole report.
pub(crate) const MAX_PAGES: usize = 6000;

/// What a report of a batch says of one head: some hundred bytes of documents a thousand times as long.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct HeadInIndex {
    /// Its line within the batch, from 1.
    pub line: u32,
    /// Its serial.
    pub serial: String,
    /// The job number.
    pub job: String,
    /// When in the job it was measured.
    pub stage: Stage,
    /// What follows for it: `accept`, `rework`, `incomplete` or `reject`.
    pub disposition: String,
    /// How many rows came out how.
    pub tally: Tally,
    /// Characteristics that do not conform, by name, with how many rows of each.
    pub failing: Vec<(String, u32)>,
    /// RFC 3339 time of the measurement; the latest of a batch dates the file.
    pub measured_at: String,
    /// SHA-256 of the evaluation's canonical form, in hex.
    pub digest: String,
}

impl HeadInIndex {
    /// Of a judged head on a line of its batch.
    #[must_use]
    pub fn of(line: u32, set: &MeasurementSet, evaluation: &Evaluation, digest: &str) -> Self {
        Self {
            line,
            serial: set.head.serial.clone(),
            job: set.job.number.clone(),
            stage: set.job.stage,
            disposition: evaluation.disposition.clone().into_owned(),
            tally: evaluation.tally,
            failing: failing(evaluation),
            measured_at: set.job.measured_at.clone(),
            digest: digest.to_owned(),
        }
    }

    /// Of the heads whose sheets a report has; they are counted, since nothing here asks for their lines.
    pub(crate) fn of_sheets(sheets: &[SheetInput<'_>]) -> Vec<Self> {
        let of = |(n, sheet): (u32, &SheetInput<'_>)| {
            Self::of(n, sheet.set, sheet.evaluation, sheet.evaluation_digest)
        };
        (1..).zip(sheets).map(of).collect()
    }
}

/// A batch in brief.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Overview<'a> {
    /// Its name.
    pub(crate) label: &'a str,
    /// Heads with a sheet, in the order of the batch.
    pub(crate) heads: &'a [HeadInIndex],
    /// Heads without one: serial and why.
    pub(crate) failed: &'a [(String, String)],
    /// What they say together.
    pub(crate) statistics: Option<&'a Statistics>,
    /// Paper and language.
    pub(crate) look: SheetOptions,
}

impl Overview<'_> {
    /// Says things in the language of the report.
    pub(crate) fn say(&self) -> Say {
        Say::of(self.look.language.into())
    }

    /// Refuses a report of so many pages, where that is too many.
    pub(crate) fn check(&self, pages: usize) -> Result<(), SheetError> {
        let what = || format!("the report of batch {}", self.label);
        if pages > MAX_PAGES { Err(SheetError::TooLarge { what: what(), limit: MAX_PAGES }) } else { Ok(()) }
    }

    /// Each head takes a line at the least: what cannot fit is refused before anything is laid out.
    pub(crate) fn check_lines(&self) -> Result<(), SheetError> {
        self.check((self.heads.len() + self.failed.len()) / MOST_LINES)
    }

    /// Begins the pages: what they are, of which batch, and how many heads came out how.
    pub(crate) fn begin(&self) -> (Flow, Chrome) {
        let (size, say) = (paper_size(self.look.paper), self.say());
        let heads = say.with("heads", &[("count", (self.heads.len() + self.failed.len()).into())]);
        let chrome = Chrome {
            fields: vec![
                (say.text("label-batch"), self.label.to_owned(), 0.0),
                (say.text("label-contents"), heads, 40.0),
            ],
            notice: None,
            closing: match self.statistics {
                Some(_) => say.text("line-closing").into(),
                None => say.text("batch-closing").into(),
            },
            say,
        };
        let measure = measure_of(size.0);
        let mut flow = Flow::new(size, chrome.head(measure), chrome.foot(measure), MAX_PAGES + 1, say);
        let label = Style::LABEL.sized(8.0);
        flow.paragraph(label, LEFT, flow.measure(), say.text("batch-what"));
        flow.y += 1.0;
        flow.canvas().structure.open_heading(1);
        flow.paragraph(Style::HEADING.sized(17.0), LEFT, flow.measure(), self.label);
        flow.canvas().structure.close();
        flow.y += 1.0;
        flow.paragraph(Style::STRONG.sized(10.0), LEFT, flow.measure(), &self.summary());
        (flow, chrome)
    }

    /// Ends them.
    pub(crate) fn end(mut flow: Flow, chrome: Chrome) -> Pages {
        unshown::draw(&mut flow, &chrome, unshown::Kept::Posted);
        let marks = flow.take_marks();
        let (canvases, tree, _) = flow.finish();
        Pages { canvases, tree, marks, chrome, signed_at: None }
    }

    fn summary(&self) -> String {
        let say = self.say();
        let mut parts = vec![say.with("heads-judged", &[("count", self.heads.len().into())])];
        for code in ["accept", "rework", "incomplete", "reject"] {
            let count = self.heads.iter().filter(|head| head.disposition == code).count();
            if count > 0 {
                let values = [("count", count.into()), ("disposition", disposition(code, say).into())];
                parts.push(say.with("heads-of-disposition", &values));
            }
        }
        if !self.failed.is_empty() {
            parts.push(say.with("heads-without-sheet", &[("count", self.failed.len().into())]));
        }
        parts.join(" · ")
    }

    /// Draws the heads with a sheet. The last column has a number for each, which says where its sheet is.
    pub(crate) fn draw_heads(
        &self,
        flow: &mut Flow,
        last: &'static str,
        numbers: impl Iterator<Item = usize>,
    ) {
        let say = self.say();
        let columns = vec![
            Column::new(say.text("label-head"), flow.measure() - 134.0, Align::Left),
            Column::new(say.text("label-job"), 28.0, Align::Left),
            Column::new(say.text("label-stage"), 20.0, Align::Left),
            Column::new(say.text("label-disposition"), 24.0, Align::Left),
            Column::new(say.text("tally-conforms"), 13.0, Align::Right),
            Column::new(say.text("tally-does-not-conform"), 13.0, Align::Right),
            Column::new(say.text("column-not-proven"), 12.0, Align::Right),
            Column::new(say.text("column-not-measured"), 14.0, Align::Right),
            Column::new(last, 10.0, Align::Right),
        ];
        let line = |(head, number): (&HeadInIndex, usize)| Line {
            flagged: head.disposition == "reject",
            ..Line::new(vec![
                Cell::Text(head.serial.clone()),
                Cell::Text(head.job.clone()),
                Cell::Text(stage(head.stage, say).to_owned()),
                Cell::Marked(disposition_mark(&head.disposition), disposition(&head.disposition, say)),
                Cell::Text(head.tally.conforms.to_string()),
                Cell::Text(head.tally.does_not_conform.to_string()),
                Cell::Text(head.tally.not_proven.to_string()),
                Cell::Text(head.tally.not_measured.to_string()),
                Cell::Text(number.to_string()),
            ])
        };
        let lines = self.heads.iter().zip(numbers).map(line).collect();
        draw_table(flow, columns, lines, say.text("batch-heads"), 0);
    }

    /// Draws those without one, and why.
    pub(crate) fn draw_failed(&self, flow: &mut Flow) {
        let say = self.say();
        let columns = vec![
            Column::new(say.text("label-head"), 60.0, Align::Left),
            Column::new(say.text("reasons-why"), flow.measure() - 60.0, Align::Left),
        ];
        let line = |(serial, reason): &(String, String)| Line {
            flagged: true,
            ..Line::new(vec![Cell::Text(serial.clone()), Cell::Text(reason.clone())])
        };
        let lines = self.failed.iter().map(line).collect();
        draw_table(flow, columns, lines, say.text("batch-heads-without-sheet"), 1);
    }
}

/// Draws a table below its caption; nothing where it has no lines.
fn draw_table(
    flow: &mut Flow,
    columns: Vec<Column>,
    lines: Vec<Line>,
    caption: &'static str,
    note_column: usize,
) {
    if lines.is_empty() {
        return;
    }
    let table = Table { columns, lines, caption: caption.to_owned(), note_column, place: Place::PAGE };
    flow.heading(caption, table.least_height());
    table.draw(flow);
}
