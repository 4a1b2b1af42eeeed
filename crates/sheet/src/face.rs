//! The typefaces: widths, coverage, and what is shown for a character none of them can show.

use std::borrow::Cow;
use std::sync::OnceLock;

use ttf_parser::GlyphId;

use crate::typefaces;

/// A typeface: one of the DejaVu Sans family, which has Latin, Greek, Cyrillic and the signs of drawings, or one
/// that was given for what they lack.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Face {
    /// Upright; also the one that covers most.
    Regular,
    /// Bold.
    Bold,
    /// Condensed: most text, and all tables.
    Narrow,
    /// Condensed bold.
    NarrowBold,
    /// One of those that were given, by its place among them. No style names it: single characters fall to it.
    Given(usize),
}

/// Characters with a place of their own in the table of advances: letters, dashes, signs of sums and of drawings.
const QUICK: usize = 0x2400;
/// Points per millimetre.
pub(crate) const POINTS: f32 = 72.0 / 25.4;

/// A font that is in use.
pub(crate) struct Loaded {
    font: ttf_parser::Face<'static>,
    units_per_em: f32,
    /// Advance of each low character, below zero where the face lacks it.
    quick: Vec<f32>,
}

impl Loaded {
    /// A parsed font; the advances of so many low characters are looked up at once.
    pub(crate) fn new(font: ttf_parser::Face<'static>, quick: usize) -> Self {
        let units_per_em = f32::from(font.units_per_em());
        let mut loaded = Self { font, units_per_em, quick: Vec::new() };
        let low = (0..quick as u32).map(|code| char::from_u32(code).map_or(-1.0, |c| loaded.look_up(c)));
        loaded.quick = low.collect();
        loaded
    }

    /// Glyph and advance in font units; `None` when the font lacks the character.
    fn glyph(&self, c: char) -> Option<(GlyphId, u16)> {
        // The first glyph is the box for what is missing, whatever the table of characters says.
        let glyph = self.font.glyph_index(c).filter(|glyph| glyph.0 != 0)?;
        Some((glyph, self.font.glyph_hor_advance(glyph).unwrap_or(0)))
    }

    /// Advance in em of a character, below zero where the font lacks it.
    fn look_up(&self, c: char) -> f32 {
        self.glyph(c).map_or(-1.0, |(_, advance)| f32::from(advance) / self.units_per_em)
    }

    /// Does it show this character by itself? Not if nothing would be seen of it, or if it stood on its neighbour.
    pub(crate) fn shows(&self, c: char) -> bool {
        self.glyph(c).is_some_and(|(glyph, advance)| {
            advance > 0 && (c.is_whitespace() || self.font.glyph_bounding_box(glyph).is_some())
        })
    }
}

static LOADED: [OnceLock<Loaded>; 4] = [const { OnceLock::new() }; 4];
/// Advance of each low character as it is shown.
static SHOWN: [OnceLock<Vec<f32>>; 4] = [const { OnceLock::new() }; 4];

impl Face {
    /// The family: what styles are made of.
    pub(crate) const FAMILY: [Self; 4] = [Self::Regular, Self::Bold, Self::Narrow, Self::NarrowBold];

    /// The whole font file.
    pub(crate) fn file(self) -> &'static [u8] {
        match self {
            Self::Regular => dejavu::sans::regular(),
            Self::Bold => dejavu::sans::bold(),
            Self::Narrow => dejavu::sans_condensed::regular(),
            Self::NarrowBold => dejavu::sans_condensed::bold(),
            Self::Given(place) => typefaces::given(place).file(),
        }
    }

    /// Which face of its file it is.
    pub(crate) fn index(self) -> u32 {
        if let Self::Given(place) = self { typefaces::given(place).index() } else { 0 }
    }

    /// Its PostScript name.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Regular => "DejaVuSans",
            Self::Bold => "DejaVuSans-Bold",
            Self::Narrow => "DejaVuSansCondensed",
            Self::NarrowBold => "DejaVuSansCondensed-Bold",
            Self::Given(place) => typefaces::given(place).name(),
        }
    }

    /// Its name among the resources of a document.
    pub(crate) fn resource(self) -> Cow<'static, str> {
        match self {
            Self::Regular => "SansR".into(),
            Self::Bold => "SansB".into(),
            Self::Narrow => "NarrowR".into(),
            Self::NarrowBold => "NarrowB".into(),
            Self::Given(place) => format!("Given{place}").into(),
        }
    }

    /// Its place among all faces, the family first.
    pub(crate) const fn place(self) -> usize {
        match self {
            Self::Regular => 0,
            Self::Bold => 1,
            Self::Narrow => 2,
            Self::NarrowBold => 3,
            Self::Given(place) => Self::FAMILY.len() + place,
        }
    }

    fn loaded(self) -> &'static Loaded {
        match self {
            Self::Given(place) => typefaces::given(place).loaded(),
            _ => LOADED[self.place()].get_or_init(|| {
                let font = ttf_parser::Face::parse(self.file(), 0).expect("the file is part of this program");
                Loaded::new(font, QUICK)
            }),
        }
    }

    /// The parsed font.
    pub(crate) fn font(self) -> &'static ttf_parser::Face<'static> {
        &self.loaded().font
    }

    /// Glyph and advance in font units; `None` when the face lacks the character.
    pub(crate) fn glyph(self, c: char) -> Option<(GlyphId, u16)> {
        self.loaded().glyph(c)
    }

    /// Has the face this character?
    pub(crate) fn covers(self, c: char) -> bool {
        self.bare_advance(c) >= 0.0
    }

    /// The face that prints this character: this one, else the one that covers most, else the first of the given
    /// ones that has it.
    pub(crate) fn printing(self, c: char) -> Self {
        let own = [self, Self::Regular].into_iter().find(|face| face.covers(c));
        own.or_else(|| typefaces::printing(c)).unwrap_or(Self::Regular)
    }

    /// Advance in em of a character of this face, below zero where it lacks it.
    fn bare_advance(self, c: char) -> f32 {
        let loaded = self.loaded();
        loaded.quick.get(c as usize).copied().unwrap_or_else(|| loaded.look_up(c))
    }

    /// Advance in em of a character as it will be shown in a style of this face.
    pub(crate) fn advance(self, c: char) -> f32 {
        let quick = SHOWN[self.place()].get_or_init(|| {
            let low = (0..QUICK as u32).map(|code| char::from_u32(code).unwrap_or_default());
            low.map(|c| self.slow_advance(c)).collect()
        });
        quick.get(c as usize).copied().unwrap_or_else(|| self.slow_advance(c))
    }

    fn slow_advance(self, c: char) -> f32 {
        if is_spelled(c) {
            return code(c).chars().map(|c| self.bare_advance(c)).sum();
        }
        self.printing(c).bare_advance(c).max(0.0)
    }

    /// Width of a text in millimetres at a size in points.
    pub(crate) fn width(self, size: f32, text: &str) -> f32 {
        text.chars().map(|c| self.advance(c)).sum::<f32>() * size / POINTS
    }
}

/// What is printed for a character: itself, or ‹U+XXXX› where it cannot be shown, so that nothing is ever
/// dropped.
pub(crate) fn shown(c: char) -> impl Iterator<Item = char> {
    let (itself, spelled) = if is_spelled(c) { (None, code(c)) } else { (Some(c), String::new()) };
    let spelled: Vec<char> = spelled.chars().collect();
    itself.into_iter().chain(spelled)
}

fn code(c: char) -> String {
    format!("‹{}›", code_point(c))
}

/// A character by its number, as the Unicode Standard writes it.
pub(crate) fn code_point(c: char) -> String {
    format!("U+{:04X}", c as u32)
}

/// Control characters, what prints nothing, what runs from right to left (these pages have no layout for
/// it), and what no face has.
pub(crate) fn is_spelled(c: char) -> bool {
    if c.is_ascii_graphic() || c == ' ' {
        return false;
    }
    c.is_control() || is_invisible(c) || is_right_to_left(c) || !Face::Regular.printing(c).covers(c)
}

/// Characters of the Unicode property `Default_Ignorable_Code_Point`, and the separators of lines.
const fn is_invisible(c: char) -> bool {
    matches!(c as u32,
        0xAD | 0x34F | 0x61C | 0x115F..=0x1160 | 0x17B4..=0x17B5 | 0x180B..=0x180F | 0x200B..=0x200F
        | 0x2028..=0x202E | 0x2060..=0x206F | 0x3164 | 0xFE00..=0xFE0F | 0xFEFF | 0xFFA0 | 0xFFF0..=0xFFFB
        | 0x1BCA0..=0x1BCA3 | 0x1D173..=0x1D17A | 0xE0000..=0xE0FFF)
}

/// Blocks of the Unicode bidirectional classes R and AL.
const fn is_right_to_left(c: char) -> bool {
    matches!(c as u32,
        0x590..=0x8FF | 0xFB1D..=0xFDFF | 0xFE70..=0xFEFE | 0x10800..=0x10FFF | 0x1E800..=0x1EFFF)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, expected: &str) {
        assert_eq!(text.chars().flat_map(shown).collect::<String>(), expected);
    }

    #[test]
    fn names_of_three_scripts_are_shown_as_they_are() {
        for text in ["Őrsi & Żółw", "Ελένη Παπαδοπούλου", "Сергій Їжак", "e\u{301}", "⌀ 45° ± 0.5 ≤ µm −"]
        {
            check(text, text);
        }
    }

    #[test]
    fn what_cannot_be_shown_is_spelled_out() {
        check("a\u{0}b\n", "a‹U+0000›b‹U+000A›");
        check("\u{202E}", "‹U+202E›");
        check("שלום", "‹U+05E9›‹U+05DC›‹U+05D5›‹U+05DD›");
        check("検", "‹U+691C›");
        check("\u{10FFFD}", "‹U+10FFFD›");
        check("\u{FFFF}", "‹U+FFFF›");
    }

    #[test]
    fn a_character_is_as_wide_as_what_is_shown_for_it() {
        for face in Face::FAMILY {
            for c in "Aж\u{301}\u{5D0}⌀検\u{7}".chars() {
                let shown: f32 = shown(c).map(|c| face.printing(c).bare_advance(c)).sum();
                assert!((face.advance(c) - shown).abs() < 1e-6, "{face:?} {c:?}");
            }
        }
    }

    #[test]
    fn a_font_does_not_show_what_nobody_would_see_or_what_sits_on_its_neighbour() {
        let loaded = Face::Regular.loaded();
        for (c, expected) in
            [('A', true), ('\u{2003}', true), ('\u{2800}', false), ('\u{301}', false), ('検', false)]
        {
            assert_eq!(loaded.shows(c), expected, "{c:?}");
        }
    }

    /// The advance of "0" is 1303 of 2048 units in DejaVu Sans 2.37 (its hmtx table).
    #[test]
    fn figures_are_as_wide_as_the_font_says() {
        let width = Face::Regular.width(72.0, "0");
        assert!((width - 25.4 * 1303.0 / 2048.0).abs() < 1e-3, "{width}");
    }
}
