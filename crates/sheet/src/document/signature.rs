//! Room for a signature: ISO 32000-1, 12.7.4.5 (the field) and 12.8.1 (its value).
//!
//! Nothing is signed here. The value is written so that whoever signs finds its places by their form and fills them in
//! without moving a byte: the range of bytes that is signed, and the signature itself.

use lopdf::{Dictionary, Object, ObjectId, Stream, dictionary};

use super::metadata::text_string;
use super::moment::Moment;
use super::points;
use super::structure::Field;
use crate::SheetError;

/// A signature that is still to come.
pub(crate) struct Signature<'a> {
    /// Who signs.
    pub(crate) name: &'a str,
    /// What the signature means.
    pub(crate) reason: String,
    /// When, in RFC 3339.
    pub(crate) signed_at: &'a str,
    /// What the field is, for whom cannot see it.
    pub(crate) label: String,
    /// How many bytes it may take.
    pub(crate) room: usize,
    /// Where it is seen.
    pub(crate) place: Placed,
}

/// A rectangle on a page.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Placed {
    /// The page, from 0.
    pub(crate) page: usize,
    /// Its upper left corner in millimetres from that of the page.
    pub(crate) at: (f32, f32),
    /// Width and height in millimetres.
    pub(crate) size: (f32, f32),
    /// The element that stands for it.
    pub(crate) element: u32,
}

/// Its name among the fields of the file.
const FIELD: &str = "Signature1";
/// Printed, and not to be moved or deleted: bits 3 and 8 of table 165.
const PRINTED_AND_LOCKED: i64 = 4 + 128;
/// There are signatures, and the file may only be added to: table 219.
const SIGNED_AND_ADDED_TO: i64 = 1 + 2;

/// Adds the field and its annotation to the file, its page and the catalogue; gives the number the signature will
/// have, and the field as the structure knows it.
///
/// # Errors
/// [`SheetError::Write`], a fault of the program: the page is none of the file.
pub(super) fn add_to(
    file: &mut lopdf::Document,
    signature: &Signature<'_>,
    pages: &mut [(ObjectId, Dictionary)],
    height: f32,
    catalog: &mut Dictionary,
) -> Result<(u32, Field), SheetError> {
    let Placed { page, at, size, element } = signature.place;
    let key = pages.len() as i64;
    let (page, on) = pages
        .get_mut(page)
        .ok_or_else(|| SheetError::Write("the page of the signature is missing".to_owned()))?;
    let value = file.new_object_id();
    // What is seen of it stands on the page; the annotation adds nothing (but PDF/A wants it to look like something).
    let look = dictionary! {
        "Type" => "XObject",
        "Subtype" => "Form",
        "BBox" => vec![0.into(), 0.into(), points(size.0), points(size.1)],
        "Resources" => Dictionary::new(),
    };
    let look = file.add_object(Stream::new(look, Vec::new()).with_compression(false));
    let (left, top) = at;
    let corners = [left, height - top - size.1, left + size.0, height - top];
    let annotation = file.add_object(dictionary! {
        "Type" => "Annot",
        "Subtype" => "Widget",
        "FT" => "Sig",
        "T" => Object::string_literal(FIELD),
        "TU" => text_string(&signature.label),
        "F" => PRINTED_AND_LOCKED,
        "P" => *page,
        "Rect" => corners.map(points).to_vec(),
        "AP" => dictionary! { "N" => look },
        "StructParent" => key,
        "V" => value,
    });
    on.set("Annots", vec![annotation.into()]);
    // Readers go through fields in the order of the structure (12.5.1, table 30).
    on.set("Tabs", "S");
    let form = dictionary! { "Fields" => vec![annotation.into()], "SigFlags" => SIGNED_AND_ADDED_TO };
    catalog.set("AcroForm", form);
    Ok((value.0, Field { element, annotation: annotation.0, page: page.0 }))
}

/// The value of the field: the kind of signature of ETSI EN 319 142-1 (PAdES), with zeros where it is still to come.
///
/// # Errors
/// [`SheetError::Write`] where the time is none: a fault of the program, which wrote it.
pub(super) fn placeholder(signature: &Signature<'_>) -> Result<Vec<u8>, SheetError> {
    let moment = Moment::latest(&[signature.signed_at]).and_then(Moment::universal);
    let moment = moment.ok_or_else(|| SheetError::Write("a sign-off without a time".to_owned()))?;
    Ok(format!(
        "<</Type/Sig/Filter/Adobe.PPKLite/SubFilter/ETSI.CAdES.detached/M({moment})/Name{name}/Reason{reason}\
         /ByteRange[0 0000000000 0000000000 0000000000]/Contents<{zeros}>>>",
        moment = moment.pdf(),
        name = hexadecimal(signature.name),
        reason = hexadecimal(&signature.reason),
        zeros = "00".repeat(signature.room),
    )
    .into_bytes())
}

/// A text string of ISO 32000-1, 7.9.2.2, in UTF-16 with its byte order mark, in hexadecimal digits.
fn hexadecimal(text: &str) -> String {
    let units = text.encode_utf16().map(|unit| format!("{unit:04X}"));
    format!("<FEFF{}>", units.collect::<String>())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_value_has_room_for_the_signature_and_says_who_when_and_what_for() {
        let place = Placed { page: 0, at: (0.0, 0.0), size: (1.0, 1.0), element: 0 };
        let (reason, label) = ("ok".to_owned(), String::new());
        let signed_at = "2026-03-05T15:20:31+02:00";
        let signature = Signature { name: "Ω𝄞", reason, signed_at, label, room: 3, place };
        let written = String::from_utf8(placeholder(&signature).unwrap()).unwrap();
        assert_eq!(
            written,
            "<</Type/Sig/Filter/Adobe.PPKLite/SubFilter/ETSI.CAdES.detached/M(D:20260305132031+00'00')\
             /Name<FEFF03A9D834DD1E>/Reason<FEFF006F006B>\
             /ByteRange[0 0000000000 0000000000 0000000000]/Contents<000000>>>"
        );
        let never = Signature { signed_at: "never", ..signature };
        assert!(placeholder(&never).is_err());
    }
}
