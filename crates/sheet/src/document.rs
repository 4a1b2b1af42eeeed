//! Finished pages into a PDF file fit for an archive: PDF/A-3b. PDF_A3.md says which rule is kept where.

mod attachments;
mod cross_reference;
mod metadata;
mod moment;
mod outline;
mod packed;
mod signature;
mod srgb;
mod structure;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use headproof_texts::Language;
use lopdf::xref::XrefType;
use lopdf::{Dictionary, Object, ObjectId, StringFormat, dictionary};
use sha2::{Digest, Sha256};

pub(crate) use self::attachments::{Attachment, Relationship};
use self::metadata::{Metadata, sayable};
use self::moment::Moment;
pub(crate) use self::outline::Mark;
use self::packed::Packed;
pub(crate) use self::signature::{Placed, Signature};
use crate::canvas::{Canvas, Drawn};
use crate::content::put_codes;
use crate::deflate::Deflater;
use crate::face::{Face, POINTS};
use crate::structure::Tree;
use crate::subset::{Subset, subset};
use crate::typefaces::given;
use crate::{Rendered, SheetError};

/// Everything that goes into a file but for what is attached to it.
pub(crate) struct Document<'a> {
    /// Its title.
    pub(crate) title: String,
    /// The language of its pages.
    pub(crate) language: Language,
    /// Width and height of its pages in millimetres.
    pub(crate) size: (f32, f32),
    /// Its pages.
    pub(crate) canvases: Vec<Canvas>,
    /// What they say.
    pub(crate) tree: Tree,
    /// Its bookmarks, in the order of the pages.
    pub(crate) bookmarks: Vec<Mark>,
    /// RFC 3339 times of the measurements and the sign-off; the latest dates the file.
    pub(crate) moments: Vec<&'a str>,
    /// What the file is made from: its digests and, for a batch, its label.
    pub(crate) identity: Vec<&'a str>,
    /// The signature there is to be room for.
    pub(crate) signature: Option<Signature<'a>>,
}

/// Writes the file.
///
/// No clock, counter or map of random order has a part in it: the same document gives the same bytes.
///
/// # Errors
/// [`SheetError::Typeface`] or [`SheetError::Write`], both faults of the program.
pub(crate) fn write(document: Document<'_>) -> Result<Rendered, SheetError> {
    write_with(document, &[])
}

/// Writes the file with the documents it was made from inside it.
///
/// # Errors
/// As [`write`].
pub(crate) fn write_with(
    document: Document<'_>,
    attachments: &[Attachment<'_>],
) -> Result<Rendered, SheetError> {
    let Document { title, language, size, canvases, tree: elements, bookmarks, moments, signature, .. } =
        document;
    let mut identity = document.identity;
    let mut drawn: Vec<Drawn> = canvases.into_iter().map(Canvas::into_drawn).collect();
    let owners: Vec<Vec<u32>> = drawn.iter_mut().map(|page| std::mem::take(&mut page.owners)).collect();
    let unshown: BTreeSet<char> = drawn.iter().flat_map(|page| &page.spelled).copied().collect();
    let characters = characters(&drawn);
    identity.extend(characters.keys().filter_map(|face| match face {
        Face::Given(place) => Some(given(*place).digest()),
        _ => None,
    }));
    let id = file_id(&identity, language, size, drawn.len());
    let title = sayable(&title);
    let metadata = Metadata { title: &title, language, moment: Moment::latest(&moments) };
    let mut deflater = Deflater::new();
    let mut file = lopdf::Document::with_version("1.7");
    file.reference_table.cross_reference_type = XrefType::CrossReferenceTable;

    let tree = file.new_object_id();
    let mut catalog = catalog(&mut file, &metadata, tree, &mut deflater)?;
    let mut pages = add_pages(&mut file, drawn, &characters, (tree, size), &mut deflater)?;
    let attached = attachments::add_to(&mut file, attachments, metadata.moment, &mut deflater)?;
    for (page, files) in attached.of {
        match page {
            None => catalog.set("AF", files),
            Some(page) => {
                if let Some((_, page)) = pages.get_mut(page) {
                    page.set("AF", files);
                }
            }
        }
    }
    if !attached.names.is_empty() {
        let embedded = dictionary! { "Names" => attached.names };
        catalog.set("Names", dictionary! { "EmbeddedFiles" => embedded });
    }
    let mut field = None;
    let mut value = None;
    if let Some(signature) = signature {
        let (number, of) = signature::add_to(&mut file, &signature, &mut pages, size.1, &mut catalog)?;
        value = Some((number, signature::placeholder(&signature)?));
        field = Some(of);
    }
    let page_ids: Vec<ObjectId> = pages.iter().map(|(id, _)| *id).collect();
    if let Some(outline) = outline::add_to(&mut file, &bookmarks, &page_ids, size.1) {
        catalog.set("Outlines", outline);
        catalog.set("PageMode", "UseOutlines");
    }
    for (id, page) in pages {
        file.set_object(id, page);
    }
    let page_numbers: Vec<u32> = page_ids.iter().map(|(number, _)| *number).collect();
    let kids: Vec<Object> = page_ids.into_iter().map(Object::Reference).collect();
    let tree_of_pages = dictionary! {
        "Type" => "Pages",
        "Count" => kids.len() as i64,
        "Kids" => kids,
    };
    file.set_object(tree, tree_of_pages);
    let mut packed = Packed::new();
    catalog.set("StructTreeRoot", Object::Reference((file.max_id + 1, 0)));
    catalog.set("MarkInfo", dictionary! { "Marked" => true });
    let pages = (owners.as_slice(), page_numbers.as_slice());
    file.max_id = structure::add_to(&mut packed, file.max_id + 1, &elements, pages, field)?;

    let catalog = file.add_object(catalog);
    let information = file.add_object(metadata.information());
    let id = Object::String(id, StringFormat::Hexadecimal);
    file.trailer.set("Root", catalog);
    file.trailer.set("Info", information);
    file.trailer.set("ID", vec![id.clone(), id]);
    let bytes = cross_reference::write(file, packed, value)?;
    Ok(Rendered { bytes, unshown: unshown.into_iter().collect() })
}

/// The catalogue: what the file is, and how it is to be shown.
fn catalog(
    file: &mut lopdf::Document,
    metadata: &Metadata<'_>,
    tree: ObjectId,
    deflater: &mut Deflater,
) -> Result<Dictionary, SheetError> {
    let packet = file.add_object(metadata.packet());
    let profile = file.add_object(srgb::stream(deflater)?);
    let condition = || Object::string_literal("sRGB IEC61966-2.1");
    let intent = dictionary! {
        "Type" => "OutputIntent",
        "S" => "GTS_PDFA1",
        "OutputConditionIdentifier" => condition(),
        "Info" => condition(),
        "DestOutputProfile" => profile,
    };
    Ok(dictionary! {
        "Type" => "Catalog",
        "Pages" => tree,
        "PageLayout" => "SinglePage",
        "Lang" => Object::string_literal(metadata.language.code()),
        "ViewerPreferences" => dictionary! { "DisplayDocTitle" => true },
        "Metadata" => packet,
        "OutputIntents" => vec![Object::Dictionary(intent)],
    })
}

/// Adds contents and typefaces; gives the pages, which something may still be hung on, with their numbers.
fn add_pages(
    file: &mut lopdf::Document,
    drawn: Vec<Drawn>,
    characters: &BTreeMap<Face, BTreeSet<char>>,
    (tree, size): (ObjectId, (f32, f32)),
    deflater: &mut Deflater,
) -> Result<Vec<(ObjectId, Dictionary)>, SheetError> {
    let mut subsets: BTreeMap<Face, Arc<Subset>> = BTreeMap::new();
    let mut fonts = Dictionary::new();
    for (face, characters) in characters {
        let subset = subset(*face, characters)?;
        fonts.set(face.resource().as_bytes(), subset.embedded.add_to(file));
        subsets.insert(*face, subset);
    }
    let resources = file.add_object(dictionary! { "Font" => fonts });
    let mut pages = Vec::with_capacity(drawn.len());
    for Drawn { mut content, rare, .. } in drawn {
        let code = |face: Face, c| subsets.get(&face).map_or(0, |subset| subset.code(c));
        put_codes(&mut content, rare.iter().map(|rare| (rare.at, code(rare.face, rare.character))));
        let contents = deflater.stream(Dictionary::new(), &content)?;
        let contents = file.add_object(contents);
        let page = dictionary! {
            "Type" => "Page",
            "Parent" => tree,
            "MediaBox" => vec![0.into(), 0.into(), points(size.0), points(size.1)],
            "Resources" => resources,
            "Contents" => contents,
            "StructParents" => pages.len() as i64,
        };
        pages.push((file.new_object_id(), page));
    }
    Ok(pages)
}

/// The typefaces all pages take together, each with the characters it has to show beyond the common ones.
fn characters(drawn: &[Drawn]) -> BTreeMap<Face, BTreeSet<char>> {
    let mut characters: BTreeMap<Face, BTreeSet<char>> = BTreeMap::new();
    for Drawn { faces, rare, .. } in drawn {
        for (face, _) in Face::FAMILY.into_iter().zip(faces).filter(|(_, used)| **used) {
            characters.entry(face).or_default();
        }
        for rare in rare {
            characters.entry(rare.face).or_default().insert(rare.character);
        }
    }
    characters
}

/// A length in points, to hundredths.
fn points(millimetres: f32) -> Object {
    Object::Real((millimetres * POINTS * 100.0).round() / 100.0)
}

/// Identity of a file: 16 bytes that depend on what it is made from and what made it.
fn file_id(identity: &[&str], language: Language, size: (f32, f32), pages: usize) -> Vec<u8> {
    let mut hash = Sha256::new();
    for part in identity.iter().copied().chain([language.code(), crate::RENDERER]) {
        hash.update((part.len() as u64).to_be_bytes());
        hash.update(part.as_bytes());
    }
    hash.update(format!("{size:?} {pages}").as_bytes());
    hash.finalize()[..16].to_vec()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn different_records_have_different_identities() {
        let a4 = (210.0, 297.0);
        let english = |identity: &[&str], size| file_id(identity, Language::English, size, 1);
        assert_ne!(english(&["ab", "c"], a4), english(&["a", "bc"], a4));
        assert_ne!(english(&["a"], a4), english(&["a"], (215.9, 279.4)));
        assert_ne!(english(&["a"], a4), file_id(&["a"], Language::German, a4, 1));
    }
}
