//! Typefaces that are given to the program for characters its own family lacks.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::sync::{OnceLock, PoisonError, RwLock};

use sha2::{Digest, Sha256};
use subsetter::GlyphRemapper;
use ttf_parser::{Permissions, Tag};
use unicode_general_category::{GeneralCategory, get_general_category};

use crate::face::{Face, Loaded};

/// A font file, TrueType or OpenType with CFF outlines, or one face of a collection of them.
///
/// Its bytes are kept until the process ends: typefaces are given once, for all pages.
pub struct Typeface {
    file: &'static [u8],
    index: u32,
    name: String,
    digest: OnceLock<String>,
    loaded: Loaded,
}

/// Why a font cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TypefaceError {
    /// It cannot be read as TrueType or OpenType, or the collection has no such face.
    #[error("is no font that can be read: {0}")]
    Unreadable(String),
    /// It has neither TrueType nor CFF outlines: bitmaps, colours or CFF2 only.
    #[error("has neither TrueType nor CFF outlines")]
    NoOutlines,
    /// Its permissions (fsType in its table OS/2) do not let it be embedded as this program has to.
    #[error("its permissions (OS/2 fsType) forbid {0}")]
    Forbidden(&'static str),
    /// Other typefaces were given before, or pages were drawn without any.
    #[error("other typefaces are in use already")]
    InUse,
}

impl Typeface {
    /// Takes a font; `index` is the place of the face in a collection, 0 in any other file.
    ///
    /// # Errors
    /// Every [`TypefaceError`] but [`TypefaceError::InUse`].
    pub fn new(file: Vec<u8>, index: u32) -> Result<Self, TypefaceError> {
        check(&file, index)?;
        let file: &'static [u8] = Vec::leak(file);
        let font = ttf_parser::Face::parse(file, index).map_err(unreadable)?;
        let name = postscript_name(&font).unwrap_or_else(|| "Given".to_owned());
        // Its low characters are hardly ever asked for: the family has them.
        Ok(Self { file, index, name, digest: OnceLock::new(), loaded: Loaded::new(font, 0) })
    }

    /// The whole font file.
    pub(crate) const fn file(&self) -> &'static [u8] {
        self.file
    }

    /// Which face of its file it is.
    pub(crate) const fn index(&self) -> u32 {
        self.index
    }

    /// Its PostScript name.
    pub(crate) fn name(&self) -> &str {
        &self.name
    }

    /// The font.
    pub(crate) const fn loaded(&self) -> &Loaded {
        &self.loaded
    }

    /// SHA-256 of the file in hex and the place of the face in it: what pages that it is on depend on.
    pub(crate) fn digest(&self) -> &str {
        self.digest.get_or_init(|| {
            let mut text = String::new();
            for byte in Sha256::digest(self.file) {
                let _ = write!(text, "{byte:02x}");
            }
            format!("{text} {}", self.index)
        })
    }
}

fn unreadable(error: impl ToString) -> TypefaceError {
    TypefaceError::Unreadable(error.to_string())
}

/// May and can this face be cut down and embedded?
fn check(file: &[u8], index: u32) -> Result<(), TypefaceError> {
    let font = ttf_parser::Face::parse(file, index).map_err(unreadable)?;
    let has = |tag: &[u8; 4]| font.raw_face().table(Tag::from_bytes(tag)).is_some();
    if !has(b"glyf") && !has(b"CFF ") {
        return Err(TypefaceError::NoOutlines);
    }
    // OpenType 1.9, OS/2: without the table nothing is forbidden.
    if let Some(os2) = font.tables().os2 {
        if matches!(os2.permissions(), None | Some(Permissions::Restricted)) {
            return Err(TypefaceError::Forbidden("embedding"));
        }
        if !os2.is_subsetting_allowed() {
            return Err(TypefaceError::Forbidden("embedding a part of it"));
        }
        if !os2.is_outline_embedding_allowed() {
            return Err(TypefaceError::Forbidden("embedding its outlines"));
        }
    }
    // A font that cannot be cut is found now, not at the first sheet.
    subsetter::subset(file, index, &GlyphRemapper::new()).map_err(unreadable)?;
    Ok(())
}

/// Name 6 of the font, as far as it may stand in a PDF name without escapes.
fn postscript_name(font: &ttf_parser::Face<'_>) -> Option<String> {
    let names = font.names().into_iter().filter(|name| name.name_id == ttf_parser::name_id::POST_SCRIPT_NAME);
    let name = names.filter_map(|name| name.to_string()).next()?;
    let plain: String =
        name.chars().filter(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '_')).collect();
    Some(plain).filter(|name| !name.is_empty())
}

static GIVEN: OnceLock<Vec<Typeface>> = OnceLock::new();
/// Which of the given faces prints a character that was asked for before.
static KNOWN: RwLock<BTreeMap<char, Option<Face>>> = RwLock::new(BTreeMap::new());

/// Gives typefaces to all pages of this process, for characters that its own family lacks: the first one that has a
/// character prints it. To be called before anything is drawn; again only with the same ones.
///
/// # Errors
/// [`TypefaceError::InUse`] when others are in use, or none.
pub fn use_typefaces(typefaces: Vec<Typeface>) -> Result<(), TypefaceError> {
    let Err(again) = GIVEN.set(typefaces) else { return Ok(()) };
    let same = |a: &Typeface, b: &Typeface| (a.index, a.file) == (b.index, b.file);
    let known = all();
    let is_same = known.len() == again.len() && known.iter().zip(&again).all(|(a, b)| same(a, b));
    if is_same { Ok(()) } else { Err(TypefaceError::InUse) }
}

/// Those that were given. From now on there will be no others.
fn all() -> &'static [Typeface] {
    GIVEN.get_or_init(Vec::new)
}

/// One of those that were given.
pub(crate) fn given(place: usize) -> &'static Typeface {
    &all()[place]
}

/// The first given face that prints a character.
pub(crate) fn printing(c: char) -> Option<Face> {
    if all().is_empty() || !stands_alone(c) {
        return None;
    }
    let known = KNOWN.read().unwrap_or_else(PoisonError::into_inner).get(&c).copied();
    known.unwrap_or_else(|| {
        let face = all().iter().position(|typeface| typeface.loaded.shows(c)).map(Face::Given);
        KNOWN.write().unwrap_or_else(PoisonError::into_inner).insert(c, face);
        face
    })
}

/// Marks sit on what is before them, and the conjoining letters of Korean join into syllables: these pages have no
/// layout for that in a given face.
fn stands_alone(c: char) -> bool {
    use GeneralCategory::{EnclosingMark, NonspacingMark, SpacingMark};
    let is_mark = matches!(get_general_category(c), EnclosingMark | NonspacingMark | SpacingMark);
    let is_jamo = matches!(c as u32, 0x1100..=0x11FF | 0xA960..=0xA97F | 0xD7B0..=0xD7FF);
    !is_mark && !is_jamo
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A font of the same family with one table changed: at a place in it, these bytes.
    fn changed(tag: &[u8; 4], at: usize, bytes: &[u8]) -> Vec<u8> {
        let mut file = dejavu::sans_mono::regular().to_vec();
        let entry = file.windows(4).position(|window| window == tag).unwrap();
        let offset = u32::from_be_bytes(file[entry + 8..entry + 12].try_into().unwrap()) as usize;
        file[offset + at..offset + at + bytes.len()].copy_from_slice(bytes);
        file
    }

    #[track_caller]
    fn refused(file: Vec<u8>, index: u32) -> TypefaceError {
        Typeface::new(file, index).err().unwrap()
    }

    /// `fsType` is at byte 8 of the table OS/2; 2 is "restricted license", 4 "preview and print", 512 "bitmaps only".
    #[test]
    fn a_font_that_forbids_to_be_embedded_is_refused() {
        let permitting = |bits: u16| changed(b"OS/2", 8, &bits.to_be_bytes());
        assert_eq!(refused(permitting(0x0002), 0), TypefaceError::Forbidden("embedding"));
        for bits in [0x0000, 0x0004, 0x0008] {
            assert!(Typeface::new(permitting(bits), 0).is_ok(), "{bits}");
        }
    }

    #[test]
    fn what_is_no_font_is_refused() {
        let whole = dejavu::sans_mono::regular();
        for (file, index) in [
            (b"no font at all".to_vec(), 0),
            (Vec::new(), 0),
            (whole[..4000].to_vec(), 0),
            (whole.to_vec(), 1),
        ] {
            assert!(matches!(refused(file, index), TypefaceError::Unreadable(_)));
        }
        let mut bare = whole.to_vec();
        let entry = bare.windows(4).position(|window| window == b"glyf").unwrap();
        bare[entry] = b'x';
        assert_eq!(refused(bare, 0), TypefaceError::NoOutlines);
    }

    #[test]
    fn marks_and_conjoining_letters_do_not_stand_alone() {
        for (c, expected) in [
            ('検', true),
            ('한', true),
            ('、', true),
            ('\u{1100}', false),
            ('\u{302A}', false),
            ('\u{93F}', false),
        ] {
            assert_eq!(stands_alone(c), expected, "{c:?}");
        }
    }

    #[test]
    fn a_face_is_named_by_its_own_postscript_name_and_its_digest() {
        let typeface = Typeface::new(dejavu::sans_mono::regular().to_vec(), 0).unwrap();
        assert_eq!(typeface.name(), "DejaVuSansMono");
        assert!(typeface.digest().len() == 66 && typeface.digest().ends_with(" 0"), "{}", typeface.digest());
    }
}
