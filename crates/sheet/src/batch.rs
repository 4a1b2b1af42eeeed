//! The report of a batch: what its heads say together, an index, what fails most, and every sheet.

use crate::attach::{self, record};
use crate::document::{Attachment, Document, Mark, write_with};
use crate::input::paper_size;
use crate::inspection::{Pages, identity as identity_of, lay_out};
use crate::overview::{MAX_PAGES, Overview};
use crate::structure::Tree;
use crate::unshown::Rendered;
use crate::words::disposition;
use crate::{BatchInput, HeadInIndex, SheetError, SheetInput, failures, line};

/// The report of a batch, as a PDF: what its heads say together where that is given, an index of the heads with the page each begins on, the failures by
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
    let heads = HeadInIndex::of_sheets(&input.sheets);
    let overview = Overview {
        label: input.batch_label,
        heads: &heads,
        failed: &input.failed,
        statistics: input.statistics,
        look: input.look,
    };
    overview.check_lines()?;
    for sheet in &input.sheets {
        let pages = lay_out(&in_report(sheet, input))?;
        total += pages.canvases.len();
        overview.check(total)?;
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
    let length = lay_out_index(&overview, &starts, MAX_PAGES).canvases.len();
    overview.check(total + length)?;
    let index = lay_out_index(&overview, &starts, length);
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
    let digest = input.statistics.map(line::digest);
    let mut identity = vec![input.batch_label];
    identity.extend(digest.as_deref());
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
    let say = input.say();
    let statistics = input.statistics.and(input.statistics_canonical);
    let statistics = statistics.map(|canonical| attach::statistics(canonical, input.batch_label, say));
    numbered.flat_map(of).chain(statistics).collect()
}

/// The pages before the sheets. `before` is how many there will be of them.
fn lay_out_index(overview: &Overview<'_>, starts: &[usize], before: usize) -> Pages {
    let (mut flow, chrome) = overview.begin();
    let pages = starts.iter().map(|start| start + before);
    if let Some(statistics) = overview.statistics {
        line::draw(&mut flow, statistics);
        flow.new_page();
    }
    overview.draw_heads(&mut flow, overview.say().text("column-page"), pages);
    overview.draw_failed(&mut flow);
    failures::draw(&mut flow, overview.heads, usize::MAX);
    Overview::end(flow, chrome)
}
