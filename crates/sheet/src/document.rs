//! Finished pages into a PDF file: pages by printpdf, the rest put right on the object level.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use lopdf::{Object, StringFormat, dictionary};
use printpdf::{FontId, PageAnnotId, PageAnnotation, PdfDocument, PdfFont, PdfPage, PdfSaveOptions, Pt};
use sha2::{Digest, Sha256};
use time::OffsetDateTime;
use time::format_description::well_known::Rfc3339;

use crate::SheetError;
use crate::canvas::Canvas;
use crate::deflate::deflate;
use crate::face::{Face, POINTS};
use crate::subset::{Subset, subset};

/// Everything that goes into a file.
pub(crate) struct Document<'a> {
    /// Its title.
    pub(crate) title: String,
    /// Width and height of its pages in millimetres.
    pub(crate) size: (f32, f32),
    /// Its pages.
    pub(crate) canvases: Vec<Canvas>,
    /// Names of places and their pages from 1, in the order of the pages.
    pub(crate) bookmarks: Vec<(String, usize)>,
    /// RFC 3339 times of the measurements; the latest dates the file.
    pub(crate) moments: Vec<&'a str>,
    /// What the file is made from: its digests and, for a batch, its label.
    pub(crate) identity: Vec<&'a str>,
}

/// Writes the file.
///
/// No clock, counter or map of random order has a part in it: the same document gives the same bytes.
///
/// # Errors
/// [`SheetError::Typeface`] or [`SheetError::Write`], both faults of the program.
pub(crate) fn write(document: Document<'_>) -> Result<Vec<u8>, SheetError> {
    let Document { title, size, canvases, bookmarks, moments, identity } = document;
    let (width, height) = (Pt(size.0 * POINTS), Pt(size.1 * POINTS));
    let mut used: [Option<BTreeSet<char>>; 4] = Default::default();
    let mut pages = Vec::with_capacity(canvases.len());
    for canvas in canvases {
        let (ops, characters) = canvas.into_parts();
        for (all, more) in used.iter_mut().zip(characters) {
            if let Some(more) = more {
                all.get_or_insert_default().extend(more);
            }
        }
        pages.push(PdfPage::new(width.into(), height.into(), ops));
    }
    let file_id = file_id(&identity, size, pages.len());
    let mut pdf = PdfDocument::new(&title);
    let mut subsets: Vec<Arc<Subset>> = Vec::new();
    for (face, extra) in Face::ALL.into_iter().zip(&used) {
        if let Some(extra) = extra {
            let subset = subset(face, extra)?;
            pdf.resources
                .fonts
                .map
                .insert(FontId(face.resource().to_owned()), PdfFont::new(subset.font.clone()));
            subsets.push(subset);
        }
    }
    for (n, (name, page)) in bookmarks.into_iter().enumerate() {
        let key = PageAnnotId(format!("{n:06}"));
        pdf.bookmarks.map.insert(key, PageAnnotation { name, page });
    }
    pdf.with_pages(pages);
    let mut file = pdf.to_lopdf_document(&PdfSaveOptions::default(), &mut Vec::new());
    drop(pdf);
    put_right(&mut file, &title, latest(&moments), file_id)?;
    compress(&mut file, &subsets)?;
    let mut bytes = Vec::new();
    file.save_to(&mut bytes).map_err(|error| SheetError::Write(error.to_string()))?;
    Ok(bytes)
}

/// Version, identity, information and catalogue, as ISO 32000-1 has them.
fn put_right(
    file: &mut lopdf::Document,
    title: &str,
    date: Option<String>,
    file_id: Vec<u8>,
) -> Result<(), SheetError> {
    "1.7".clone_into(&mut file.version);
    let mut info = dictionary! {
        "Title" => text_string(title),
        "Creator" => text_string("headproof"),
        "Producer" => text_string(crate::RENDERER),
    };
    if let Some(date) = date {
        info.set("CreationDate", Object::string_literal(date.clone()));
        info.set("ModDate", Object::string_literal(date));
    }
    let info = file.add_object(info);
    file.trailer.set("Info", info);
    let file_id = Object::String(file_id, StringFormat::Hexadecimal);
    file.trailer.set("ID", vec![file_id.clone(), file_id]);
    let catalog = file.catalog_mut().map_err(|error| SheetError::Write(error.to_string()))?;
    if catalog.has(b"Outlines") {
        catalog.set("PageMode", Object::Name(b"UseOutlines".to_vec()));
    }
    catalog.set("PageLayout", Object::Name(b"SinglePage".to_vec()));
    catalog.set("Lang", Object::string_literal("en"));
    catalog.set("ViewerPreferences", dictionary! { "DisplayDocTitle" => true });
    file.prune_objects();
    file.renumber_objects();
    Ok(())
}

/// Deflates every stream; font files were deflated when they were cut.
fn compress(file: &mut lopdf::Document, subsets: &[Arc<Subset>]) -> Result<(), SheetError> {
    let ready: BTreeMap<&[u8], &[u8]> = subsets
        .iter()
        .map(|subset| (subset.font.original_bytes.as_slice(), subset.deflated.as_slice()))
        .collect();
    for object in file.objects.values_mut() {
        let Object::Stream(stream) = object else { continue };
        if stream.dict.has(b"Filter") {
            continue;
        }
        let deflated = match ready.get(stream.content.as_slice()) {
            Some(ready) => ready.to_vec(),
            None => deflate(&stream.content)?,
        };
        stream.set_content(deflated);
        stream.dict.set("Filter", Object::Name(b"FlateDecode".to_vec()));
    }
    Ok(())
}

/// Identity of a file: 16 bytes that depend on what it is made from and what made it.
fn file_id(identity: &[&str], size: (f32, f32), pages: usize) -> Vec<u8> {
    let mut hash = Sha256::new();
    for part in identity.iter().copied().chain([crate::RENDERER]) {
        hash.update((part.len() as u64).to_be_bytes());
        hash.update(part.as_bytes());
    }
    hash.update(format!("{size:?} {pages}").as_bytes());
    hash.finalize()[..16].to_vec()
}

/// A text string of ISO 32000-1, 7.9.2.2: UTF-16 with its byte order mark.
fn text_string(text: &str) -> Object {
    let units = std::iter::once(0xFEFF).chain(text.encode_utf16());
    Object::String(units.flat_map(u16::to_be_bytes).collect(), StringFormat::Hexadecimal)
}

/// The latest of some times as a date of ISO 32000-1, 7.9.4; none when none can be read.
fn latest(moments: &[&str]) -> Option<String> {
    let read = |text: &&str| OffsetDateTime::parse(text, &Rfc3339).ok();
    let moment = moments.iter().filter_map(read).max()?;
    let (hours, minutes, _) = moment.offset().as_hms();
    let sign = if moment.offset().is_negative() { '-' } else { '+' };
    Some(format!(
        "D:{:04}{:02}{:02}{:02}{:02}{:02}{sign}{:02}'{:02}'",
        moment.year(),
        u8::from(moment.month()),
        moment.day(),
        moment.hour(),
        moment.minute(),
        moment.second(),
        hours.unsigned_abs(),
        minutes.unsigned_abs(),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_dated_by_its_latest_measurement() {
        let moments = ["2026-03-01T10:00:00+02:00", "2026-03-01T09:30:15Z", "no time"];
        assert_eq!(latest(&moments).as_deref(), Some("D:20260301093015+00'00'"));
        assert_eq!(latest(&["2026-03-01T10:00:00-03:30"]).as_deref(), Some("D:20260301100000-03'30'"));
        assert_eq!(latest(&["yesterday"]), None);
    }

    #[test]
    fn different_records_have_different_identities() {
        let a4 = (210.0, 297.0);
        assert_ne!(file_id(&["ab", "c"], a4, 1), file_id(&["a", "bc"], a4, 1));
        assert_ne!(file_id(&["a"], a4, 1), file_id(&["a"], (215.9, 279.4), 1));
    }
}
