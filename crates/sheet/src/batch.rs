//! The report of a batch: an index, what fails most, and every sheet.

use crate::attach::record;
use crate::chrome::Chrome;
use crate::document::{Attachment, Document, Mark, write_with};
use crate::flow::{Flow, LEFT, measure_of};
use crate::input::paper_size;
use crate::inspection::{MOST_LINES, Pages, identity as identity_of, lay_out};
use crate::structure::Tree;
use crate::table::{Align, Cell, Column, Line, Place, Table};
use crate::text::Style;
use crate::unshown::{self, Rendered};
use crate::words::{disposition, disposition_mark, stage};
use crate::{BatchInput, SheetError, SheetInput, failures};

/// The greatest number of pages of a whole report.
const MAX_PAGES: usize = 6000;

/// The report of a batch, as a PDF: an index of the heads with the page each begins on, the failures by
/// characteristic, the heads without a sheet, then all sheets.
///
/// Pages are numbered through; the outline of the document names every head. Sign-offs are left out: what is signed is
/// the sheet of one head. The same input gives the same bytes.
///
/// # Errors
/// [`SheetError::TooLarge`] when one sheet would fill more than 400 pages or all of them more than 6000.
pub fn batch_report(input: &BatchInput<'_>) -> Result<Rendered, SheetError> {
    let size = paper_size(input.look.paper);
    let mut sheets = Vec::with_capacity(input.sheets.len());
    let mut total = 0;
    let check = |pages: usize| {
        let what = || format!("the report of batch {}", input.batch_label);
        if pages > MAX_PAGES { Err(SheetError::TooLarge { what: what(), limit: MAX_PAGES }) } else { Ok(()) }
    };
    // Each takes a line of the index at the least: what cannot fit is refused before anything is laid out.
    check((input.sheets.len() + input.failed.len()) / MOST_LINES)?;
    for sheet in &input.sheets {
        let pages = lay_out(&in_report(sheet, input))?;
        total += pages.canvases.len();
        check(total)?;
        sheets.push(pages);
    }
    let starts: Vec<usize> = sheets
        .iter()
        .scan(1, |next, pages| {
            let start = *next;
            *next += pages.canvases.len();
            Some(start)
        })
        .collect();

    // The index names pages behind itself: its own length is found first, with numbers as wide as they come.
    let length = lay_out_index(input, &starts, MAX_PAGES).canvases.len();
    check(total + length)?;
    let index = lay_out_index(input, &starts, length);
    let pages = index.canvases.len() + total;
    let bookmarks = bookmarks(input, &index, &sheets);
    let attachments = attachments(input, starts.iter().map(|start| start + length - 1));

    let mut canvases = Vec::with_capacity(pages);
    let mut tree = Tree::default();
    for Pages { canvases: drawn, tree: part, chrome, .. } in std::iter::once(index).chain(sheets) {
        let moved = tree.append(part);
        for mut canvas in drawn {
            canvas.move_owners(moved);
            chrome.stamp(&mut canvas, size, canvases.len() + 1, pages);
            canvases.push(canvas);
        }
    }
    let mut identity = vec![input.batch_label];
    identity.extend(input.sheets.iter().flat_map(|sheet| identity_of(&in_report(sheet, input))));
    identity.extend(input.failed.iter().flat_map(|(serial, reason)| [serial.as_str(), reason.as_str()]));
    let document = Document {
        title: input.say().with("batch-title", &[("label", input.batch_label.into())]),
        language: input.say().language(),
        size,
        canvases,
        tree,
        bookmarks,
        moments: input.sheets.iter().map(|sheet| sheet.set.job.measured_at.as_str()).collect(),
        identity,
        signature: None,
    };
    write_with(document, &attachments)
}

/// A head as a report shows it: in the look of the report, and unsigned, since one signature cannot be for many heads.
const fn in_report<'a>(sheet: &SheetInput<'a>, input: &BatchInput<'_>) -> SheetInput<'a> {
    SheetInput { look: input.look, sign_off: None, ..*sheet }
}

/// A name for the index and for every head, and below each the names of its own uppermost parts.
fn bookmarks(input: &BatchInput<'_>, index: &Pages, sheets: &[Pages]) -> Vec<Mark> {
    let say = input.say();
    let names = input.sheets.iter().map(|SheetInput { set, evaluation, .. }| {
        say.with(
            "bookmark-head",
            &[
                ("head", (&set.head.serial).into()),
                ("job", (&set.job.number).into()),
                ("disposition", disposition(&evaluation.disposition, say).into()),
            ],
        )
    });
    let names = std::iter::once(say.text("bookmark-index").to_owned()).chain(names);
    let mut bookmarks = Vec::new();
    let mut before = 0;
    for (name, pages) in names.zip(std::iter::once(index).chain(sheets)) {
        bookmarks.push(Mark { level: 0, name, page: before, y: None });
        let uppermost = pages.marks.iter().filter(|mark| mark.level == 0);
        bookmarks.extend(uppermost.map(|mark| Mark { level: 1, page: before + mark.page, ..mark.clone() }));
        before += pages.canvases.len();
    }
    bookmarks
}

/// The documents of every head, with the pages their sheets begin on.
fn attachments<'a>(input: &BatchInput<'a>, pages: impl Iterator<Item = usize>) -> Vec<Attachment<'a>> {
    let digits = input.sheets.len().to_string().len();
    let numbered = (1..).zip(&input.sheets).zip(pages);
    let of = |((n, sheet), page): ((usize, &SheetInput<'a>), usize)| {
        record(&in_report(sheet, input), Some((n, digits, page)))
    };
    numbered.flat_map(of).collect()
}

/// The pages before the sheets. `before` is how many there will be of them.
fn lay_out_index(input: &BatchInput<'_>, starts: &[usize], before: usize) -> Pages {
    let size = paper_size(input.look.paper);
    let say = input.say();
    let heads = say.with("heads", &[("count", (input.sheets.len() + input.failed.len()).into())]);
    let chrome = Chrome {
        fields: vec![
            (say.text("label-batch"), input.batch_label.to_owned(), 0.0),
            (say.text("label-contents"), heads, 40.0),
        ],
        notice: None,
        closing: say.text("batch-closing").into(),
        say,
    };
    let measure = measure_of(size.0);
    let mut flow = Flow::new(size, chrome.head(measure), chrome.foot(measure), MAX_PAGES + 1, say);
    let label = Style::LABEL.sized(8.0);
    flow.paragraph(label, LEFT, flow.measure(), say.text("batch-what"));
    flow.y += 1.0;
    flow.canvas().structure.open_heading(1);
    flow.paragraph(Style::HEADING.sized(17.0), LEFT, flow.measure(), input.batch_label);
    flow.canvas().structure.close();
    flow.y += 1.0;
    flow.paragraph(Style::STRONG.sized(10.0), LEFT, flow.measure(), &summary(input));
    let table = heads_table(input, starts, before, flow.measure());
    if !table.lines.is_empty() {
        flow.heading(&table.caption, table.least_height());
        table.draw(&mut flow);
    }
    if !input.failed.is_empty() {
        let table = failed_table(input, flow.measure());
        flow.heading(&table.caption, table.least_height());
        table.draw(&mut flow);
    }
    failures::draw(&mut flow, &input.sheets);
    unshown::draw(&mut flow, &chrome, unshown::Kept::Posted);
    let marks = flow.take_marks();
    let (canvases, tree, _) = flow.finish();
    Pages { canvases, tree, marks, chrome, signed_at: None }
}

fn summary(input: &BatchInput<'_>) -> String {
    let say = input.say();
    let mut parts = vec![say.with("heads-judged", &[("count", input.sheets.len().into())])];
    for code in ["accept", "rework", "incomplete", "reject"] {
        let count = input.sheets.iter().filter(|sheet| sheet.evaluation.disposition == code).count();
        if count > 0 {
            let values = [("count", count.into()), ("disposition", disposition(code, say).into())];
            parts.push(say.with("heads-of-disposition", &values));
        }
    }
    if !input.failed.is_empty() {
        parts.push(say.with("heads-without-sheet", &[("count", input.failed.len().into())]));
    }
    parts.join(" · ")
}

fn heads_table(input: &BatchInput<'_>, starts: &[usize], before: usize, measure: f32) -> Table {
    let say = input.say();
    let columns = vec![
        Column::new(say.text("label-head"), measure - 134.0, Align::Left),
        Column::new(say.text("label-job"), 28.0, Align::Left),
        Column::new(say.text("label-stage"), 20.0, Align::Left),
        Column::new(say.text("label-disposition"), 24.0, Align::Left),
        Column::new(say.text("tally-conforms"), 13.0, Align::Right),
        Column::new(say.text("tally-does-not-conform"), 13.0, Align::Right),
        Column::new(say.text("column-not-proven"), 12.0, Align::Right),
        Column::new(say.text("column-not-measured"), 14.0, Align::Right),
        Column::new(say.text("column-page"), 10.0, Align::Right),
    ];
    let lines = input.sheets.iter().zip(starts).map(|(sheet, start)| {
        let evaluation = sheet.evaluation;
        let tally = evaluation.tally;
        Line {
            flagged: evaluation.disposition == "reject",
            ..Line::new(vec![
                Cell::Text(sheet.set.head.serial.clone()),
                Cell::Text(sheet.set.job.number.clone()),
                Cell::Text(stage(sheet.set.job.stage, say).to_owned()),
                Cell::Marked(
                    disposition_mark(&evaluation.disposition),
                    disposition(&evaluation.disposition, say),
                ),
                Cell::Text(tally.conforms.to_string()),
                Cell::Text(tally.does_not_conform.to_string()),
                Cell::Text(tally.not_proven.to_string()),
                Cell::Text(tally.not_measured.to_string()),
                Cell::Text((start + before).to_string()),
            ])
        }
    });
    let caption = say.text("batch-heads").to_owned();
    Table { columns, lines: lines.collect(), caption, note_column: 0, place: Place::PAGE }
}

fn failed_table(input: &BatchInput<'_>, measure: f32) -> Table {
    let say = input.say();
    let columns = vec![
        Column::new(say.text("label-head"), 60.0, Align::Left),
        Column::new(say.text("reasons-why"), measure - 60.0, Align::Left),
    ];
    let line = |(serial, reason): &(String, String)| Line {
        flagged: true,
        ..Line::new(vec![Cell::Text(serial.clone()), Cell::Text(reason.clone())])
    };
    let lines = input.failed.iter().map(line).collect();
    let caption = say.text("batch-heads-without-sheet").to_owned();
    Table { columns, lines, caption, note_column: 1, place: Place::PAGE }
}
