//! What stands on every page: who and what above, notices below.

use std::borrow::Cow;

use headproof_texts::Say;

use crate::canvas::{Canvas, Ink, Pen};
use crate::face::{Face, is_spelled};
use crate::flow::{LEFT, measure_of};
use crate::text::{Style, held, wrap};

/// What is printed on every page of one document or of one head in a batch.
pub(crate) struct Chrome {
    /// Label, value and width of each field of the running head, but for the page number; an empty value leaves a
    /// box to write it in.
    pub(crate) fields: Vec<(&'static str, String, f32)>,
    /// The notice of the profile.
    pub(crate) notice: Option<String>,
    /// The last line of every page.
    pub(crate) closing: Cow<'static, str>,
    /// Says things in the language of the pages.
    pub(crate) say: Say,
}

const HEAD_TOP: f32 = 9.0;
/// Height of the box for a value that is not known yet.
const BLANK: f32 = 8.3;
const BLANK_TOP: f32 = 8.2;
const BELOW: f32 = 8.0;
const VALUE: Style = Style::TABLE_STRONG;
const SMALLEST: f32 = 6.2;
const PAGE: f32 = 20.0;
const GUTTER: f32 = 2.0;
const NOTICE: Style = Style::new(Face::NarrowBold, Style::SMALL.size);
const NOTICE_LINES: usize = 5;

impl Chrome {
    /// The fields with the widths they get: the one given as nothing takes what the others leave.
    fn columns(&self, measure: f32) -> impl Iterator<Item = (&'static str, &str, f32)> {
        let fixed: f32 = self.fields.iter().map(|(_, _, width)| width).sum::<f32>() + PAGE;
        self.fields.iter().map(move |(label, value, width)| {
            let width = if *width > 0.0 { *width } else { measure - fixed };
            (*label, value.as_str(), width - GUTTER)
        })
    }

    /// Where the body begins below the running head.
    pub(crate) fn head(&self, measure: f32) -> f32 {
        let two = self
            .columns(measure)
            .any(|(_, value, width)| wrap(VALUE.fitted(value, width, SMALLEST), width, value).len() > 1);
        let known = HEAD_TOP + Style::LABEL.leading() + if two { 2.0 } else { 1.0 } * VALUE.leading() + 4.8;
        let has_blank = self.fields.iter().any(|(_, value, _)| value.is_empty());
        if has_blank { known.max(BLANK_TOP + BLANK + 4.6) } else { known }
    }

    /// Height of the running foot on a page of a width between margins.
    pub(crate) fn foot(&self, measure: f32) -> f32 {
        BELOW
            + self.notice_lines(measure).len() as f32 * Style::SMALL.leading()
            + Style::SMALL.leading()
            + 5.0
    }

    /// The notice; one that is longer stands in full on the last page.
    pub(crate) fn notice_lines(&self, measure: f32) -> Vec<String> {
        let Some(notice) = &self.notice else { return Vec::new() };
        let lines = wrap(NOTICE, measure, notice);
        let mut kept: Vec<String> = lines.iter().take(NOTICE_LINES).map(|line| (*line).to_owned()).collect();
        if lines.len() > NOTICE_LINES {
            kept.truncate(NOTICE_LINES - 1);
            kept.push(self.say.text("notice-goes-on").to_owned());
        }
        kept
    }

    /// Is the notice too long for the foot?
    pub(crate) fn notice_is_cut(&self, measure: f32) -> bool {
        self.notice.as_deref().is_some_and(|notice| wrap(NOTICE, measure, notice).len() > NOTICE_LINES)
    }

    /// Characters it spells on every page.
    pub(crate) fn spelled(&self) -> impl Iterator<Item = char> {
        let texts = self.fields.iter().map(|(_, value, _)| value).chain(&self.notice);
        texts.flat_map(|text| text.chars()).filter(|c| is_spelled(*c))
    }

    /// Room for the last line of every page of a width between margins.
    pub(crate) fn closing_room(measure: f32) -> f32 {
        measure - Style::LABEL.width(crate::RENDERER) - 4.0
    }

    /// Prints it on a finished page.
    pub(crate) fn stamp(&self, canvas: &mut Canvas, size: (f32, f32), page: usize, pages: usize) {
        let right = LEFT + measure_of(size.0);
        self.stamp_head(canvas, right, page, pages);
        self.stamp_foot(canvas, size.1, right);
    }

    fn stamp_head(&self, canvas: &mut Canvas, right: f32, page: usize, pages: usize) {
        let mut x = LEFT;
        for (label, value, width) in self.columns(right - LEFT) {
            draw_field(canvas, x, width, label, value);
            x += width + GUTTER;
        }
        let text = self.say.with("page-of-pages", &[("page", page.into()), ("pages", pages.into())]);
        let style = VALUE.fitted(&text, PAGE, SMALLEST);
        let at = (right - style.width(&text), HEAD_TOP + Style::LABEL.leading() + style.ascent());
        canvas.text(style.face, style.size, style.ink, at, &text);
        let y = self.head(right - LEFT) - 4.0;
        canvas.line(Pen::new(Ink::Black, 0.5), &[(LEFT, y), (right, y)]);
    }

    fn stamp_foot(&self, canvas: &mut Canvas, height: f32, right: f32) {
        let style = Style::SMALL;
        let lines = self.notice_lines(right - LEFT);
        let mut y = height - BELOW - (lines.len() + 1) as f32 * style.leading();
        canvas.line(Pen::new(Ink::Black, 0.5), &[(LEFT, y - 1.0), (right, y - 1.0)]);
        for line in &lines {
            canvas.text(NOTICE.face, NOTICE.size, NOTICE.ink, (LEFT, y + style.ascent()), line);
            y += style.leading();
        }
        let base = y + style.ascent();
        canvas.text(style.face, style.size, style.ink, (LEFT, base), &self.closing);
        let renderer = Style::LABEL;
        let at = (right - renderer.width(crate::RENDERER), base);
        canvas.text(renderer.face, renderer.size, renderer.ink, at, crate::RENDERER);
    }
}

/// A label over its value or over room to write it; the value shrinks, then takes two lines, then ends in an ellipsis.
fn draw_field(canvas: &mut Canvas, x: f32, width: f32, label: &str, value: &str) {
    let label_style = Style::LABEL;
    let top = HEAD_TOP + label_style.leading();
    canvas.text(
        label_style.face,
        label_style.size,
        label_style.ink,
        (x, HEAD_TOP + label_style.ascent()),
        label,
    );
    if value.is_empty() {
        // Not known yet: room to write it, on every page.
        let pen = Pen::new(Ink::Grey, 0.5);
        canvas.rectangle(None, Some(pen), (x - 1.0, BLANK_TOP), (width + 1.0, BLANK));
        return;
    }
    let style = VALUE.fitted(value, width, SMALLEST);
    for (n, line) in held(style, width, 2, value).iter().enumerate() {
        let y = top + style.ascent() + n as f32 * style.leading();
        canvas.text(style.face, style.size, style.ink, (x, y), line);
    }
}
