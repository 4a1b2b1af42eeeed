//! Tables with wrapped text and figures aligned at the decimal point.

mod measure;

use headproof_texts::Say;

use crate::canvas::{Ink, Pen};
use crate::flow::{Flow, LEFT, continued};
use crate::marks::mark;
use crate::structure::{Heads, Tag};
use crate::text::{Style, wrap};

use self::measure::{Points, parts};
use crate::words::Verdict;

/// How the cells of a column stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Align {
    /// Text from the left, wrapped.
    Left,
    /// Text from the left that rather shrinks a little than wraps.
    Snug,
    /// Whole numbers and short words at the right.
    Right,
    /// Figures with their decimal points below each other.
    Point,
}

/// A column.
pub(crate) struct Column {
    /// Its head; may be of several words that wrap.
    pub(crate) head: String,
    /// Its width in millimetres.
    pub(crate) width: f32,
    /// How its cells stand.
    pub(crate) align: Align,
    /// Do its cells say what their lines are about? In a table without such a column the first cell with text does.
    names: bool,
}

impl Column {
    /// A column.
    pub(crate) fn new(head: impl Into<String>, width: f32, align: Align) -> Self {
        Self { head: head.into(), width, align, names: false }
    }

    /// The same, whose cells say what their lines are about.
    pub(crate) fn naming(self) -> Self {
        Self { names: true, ..self }
    }
}

/// What stands in a cell.
pub(crate) enum Cell {
    /// Text or a figure; empty when there is none.
    Text(String),
    /// The mark of a verdict, and words.
    Marked(Verdict, String),
    /// Text over this and the next columns, so many in all.
    Wide(String, usize),
}

impl Cell {
    /// The mark of a verdict with its words.
    pub(crate) fn mark(verdict: Verdict, say: Say) -> Self {
        Self::Marked(verdict, verdict.words(say).to_owned())
    }

    /// What is written in it.
    fn text(&self) -> &str {
        match self {
            Self::Text(text) | Self::Marked(_, text) | Self::Wide(text, _) => text,
        }
    }

    /// A cell with a figure, or with nothing.
    pub(crate) fn figure(figure: Option<String>) -> Self {
        Self::Text(figure.unwrap_or_default())
    }
}

/// A line of a table.
pub(crate) struct Line {
    /// Its cells, from the left.
    pub(crate) cells: Vec<Cell>,
    /// A remark under it.
    pub(crate) note: Option<String>,
    /// Calls for attention: printed bold, with a bar in the margin.
    pub(crate) flagged: bool,
    /// Heads the lines below it.
    pub(crate) band: bool,
}

impl Line {
    /// An ordinary line.
    pub(crate) const fn new(cells: Vec<Cell>) -> Self {
        Self { cells, note: None, flagged: false, band: false }
    }

    /// A line that heads those below it.
    pub(crate) fn band(text: impl Into<String>) -> Self {
        Self { cells: vec![Cell::Wide(text.into(), usize::MAX)], note: None, flagged: false, band: true }
    }
}

/// A table.
pub(crate) struct Table {
    /// Its columns.
    pub(crate) columns: Vec<Column>,
    /// Its lines.
    pub(crate) lines: Vec<Line>,
    /// What stands over it again when it runs on to another page.
    pub(crate) caption: String,
    /// The column under which remarks begin.
    pub(crate) note_column: usize,
    /// Where it stands and how large its text is.
    pub(crate) place: Place,
}

/// Where a table stands and how large its text is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Place {
    /// Its left edge.
    pub(crate) left: f32,
    /// How many times larger than usual its text is.
    pub(crate) larger: f32,
}

impl Place {
    /// From the left margin, in the usual sizes.
    pub(crate) const PAGE: Self = Self { left: LEFT, larger: 1.0 };
}

/// Air between columns.
const GUTTER: f32 = 1.9;
/// Air above and below the text of a line.
const AIR: f32 = 0.34;
/// Room of a mark before its words.
const MARK: f32 = 4.4;

impl Table {
    /// Draws it, over as many pages as it takes.
    pub(crate) fn draw(&self, flow: &mut Flow) {
        flow.ensure(self.least_height());
        flow.canvas().structure.open(Tag::Table);
        self.draw_head(flow);
        let points: Vec<Points> = (0..self.columns.len()).map(|column| self.points(column)).collect();
        for (n, line) in self.lines.iter().enumerate() {
            if flow.is_overfull() {
                break;
            }
            let with_next = match self.lines.get(n + 1) {
                Some(next) if line.band => self.line_height(next),
                _ => 0.0,
            };
            if flow.ensure(self.line_height(line) + with_next) {
                if !self.caption.is_empty() {
                    let text = continued(&self.caption, flow.say());
                    flow.continued(self.place.left, flow.right() - self.place.left, &text);
                    flow.y += 0.8;
                }
                flow.canvas().structure.open(Tag::Artifact);
                self.draw_head(flow);
                flow.canvas().structure.close();
            }
            flow.canvas().structure.open(Tag::Row);
            self.draw_line(flow, line, &points);
            flow.canvas().structure.close();
        }
        flow.canvas().structure.close();
    }

    fn draw_head(&self, flow: &mut Flow) {
        let style = self.sized(Style::LABEL);
        let deepest = self.head_lines();
        flow.canvas().structure.open(Tag::Row);
        for (n, column) in self.columns.iter().enumerate() {
            let left = self.left_of(n);
            let lines = wrap(style, column.width - GUTTER, &column.head);
            let first = deepest - lines.len();
            flow.canvas().structure.open(Tag::Header(Heads::Below, 1));
            for (row, text) in lines.iter().enumerate() {
                let y = flow.y + (first + row) as f32 * style.leading() + style.ascent();
                let x = match column.align {
                    Align::Left | Align::Snug => left,
                    _ => left + column.width - GUTTER - style.width(text.trim_end()),
                };
                flow.canvas().text(style.face, style.size, style.ink, (x, y), text);
            }
            flow.canvas().structure.close();
        }
        flow.canvas().structure.close();
        flow.y += deepest as f32 * style.leading() + 0.5;
        let (y, left, right) = (flow.y, self.place.left, self.left_of(self.columns.len()));
        flow.canvas().line(Pen::new(Ink::Black, 0.5), &[(left, y), (right, y)]);
        flow.y += 0.3;
    }

    fn draw_line(&self, flow: &mut Flow, line: &Line, points: &[Points]) {
        let top = flow.y;
        let style = self.style(line);
        let height = self.cells_height(line);
        let (left, right) = (self.place.left, self.left_of(self.columns.len()));
        if line.band {
            flow.canvas().rectangle(Some(Ink::Tint), None, (left, top), (right - left, height));
        }
        let base = top + AIR + style.ascent();
        let (mut next, mut noted) = (0, None);
        for (n, cell) in line.cells.iter().enumerate() {
            // Part of the cell before it: a wide one, or an empty one like itself.
            if n < next {
                continue;
            }
            next = n + self.columns_of(line, n, cell);
            let element = flow.canvas().structure.open(self.tag(line, n, next - n));
            if n <= self.note_column {
                noted = Some(element);
            }
            let x = self.left_of(n) + if line.band { 1.0 } else { 0.0 };
            match cell {
                Cell::Text(text) if self.columns.get(n).is_some_and(|c| c.align == Align::Point) => {
                    draw_figure(flow, &points[n], style, base, text);
                }
                Cell::Text(text) if self.columns.get(n).is_some_and(|c| c.align == Align::Right) => {
                    let style = style.fitted(text, self.span(n, 1), 5.0);
                    let x = x + self.span(n, 1) - style.width(text);
                    flow.canvas().text(style.face, style.size, style.ink, (x, base), text);
                }
                Cell::Marked(verdict, words) => {
                    let middle = base - style.cap_height() / 2.0;
                    mark(flow.canvas(), *verdict, (x + 1.7, middle), 1.35);
                    let style = style.fitted(words, self.span(n, 1) - MARK, 5.0);
                    flow.canvas().text(style.face, style.size, style.ink, (x + MARK, base), words);
                }
                _ => {
                    let style = self.cell_style(line, n, cell);
                    let shown = self.shown(line, n, cell);
                    let goes_on = shown.is_cut.then(|| flow.say().text("in-full-below"));
                    for (row, text) in shown.lines.into_iter().chain(goes_on).enumerate() {
                        let at = (x, base + row as f32 * style.leading());
                        flow.canvas().text(style.face, style.size, style.ink, at, text);
                    }
                }
            }
            flow.canvas().structure.close();
        }
        if next < self.columns.len() {
            flow.canvas().structure.open(Tag::Cell(self.columns.len() - next));
            flow.canvas().structure.close();
        }
        flow.y += height;
        let x = self.left_of(self.note_column);
        let width = self.span(self.note_column, usize::MAX);
        let below: Vec<&str> = self.below(line).collect();
        for text in &below {
            // A remark belongs to the cell it stands under.
            flow.canvas().structure.open_inside(noted, Tag::Paragraph);
            flow.paragraph(self.sized(Style::SMALL), x, width, text);
            flow.canvas().structure.close();
        }
        if !below.is_empty() {
            flow.y += AIR;
        }
        let bottom = flow.y;
        if line.flagged && bottom > top {
            flow.canvas().rectangle(Some(Ink::Accent), None, (left - 2.2, top), (0.9, bottom - top));
        }
        flow.canvas().line(Pen::new(Ink::Pale, 0.25), &[(left, bottom), (right, bottom)]);
    }

    /// Over how many columns a cell stands. Cells side by side in which nothing stands are one.
    fn columns_of(&self, line: &Line, column: usize, cell: &Cell) -> usize {
        let is_empty = |cell: &&Cell| matches!(cell, Cell::Text(text) if text.is_empty());
        match cell {
            Cell::Wide(_, count) => (*count).min(self.columns.len().saturating_sub(column)).max(1),
            Cell::Text(_) if is_empty(&cell) => line.cells.iter().skip(column).take_while(is_empty).count(),
            Cell::Text(_) | Cell::Marked(..) => 1,
        }
    }

    /// What a cell is: a band heads the lines below it, the name of a line the cells beside it.
    fn tag(&self, line: &Line, column: usize, columns: usize) -> Tag {
        if line.band {
            return Tag::Header(Heads::Below, columns);
        }
        let naming = self.columns.iter().position(|column| column.names);
        let first = || line.cells.iter().position(|cell| !matches!(cell, Cell::Marked(..)));
        if naming.or_else(first) == Some(column) {
            Tag::Header(Heads::Beside, columns)
        } else {
            Tag::Cell(columns)
        }
    }
}

/// Draws a figure so that its point stands where the column has it; one too wide for that gives way
/// sideways, and only one wider than the column shrinks.
fn draw_figure(flow: &mut Flow, points: &Points, style: Style, base: f32, text: &str) {
    let (whole, rest) = parts(text);
    let (left, right) = (points.x - points.before, points.x + points.after);
    let widths = |style: Style| (style.width(whole), style.width(rest));
    let (mut before, mut after) = widths(style);
    let mut style = style;
    if before + after > points.before + points.after {
        style = style.fitted(text, points.before + points.after, 3.0);
        (before, after) = widths(style);
    }
    let x = (points.x - before).min(right - before - after).max(left);
    flow.canvas().text(style.face, style.size, style.ink, (x, base), text);
}

#[cfg(test)]
mod tests {
    use super::*;

    use headproof_texts::Language;

    #[test]
    fn a_long_table_goes_on_with_its_head_on_the_next_page() {
        let columns = vec![Column::new("Place", 40.0, Align::Left), Column::new("Gap", 20.0, Align::Point)];
        let line = || Line::new(vec![Cell::Text("lengthwise".into()), Cell::Text("0.05".into())]);
        let lines = (0..200).map(|_| line()).collect();
        let table = Table { columns, lines, caption: "Deck".into(), note_column: 0, place: Place::PAGE };
        let mut flow = Flow::new((210.0, 297.0), 25.0, 20.0, 400, Say::of(Language::English));
        table.draw(&mut flow);
        let (pages, tree, overflowed) = flow.finish();
        assert!(!overflowed && pages.len() > 2, "{}", pages.len());
        let count = |tag: Tag| tree.elements.iter().filter(|element| element.tag == tag).count();
        assert_eq!((count(Tag::Table), count(Tag::Row)), (1, 201), "heads of later pages are no rows");
        assert_eq!((count(Tag::Header(Heads::Beside, 1)), count(Tag::Cell(1))), (200, 200));
    }

    #[test]
    fn every_line_fills_all_columns_and_remarks_belong_to_their_cells() {
        let columns =
            ["Verdict", "What", "Least", "Greatest"].map(|head| Column::new(head, 30.0, Align::Left));
        let text = || Cell::Text("seat".into());
        let lines = vec![
            Line::band("Cylinder 1"),
            Line {
                note: Some("worn".into()),
                ..Line::new(vec![
                    Cell::mark(Verdict::Conforms, crate::english()),
                    text(),
                    Cell::Wide("in order".into(), 2),
                    text(),
                ])
            },
            Line::new(vec![Cell::mark(Verdict::Conforms, crate::english()), text()]),
        ];
        let caption = String::new();
        let table = Table { columns: columns.into(), lines, caption, note_column: 1, place: Place::PAGE };
        let mut flow = Flow::new((210.0, 297.0), 25.0, 20.0, 400, crate::english());
        table.draw(&mut flow);
        let (_, tree, _) = flow.finish();
        let tags: Vec<Tag> = tree.elements.iter().skip(6).map(|element| element.tag).collect();
        let name = Tag::Header(Heads::Beside, 1);
        assert_eq!(tags[..2], [Tag::Row, Tag::Header(Heads::Below, 4)]);
        assert_eq!(tags[2..7], [Tag::Row, Tag::Cell(1), name, Tag::Cell(2), Tag::Paragraph]);
        assert_eq!(tags[7..], [Tag::Row, Tag::Cell(1), name, Tag::Cell(2)]);
        let named = tree.elements.iter().position(|element| element.tag == name).unwrap();
        let remark = tree.elements.iter().find(|element| element.tag == Tag::Paragraph).unwrap();
        assert_eq!(remark.parent, Some(named as u32));
    }
}
