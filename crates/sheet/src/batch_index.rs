//! The report of a batch that is too large to be read as one: what fails most, and an index, without the sheets.

use crate::attach;
use crate::document::{Document, write_with};
use crate::flow::LEFT;
use crate::input::paper_size;
use crate::inspection::Pages;
use crate::overview::Overview;
use crate::text::Style;
use crate::unshown::Rendered;
use crate::{IndexInput, SheetError, failures, line};

/// So many heads are named beside what they fail in, a few lines of them; the index has them all.
const HEADS_LISTED: usize = 20;

/// The report of a batch without its sheets, as a PDF: where these are, the failures by characteristic, an index of
/// the heads with the line each has in the batch, and the heads without a sheet.
///
/// It takes some hundred bytes of memory for a cell; 20,000 heads are 330 to 440 pages and some 100 MiB. Nothing is
/// attached but the statistics: the documents of each head are attached to its sheet. The same input gives the same bytes.
///
/// # Errors
/// [`SheetError::TooLarge`] when it would fill more than 6000 pages; the others are faults of the program.
pub fn batch_index(input: &IndexInput<'_>) -> Result<Rendered, SheetError> {
    let IndexInput { batch_label: label, heads, failed, archive, statistics, look, .. } = *input;
    let overview = Overview { label, heads, failed, statistics, look };
    overview.check_lines()?;
    let (size, say) = (paper_size(look.paper), overview.say());
    let (mut flow, chrome) = overview.begin();
    flow.gap(2.0);
    let elsewhere = say.with("batch-sheets-elsewhere", &[("archive", archive.into())]);
    flow.paragraph(Style::BODY, LEFT, flow.measure(), &elsewhere);
    if let Some(statistics) = statistics {
        line::draw(&mut flow, statistics);
        flow.new_page();
    }
    failures::draw(&mut flow, heads, HEADS_LISTED);
    overview.draw_heads(&mut flow, say.text("column-line"), heads.iter().map(|head| head.line as usize));
    overview.draw_failed(&mut flow);
    let Pages { mut canvases, tree, marks, chrome, .. } = Overview::end(flow, chrome);
    let pages = canvases.len();
    overview.check(pages)?;
    for (n, canvas) in canvases.iter_mut().enumerate() {
        chrome.stamp(canvas, size, n + 1, pages);
    }
    let digest = statistics.map(line::digest);
    let of_failed = failed.iter().flat_map(|(serial, reason)| [serial.as_str(), reason.as_str()]);
    let of_heads = heads.iter().map(|head| head.digest.as_str());
    let attached = statistics.and(input.statistics_canonical);
    let attachment = attached.map(|canonical| attach::statistics(canonical, label, say));
    let document = Document {
        title: say.with("batch-title", &[("label", label.into())]),
        language: say.language(),
        size,
        canvases,
        tree,
        bookmarks: marks,
        moments: heads.iter().map(|head| head.measured_at.as_str()).collect(),
        identity: [label, archive]
            .into_iter()
            .chain(digest.as_deref())
            .chain(of_heads)
            .chain(of_failed)
            .collect(),
        signature: None,
    };
    write_with(document, attachment.as_slice())
}
