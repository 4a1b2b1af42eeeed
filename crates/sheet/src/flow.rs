//! Pages filled from the top.

use std::collections::BTreeSet;

use headproof_texts::Say;

use crate::canvas::{Canvas, Ink, Pen};
use crate::document::Mark;
use crate::structure::{Tag, Tree};
use crate::text::{Style, lines};

/// Left edge of everything; wide enough for the holes of a binder.
pub(crate) const LEFT: f32 = 20.0;
/// Right margin.
const RIGHT: f32 = 13.0;
/// Height of the strip over the pages of a part.
const STRIP: f32 = 5.4;
/// Width of the bar beside a text that is set off.
const BAR: f32 = 1.1;
/// From its left edge to the text.
pub(crate) const BAR_ROOM: f32 = 3.2;
/// The greatest number of pages of one head.
pub(crate) const MAX_PAGES: usize = 400;

/// Width between the margins of a page of a width.
pub(crate) const fn measure_of(width: f32) -> f32 {
    width - LEFT - RIGHT
}

/// How much of what it names a heading stands over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Extent {
    /// All of it.
    Whole,
    /// A first part.
    InPart,
    /// What is left of something that has its heading already.
    Continued,
}

/// Pages being filled.
pub(crate) struct Flow {
    width: f32,
    /// Where bodies begin below the running head.
    head: f32,
    /// Where they begin in the part in work.
    top: f32,
    bottom: f32,
    /// What stands over every page of the part in work.
    strip: Option<&'static str>,
    limit: usize,
    pages: Vec<Canvas>,
    current: Canvas,
    marks: Vec<Mark>,
    /// Where the next thing goes, from the top of the page.
    pub(crate) y: f32,
    overflowed: bool,
    say: Say,
}

impl Flow {
    /// A first page. `top` is where its body begins, `foot` the height the running foot takes.
    pub(crate) fn new((width, height): (f32, f32), top: f32, foot: f32, limit: usize, say: Say) -> Self {
        let current = Canvas::new(height);
        let bottom = height - foot;
        Self {
            width,
            head: top,
            top,
            bottom,
            strip: None,
            limit,
            pages: Vec::new(),
            current,
            marks: Vec::new(),
            y: top,
            overflowed: false,
            say,
        }
    }

    /// Says things in the language of the pages.
    pub(crate) const fn say(&self) -> Say {
        self.say
    }

    /// Width between the margins.
    pub(crate) const fn measure(&self) -> f32 {
        measure_of(self.width)
    }

    /// Right edge of everything.
    pub(crate) const fn right(&self) -> f32 {
        self.width - RIGHT
    }

    /// Height left on this page.
    pub(crate) fn room(&self) -> f32 {
        self.bottom - self.y
    }

    /// Height of an empty page's body.
    pub(crate) fn full_room(&self) -> f32 {
        self.bottom - self.top
    }

    /// The page in work.
    pub(crate) const fn canvas(&mut self) -> &mut Canvas {
        &mut self.current
    }

    /// Begins a new page. Beyond the limit pages are no longer kept.
    pub(crate) fn new_page(&mut self) {
        let next = self.current.next();
        let full = std::mem::replace(&mut self.current, next);
        self.y = self.top;
        if self.pages.len() + 1 < self.limit {
            self.pages.push(full);
        } else {
            self.overflowed = true;
        }
        self.draw_strip();
    }

    /// Begins, on a new page, a part whose pages all say what they are: they may be taken to the bench alone.
    pub(crate) fn begin_part(&mut self, strip: &'static str) {
        self.strip = Some(strip);
        self.top = self.head + STRIP + 2.0;
        self.new_page();
    }

    /// Ends it; what follows begins on a new page.
    pub(crate) fn end_part(&mut self) {
        self.strip = None;
        self.top = self.head;
        self.new_page();
    }

    fn draw_strip(&mut self) {
        let Some(text) = self.strip else { return };
        let (top, measure) = (self.head - 1.0, self.measure());
        self.current.structure.open(Tag::Artifact);
        self.current.rectangle(Some(Ink::Tint), None, (LEFT, top), (measure, STRIP));
        let style = Style::STRONG.fitted(text, measure - 4.0, 5.0);
        let base = top + (STRIP + style.cap_height()) / 2.0;
        self.current.text(style.face, style.size, style.ink, (LEFT + 2.0, base), text);
        self.current.structure.close();
    }

    /// How many pages lie before the one in work.
    pub(crate) const fn pages_before(&self) -> usize {
        self.pages.len()
    }

    /// Begins a new page unless this much height is left; true when it did.
    pub(crate) fn ensure(&mut self, height: f32) -> bool {
        // What is higher than a page would never fit: begin it here unless the page is half full.
        let fits = height <= self.room() + 1e-3;
        let hopeless = height > self.full_room() && self.room() > self.full_room() / 2.0;
        if fits || hopeless || self.y <= self.top {
            return false;
        }
        self.new_page();
        true
    }

    /// Leaves a gap, except at the top of a page.
    pub(crate) fn gap(&mut self, height: f32) {
        if self.y > self.top {
            self.y += height;
        }
    }

    /// A wrapped paragraph at a place across; it may run over pages.
    pub(crate) fn paragraph(&mut self, style: Style, x: f32, width: f32, text: &str) {
        self.fill(style, x, width, text, |_, _| {});
    }

    /// A wrapped paragraph with a bar beside it, which sets it off from what is around it; `indent` is left
    /// free between the two.
    pub(crate) fn barred(&mut self, style: Style, x: f32, indent: f32, width: f32, text: &str) {
        let size = (BAR, style.leading());
        let before = BAR_ROOM + indent;
        self.fill(style, x + before, width - before, text, |canvas, top| {
            canvas.rectangle(Some(Ink::Black), None, (x, top), size);
        });
    }

    /// Fills lines; `beside` draws what belongs to each, given its top.
    fn fill(&mut self, style: Style, x: f32, width: f32, text: &str, beside: impl Fn(&mut Canvas, f32)) {
        let is_paragraph = self.current.structure.open_paragraph();
        for line in lines(style, width, text) {
            if self.overflowed {
                break;
            }
            if style.leading() > self.room() {
                self.new_page();
            }
            beside(&mut self.current, self.y);
            let at = (x, self.y + style.ascent());
            self.current.text(style.face, style.size, style.ink, at, line);
            self.y += style.leading();
        }
        if is_paragraph {
            self.current.structure.close();
        }
    }

    /// The caption of what goes on from the page before: it was read there.
    pub(crate) fn continued(&mut self, x: f32, width: f32, text: &str) {
        self.current.structure.open(Tag::Artifact);
        self.paragraph(Style::STRONG, x, width, text);
        self.current.structure.close();
    }

    /// Heading of a section with a rule under it; keeps at least `with` millimetres of what follows with it.
    pub(crate) fn heading(&mut self, name: &str, with: f32) {
        self.heading_of(Extent::Whole, name, with);
    }

    /// The same over a section that may stand there in part; only where it begins is its name a bookmark.
    pub(crate) fn heading_of(&mut self, extent: Extent, name: &str, with: f32) {
        let text = match extent {
            Extent::Whole => name.to_owned(),
            Extent::InPart => self.say.with("in-part", &[("what", name.into())]),
            Extent::Continued => continued(name, self.say),
        };
        self.gap(5.0);
        let style = Style::HEADING.fitted(&text, self.measure(), 6.0);
        self.ensure(style.leading() + 2.6 + with);
        let level = usize::from(self.strip.is_some());
        if extent != Extent::Continued {
            self.mark(level, name);
        }
        let at = (LEFT, self.y + style.ascent());
        self.current.structure.open_heading(2 + level as u8);
        self.current.text(style.face, style.size, style.ink, at, &text);
        self.current.structure.close();
        self.y += style.leading() + 0.6;
        let (y, right) = (self.y, self.right());
        self.current.line(Pen::new(Ink::Black, 0.8), &[(LEFT, y), (right, y)]);
        self.y += 2.0;
    }

    /// Gives the place in work a name among the bookmarks; `level` says how deep it lies.
    pub(crate) fn mark(&mut self, level: usize, name: &str) {
        if !self.overflowed {
            let (name, page, y) = (name.to_owned(), self.pages.len(), Some(self.y));
            self.marks.push(Mark { level, name, page, y });
        }
    }

    /// The names given so far, each once.
    pub(crate) fn take_marks(&mut self) -> Vec<Mark> {
        std::mem::take(&mut self.marks)
    }

    /// Are there more pages than allowed? Then nothing more is kept, and what goes on may stop.
    pub(crate) const fn is_overfull(&self) -> bool {
        self.overflowed
    }

    /// Characters that were spelled on these pages so far.
    pub(crate) fn spelled(&self) -> BTreeSet<char> {
        self.pages.iter().chain([&self.current]).flat_map(Canvas::spelled).copied().collect()
    }

    /// The finished pages, their structure, and whether there were more than allowed.
    pub(crate) fn finish(mut self) -> (Vec<Canvas>, Tree, bool) {
        let tree = self.current.take_tree();
        self.pages.push(self.current);
        (self.pages, tree, self.overflowed)
    }
}

/// The name of something that goes on from the page before.
pub(crate) fn continued(name: &str, say: Say) -> String {
    say.with("continued", &[("what", name.into())])
}
