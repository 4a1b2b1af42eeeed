//! One page to draw on: millimetres from its upper left corner.

use std::collections::BTreeSet;

use crate::content::{Content, hundredths};
use crate::face::{Face, POINTS, is_spelled, shown};
use crate::structure::{Structure, Tree};
use crate::subset::common_code;

/// What is drawn with. The accent stands only where something has to be done, and never alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ink {
    /// Text and outlines.
    Black,
    /// Labels.
    Grey,
    /// Fine rules.
    Pale,
    /// Tinted ground.
    Tint,
    /// Paper on ink.
    White,
    /// What calls for action; a dark grey when printed in black and white.
    Accent,
}

impl Ink {
    /// The operators that fill and stroke with it.
    const fn operators(self) -> (&'static str, &'static str) {
        match self {
            Self::Black => ("0 g", "0 G"),
            Self::Grey => ("0.38 g", "0.38 G"),
            Self::Pale => ("0.72 g", "0.72 G"),
            Self::Tint => ("0.94 g", "0.94 G"),
            Self::White => ("1 g", "1 G"),
            Self::Accent => ("0.66 0.1 0.06 rg", "0.66 0.1 0.06 RG"),
        }
    }
}

/// How a stroke is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Pen {
    /// Its ink.
    pub(crate) ink: Ink,
    /// Its width in points.
    pub(crate) weight: f32,
    /// Dash and gap in points; solid when none.
    pub(crate) dash: Option<(f32, f32)>,
}

impl Pen {
    /// A solid stroke.
    pub(crate) const fn new(ink: Ink, weight: f32) -> Self {
        Self { ink, weight, dash: None }
    }

    /// The same stroke, dashed.
    pub(crate) const fn dashed(self, dash: f32, gap: f32) -> Self {
        Self { dash: Some((dash, gap)), ..self }
    }
}

/// A character beyond the common ones: its code is known when the whole document is.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Rare {
    /// Where two bytes wait for its code.
    pub(crate) at: usize,
    /// The face it is printed in.
    pub(crate) face: Face,
    /// The character.
    pub(crate) character: char,
}

/// A page as it was drawn.
pub(crate) struct Drawn {
    /// Its operators.
    pub(crate) content: Vec<u8>,
    /// Which faces of the family it takes, in the order of [`Face::FAMILY`].
    pub(crate) faces: [bool; 4],
    /// Characters whose codes are still to be put in, in the order of the page.
    pub(crate) rare: Vec<Rare>,
    /// The element of the structure that each marked-content sequence belongs to.
    pub(crate) owners: Vec<u32>,
    /// Characters it spells instead of showing them.
    pub(crate) spelled: BTreeSet<char>,
}

/// A page being drawn.
pub(crate) struct Canvas {
    height: f32,
    content: Content,
    fill: Option<Ink>,
    pen: Option<Pen>,
    /// Face and size in thousandths of a point.
    font: Option<(Face, i32)>,
    faces: [bool; 4],
    rare: Vec<Rare>,
    spelled: BTreeSet<char>,
    /// What is drawn next is said here.
    pub(crate) structure: Structure,
    owners: Vec<u32>,
    /// Whom the sequence in work belongs to, once there is one: an element, or none for an artifact.
    owner: Option<Option<u32>>,
}

/// Bytes of the operators of a usual page.
const USUAL: usize = 1 << 14;
/// Handle length of the Bézier curve that comes nearest to a quarter of a unit circle.
const QUARTER: f32 = 0.552_285;

impl Canvas {
    /// An empty page of this height in millimetres.
    pub(crate) fn new(height: f32) -> Self {
        Self {
            height,
            content: Content::with_capacity(USUAL),
            fill: None,
            pen: None,
            font: None,
            faces: [false; 4],
            rare: Vec::new(),
            spelled: BTreeSet::new(),
            structure: Structure::default(),
            owners: Vec::new(),
            owner: None,
        }
    }

    /// Characters that were spelled so far.
    pub(crate) const fn spelled(&self) -> &BTreeSet<char> {
        &self.spelled
    }

    /// The page after this one: what is open goes on there.
    pub(crate) fn next(&mut self) -> Self {
        Self { structure: std::mem::take(&mut self.structure), ..Self::new(self.height) }
    }

    /// What was drawn.
    pub(crate) fn into_drawn(mut self) -> Drawn {
        if self.owner.is_some() {
            self.content.end_marked();
        }
        let Self { content, faces, rare, spelled, owners, .. } = self;
        Drawn { content: content.into_bytes(), faces, rare, spelled, owners }
    }

    /// The structure of this page and those before it.
    pub(crate) fn take_tree(&mut self) -> Tree {
        std::mem::take(&mut self.structure).into_tree()
    }

    /// Counts the elements of the structure so many places further on: its tree was put behind others.
    pub(crate) fn move_owners(&mut self, by: u32) {
        self.owners.iter_mut().for_each(|owner| *owner += by);
    }

    /// Begins another sequence where what comes now belongs to something else than what came before.
    fn belong(&mut self, is_text: bool) {
        let owner = self.structure.owner(is_text);
        if self.owner == Some(owner) {
            return;
        }
        if self.owner.replace(owner).is_some() {
            self.content.end_marked();
        }
        match owner {
            None => self.content.begin_artifact(),
            Some(element) => {
                self.content.begin_marked(self.structure.tag(element).name(), self.owners.len());
                self.owners.push(element);
            }
        }
    }

    /// A place in hundredths of a point from the lower left corner.
    fn point(&self, (x, y): (f32, f32)) -> (i32, i32) {
        (hundredths(x * POINTS), hundredths((self.height - y) * POINTS))
    }

    fn set_fill(&mut self, ink: Ink) {
        if self.fill != Some(ink) {
            self.fill = Some(ink);
            self.content.operator(ink.operators().0);
        }
    }

    fn set_pen(&mut self, pen: Pen) {
        let old = self.pen.replace(pen);
        if old.map(|old| old.ink) != Some(pen.ink) {
            self.content.operator(pen.ink.operators().1);
        }
        if old.map(|old| hundredths(old.weight)) != Some(hundredths(pen.weight)) {
            self.content.number(pen.weight);
            self.content.operator("w");
        }
        if old.and_then(|old| old.dash) != pen.dash {
            self.content.dash(pen.dash);
        }
    }

    fn set_font(&mut self, face: Face, size: f32) {
        #[expect(clippy::cast_possible_truncation, reason = "sizes of type; the cast saturates")]
        let size = (size * 1000.0).round() as i32;
        if self.font != Some((face, size)) {
            self.font = Some((face, size));
            if let Some(used) = self.faces.get_mut(face.place()) {
                *used = true;
            }
            self.content.name(&face.resource());
            self.content.thousandths(size);
            self.content.operator("Tf");
        }
    }

    /// Writes a text whose baseline starts at a point.
    pub(crate) fn text(&mut self, face: Face, size: f32, ink: Ink, at: (f32, f32), text: &str) {
        if text.is_empty() {
            return;
        }
        self.belong(true);
        self.set_fill(ink);
        self.content.operator("BT");
        self.content.point(self.point(at));
        self.content.operator("Td");
        let mut open = None;
        for c in text.chars() {
            match common_code(face, c) {
                Some(code) => {
                    self.change_to(&mut open, face, size);
                    self.content.code(code);
                }
                None => {
                    if is_spelled(c) {
                        self.spelled.insert(c);
                    }
                    shown(c).for_each(|c| self.show(&mut open, face.printing(c), size, c));
                }
            }
        }
        self.content.end_string();
        self.content.operator("ET");
    }

    /// One character that may be a rare one.
    fn show(&mut self, open: &mut Option<Face>, face: Face, size: f32, character: char) {
        self.change_to(open, face, size);
        let code = common_code(face, character);
        if code.is_none() {
            self.rare.push(Rare { at: self.content.len(), face, character });
        }
        self.content.code(code.unwrap_or(0));
    }

    /// Goes on in a face, in a string of its own.
    fn change_to(&mut self, open: &mut Option<Face>, face: Face, size: f32) {
        if *open != Some(face) {
            if open.replace(face).is_some() {
                self.content.end_string();
            }
            self.set_font(face, size);
            self.content.begin_string();
        }
    }

    /// Strokes an open line through points.
    pub(crate) fn line(&mut self, pen: Pen, points: &[(f32, f32)]) {
        self.belong(false);
        self.set_pen(pen);
        for (n, point) in points.iter().enumerate() {
            self.content.point(self.point(*point));
            self.content.operator(if n == 0 { "m" } else { "l" });
        }
        self.content.operator("S");
    }

    /// Sets what a shape is drawn with; gives the operator that paints it, none where there is nothing to.
    fn paint(&mut self, fill: Option<Ink>, pen: Option<Pen>) -> Option<&'static str> {
        if fill.is_some() || pen.is_some() {
            self.belong(false);
        }
        if let Some(ink) = fill {
            self.set_fill(ink);
        }
        if let Some(pen) = pen {
            self.set_pen(pen);
        }
        match (fill, pen) {
            (Some(_), Some(_)) => Some("b"),
            (Some(_), None) => Some("f"),
            (None, Some(_)) => Some("s"),
            (None, None) => None,
        }
    }

    /// Draws a closed polygon.
    pub(crate) fn polygon(&mut self, fill: Option<Ink>, pen: Option<Pen>, points: &[(f32, f32)]) {
        let Some(paint) = self.paint(fill, pen) else { return };
        for (n, point) in points.iter().enumerate() {
            self.content.point(self.point(*point));
            self.content.operator(if n == 0 { "m" } else { "l" });
        }
        self.content.operator(paint);
    }

    /// Draws a rectangle.
    pub(crate) fn rectangle(
        &mut self,
        fill: Option<Ink>,
        pen: Option<Pen>,
        (x, y): (f32, f32),
        (w, h): (f32, f32),
    ) {
        let Some(paint) = self.paint(fill, pen) else { return };
        let (left, bottom) = self.point((x, y + h));
        let (right, top) = self.point((x + w, y));
        self.content.point((left, bottom));
        self.content.point((right - left, top - bottom));
        self.content.operator("re");
        self.content.operator(paint);
    }

    /// Draws a circle.
    pub(crate) fn circle(&mut self, fill: Option<Ink>, pen: Option<Pen>, (x, y): (f32, f32), r: f32) {
        let Some(paint) = self.paint(fill, pen) else { return };
        let k = r * QUARTER;
        self.content.point(self.point((x + r, y)));
        self.content.operator("m");
        for curve in [
            [(x + r, y + k), (x + k, y + r), (x, y + r)],
            [(x - k, y + r), (x - r, y + k), (x - r, y)],
            [(x - r, y - k), (x - k, y - r), (x, y - r)],
            [(x + k, y - r), (x + r, y - k), (x + r, y)],
        ] {
            for point in curve {
                self.content.point(self.point(point));
            }
            self.content.operator("c");
        }
        self.content.operator(paint);
    }
}
