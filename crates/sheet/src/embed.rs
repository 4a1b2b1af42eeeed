//! A cut typeface as the objects of a file, made once and taken into every document.

use lopdf::{Dictionary, Document, Object, ObjectId, Stream, dictionary};
use printpdf::{
    FontId, Mm, Op, ParsedFont, PdfDocument, PdfFont, PdfFontHandle, PdfPage, PdfSaveOptions, Pt, TextItem,
};
use ttf_parser::Tag;

use crate::SheetError;
use crate::deflate::Deflater;
use crate::face::Face;

/// The objects of an embedded typeface (ISO 32000-1, 9.7 and 9.9), but for their references to each other.
pub(crate) struct Embedded {
    font: Dictionary,
    descendant: Dictionary,
    descriptor: Dictionary,
    /// The key of the program in the descriptor: it says what kind of outlines it has.
    key: &'static str,
    program: Stream,
    to_unicode: Stream,
    cid_set: Stream,
}

impl Embedded {
    /// Takes it into a file; gives the font to be named among the resources of pages.
    pub(crate) fn add_to(&self, file: &mut Document) -> ObjectId {
        let mut descriptor = self.descriptor.clone();
        descriptor.set(self.key, file.add_object(self.program.clone()));
        descriptor.set("CIDSet", file.add_object(self.cid_set.clone()));
        let mut descendant = self.descendant.clone();
        descendant.set("FontDescriptor", file.add_object(descriptor));
        let mut font = self.font.clone();
        font.set("DescendantFonts", vec![Object::Reference(file.add_object(descendant))]);
        font.set("ToUnicode", file.add_object(self.to_unicode.clone()));
        file.add_object(font)
    }

    /// Bytes of the font program before it was deflated.
    #[cfg(test)]
    pub(crate) fn program_length(&self) -> i64 {
        self.program.dict.get(b"Length1").and_then(Object::as_i64).unwrap_or_default()
    }
}

/// Embeds a cut typeface with these characters.
///
/// printpdf embeds it into a document that shows each character once; what it made is taken out of there.
///
/// # Errors
/// [`SheetError::Typeface`] when printpdf makes something else than expected of it.
pub(crate) fn embed<'a>(
    face: Face,
    parsed: ParsedFont,
    characters: impl Iterator<Item = &'a char>,
) -> Result<Embedded, SheetError> {
    let amiss = |reason: String| SheetError::Typeface { face: face.name(), reason };
    let cut = parsed.original_bytes.clone();
    let file = show_all(face, parsed, characters.collect());
    let parts = take_out(&file).map_err(|error| amiss(error.to_string()))?;
    let (mut font, mut descendant, mut descriptor, to_unicode) = parts;
    let whole = face.font();
    let thousandths = |units: i16| (i64::from(units) * 1000 + 1024) / i64::from(whole.units_per_em());
    if let Some(height) = whole.capital_height() {
        descriptor.set("CapHeight", thousandths(height));
    }
    for key in [&b"FontFile2"[..], b"FontFile3", b"CIDSet"] {
        descriptor.remove(key);
    }
    descendant.remove(b"FontDescriptor");
    for key in [&b"DescendantFonts"[..], b"ToUnicode"] {
        font.remove(key);
    }
    let cut = ttf_parser::Face::parse(&cut, 0).map_err(|error| amiss(error.to_string()))?;
    let glyphs = cut.number_of_glyphs();
    let (key, kind, program) = program(&cut);
    let mut deflater = Deflater::new();
    Ok(Embedded {
        font,
        descendant,
        descriptor,
        key,
        program: deflater.stream(kind, program)?,
        to_unicode: deflater.stream(Dictionary::new(), &to_unicode)?,
        cid_set: deflater.stream(Dictionary::new(), &cid_set(glyphs))?,
    })
}

/// The key of a program in its descriptor, what its stream says of it, and the program itself: the whole file with
/// TrueType outlines, or the bare table with CFF ones (ISO 32000-1, table 126), which the subsetter numbers by CID.
fn program<'a>(cut: &ttf_parser::Face<'a>) -> (&'static str, Dictionary, &'a [u8]) {
    let file = cut.raw_face();
    match file.table(Tag::from_bytes(b"CFF ")) {
        Some(table) => ("FontFile3", dictionary! { "Subtype" => "CIDFontType0C" }, table),
        None => ("FontFile2", dictionary! { "Length1" => file.data.len() as i64 }, file.data),
    }
}

fn show_all(face: Face, parsed: ParsedFont, characters: String) -> Document {
    let id = FontId(face.resource().into_owned());
    let font = PdfFontHandle::External(id.clone());
    let show = vec![
        Op::StartTextSection,
        Op::SetFont { font, size: Pt(1.0) },
        Op::ShowText { items: vec![TextItem::Text(characters)] },
        Op::EndTextSection,
    ];
    let mut pdf = PdfDocument::new("");
    pdf.resources.fonts.map.insert(id, PdfFont::new(parsed));
    pdf.with_pages(vec![PdfPage::new(Mm(1.0), Mm(1.0), show)]);
    pdf.to_lopdf_document(&PdfSaveOptions::default(), &mut Vec::new())
}

/// Font, descendant, descriptor and the map to Unicode.
fn take_out(file: &Document) -> lopdf::Result<(Dictionary, Dictionary, Dictionary, Vec<u8>)> {
    let is_font = |object: &&Object| object.as_dict().is_ok_and(|font| font.has(b"DescendantFonts"));
    let font = file.objects.values().find(is_font).ok_or(lopdf::Error::ObjectNotFound((0, 0)))?.as_dict()?;
    let descendants = font.get_deref(b"DescendantFonts", file)?.as_array()?;
    let descendant = descendants.first().ok_or(lopdf::Error::ObjectNotFound((0, 0)))?;
    let descendant = file.dereference(descendant)?.1.as_dict()?;
    let descriptor = descendant.get_deref(b"FontDescriptor", file)?.as_dict()?;
    let to_unicode = font.get_deref(b"ToUnicode", file)?.as_stream()?;
    Ok((font.clone(), descendant.clone(), descriptor.clone(), to_unicode.content.clone()))
}

/// One bit for each glyph: all of them are there, and codes are glyphs.
fn cid_set(glyphs: u16) -> Vec<u8> {
    let glyphs = usize::from(glyphs);
    let mut bits = vec![0xFF; glyphs.div_ceil(8)];
    if let Some(last) = bits.last_mut().filter(|_| glyphs % 8 > 0) {
        *last <<= 8 - glyphs % 8;
    }
    bits
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_of_glyphs_names_each_of_them_and_no_other() {
        assert_eq!(cid_set(8), [0xFF]);
        assert_eq!(cid_set(9), [0xFF, 0x80]);
        assert_eq!(cid_set(15), [0xFF, 0xFE]);
    }
}
