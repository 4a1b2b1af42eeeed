//! Typefaces cut down to the characters in use, kept between documents.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use printpdf::{FontMetrics, ParsedFont};
use subsetter::GlyphRemapper;

use crate::SheetError;
use crate::embed::{Embedded, embed};
use crate::face::Face;

/// A typeface cut down.
pub(crate) struct Subset {
    /// The code of each character on a page.
    codes: BTreeMap<char, u16>,
    /// What a document takes in.
    pub(crate) embedded: Embedded,
}

impl Subset {
    /// The code of a character; 0, which is shown as a box, where the face lacks it.
    pub(crate) fn code(&self, c: char) -> u16 {
        self.codes.get(&c).copied().unwrap_or(0)
    }
}

/// Signs beside ASCII that every subset carries, so that most documents share one.
const COMMON: &str = "−–—·…×±≤≥°µ³²⌀‹›„“”’äöüßéèêáíóúñçøåÄÖÜÉØÅ";
/// How many subsets with characters beyond the common ones are kept.
const KEPT: usize = 32;
/// Characters whose codes stand in a table: more than any common one.
const QUICK: usize = 0x2400;

type Cache = BTreeMap<(Face, BTreeSet<char>), Arc<Subset>>;
static CACHE: Mutex<Cache> = Mutex::new(BTreeMap::new());

/// The subset of a face with these characters; with the common ones, too, where it is of the family.
///
/// # Errors
/// [`SheetError::Typeface`] when the subsetter refuses the font.
pub(crate) fn subset(face: Face, extra: &BTreeSet<char>) -> Result<Arc<Subset>, SheetError> {
    let key = (face, extra.clone());
    let mut cache = CACHE.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(known) = cache.get(&key) {
        return Ok(Arc::clone(known));
    }
    let made = Arc::new(cut(face, extra)?);
    if cache.len() >= KEPT {
        cache.retain(|(_, extra), _| extra.is_empty());
    }
    cache.insert(key, Arc::clone(&made));
    Ok(made)
}

/// Codes of the common characters: the same in every subset of a face.
struct Common {
    /// 0: not a common one.
    quick: [u16; QUICK],
    rest: BTreeMap<char, u16>,
}

static COMMON_CODES: [OnceLock<Common>; 4] = [const { OnceLock::new() }; 4];

/// The code of a character that is in every subset of its face; `None` for all others, and for all of a given face.
pub(crate) fn common_code(face: Face, c: char) -> Option<u16> {
    let common = COMMON_CODES.get(face.place())?.get_or_init(|| {
        let (_, rest, _) = number(face, &BTreeSet::new());
        let mut quick = [0; QUICK];
        for (&c, &code) in &rest {
            if let Some(place) = quick.get_mut(c as usize) {
                *place = code;
            }
        }
        Common { quick, rest }
    });
    match common.quick.get(c as usize) {
        Some(code) => Some(*code).filter(|code| *code > 0),
        None => common.rest.get(&c).copied(),
    }
}

/// Numbers the glyphs of a face anew: the common ones first, then the others, each in the order of its
/// characters. Gives the codes of the characters and the advances of the new glyphs.
fn number(face: Face, extra: &BTreeSet<char>) -> (GlyphRemapper, BTreeMap<char, u16>, BTreeMap<u16, u16>) {
    let common: BTreeSet<char> = match face {
        Face::Given(_) => BTreeSet::new(),
        _ => (' '..='~').chain(COMMON.chars()).collect(),
    };
    let mut remapper = GlyphRemapper::new();
    let (mut codes, mut widths) = (BTreeMap::new(), BTreeMap::new());
    for &c in common.iter().chain(extra.difference(&common)) {
        if let Some((glyph, advance)) = face.glyph(c) {
            let new = remapper.remap(glyph.0);
            codes.insert(c, new);
            widths.insert(new, advance);
        }
    }
    (remapper, codes, widths)
}

fn cut(face: Face, extra: &BTreeSet<char>) -> Result<Subset, SheetError> {
    let refused = |reason: String| SheetError::Typeface { face: face.name(), reason };
    let (remapper, codes, widths) = number(face, extra);
    let file = subsetter::subset(face.file(), face.index(), &remapper)
        .map_err(|error| refused(error.to_string()))?;
    let font = face.font();
    let metrics = FontMetrics { ascent: font.ascender(), descent: font.descender() };
    let name = format!("{}+{}", tag(codes.keys()), face.name());
    let glyphs = codes.iter().map(|(c, code)| (*c as u32, *code)).collect();
    let mut parsed =
        ParsedFont::with_glyph_data(file, 0, Some(name), glyphs, widths, font.units_per_em(), metrics);
    let bounds = font.global_bounding_box();
    parsed.pdf_font_metrics.x_min = bounds.x_min;
    parsed.pdf_font_metrics.y_min = bounds.y_min;
    parsed.pdf_font_metrics.x_max = bounds.x_max;
    parsed.pdf_font_metrics.y_max = bounds.y_max;
    parsed.pdf_font_metrics.us_weight_class = font.weight().to_number();
    Ok(Subset { embedded: embed(face, parsed, codes.keys())?, codes })
}

/// Six capital letters that differ between different subsets (ISO 32000-1, 9.6.4); FNV-1a over the
/// characters.
fn tag<'a>(characters: impl Iterator<Item = &'a char>) -> String {
    let mut hash = 0xCBF2_9CE4_8422_2325_u64;
    for c in characters {
        hash = (hash ^ u64::from(*c as u32)).wrapping_mul(0x0000_0100_0000_01B3);
    }
    let letter = |n: u32| char::from(b'A' + (hash / 26_u64.pow(n) % 26) as u8);
    (0..6).map(letter).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_common_characters_are_in_every_face() {
        for face in Face::FAMILY {
            let missing: String = COMMON.chars().filter(|c| common_code(face, *c).is_none()).collect();
            assert_eq!(missing, "", "{face:?}");
            assert_eq!(common_code(face, 'ж'), None);
        }
    }

    #[test]
    fn common_characters_keep_their_codes_whatever_else_is_there() {
        for face in Face::FAMILY {
            let subset = subset(face, &"ΩЖ!жą".chars().collect()).unwrap();
            let mut codes = BTreeSet::new();
            for c in (' '..='~').chain(COMMON.chars()) {
                assert_eq!(Some(subset.code(c)), common_code(face, c), "{face:?} {c}");
                codes.insert(subset.code(c));
            }
            assert!("ΩЖжą".chars().all(|c| codes.insert(subset.code(c))), "{face:?}");
        }
    }

    #[test]
    fn a_subset_is_small_and_carries_the_extra_characters() {
        let subset = subset(Face::Narrow, &"Ωж".chars().collect()).unwrap();
        let length = subset.embedded.program_length();
        assert!(length > 0 && length < Face::Narrow.file().len() as i64 / 10, "{length}");
        assert_ne!(subset.code('ж'), 0);
        assert_eq!(subset.code('ш'), 0);
    }

    #[test]
    fn the_cache_is_bounded() {
        for n in 0..2 * KEPT as u32 {
            let extra = char::from_u32(0x410 + n % 64).into_iter().chain(char::from_u32(0x391 + n / 64));
            subset(Face::Regular, &extra.collect()).unwrap();
        }
        assert!(CACHE.lock().unwrap().len() <= KEPT);
    }

    #[test]
    fn different_subsets_have_different_tags() {
        let tags: BTreeSet<String> =
            ["", "Ω", "ж", "Ωж"].iter().map(|text| tag(text.chars().collect::<Vec<_>>().iter())).collect();
        assert_eq!(tags.len(), 4);
    }
}
