//! What is drawn on a page of a finished file, with its place: read from the page's operators, not from the
//! layout that made them.

use std::collections::BTreeMap;

use lopdf::content::Content;
use lopdf::{Dictionary, Document, Object, ObjectId};

/// Points in a millimetre.
pub(crate) const MM: f64 = 72.0 / 25.4;

/// A rectangle in points from the lower left corner of the page.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Extent {
    pub(crate) left: f64,
    pub(crate) right: f64,
    pub(crate) bottom: f64,
    pub(crate) top: f64,
}

impl Extent {
    fn of(points: &[(f64, f64)]) -> Self {
        let start = Self { left: f64::MAX, right: f64::MIN, bottom: f64::MAX, top: f64::MIN };
        points.iter().fold(start, |extent, (x, y)| Self {
            left: extent.left.min(*x),
            right: extent.right.max(*x),
            bottom: extent.bottom.min(*y),
            top: extent.top.max(*y),
        })
    }

    /// Smaller by so much on each side.
    pub(crate) fn shrunk(self, by: f64) -> Self {
        Self { left: self.left + by, right: self.right - by, bottom: self.bottom + by, top: self.top - by }
    }

    /// Have the two a place in common?
    pub(crate) fn meets(self, other: Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.bottom < other.top
            && other.bottom < self.top
    }

    /// Does a straight line run through it? The line is cut at each side in turn; what is left is inside.
    pub(crate) fn is_crossed(self, (from, to): ((f64, f64), (f64, f64))) -> bool {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let mut inside = (0.0_f64, 1.0_f64);
        for (step, room) in [
            (-dx, from.0 - self.left),
            (dx, self.right - from.0),
            (-dy, from.1 - self.bottom),
            (dy, self.top - from.1),
        ] {
            if step == 0.0 {
                if room <= 0.0 {
                    return false;
                }
            } else if step < 0.0 {
                inside.0 = inside.0.max(room / step);
            } else {
                inside.1 = inside.1.min(room / step);
            }
        }
        inside.0 < inside.1
    }
}

/// Something on a page.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Ink {
    /// A line of text: its place, and what it says as far as the file tells.
    Text(Extent, String),
    /// A stroke along points, in a grey from 0 (black) to 1.
    Stroke(Vec<(f64, f64)>, f64),
    /// A filled shape: its extent and its grey.
    Fill(Extent, f64),
}

/// Advances of the glyphs of a font, in thousandths of its size, and what they mean.
struct Font {
    widths: BTreeMap<u16, f64>,
    meanings: lopdf::Result<BTreeMap<u16, String>>,
}

/// All pages of a file.
pub(crate) fn pages(file: &[u8]) -> Vec<Vec<Ink>> {
    let document = Document::load_mem(file).expect("the file can be read");
    document.get_pages().into_values().map(|page| items(&document, page)).collect()
}

fn number(object: &Object) -> f64 {
    f64::from(object.as_float().expect("a number"))
}

fn items(document: &Document, page: ObjectId) -> Vec<Ink> {
    let fonts: BTreeMap<Vec<u8>, Font> = document
        .get_page_fonts(page)
        .expect("fonts of the page")
        .into_iter()
        .map(|(name, font)| (name, read_font(document, font)))
        .collect();
    let content = document.get_page_content(page);
    let content = Content::decode(&content).expect("operators of the page");
    let mut items = Vec::new();
    let mut path: Vec<(f64, f64)> = Vec::new();
    let (mut fill, mut stroke) = (0.0, 0.0);
    let (mut at, mut size, mut font) = ((0.0, 0.0), 0.0, None);
    let (mut width, mut inked, mut words) = (0.0, 0.0, String::new());
    for operation in &content.operations {
        let numbers = || operation.operands.iter().map(number).collect::<Vec<f64>>();
        match operation.operator.as_str() {
            "g" => fill = numbers()[0],
            "rg" => fill = numbers().iter().sum::<f64>() / 3.0,
            "G" => stroke = numbers()[0],
            "RG" => stroke = numbers().iter().sum::<f64>() / 3.0,
            "m" => path = vec![(numbers()[0], numbers()[1])],
            "l" => path.push((numbers()[0], numbers()[1])),
            "c" => path.extend(curve(path.last().copied(), &numbers())),
            "h" => path.extend(path.first().copied()),
            "re" => {
                let [left, bottom, width, height] = numbers()[..] else { panic!("a rectangle") };
                let (right, top) = (left + width, bottom + height);
                // Closed by the operator that paints it.
                path = vec![(left, bottom), (right, bottom), (right, top), (left, top)];
            }
            "s" => {
                path.extend(path.first().copied());
                items.push(Ink::Stroke(std::mem::take(&mut path), stroke));
            }
            "S" => items.push(Ink::Stroke(std::mem::take(&mut path), stroke)),
            "f" => items.push(Ink::Fill(Extent::of(&std::mem::take(&mut path)), fill)),
            "b" | "B" => {
                path.extend(path.first().copied());
                items.push(Ink::Fill(Extent::of(&path), fill));
                items.push(Ink::Stroke(std::mem::take(&mut path), stroke));
            }
            "BT" => (width, inked, words) = (0.0, 0.0, String::new()),
            "Td" => at = (numbers()[0], numbers()[1]),
            "Tf" => {
                font = operation.operands[0].as_name().ok().and_then(|name| fonts.get(name));
                size = number(&operation.operands[1]);
            }
            "Tj" => {
                let font = font.expect("a font before text");
                let glyphs = operation.operands[0].as_str().expect("glyphs");
                for pair in glyphs.chunks_exact(2) {
                    let glyph = u16::from_be_bytes([pair[0], pair[1]]);
                    width += font.widths.get(&glyph).copied().unwrap_or(1000.0) * size / 1000.0;
                    let meaning = font.meanings.as_ref().ok().and_then(|meanings| meanings.get(&glyph));
                    words.push_str(meaning.map_or("\u{FFFD}", String::as_str));
                    // The spaces at the end of a line have no ink.
                    if !words.ends_with(' ') {
                        inked = width;
                    }
                }
            }
            "ET" => {
                let extent = Extent {
                    left: at.0,
                    right: at.0 + inked,
                    bottom: at.1 - 0.2 * size,
                    top: at.1 + 0.74 * size,
                };
                items.push(Ink::Text(extent, words.trim_end().to_owned()));
            }
            // Widths of pens and dashes, and the state of the page, move nothing.
            "w" | "d" | "q" | "Q" | "gs" => {}
            // What it is a part of.
            "BDC" | "BMC" | "EMC" => {}
            other => panic!("an operator that this reader does not know: {other}"),
        }
    }
    items
}

/// A Bézier curve as short lines: where it began, and both handles and the end.
fn curve(begin: Option<(f64, f64)>, numbers: &[f64]) -> Vec<(f64, f64)> {
    let (from, [ax, ay, bx, by, x, y]) = (begin.expect("a point before a curve"), numbers) else {
        panic!("a curve")
    };
    let at = |share: f64| {
        let rest = 1.0 - share;
        let weights = [rest.powi(3), 3.0 * rest * rest * share, 3.0 * rest * share * share, share.powi(3)];
        let mix =
            |points: [f64; 4]| weights.iter().zip(points).map(|(weight, point)| weight * point).sum::<f64>();
        (mix([from.0, *ax, *bx, *x]), mix([from.1, *ay, *by, *y]))
    };
    (1..=8).map(|step| at(f64::from(step) / 8.0)).collect()
}

fn read_font(document: &Document, font: &Dictionary) -> Font {
    let descendant = || -> lopdf::Result<&Dictionary> {
        let descendants = font.get_deref(b"DescendantFonts", document)?.as_array()?;
        document.dereference(&descendants[0])?.1.as_dict()
    };
    let descendant = descendant().expect("a composite font");
    let widths = descendant.get_deref(b"W", document).and_then(Object::as_array).expect("widths of the font");
    Font { widths: read_widths(document, widths), meanings: read_meanings(document, font) }
}

/// ISO 32000-1, 9.7.4.3: `first [w1 w2 …]` or `first last w`.
fn read_widths(document: &Document, list: &[Object]) -> BTreeMap<u16, f64> {
    let mut widths = BTreeMap::new();
    let mut rest = list;
    while let [first, second, tail @ ..] = rest {
        let first = first.as_i64().expect("a first glyph") as u16;
        let second = document.dereference(second).expect("a width").1;
        if let Ok(each) = second.as_array() {
            widths.extend((first..).zip(each.iter().map(number)));
            rest = tail;
        } else {
            let last = second.as_i64().expect("a last glyph") as u16;
            widths.extend((first..=last).map(|glyph| (glyph, number(&tail[0]))));
            rest = &tail[1..];
        }
    }
    widths
}

/// The pairs of a ToUnicode map, for messages of failing tests and for looking texts up by their place.
fn read_meanings(document: &Document, font: &Dictionary) -> lopdf::Result<BTreeMap<u16, String>> {
    let map = font.get_deref(b"ToUnicode", document)?.as_stream()?.decompressed_content()?;
    let map = String::from_utf8_lossy(&map).into_owned();
    let hex = |text: &str| -> Vec<u16> {
        let digits: Vec<char> = text.chars().filter(char::is_ascii_hexdigit).collect();
        let four = |chunk: &[char]| u16::from_str_radix(&chunk.iter().collect::<String>(), 16).unwrap_or(0);
        digits.chunks(4).map(four).collect()
    };
    let mut meanings = BTreeMap::new();
    for line in map.lines().filter(|line| line.trim_start().starts_with('<')) {
        let parts: Vec<Vec<u16>> = line.split('<').skip(1).map(hex).collect();
        let (from, to, text) = match parts.as_slice() {
            [glyph, text] => (glyph[0], glyph[0], text),
            [from, to, text] => (from[0], to[0], text),
            _ => continue,
        };
        for glyph in from..=to {
            let mut units = text.clone();
            if let Some(last) = units.last_mut() {
                *last += glyph - from;
            }
            meanings.insert(glyph, String::from_utf16_lossy(&units));
        }
    }
    Ok(meanings)
}

/// Nothing leaves the margins, no two texts meet, no line that means something and no dark shape runs through a
/// text, and no white ground covers such a line.
pub(crate) fn check_page(page: &[Ink], (width, height): (f64, f64), name: &str) {
    const PALE: f64 = 0.7;
    let margins =
        Extent { left: 17.5 * MM, right: width - 12.8 * MM, bottom: 5.0 * MM, top: height - 8.0 * MM };
    let inside = |extent: Extent| {
        extent.left >= margins.left
            && extent.right <= margins.right
            && extent.bottom >= margins.bottom
            && extent.top <= margins.top
    };
    let texts: Vec<(Extent, &str)> = page
        .iter()
        .filter_map(|ink| match ink {
            Ink::Text(extent, words) => Some((*extent, words.as_str())),
            _ => None,
        })
        .collect();
    for (n, (extent, words)) in texts.iter().enumerate() {
        assert!(inside(*extent), "{name}: “{words}” leaves the margins: {extent:?}");
        for (other, others) in texts.iter().skip(n + 1) {
            let meet = extent.shrunk(0.35).meets(other.shrunk(0.35));
            assert!(!meet, "{name}: “{words}” and “{others}” overlap at {extent:?}");
        }
    }
    let mut strokes: Vec<((f64, f64), (f64, f64))> = Vec::new();
    for ink in page {
        match ink {
            Ink::Stroke(points, grey) => {
                for (x, y) in points {
                    let spot = Extent { left: *x, right: *x, bottom: *y, top: *y };
                    assert!(inside(spot), "{name}: a line leaves the margins at {x} {y}");
                }
                if *grey < PALE {
                    strokes.extend(points.windows(2).map(|pair| (pair[0], pair[1])));
                }
            }
            Ink::Fill(extent, grey) if *grey > 0.99 => {
                let hidden = strokes.iter().find(|line| extent.shrunk(0.4).is_crossed(**line));
                assert!(hidden.is_none(), "{name}: white at {extent:?} hides the line {hidden:?}");
            }
            Ink::Fill(extent, grey) => {
                assert!(inside(*extent), "{name}: a shape leaves the margins: {extent:?}");
                let under = texts.iter().find(|(text, _)| *grey < PALE && extent.meets(text.shrunk(0.35)));
                assert!(under.is_none(), "{name}: a dark shape at {extent:?} meets {under:?}");
            }
            Ink::Text(..) => {}
        }
    }
    for (extent, words) in texts {
        let crossed = strokes.iter().find(|line| extent.shrunk(0.5).is_crossed(**line));
        assert!(crossed.is_none(), "{name}: the line {crossed:?} runs through “{words}” at {extent:?}");
    }
}
