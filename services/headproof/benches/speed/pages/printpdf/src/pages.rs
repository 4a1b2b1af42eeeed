//! Pages of A4, filled from the top; millimetres.

use printpdf::{
    Color, FontId, Greyscale, Line, LinePoint, Mm, Op, PaintMode, ParsedFont, PdfDocument, PdfFontHandle,
    PdfPage, PdfSaveOptions, Point, Polygon, PolygonRing, Pt, TextItem, WindingOrder,
};

use crate::document::{Document, Drawing, Grid, Part};

const WIDTH: f32 = 210.0;
const HEIGHT: f32 = 297.0;
const LEFT: f32 = 15.0;
const MEASURE: f32 = WIDTH - 2.0 * LEFT;
const TOP: f32 = 13.0;
const BOTTOM: f32 = HEIGHT - 16.0;
const ROW: f32 = 4.2;
const CAUTION: f32 = 3.6;
const MM_PER_POINT: f32 = 25.4 / 72.0;

/// The two typefaces, as they are read from their files.
pub struct Typefaces {
    regular: ParsedFont,
    bold: ParsedFont,
}

impl Typefaces {
    pub fn new() -> Result<Self, &'static str> {
        let read = |file| ParsedFont::from_bytes(file, 0, &mut Vec::new()).ok_or("the typeface is not read");
        Ok(Self { regular: read(dejavu::sans::regular())?, bold: read(dejavu::sans::bold())? })
    }
}

#[derive(Clone, Copy)]
enum Weight {
    Regular,
    Bold,
}

/// The document as a PDF.
pub fn render(typefaces: &Typefaces, document: &Document) -> Vec<u8> {
    let mut pdf = PdfDocument::new(&document.title);
    let fonts = [pdf.add_font(&typefaces.regular), pdf.add_font(&typefaces.bold)];
    let mut pages = Pages { typefaces, fonts, full: Vec::new(), current: Vec::new(), y: TOP };
    pages.document(document);
    let pages = pages.finish();
    pdf.with_pages(pages).save(&PdfSaveOptions::default(), &mut Vec::new())
}

struct Pages<'a> {
    typefaces: &'a Typefaces,
    fonts: [FontId; 2],
    full: Vec<Vec<Op>>,
    current: Vec<Op>,
    y: f32,
}

fn point((x, y): (f32, f32)) -> Point {
    Point::new(Mm(x), Mm(HEIGHT - y))
}

fn line_points(points: impl Iterator<Item = (f32, f32)>) -> Vec<LinePoint> {
    points.map(|at| LinePoint { p: point(at), bezier: false }).collect()
}

fn grey(percent: f32) -> Color {
    Color::Greyscale(Greyscale { percent, icc_profile: None })
}

impl Pages<'_> {
    fn width(&self, weight: Weight, size: f32, text: &str) -> f32 {
        let font = match weight {
            Weight::Regular => &self.typefaces.regular,
            Weight::Bold => &self.typefaces.bold,
        };
        let glyphs = text.chars().filter_map(|c| font.lookup_glyph_index(u32::from(c)));
        let units: f32 = glyphs.map(|glyph| f32::from(font.get_horizontal_advance(glyph))).sum();
        units / f32::from(font.font_metrics.units_per_em) * size * MM_PER_POINT
    }

    fn text(&mut self, weight: Weight, size: f32, at: (f32, f32), text: &str) {
        let font = PdfFontHandle::External(self.fonts[weight as usize].clone());
        self.current.extend([
            Op::StartTextSection,
            Op::SetTextCursor { pos: point(at) },
            Op::SetFont { font, size: Pt(size) },
            Op::ShowText { items: vec![TextItem::Text(text.to_owned())] },
            Op::EndTextSection,
        ]);
    }

    fn line(&mut self, ink: f32, weight: f32, points: impl Iterator<Item = (f32, f32)>) {
        self.current.extend([
            Op::SetOutlineColor { col: grey(ink) },
            Op::SetOutlineThickness { pt: Pt(weight) },
            Op::DrawLine { line: Line { points: line_points(points), is_closed: false } },
        ]);
    }

    fn new_page(&mut self) {
        self.full.push(std::mem::take(&mut self.current));
        self.y = TOP;
    }

    fn document(&mut self, document: &Document) {
        self.text(Weight::Bold, 14.0, (LEFT, self.y + 5.0), &document.title);
        self.y += 8.0;
        for fields in document.header.chunks(2) {
            for (n, (label, value)) in fields.iter().enumerate() {
                let x = LEFT + n as f32 * 90.0;
                self.text(Weight::Bold, 8.0, (x, self.y + 3.0), label);
                self.text(Weight::Regular, 8.0, (x + 30.0, self.y + 3.0), value);
            }
            self.y += 4.6;
        }
        self.y += 3.0;
        self.table(&document.summary);
        self.y += 4.0;
        for part in &document.ports {
            self.part(part);
        }
    }

    fn table(&mut self, grid: &Grid) {
        let width = MEASURE / grid.columns.len() as f32;
        for (n, head) in grid.columns.iter().enumerate() {
            self.cell(Weight::Bold, n, width, head);
        }
        self.rule(0.5);
        for row in &grid.rows {
            self.cell(Weight::Regular, 0, width, &row.label);
            for (n, figure) in row.v.iter().enumerate() {
                self.cell(Weight::Regular, n + 1, width, &format!("{figure:.3}"));
            }
            self.rule(0.25);
        }
    }

    fn cell(&mut self, weight: Weight, column: usize, width: f32, text: &str) {
        let left = LEFT + column as f32 * width;
        let x = if column == 0 { left + 1.0 } else { left + width - 1.0 - self.width(weight, 7.0, text) };
        self.text(weight, 7.0, (x, self.y + 3.0), text);
    }

    fn rule(&mut self, weight: f32) {
        self.y += ROW;
        let y = self.y;
        self.line(0.5, weight, [(LEFT, y), (LEFT + MEASURE, y)].into_iter());
    }

    fn part(&mut self, part: &Part) {
        let caution = self.wrapped(&part.caution);
        let rows = part.grid.rows.len() + 1;
        let height = 5.5 + rows as f32 * ROW + part.drawing.h + 4.0 + caution.len() as f32 * CAUTION;
        if self.y + height > BOTTOM {
            self.new_page();
        }
        let name = format!("{} — kind {}", part.name, part.kind);
        self.text(Weight::Bold, 10.0, (LEFT, self.y + 4.0), &name);
        self.y += 5.5;
        self.table(&part.grid);
        self.y += 2.0;
        self.drawing(&part.drawing);
        self.y += part.drawing.h + 2.0;
        for line in &caution {
            self.text(Weight::Regular, 8.0, (LEFT, self.y + 2.8), line);
            self.y += CAUTION;
        }
        self.y += 3.0;
    }

    fn wrapped(&self, text: &str) -> Vec<String> {
        let mut lines = vec![String::new()];
        let (mut used, space) = (0.0, self.width(Weight::Regular, 8.0, " "));
        for word in text.split(' ') {
            let width = self.width(Weight::Regular, 8.0, word);
            if used + width > MEASURE {
                lines.push(String::new());
                used = 0.0;
            }
            let Some(line) = lines.last_mut() else { continue };
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
            used += width + space;
        }
        lines
    }

    fn drawing(&mut self, drawing: &Drawing) {
        let top = self.y;
        let placed = |(x, y): &(f32, f32)| (LEFT + x, top + y);
        let (right, bottom) = (drawing.w, drawing.h);
        let frame = [(0.0, 0.0), (right, 0.0), (right, bottom), (0.0, bottom), (0.0, 0.0)];
        self.line(0.5, 0.4, frame.iter().map(placed));
        let ring = PolygonRing { points: line_points(drawing.polygon.iter().map(placed)) };
        self.current.extend([
            Op::SetFillColor { col: grey(0.94) },
            Op::DrawPolygon {
                polygon: Polygon {
                    rings: vec![ring],
                    mode: PaintMode::Fill,
                    winding_order: WindingOrder::NonZero,
                },
            },
            Op::SetFillColor { col: grey(0.0) },
        ]);
        self.line(0.0, 0.5, drawing.polyline.iter().map(placed));
        for label in &drawing.labels {
            self.text(Weight::Regular, 6.0, (LEFT + label.x, top + label.y), &label.t);
        }
    }

    fn finish(mut self) -> Vec<PdfPage> {
        self.new_page();
        let mut full = std::mem::take(&mut self.full);
        let count = full.len();
        for (n, page) in full.iter_mut().enumerate() {
            let text = format!("page {} of {count}", n + 1);
            self.text(Weight::Regular, 7.0, (WIDTH / 2.0 - 8.0, HEIGHT - 10.0), &text);
            page.append(&mut self.current);
        }
        full.into_iter().map(|operations| PdfPage::new(Mm(WIDTH), Mm(HEIGHT), operations)).collect()
    }
}
