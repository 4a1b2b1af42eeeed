//! Statistics as a document of their own: of a time or a filter rather than of a batch.

use crate::attach;
use crate::chrome::Chrome;
use crate::document::{Document, write_with};
use crate::flow::{Flow, LEFT, measure_of};
use crate::input::paper_size;
use crate::overview::MAX_PAGES;
use crate::text::Style;
use crate::unshown::{self, Rendered};
use crate::words::sentence;
use crate::{SheetError, StatisticsInput};

use super::summary::selection;

/// What many heads say together, as a PDF: how many there are and what became of them, what fails most, what the
/// process can do, and its charts. The statistics are attached to it as `statistics.json`.
///
/// The same input gives the same bytes.
///
/// # Units
/// Amounts are printed in the units of the statistics.
///
/// # Errors
/// [`SheetError::TooLarge`] when it would fill more than 6000 pages; the others are faults of the program.
pub fn statistics_report(input: &StatisticsInput<'_>) -> Result<Rendered, SheetError> {
    let StatisticsInput { statistics, canonical, title, look } = *input;
    let (size, say) = (paper_size(look.paper), headproof_texts::Say::of(look.language.into()));
    let asked_for = || sentence(&selection(&statistics.selection, say));
    let title = &*title.map_or_else(asked_for, str::to_owned);
    let heads = say.with("line-sets", &[("count", statistics.heads.counted.into())]);
    let chrome = Chrome {
        fields: vec![
            (say.text("label-statistics"), title.to_owned(), 0.0),
            (say.text("label-contents"), heads, 40.0),
        ],
        notice: None,
        closing: say.text("line-closing").into(),
        say,
    };
    let measure = measure_of(size.0);
    let mut flow = Flow::new(size, chrome.head(measure), chrome.foot(measure), MAX_PAGES + 1, say);
    flow.paragraph(Style::LABEL.sized(8.0), LEFT, measure, say.text("line-what"));
    flow.y += 1.0;
    flow.canvas().structure.open_heading(1);
    flow.paragraph(Style::HEADING.sized(17.0), LEFT, measure, title);
    flow.canvas().structure.close();
    super::draw(&mut flow, statistics);
    unshown::draw(&mut flow, &chrome, unshown::Kept::Attached);
    let bookmarks = flow.take_marks();
    let (mut canvases, tree, _) = flow.finish();
    let pages = canvases.len();
    if pages > MAX_PAGES {
        return Err(SheetError::TooLarge { what: format!("the statistics {title}"), limit: MAX_PAGES });
    }
    for (n, canvas) in canvases.iter_mut().enumerate() {
        chrome.stamp(canvas, size, n + 1, pages);
    }
    let digest = super::digest(statistics);
    let measured = [&statistics.heads.measured_from, &statistics.heads.measured_to];
    let document = Document {
        title: say.with("line-title", &[("title", title.into())]),
        language: say.language(),
        size,
        canvases,
        tree,
        bookmarks,
        moments: measured.into_iter().flatten().map(String::as_str).collect(),
        identity: vec![title, &digest],
        signature: None,
    };
    write_with(document, &[attach::statistics(canonical, title, say)])
}
