//! A document of no trade, laid out with what every page is laid out with, so that other tools can be timed on the
//! same one: a summary, then parts of a table, a drawing and a caution each.

use headproof_texts::{Language, Say};
use serde::Deserialize;

use crate::SheetError;
use crate::canvas::{Canvas, Ink, Pen};
use crate::chrome::Chrome;
use crate::document::{Document, write};
use crate::drawing::Spot;
use crate::face::Face;
use crate::flow::{Flow, LEFT, MAX_PAGES, measure_of};
use crate::format::plain;
use crate::input::paper_size;
use crate::structure::Tag;
use crate::table::{Align, Cell, Column, Line, Place, Table};
use crate::text::{Style, wrap};

/// The document.
#[derive(Debug, Deserialize)]
pub struct Workload {
    title: String,
    header: Vec<(String, String)>,
    summary: Summary,
    ports: Vec<Part>,
}

#[derive(Debug, Deserialize)]
struct Summary {
    columns: Vec<String>,
    rows: Vec<Row>,
}

#[derive(Debug, Deserialize)]
struct Row {
    label: String,
    v: Vec<f64>,
}

#[derive(Debug, Deserialize)]
struct Part {
    name: String,
    kind: String,
    columns: Vec<String>,
    rows: Vec<Row>,
    drawing: Drawing,
    caution: String,
}

/// Millimetres from the upper left corner of its frame.
#[derive(Debug, Deserialize)]
struct Drawing {
    w: f32,
    h: f32,
    polyline: Vec<Spot>,
    polygon: Vec<Spot>,
    labels: Vec<Label>,
}

#[derive(Debug, Deserialize)]
struct Label {
    x: f32,
    y: f32,
    t: String,
}

const TITLE: Style = Style::HEADING.sized(14.0);
const NAME: Style = Style::new(Face::Bold, 9.5);
const LABEL: Style = Style::new(Face::Narrow, 6.0);
const PLACES: usize = 3;
/// Fields of the header that stand beside each other.
const ABREAST: usize = 2;
/// Between a part's table, drawing and caution.
const GAP: f32 = 1.6;

/// The document as a PDF.
///
/// # Errors
/// [`SheetError::TooLarge`] when it would fill more than 400 pages; the others are faults of the program.
pub fn workload(document: &Workload) -> Result<Vec<u8>, SheetError> {
    let size = paper_size(headproof_wire::Paper::A4);
    let measure = measure_of(size.0);
    let number = document.header.first().map_or("", |(_, number)| number);
    let language = Language::English;
    let say = Say::of(language);
    let chrome = Chrome {
        fields: vec![("Title", document.title.clone(), 0.0), ("Document", number.to_owned(), 40.0)],
        notice: None,
        closing: "Not signed: this document states nothing.".into(),
        say,
    };
    let mut flow = Flow::new(size, chrome.head(measure), chrome.foot(measure), MAX_PAGES, say);
    document.draw(&mut flow);
    let bookmarks = flow.take_marks();
    let (mut canvases, tree, overflowed) = flow.finish();
    if overflowed {
        return Err(SheetError::TooLarge { what: document.title.clone(), limit: MAX_PAGES });
    }
    let pages = canvases.len();
    for (n, canvas) in canvases.iter_mut().enumerate() {
        chrome.stamp(canvas, size, n + 1, pages);
    }
    let title = document.title.clone();
    let (moments, identity) = (Vec::new(), vec![number]);
    let signature = None;
    Ok(write(Document { title, language, size, canvases, tree, bookmarks, moments, identity, signature })?
        .bytes)
}

impl Workload {
    fn draw(&self, flow: &mut Flow) {
        flow.mark(0, &self.title);
        flow.paragraph(TITLE, LEFT, flow.measure(), &self.title);
        flow.gap(2.0);
        let column = flow.measure() / (2 * ABREAST) as f32;
        for fields in self.header.chunks(ABREAST) {
            let base = flow.y + Style::BODY.ascent();
            let texts =
                fields.iter().flat_map(|(label, value)| [(Style::STRONG, label), (Style::BODY, value)]);
            flow.canvas().structure.open(Tag::Paragraph);
            for (n, (style, text)) in texts.enumerate() {
                let at = (LEFT + n as f32 * column, base);
                flow.canvas().text(style.face, style.size, style.ink, at, text);
            }
            flow.canvas().structure.close();
            flow.y += Style::BODY.leading();
        }
        let Summary { columns, rows } = &self.summary;
        let summary = table(columns, rows, String::new(), flow.measure());
        flow.heading("Summary", summary.least_height());
        summary.draw(flow);
        for part in &self.ports {
            part.draw(flow);
        }
    }
}

fn table(columns: &[String], rows: &[Row], caption: String, measure: f32) -> Table {
    let width = measure / columns.len().max(1) as f32;
    let columns = columns.iter().enumerate().map(|(n, head)| {
        let align = if n == 0 { Align::Left } else { Align::Point };
        Column::new(head.as_str(), width, align)
    });
    let lines = rows.iter().map(|row| {
        let figures = row.v.iter().map(|figure| Cell::Text(plain(*figure, PLACES)));
        Line::new(std::iter::once(Cell::Text(row.label.clone())).chain(figures).collect())
    });
    let (columns, lines) = (columns.collect(), lines.collect());
    Table { columns, lines, caption, note_column: 0, place: Place::PAGE }
}

impl Part {
    /// Its parts stay together on a page.
    fn draw(&self, flow: &mut Flow) {
        let name = format!("{} — kind {}", self.name, self.kind);
        let table = table(&self.columns, &self.rows, name.clone(), flow.measure());
        let caution = wrap(Style::BODY, flow.measure(), &self.caution).len() as f32 * Style::BODY.leading();
        flow.gap(4.0);
        flow.ensure(NAME.leading() + table.height() + self.drawing.h + 2.0 * GAP + caution);
        flow.mark(1, &name);
        flow.paragraph(NAME, LEFT, flow.measure(), &name);
        table.draw(flow);
        flow.y += GAP;
        let at = (LEFT, flow.y);
        self.drawing.draw(flow.canvas(), at);
        flow.y += self.drawing.h + GAP;
        flow.paragraph(Style::BODY, LEFT, flow.measure(), &self.caution);
    }
}

impl Drawing {
    fn draw(&self, canvas: &mut Canvas, (left, top): Spot) {
        let placed =
            |spots: &[Spot]| -> Vec<Spot> { spots.iter().map(|(x, y)| (left + x, top + y)).collect() };
        canvas.structure.open(Tag::Figure);
        canvas.rectangle(None, Some(Pen::new(Ink::Grey, 0.4)), (left, top), (self.w, self.h));
        canvas.polygon(Some(Ink::Tint), None, &placed(&self.polygon));
        canvas.line(Pen::new(Ink::Black, 0.5), &placed(&self.polyline));
        for label in &self.labels {
            let at = (left + label.x, top + label.y);
            canvas.structure.describe(&label.t);
            canvas.text(LABEL.face, LABEL.size, LABEL.ink, at, &label.t);
        }
        canvas.structure.close();
    }
}
