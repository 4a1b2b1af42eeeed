//! The room for a signature in the file of a signed sheet, and what else a sign-off adds to a file.

mod common;
#[path = "common/signed.rs"]
mod sign_offs;

use common::{Documents, Specimen, documents_of_everything_long};
use headproof_sheet::{BatchInput, SheetInput, SignOffInput, batch_report, inspection_sheet};
use headproof_wire::{Language, Meaning, Paper, SheetOptions, SignOff};
use lopdf::{Dictionary, Document, Object};
use sign_offs::{CANONICAL, ROOM, Signed, signed};

fn head() -> (Documents, SignOff) {
    let documents = Specimen { cylinders: 2, ..Specimen::default() }.documents();
    let record = Signed { beside: 1, ..Signed::meaning(Meaning::Concession) }.record(&documents.evaluation);
    (documents, record)
}

fn file(input: &SheetInput<'_>) -> Vec<u8> {
    inspection_sheet(input).expect("the specimen has a sheet").bytes
}

fn places(bytes: &[u8], wanted: &[u8]) -> Vec<usize> {
    bytes.windows(wanted.len()).enumerate().filter(|(_, at)| *at == wanted).map(|(at, _)| at).collect()
}

fn hexadecimal(text: &str) -> String {
    text.encode_utf16().map(|unit| format!("{unit:04X}")).collect()
}

#[test]
fn the_value_stands_once_and_last() {
    let (documents, record) = head();
    for (language, reason) in [(Language::En, "released by concession"), (Language::De, "Sonderfreigabe")] {
        let look = SheetOptions { language, ..SheetOptions::default() };
        let bytes = file(&signed(documents.input_in(look), &record));
        let value = format!(
            " 0 obj\n<</Type/Sig/Filter/Adobe.PPKLite/SubFilter/ETSI.CAdES.detached/M(D:20260305152031+00'00')\
             /Name<FEFF{}>/Reason<FEFF{}>/ByteRange[0 0000000000 0000000000 0000000000]/Contents<{}>>>\nendobj\n",
            hexadecimal(&record.signer.name),
            hexadecimal(reason),
            "00".repeat(ROOM),
        );
        let [at] = places(&bytes, value.as_bytes())[..] else { panic!("once") };
        let rest = &bytes[at + value.len()..];
        let [cross_reference] = places(rest, b" 0 obj\n")[..] else { panic!("an object behind it") };
        assert!(rest[cross_reference..].starts_with(b" 0 obj\n<</Type/XRef"));
        for mark in [&b"/ByteRange"[..], b"/Contents<0", b"/Type/Sig/"] {
            assert_eq!(places(&bytes, mark).len(), 1, "{}", String::from_utf8_lossy(mark));
        }
    }
}

#[test]
fn the_field_is_on_the_first_page_where_the_block_is_and_belongs_to_the_structure() {
    let (documents, record) = head();
    let file = Document::load_mem(&file(&signed(documents.input(Paper::A4), &record))).unwrap();
    let get =
        |of: &Dictionary, key: &str| file.dereference(of.get(key.as_bytes()).unwrap()).unwrap().1.clone();
    let dictionary = |object: Object| object.as_dict().unwrap().clone();
    let catalog = file.catalog().unwrap();
    let form = dictionary(get(catalog, "AcroForm"));
    assert_eq!(form.get(b"SigFlags").unwrap().as_i64().unwrap(), 3);
    let fields = get(&form, "Fields");
    let [Object::Reference(field_id)] = fields.as_array().unwrap()[..] else { panic!("one field") };
    let field = file.get_dictionary(field_id).unwrap();
    assert_eq!(field.get(b"T").unwrap().as_str().unwrap(), b"Signature1");
    assert_eq!(field.get(b"F").unwrap().as_i64().unwrap(), 132);
    assert_eq!(get(field, "V").as_dict().unwrap().get(b"Type").unwrap().as_name().unwrap(), b"Sig");

    let first = file.get_pages()[&1];
    assert_eq!(field.get(b"P").unwrap().as_reference().unwrap(), first);
    let annotations = get(file.get_dictionary(first).unwrap(), "Annots");
    assert_eq!(annotations.as_array().unwrap(), &[Object::Reference(field_id)]);
    let numbers = |object: &Object| -> Vec<f32> {
        object.as_array().unwrap().iter().map(|number| number.as_float().unwrap()).collect()
    };
    let rectangle = numbers(field.get(b"Rect").unwrap());
    let look = get(&dictionary(get(field, "AP")), "N").as_stream().unwrap().clone();
    let bounds = numbers(look.dict.get(b"BBox").unwrap());
    assert!(look.content.is_empty());
    assert!((rectangle[2] - rectangle[0] - bounds[2]).abs() < 0.02, "{rectangle:?} {bounds:?}");
    assert!((rectangle[3] - rectangle[1] - bounds[3]).abs() < 0.02, "{rectangle:?} {bounds:?}");

    // From the annotation over the tree of parents to its element, and back.
    let key = field.get(b"StructParent").unwrap().as_i64().unwrap();
    let root = dictionary(get(catalog, "StructTreeRoot"));
    assert_eq!(root.get(b"ParentTreeNextKey").unwrap().as_i64().unwrap(), key + 1);
    let leaves = get(&dictionary(get(&root, "ParentTree")), "Kids");
    let leaf = dictionary(file.dereference(leaves.as_array().unwrap().last().unwrap()).unwrap().1.clone());
    let numbered = get(&leaf, "Nums");
    let [.., last, element] = numbered.as_array().unwrap().as_slice() else { panic!("numbers") };
    assert_eq!(last.as_i64().unwrap(), key);
    let element = dictionary(file.dereference(element).unwrap().1.clone());
    assert_eq!(element.get(b"S").unwrap().as_name().unwrap(), b"Form");
    let kid = dictionary(get(&element, "K"));
    assert_eq!(kid.get(b"Obj").unwrap().as_reference().unwrap(), field_id);
    assert_eq!(kid.get(b"Pg").unwrap().as_reference().unwrap(), first);
}

#[test]
fn the_record_is_attached_and_dates_the_file() {
    let (documents, record) = head();
    let file = Document::load_mem(&file(&signed(documents.input(Paper::A4), &record))).unwrap();
    let files = file.catalog().unwrap().get(b"AF").unwrap().as_array().unwrap();
    let last = file.dereference(files.last().unwrap()).unwrap().1.as_dict().unwrap();
    assert_eq!(last.get(b"F").unwrap().as_str().unwrap(), b"sign-off.json");
    assert_eq!(last.get(b"AFRelationship").unwrap().as_name().unwrap(), b"Supplement");
    let embedded = last.get(b"EF").unwrap().as_dict().unwrap().get_deref(b"F", &file).unwrap();
    assert_eq!(embedded.as_stream().unwrap().decompressed_content().unwrap(), CANONICAL);
    let information = file.trailer.get_deref(b"Info", &file).unwrap().as_dict().unwrap();
    assert_eq!(information.get(b"ModDate").unwrap().as_str().unwrap(), b"D:20260305152031+00'00'");
    let metadata = file.catalog().unwrap().get_deref(b"Metadata", &file).unwrap().as_stream().unwrap();
    let packet = String::from_utf8(metadata.content.clone()).unwrap();
    assert!(packet.contains("<xmp:ModifyDate>2026-03-05T15:20:31+00:00</xmp:ModifyDate>"), "{packet}");
}

#[test]
fn the_same_sign_off_gives_the_same_bytes_and_another_one_another_file() {
    let (documents, record) = head();
    let input = signed(documents.input(Paper::A4), &record);
    let id = |bytes: &[u8]| Document::load_mem(bytes).unwrap().trailer.get(b"ID").unwrap().clone();
    let first = file(&input);
    assert!(first == file(&input));
    let sign_off = input.sign_off.unwrap();
    let others = [
        Some(SignOffInput { digest: common::DIGEST, ..sign_off }),
        Some(SignOffInput { address: "another", ..sign_off }),
        None,
    ];
    for sign_off in others {
        assert_ne!(id(&first), id(&file(&SheetInput { sign_off, ..input })));
    }
}

#[test]
fn where_nobody_signed_there_is_no_form() {
    let documents = documents_of_everything_long();
    let bytes = file(&documents.input(Paper::A4));
    for name in ["AcroForm", "Annots", "ByteRange", "sign-off.json"] {
        assert!(places(&bytes, name.as_bytes()).is_empty(), "{name}");
    }
}

#[test]
fn a_report_leaves_sign_offs_out() {
    let (documents, record) = head();
    let report = |sheet| {
        let look = SheetOptions::default();
        let input = BatchInput {
            batch_label: "Third week",
            sheets: vec![sheet],
            failed: Vec::new(),
            statistics: None,
            statistics_canonical: None,
            look,
        };
        batch_report(&input).expect("the specimen has a report").bytes
    };
    let plain = documents.input(Paper::A4);
    assert!(report(plain) == report(signed(plain, &record)));
}

#[test]
fn a_sign_off_that_cannot_be_written_is_refused() {
    let (documents, mut record) = head();
    let long = "x".repeat(4000);
    let input = signed(documents.input(Paper::A4), &record);
    let sign_off = input.sign_off.map(|sign_off| SignOffInput { address: &long, ..sign_off });
    assert!(inspection_sheet(&SheetInput { sign_off, ..input }).is_err());
    record.signed_at = "yesterday".into();
    assert!(inspection_sheet(&signed(documents.input(Paper::A4), &record)).is_err());
}
