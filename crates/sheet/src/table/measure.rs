//! How large the parts of a table come out.

use super::{AIR, Align, Cell, Column, GUTTER, Line, Table};
use crate::format::decimal_sign_in;
use crate::text::{Style, lines, wrap};

/// More lines than a page holds.
const PAGEFUL: usize = 150;
/// More lines than this in one cell would make a line of a table hard to follow.
const MOST_LINES: usize = 12;
/// So many are left of them, before a word that says where all of them stand.
const CUT: usize = 2;
/// Smallest size of snug text in points.
const SNUG: f32 = 6.3;
/// Widest usual figure before and after its point: columns with no more share one place for it.
const USUAL: (&str, &str) = ("00", ".0000");

impl Table {
    /// Its whole height on one page.
    pub(crate) fn height(&self) -> f32 {
        self.head_height() + self.lines.iter().map(|line| self.line_height(line)).sum::<f32>()
    }

    /// Height of its head and first line: what must stay with a heading.
    pub(crate) fn least_height(&self) -> f32 {
        self.head_height() + self.lines.iter().take(2).map(|line| self.line_height(line)).sum::<f32>()
    }

    /// How many of its lines fit a height, head included.
    pub(crate) fn lines_within(&self, height: f32) -> usize {
        let mut left = height - self.head_height();
        let fits = |line: &&Line| {
            left -= self.line_height(line);
            left >= 0.0
        };
        self.lines.iter().take_while(fits).count()
    }

    pub(super) fn left_of(&self, column: usize) -> f32 {
        self.place.left + self.columns.iter().take(column).map(|column| column.width).sum::<f32>()
    }

    pub(super) fn span(&self, column: usize, count: usize) -> f32 {
        self.columns.iter().skip(column).take(count).map(|column| column.width).sum::<f32>() - GUTTER
    }

    pub(super) fn head_height(&self) -> f32 {
        self.head_lines() as f32 * self.sized(Style::LABEL).leading() + 1.4
    }

    pub(super) fn head_lines(&self) -> usize {
        let lines =
            |column: &Column| wrap(self.sized(Style::LABEL), column.width - GUTTER, &column.head).len();
        self.columns.iter().map(lines).max().unwrap_or(0)
    }

    /// The style of a cell's text.
    pub(super) fn cell_style(&self, line: &Line, column: usize, cell: &Cell) -> Style {
        let style = self.style(line);
        match (cell, self.columns.get(column).map(|column| column.align)) {
            (Cell::Text(text), Some(Align::Snug)) => {
                style.fitted(text, self.span(column, 1), SNUG * self.place.larger)
            }
            _ => style,
        }
    }

    pub(super) fn style(&self, line: &Line) -> Style {
        self.sized(if line.flagged || line.band { Style::TABLE_STRONG } else { Style::TABLE })
    }

    /// A style as large as this table is printed.
    pub(super) fn sized(&self, style: Style) -> Style {
        style.sized(style.size * self.place.larger)
    }

    /// What a cell shows; a text of too many lines is cut here and stands in full below its line.
    pub(super) fn shown<'a>(&self, line: &Line, column: usize, cell: &'a Cell) -> Shown<'a> {
        let Some(broken) = self.broken(line, column, cell) else {
            return Shown { lines: vec![cell.text()], is_cut: false };
        };
        let mut lines: Vec<&str> = broken.collect();
        let is_cut = lines.len() > MOST_LINES;
        if is_cut {
            lines.truncate(CUT);
        }
        Shown { lines, is_cut }
    }

    /// The lines of a cell whose text may be broken, one more than are printed at the most; `None` where it stands on
    /// one line: figures, and words beside a mark.
    fn broken<'a>(
        &self,
        line: &Line,
        column: usize,
        cell: &'a Cell,
    ) -> Option<impl Iterator<Item = &'a str>> {
        let columns = match (cell, self.columns.get(column).map(|column| column.align)) {
            (Cell::Text(_), Some(Align::Left | Align::Snug)) => 1,
            (Cell::Wide(_, count), _) => *count,
            _ => return None,
        };
        let style = self.cell_style(line, column, cell);
        Some(lines(style, self.span(column, columns), cell.text()).take(MOST_LINES + 1))
    }

    pub(super) fn cells_height(&self, line: &Line) -> f32 {
        let depth = |(n, cell)| match self.broken(line, n, cell).map_or(1, Iterator::count) {
            count @ ..=MOST_LINES => count,
            _ => CUT + 1,
        };
        let deepest = line.cells.iter().enumerate().map(depth).max();
        deepest.unwrap_or(1).max(1) as f32 * self.style(line).leading() + 2.0 * AIR
    }

    /// What stands below a line: texts that were cut, then its remark.
    pub(super) fn below<'a>(&self, line: &'a Line) -> impl Iterator<Item = &'a str> {
        let is_cut = |(n, cell): &(usize, &Cell)| {
            self.broken(line, *n, cell).is_some_and(|lines| lines.count() > MOST_LINES)
        };
        let cut = line.cells.iter().enumerate().filter(is_cut).map(|(_, cell)| cell.text());
        cut.collect::<Vec<_>>().into_iter().chain(line.note.as_deref())
    }

    /// How many lines stand below a line; beyond what a page holds the number does not matter.
    pub(super) fn note_lines(&self, line: &Line) -> usize {
        let width = self.span(self.note_column, usize::MAX);
        self.below(line).flat_map(|text| lines(self.sized(Style::SMALL), width, text)).take(PAGEFUL).count()
    }

    pub(super) fn line_height(&self, line: &Line) -> f32 {
        let note = self.note_lines(line) as f32 * self.sized(Style::SMALL).leading();
        self.cells_height(line) + if note > 0.0 { note + AIR } else { 0.0 }
    }

    /// Where the points of a column stand, and the room on either side of them. A column whose figures
    /// are too wide together keeps the usual place.
    pub(super) fn points(&self, column: usize) -> Points {
        let style = self.sized(Style::TABLE_STRONG);
        let (mut before, mut after) = (style.width(USUAL.0), style.width(USUAL.1));
        let usual = after;
        for line in &self.lines {
            if let Some(Cell::Text(text)) = line.cells.get(column) {
                let (whole, rest) = parts(text);
                before = before.max(style.width(whole));
                after = after.max(style.width(rest));
            }
        }
        let room = self.span(column, 1);
        let after = if before + after <= room { after } else { usual.min(room) };
        Points { x: self.left_of(column) + room - after, before: room - after, after }
    }
}

/// What stands in a cell.
pub(super) struct Shown<'a> {
    /// Its lines.
    pub(super) lines: Vec<&'a str>,
    /// Does one more line say that the text stands in full below?
    pub(super) is_cut: bool,
}

/// Where the decimal points of a column stand.
pub(super) struct Points {
    /// Where the points stand.
    pub(super) x: f32,
    /// Room before them.
    pub(super) before: f32,
    /// Room from them on.
    pub(super) after: f32,
}

/// A figure before and from its decimal point.
pub(super) fn parts(figure: &str) -> (&str, &str) {
    figure.split_at(decimal_sign_in(figure))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_part_at_their_point() {
        assert_eq!(parts("−1.25"), ("−1", ".25"));
        assert_eq!(parts("12"), ("12", ""));
    }
}
