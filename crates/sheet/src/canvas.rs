//! One page to draw on: millimetres from its upper left corner.

use std::collections::BTreeSet;

use printpdf::{
    Color, FontId, Greyscale, Line, LineDashPattern, LinePoint, Op, PaintMode, PdfFontHandle, Point, Polygon,
    PolygonRing, Pt, Rgb, TextItem, WindingOrder,
};

use crate::face::{Face, POINTS, runs};
use crate::subset::is_common;

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
    fn color(self) -> Color {
        let grey = |percent| Color::Greyscale(Greyscale { percent, icc_profile: None });
        match self {
            Self::Black => grey(0.0),
            Self::Grey => grey(0.38),
            Self::Pale => grey(0.72),
            Self::Tint => grey(0.94),
            Self::White => grey(1.0),
            Self::Accent => Color::Rgb(Rgb { r: 0.66, g: 0.1, b: 0.06, icc_profile: None }),
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

/// A page being drawn.
pub(crate) struct Canvas {
    height: f32,
    ops: Vec<Op>,
    fill: Option<Ink>,
    pen: Option<Pen>,
    /// Characters beyond the common ones, per face, in the order of [`Face::ALL`]; `None`: face not used.
    used: [Option<BTreeSet<char>>; 4],
}

/// Handle length of the Bézier curve that comes nearest to a quarter of a unit circle.
const QUARTER: f32 = 0.552_285;

impl Canvas {
    /// An empty page of this height in millimetres.
    pub(crate) const fn new(height: f32) -> Self {
        Self { height, ops: Vec::new(), fill: None, pen: None, used: [None, None, None, None] }
    }

    /// What was drawn, and which characters of which face it took.
    pub(crate) fn into_parts(self) -> (Vec<Op>, [Option<BTreeSet<char>>; 4]) {
        (self.ops, self.used)
    }

    fn point(&self, (x, y): (f32, f32)) -> Point {
        let place = |mm: f32| Pt((mm * POINTS * 100.0).round() / 100.0);
        Point { x: place(x), y: place(self.height - y) }
    }

    fn set_fill(&mut self, ink: Ink) {
        if self.fill != Some(ink) {
            self.fill = Some(ink);
            self.ops.push(Op::SetFillColor { col: ink.color() });
        }
    }

    fn set_pen(&mut self, pen: Pen) {
        if self.pen == Some(pen) {
            return;
        }
        self.ops.push(Op::SetOutlineColor { col: pen.ink.color() });
        self.ops.push(Op::SetOutlineThickness { pt: Pt(pen.weight) });
        if self.pen.and_then(|old| old.dash) != pen.dash {
            let dash = match pen.dash {
                Some((dash, gap)) => LineDashPattern::new(0.0, &[dash, gap]),
                None => LineDashPattern::new(0.0, &[]),
            };
            self.ops.push(Op::SetLineDashPattern { dash });
        }
        self.pen = Some(pen);
    }

    /// Writes a text whose baseline starts at a point.
    pub(crate) fn text(&mut self, face: Face, size: f32, ink: Ink, at: (f32, f32), text: &str) {
        if text.is_empty() {
            return;
        }
        self.set_fill(ink);
        self.ops.push(Op::StartTextSection);
        self.ops.push(Op::SetTextCursor { pos: self.point(at) });
        for (face, run) in runs(face, text) {
            self.used[face as usize].get_or_insert_default().extend(run.chars().filter(|c| !is_common(*c)));
            let font = PdfFontHandle::External(FontId(face.resource().to_owned()));
            self.ops.push(Op::SetFont { font, size: Pt(size) });
            self.ops.push(Op::ShowText { items: vec![TextItem::Text(run)] });
        }
        self.ops.push(Op::EndTextSection);
    }

    /// Strokes an open line through points.
    pub(crate) fn line(&mut self, pen: Pen, points: &[(f32, f32)]) {
        self.set_pen(pen);
        let points = points.iter().map(|p| LinePoint { p: self.point(*p), bezier: false }).collect();
        self.ops.push(Op::DrawLine { line: Line { points, is_closed: false } });
    }

    /// Draws a closed shape; every third point of a `curved` shape is on it, the two before are handles.
    fn shape(&mut self, fill: Option<Ink>, pen: Option<Pen>, points: &[(f32, f32)], curved: bool) {
        let mode = match (fill, pen) {
            (Some(_), Some(_)) => PaintMode::FillStroke,
            (Some(_), None) => PaintMode::Fill,
            (None, Some(_)) => PaintMode::Stroke,
            (None, None) => return,
        };
        if let Some(ink) = fill {
            self.set_fill(ink);
        }
        if let Some(pen) = pen {
            self.set_pen(pen);
        }
        let points = points
            .iter()
            .enumerate()
            .map(|(n, p)| LinePoint { p: self.point(*p), bezier: curved && n % 3 != 0 })
            .collect();
        let rings = vec![PolygonRing { points }];
        let polygon = Polygon { rings, mode, winding_order: WindingOrder::NonZero };
        self.ops.push(Op::DrawPolygon { polygon });
    }

    /// Draws a closed polygon.
    pub(crate) fn polygon(&mut self, fill: Option<Ink>, pen: Option<Pen>, points: &[(f32, f32)]) {
        self.shape(fill, pen, points, false);
    }

    /// Draws a rectangle.
    pub(crate) fn rectangle(
        &mut self,
        fill: Option<Ink>,
        pen: Option<Pen>,
        (x, y): (f32, f32),
        (w, h): (f32, f32),
    ) {
        self.shape(fill, pen, &[(x, y), (x + w, y), (x + w, y + h), (x, y + h)], false);
    }

    /// Draws a circle.
    pub(crate) fn circle(&mut self, fill: Option<Ink>, pen: Option<Pen>, (x, y): (f32, f32), r: f32) {
        let k = r * QUARTER;
        let points = [
            (x + r, y),
            (x + r, y + k),
            (x + k, y + r),
            (x, y + r),
            (x - k, y + r),
            (x - r, y + k),
            (x - r, y),
            (x - r, y - k),
            (x - k, y - r),
            (x, y - r),
            (x + k, y - r),
            (x + r, y - k),
            (x + r, y),
        ];
        self.shape(fill, pen, &points, true);
    }
}
