//! Lines to be filled in by hand: a name, its limits, and boxes.

use crate::canvas::{Ink, Pen};
use crate::flow::{Flow, LEFT, continued};
use crate::format::decimal_sign_in;
use crate::structure::Tag;
use crate::text::{Style, wrap};

use super::bounds::{Bounds, Pair, Word};

/// Height of a box to write in, in millimetres: 8 mm clear inside its outline.
pub(super) const BOX: f32 = 8.3;
/// Outline of a box.
pub(super) const OUTLINE: Pen = Pen::new(Ink::Grey, 0.5);
/// Between boxes side by side.
const GAP: f32 = 1.0;
/// Air above and below what stands in a row.
const AIR: f32 = 0.6;
/// Between the two halves of a row.
const MIDDLE: f32 = 4.0;
/// Width of a name beside which limits stand.
const NAME: f32 = 31.0;
/// Width of a limit.
const LIMIT: f32 = 16.2;
/// Width of the text before a strip of boxes: a word and two limits.
const BEFORE_STRIP: f32 = 13.6 + 2.0 * LIMIT;
/// From the left edge of a limit to its decimal point.
const POINT: f32 = 8.6;
/// Room of the sign before a limit.
const SIGN: f32 = 2.6;
/// Most boxes beside each other.
pub(super) const MOST_BOXES: usize = 8;
const TEXT: Style = Style::TABLE;
const SMALLEST: f32 = 5.0;

/// What a person writes or ticks.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Field {
    /// One box in half a row.
    One,
    /// Boxes with these names over the whole width; what is known already stands in them.
    Strip(Vec<(String, Option<String>)>),
    /// Two boxes with names in half a row.
    Two([&'static str; 2]),
    /// In order or not, to be ticked.
    InOrder,
}

/// One line to be filled in.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Entry {
    /// What it is, with its unit.
    pub(super) name: String,
    /// A remark under its name.
    pub(super) note: Option<&'static str>,
    /// Its limits.
    pub(super) bounds: Option<Bounds>,
    /// What is filled in.
    pub(super) field: Field,
}

impl Entry {
    fn is_whole(&self) -> bool {
        matches!(self.field, Field::Strip(_))
    }

    fn style(&self) -> Style {
        let required = self.bounds.as_ref().is_some_and(|bounds| bounds.required);
        with_whole_words(if required { Style::TABLE_STRONG } else { TEXT }, self.name_width(), &self.name)
    }

    fn name_width(&self) -> f32 {
        if self.is_whole() { BEFORE_STRIP - 2.0 } else { NAME - 1.0 }
    }

    fn names(&self) -> Vec<&str> {
        wrap(self.style(), self.name_width(), &self.name)
    }

    /// Small print under the name: where the limit holds, and how to read.
    fn notes(&self) -> Vec<&str> {
        let window = self.bounds.as_ref().and_then(|bounds| bounds.window.as_deref());
        let texts = window.into_iter().chain(self.note);
        texts.flat_map(|text| wrap(Style::LABEL, self.name_width(), text)).collect()
    }

    fn figures(&self) -> Vec<(Word, Pair)> {
        let Some(bounds) = &self.bounds else { return Vec::new() };
        let mut lines: Vec<(Word, Pair)> = bounds.lines().map(|(word, pair)| (word, pair.clone())).collect();
        if let Some(nominal) = &bounds.nominal {
            let at = lines.iter().take_while(|(word, _)| *word == Word::None).count();
            lines.insert(at, (Word::Nominal, Pair { lower: Some(nominal.clone()), upper: None }));
        }
        lines
    }

    /// The line of its text at which its limits begin: beside a short name, else below it. A word before limits
    /// stands where the name ends.
    fn first_figure(&self) -> usize {
        if self.is_whole() { self.names().len() } else { 0 }
    }

    /// Places of the lines of figures, counted in lines from the top of the text.
    fn places(&self) -> Vec<usize> {
        let names = self.names().len();
        let mut next = self.first_figure();
        let mut places = Vec::new();
        for (word, _) in self.figures() {
            if word != Word::None {
                next = next.max(names);
            }
            places.push(next);
            next += 1;
        }
        places
    }

    fn text_height(&self) -> f32 {
        let lines = self.places().last().map_or(0, |last| last + 1).max(self.names().len());
        lines as f32 * TEXT.leading() + self.notes().len() as f32 * Style::LABEL.leading()
    }

    fn box_names(&self) -> f32 {
        let named = match &self.field {
            Field::Strip(boxes) => boxes.iter().any(|(name, _)| !name.is_empty()),
            Field::Two(_) => true,
            Field::One | Field::InOrder => false,
        };
        if named { Style::LABEL.leading() } else { 0.0 }
    }

    fn height(&self) -> f32 {
        self.text_height().max(self.box_names() + BOX) + 2.0 * AIR
    }

    fn draw(&self, flow: &mut Flow, x: f32, width: f32) {
        let top = flow.y + AIR;
        // A short text stands in the middle of its boxes.
        let below = (self.box_names() + BOX - self.text_height()).max(0.0) / 2.0;
        flow.canvas().structure.begin_item();
        self.draw_name(flow, x, top + below);
        flow.canvas().structure.begin_body();
        self.draw_text(flow, x, top + below);
        let text = if self.is_whole() { BEFORE_STRIP } else { NAME + 2.0 * LIMIT };
        let boxes = (x + text, width - text);
        match &self.field {
            Field::One => write_box(flow, (boxes.0, top), boxes.1),
            Field::InOrder => draw_ticks(flow, (x + NAME, top), width - NAME),
            Field::Two(names) => {
                let names: Vec<_> = names.iter().map(|name| ((*name).to_owned(), None)).collect();
                self.draw_boxes(flow, (boxes.0, top), boxes.1, &names, 2);
            }
            Field::Strip(names) => {
                self.draw_boxes(flow, (boxes.0, top), boxes.1, names, names.len().clamp(4, MOST_BOXES));
            }
        }
        flow.canvas().structure.end_item();
    }

    /// Boxes as wide as if there were so many of them.
    fn draw_boxes(
        &self,
        flow: &mut Flow,
        (x, top): (f32, f32),
        width: f32,
        boxes: &[(String, Option<String>)],
        count: usize,
    ) {
        let each = (width + GAP) / count as f32;
        // A box that stands alone is for words.
        let wide = if boxes.len() == 1 { width } else { each - GAP };
        let left_of = |n: usize| x + n as f32 * each;
        for n in 0..boxes.len() {
            write_box(flow, (left_of(n), top + self.box_names()), wide);
        }
        let style = Style::LABEL;
        for (n, (name, known)) in boxes.iter().enumerate() {
            let left = left_of(n);
            let fitted = style.fitted(name, wide, SMALLEST);
            write_word(flow, fitted, (left, top + style.ascent()), name);
            if let Some(known) = known {
                let style = Style::STRONG.fitted(known, wide - 1.6, SMALLEST);
                let middle = top + self.box_names() + BOX / 2.0;
                write_word(flow, style, (left + 0.8, middle + style.cap_height() / 2.0), known);
            }
        }
    }

    fn draw_name(&self, flow: &mut Flow, x: f32, top: f32) {
        let style = self.style();
        for (n, line) in self.names().iter().enumerate() {
            let base = top + n as f32 * TEXT.leading() + TEXT.ascent();
            flow.canvas().text(style.face, style.size, style.ink, (x, base), line);
        }
    }

    /// Its limits and its small print.
    fn draw_text(&self, flow: &mut Flow, x: f32, top: f32) {
        let base = |line: usize| top + line as f32 * TEXT.leading() + TEXT.ascent();
        let names = self.names();
        let columns = x + if self.is_whole() { BEFORE_STRIP - 2.0 * LIMIT } else { NAME };
        let label = Style::LABEL;
        let places = self.places();
        for ((word, pair), line) in self.figures().iter().zip(&places) {
            let said = word.said(flow.say());
            if !said.is_empty() {
                write_word(flow, label, (x, base(*line)), said);
            }
            let sign = |sign: &'static str| if *word == Word::Nominal { "" } else { sign };
            draw_limit(flow, columns, base(*line), sign("≥"), pair.lower.as_deref());
            draw_limit(flow, columns + LIMIT, base(*line), sign("≤"), pair.upper.as_deref());
        }
        let lines = places.last().map_or(0, |last| last + 1).max(names.len());
        let below = top + lines as f32 * TEXT.leading();
        for (n, line) in self.notes().iter().enumerate() {
            let at = (x, below + n as f32 * label.leading() + label.ascent());
            write_word(flow, label, at, line.trim_end());
        }
    }
}

/// Writes something that others stand beside, with a space that parts it from them for whoever does not see it.
fn write_word(flow: &mut Flow, style: Style, at: (f32, f32), word: &str) {
    if !word.is_empty() {
        flow.canvas().text(style.face, style.size, style.ink, at, &format!("{word} "));
    }
}

/// A style made so small that no word of a text is wider than its column and has to be broken.
pub(super) fn with_whole_words(style: Style, width: f32, text: &str) -> Style {
    text.split_inclusive([' ', '-']).fold(style, |style, word| style.fitted(word.trim_end(), width, SMALLEST))
}

/// A limit with its decimal point where those of its column stand; a wide one gives way, then shrinks.
fn draw_limit(flow: &mut Flow, x: f32, base: f32, sign: &str, figure: Option<&str>) {
    let Some(figure) = figure else { return };
    let (left, right) = (x + SIGN, x + LIMIT - 1.0);
    let style = TEXT.fitted(figure, right - left, 3.0);
    let whole = style.width(&figure[..decimal_sign_in(figure)]);
    let at = (x + POINT - whole).min(right - style.width(figure)).max(left);
    let before = (at - SIGN, base);
    flow.canvas().text(TEXT.face, TEXT.size, TEXT.ink, before, sign);
    write_word(flow, style, (at, base), figure);
}

/// A box to write in.
pub(super) fn write_box(flow: &mut Flow, at: (f32, f32), width: f32) {
    flow.canvas().rectangle(Some(Ink::White), Some(OUTLINE), at, (width, BOX));
}

/// Boxes to tick with their words; they share a width. Nothing is ticked by leaving one empty.
pub(super) fn tick_boxes(flow: &mut Flow, (x, top): (f32, f32), width: f32, words: &[&str]) {
    let each = width / words.len().max(1) as f32;
    for n in 0..words.len() {
        write_box(flow, (x + n as f32 * each, top), BOX);
    }
    let is_paragraph = flow.canvas().structure.open_paragraph();
    for (n, word) in words.iter().enumerate() {
        let left = x + n as f32 * each;
        let style = TEXT.fitted(word, each - BOX - 2.0, SMALLEST);
        let at = (left + BOX + 1.0, top + (BOX + style.cap_height()) / 2.0);
        write_word(flow, style, at, word);
    }
    if is_paragraph {
        flow.canvas().structure.close();
    }
}

fn draw_ticks(flow: &mut Flow, at: (f32, f32), width: f32) {
    let say = flow.say();
    tick_boxes(flow, at, width, &[say.text("blank-in-order"), say.text("blank-not-in-order")]);
}

/// Entries under a title, with room for the instrument that reads them.
pub(super) struct Block {
    /// What it is about.
    pub(super) title: &'static str,
    /// The port it belongs to: it stands in every band, since pages get apart at the bench.
    pub(super) of: Option<String>,
    /// What is filled in.
    pub(super) entries: Vec<Entry>,
}

/// Height of the band over a block.
pub(super) const BAND: f32 = BOX + 1.0;
const INSTRUMENT: f32 = 46.0;

impl Block {
    /// Its entries as rows of one or two.
    fn rows(&self) -> Vec<&[Entry]> {
        let mut rows = Vec::new();
        let mut rest = self.entries.as_slice();
        while let [first, tail @ ..] = rest {
            let pair = !first.is_whole() && tail.first().is_some_and(|next| !next.is_whole());
            let (row, after) = rest.split_at(if pair { 2 } else { 1 });
            rows.push(row);
            rest = after;
        }
        rows
    }

    /// What has to stay together: its band and its first row, and whatever heads it.
    pub(super) fn least_height(&self) -> f32 {
        BAND + self.rows().first().map_or(0.0, |row| row_height(row))
    }

    /// Its whole height on one page.
    pub(super) fn height(&self) -> f32 {
        BAND + self.rows().iter().map(|row| row_height(row)).sum::<f32>()
    }

    /// Draws it; it may run over pages, a row never.
    pub(super) fn draw(&self, flow: &mut Flow) {
        flow.ensure(if self.height() < flow.full_room() * 0.16 {
            self.height()
        } else {
            self.least_height()
        });
        draw_band(flow, self.title, self.of.as_deref());
        for row in self.rows() {
            if flow.ensure(row_height(row)) {
                let of = self.of.as_ref().map(|of| format!(" · {of}")).unwrap_or_default();
                let text = continued(&format!("{}{of}", self.title), flow.say());
                flow.continued(LEFT, flow.measure(), &text);
                flow.y += 0.8;
            }
            draw_row(flow, row);
        }
    }
}

fn row_height(row: &[Entry]) -> f32 {
    row.iter().map(Entry::height).fold(0.0, f32::max)
}

fn draw_row(flow: &mut Flow, row: &[Entry]) {
    let measure = flow.measure();
    let half = (measure - MIDDLE) / 2.0;
    for (n, entry) in row.iter().enumerate() {
        let width = if entry.is_whole() { measure } else { half };
        entry.draw(flow, LEFT + n as f32 * (half + MIDDLE), width);
    }
    flow.y += row_height(row);
    let (y, right) = (flow.y, flow.right());
    flow.canvas().line(Pen::new(Ink::Pale, 0.25), &[(LEFT, y), (right, y)]);
}

/// The band over a block or table: its title, what it belongs to, and a box for the instrument.
pub(super) fn draw_band(flow: &mut Flow, title: &str, of: Option<&str>) {
    let (top, right, measure) = (flow.y, flow.right(), flow.measure());
    let say = flow.say();
    flow.canvas().rectangle(Some(Ink::Tint), None, (LEFT, top), (measure, BAND));
    let style = Style::STRONG;
    let base = top + (BAND + style.cap_height()) / 2.0;
    flow.canvas().structure.open_heading(3);
    flow.canvas().text(style.face, style.size, style.ink, (LEFT + 1.0, base), title);
    flow.canvas().structure.close();
    if let Some(of) = of {
        let at = (LEFT + 1.0 + style.width(title) + 3.0, base);
        flow.canvas().structure.open(Tag::Paragraph);
        flow.canvas().text(Style::BODY.face, Style::BODY.size, Style::BODY.ink, at, of);
        flow.canvas().structure.close();
    }
    let (label, words) = (Style::LABEL, say.text("column-instrument"));
    let left = right - INSTRUMENT;
    let at = (left - 1.6 - label.width(words), base);
    flow.canvas().structure.open(Tag::Paragraph);
    flow.canvas().text(label.face, label.size, label.ink, at, words);
    flow.canvas().structure.close();
    write_box(flow, (left, top + 0.5), INSTRUMENT - 0.5);
    flow.y += BAND;
}
