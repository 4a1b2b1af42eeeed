//! Characters that the built-in typefaces lack, with a typeface that has some of them.

mod common;

use common::{Specimen, documents_of_everything_long};
use headproof_sheet::{
    BatchInput, Rendered, Typeface, TypefaceError, batch_report, inspection_sheet, use_typefaces,
};
use headproof_wire::{Paper, SheetOptions};
use lopdf::{Document, Object};

/// The monospaced face of the family has the signs for profiles of lines and surfaces; no other face of it has.
fn monospaced() -> Vec<Typeface> {
    vec![Typeface::new(dejavu::sans_mono::regular().to_vec(), 0).expect("a font")]
}

fn sheet(specimen: &Specimen) -> Rendered {
    use_typefaces(monospaced()).expect("no others are in use");
    inspection_sheet(&specimen.documents().input(Paper::A4)).expect("the specimen has a sheet")
}

fn for_customer(customer: &str) -> Rendered {
    sheet(&Specimen { customer: customer.into(), ..Specimen::default() })
}

fn document(rendered: &Rendered) -> Document {
    Document::load_mem(&rendered.bytes).expect("the file can be read")
}

fn text(rendered: &Rendered) -> String {
    let document = document(rendered);
    let pages: Vec<u32> = document.get_pages().into_keys().collect();
    document.extract_text(&pages).expect("the pages have text")
}

/// Is the given face in the file?
fn is_taken(rendered: &Rendered) -> bool {
    let is_given = |object: &Object| {
        let name = object.as_dict().and_then(|font| font.get(b"BaseFont")).and_then(Object::as_name);
        name.is_ok_and(|name| name.ends_with(b"+DejaVuSansMono"))
    };
    document(rendered).objects.values().any(is_given)
}

#[test]
fn a_given_face_prints_what_the_family_lacks_and_nothing_else() {
    let rendered = for_customer("\u{2313}\u{2312} & Ω");
    assert!(text(&rendered).contains("\u{2313}\u{2312} & Ω"));
    assert_eq!(rendered.unshown, []);
    assert!(is_taken(&rendered) && !is_taken(&for_customer("Σύνολο")));
}

#[test]
fn what_no_face_has_is_spelled_and_told_of() {
    let rendered = for_customer("検\u{2313}");
    assert_eq!(rendered.unshown, ['検']);
    assert_eq!(rendered.unshown_code_points().as_deref(), Some("U+691C"));
    let text = text(&rendered);
    assert!(text.contains("‹U+691C›\u{2313}"), "{text}");
    let said: String = text.split_whitespace().collect();
    assert!(said.contains("theirplaces:U+691C.Therecordattachedtothisfilehas"), "{text}");
}

#[test]
fn a_character_that_stands_on_every_page_is_told_of_once() {
    let rendered = sheet(&Specimen { serial: "験-1".into(), ..Specimen::default() });
    assert_eq!(rendered.unshown, ['験']);
    assert_eq!(text(&rendered).matches("U+9A13.").count(), 1);
}

/// The index names the heads, and each sheet is a whole of its own.
#[test]
fn a_report_tells_in_its_index_and_on_the_sheet_it_is_about() {
    use_typefaces(monospaced()).expect("no others are in use");
    let heads = [
        documents_of_everything_long(),
        Specimen { serial: "験-1\u{2313}".into(), ..Specimen::default() }.documents(),
    ];
    let sheets = heads.iter().map(|documents| documents.input(Paper::A4)).collect();
    let failed = vec![("査-2".to_owned(), "its documents are gone".to_owned())];
    let report = batch_report(&BatchInput {
        batch_label: "Third week",
        sheets,
        failed,
        statistics: None,
        statistics_canonical: None,
        look: SheetOptions::default(),
    })
    .unwrap();
    assert_eq!(report.unshown, ['査', '験']);
    let said: String = text(&report).split_whitespace().collect();
    assert_eq!(said.matches("theirplaces:U+67FB,U+9A13.Thedocuments").count(), 1);
    assert_eq!(said.matches("theirplaces:U+9A13.Therecord").count(), 1);
    assert_eq!(said.matches("theirplaces:").count(), 2);
}

#[test]
fn typefaces_are_given_once() {
    assert_eq!(use_typefaces(monospaced()), Ok(()));
    assert_eq!(use_typefaces(monospaced()), Ok(()));
    assert_eq!(use_typefaces(Vec::new()), Err(TypefaceError::InUse));
    let other = Typeface::new(dejavu::serif::regular().to_vec(), 0).unwrap();
    assert_eq!(use_typefaces(vec![other]), Err(TypefaceError::InUse));
}
