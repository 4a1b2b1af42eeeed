//! Typefaces cut down to the characters in use, kept between documents.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, PoisonError};

use printpdf::{FontMetrics, ParsedFont};
use subsetter::GlyphRemapper;

use crate::SheetError;
use crate::deflate::deflate;
use crate::face::Face;

/// A typeface cut down.
pub(crate) struct Subset {
    /// As printpdf takes it.
    pub(crate) font: ParsedFont,
    /// The font file, deflated once for all documents.
    pub(crate) deflated: Vec<u8>,
}

/// Signs beside ASCII that every subset carries, so that most documents share one.
const COMMON: &str = "−–—·…×±≤≥°µ³²⌀‹›„“”’“äöüßéèêáíóúñçøåÄÖÜÉØÅ";
/// How many subsets with characters beyond the common ones are kept.
const KEPT: usize = 32;

type Cache = BTreeMap<(Face, BTreeSet<char>), Arc<Subset>>;
static CACHE: Mutex<Cache> = Mutex::new(BTreeMap::new());

/// The subset of a face with the common characters and these.
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

/// Is it in every subset of its face?
pub(crate) fn is_common(c: char) -> bool {
    c.is_ascii_graphic() || c == ' ' || (!c.is_ascii() && COMMON.contains(c))
}

fn cut(face: Face, extra: &BTreeSet<char>) -> Result<Subset, SheetError> {
    let mut characters: BTreeSet<char> = (' '..='~').chain(COMMON.chars()).collect();
    characters.extend(extra);
    let mut remapper = GlyphRemapper::new();
    let mut glyphs = BTreeMap::new();
    let mut widths = BTreeMap::new();
    for &c in &characters {
        if let Some((glyph, advance)) = face.glyph(c) {
            let new = remapper.remap(glyph.0);
            glyphs.insert(c as u32, new);
            widths.insert(new, advance);
        }
    }
    let file = subsetter::subset(face.file(), 0, &remapper)
        .map_err(|error| SheetError::Typeface { face: face.name(), reason: error.to_string() })?;
    let deflated = deflate(&file)?;
    let font = face.font();
    let metrics = FontMetrics { ascent: font.ascender(), descent: font.descender() };
    let name = format!("{}+{}", tag(&characters), face.name());
    let mut parsed =
        ParsedFont::with_glyph_data(file, 0, Some(name), glyphs, widths, font.units_per_em(), metrics);
    let bounds = font.global_bounding_box();
    parsed.pdf_font_metrics.x_min = bounds.x_min;
    parsed.pdf_font_metrics.y_min = bounds.y_min;
    parsed.pdf_font_metrics.x_max = bounds.x_max;
    parsed.pdf_font_metrics.y_max = bounds.y_max;
    parsed.pdf_font_metrics.us_weight_class = font.weight().to_number();
    Ok(Subset { font: parsed, deflated })
}

/// Six capital letters that differ between different subsets (ISO 32000-1, 9.6.4); FNV-1a over the
/// characters.
fn tag(characters: &BTreeSet<char>) -> String {
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
        for face in Face::ALL {
            let missing: String = COMMON.chars().filter(|c| !face.covers(*c)).collect();
            assert_eq!(missing, "", "{face:?}");
        }
    }

    #[test]
    fn a_subset_is_small_and_carries_the_extra_characters() {
        let subset = subset(Face::Narrow, &"Ωж".chars().collect()).unwrap();
        assert!(subset.font.original_bytes.len() < Face::Narrow.file().len() / 10);
        assert!(subset.font.lookup_glyph_index('ж' as u32).is_some());
        assert!(subset.font.lookup_glyph_index('ш' as u32).is_none());
    }

    #[test]
    fn different_subsets_have_different_tags() {
        let tags: BTreeSet<String> =
            ["", "Ω", "ж", "Ωж"].iter().map(|text| tag(&text.chars().collect())).collect();
        assert_eq!(tags.len(), 4);
    }
}
