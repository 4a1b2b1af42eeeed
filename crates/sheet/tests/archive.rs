//! What an archive asks of the files: whole in themselves, carrying what they were made from, the same at any time.

mod common;
#[path = "common/plan.rs"]
mod plan;

use common::{Documents, RECORD, Specimen, documents_of_everything_long};
use headproof_sheet::{BatchInput, Record, SheetInput, batch_report, inspection_sheet};
use headproof_wire::{Paper, SheetOptions};
use lopdf::{Dictionary, Document, Object};
use plan::{Kind, add_plan, lengthen};

fn planned(kinds: &[Kind]) -> Documents {
    let mut documents = Specimen { cylinders: 2, ..Specimen::default() }.documents();
    add_plan(&mut documents, kinds);
    documents
}

fn sheet(documents: &Documents) -> Document {
    let file = inspection_sheet(&documents.input(Paper::A4)).expect("the specimen has a sheet").bytes;
    Document::load_mem(&file).expect("the file can be read")
}

fn report(heads: &[Documents]) -> Document {
    let input = BatchInput {
        batch_label: "Third week",
        sheets: heads.iter().map(|documents| documents.input(Paper::A4)).collect(),
        failed: Vec::new(),
        statistics: None,
        statistics_canonical: None,
        look: SheetOptions::default(),
    };
    let file = batch_report(&input).expect("the specimens have a report").bytes;
    Document::load_mem(&file).expect("the file can be read")
}

/// Name, relationship and bytes of each associated file of a page or of the document.
fn associated(file: &Document, of: &Dictionary) -> Vec<(String, String, Vec<u8>)> {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    let one = |specification: &Object| -> lopdf::Result<_> {
        let specification = file.dereference(specification)?.1.as_dict()?;
        let embedded =
            specification.get_deref(b"EF", file)?.as_dict()?.get_deref(b"UF", file)?.as_stream()?;
        assert_eq!(embedded.dict.get(b"Subtype")?.as_name()?, b"application/json");
        let relationship = text(specification.get(b"AFRelationship")?.as_name()?);
        Ok((text(specification.get(b"F")?.as_str()?), relationship, embedded.decompressed_content()?))
    };
    let list = of.get(b"AF").and_then(Object::as_array).map(Vec::as_slice).unwrap_or_default();
    list.iter().map(|specification| one(specification).expect("a whole specification")).collect()
}

#[test]
fn a_sheet_carries_the_documents_it_was_made_from() {
    let file = sheet(&planned(&Kind::WORK));
    let catalog = file.catalog().unwrap();
    let found = associated(&file, catalog);
    let expected = [
        ("evaluation.json", "Data", RECORD.evaluation),
        ("rework-plan.json", "Data", &b"{\"is\":\"plan\"}"[..]),
        ("measurement-set.json", "Source", RECORD.measurement_set),
        ("target-profile.json", "Source", RECORD.profile),
    ];
    let expected =
        expected.map(|(name, relationship, bytes)| (name.into(), relationship.into(), bytes.to_vec()));
    assert_eq!(found, expected);
    let names = catalog.get(b"Names").unwrap().as_dict().unwrap().get(b"EmbeddedFiles").unwrap();
    let names = names.as_dict().unwrap().get(b"Names").unwrap().as_array().unwrap();
    let keys: Vec<&[u8]> = names.iter().step_by(2).map(|key| key.as_str().unwrap()).collect();
    assert!(keys.is_sorted() && keys.len() == 4, "{keys:?}");
}

#[test]
fn a_batch_ties_the_documents_of_a_head_to_the_page_its_sheet_begins_on() {
    let heads =
        [Specimen { serial: "HEAD-1".into(), ..Specimen::default() }.documents(), planned(&Kind::ALL)];
    let file = report(&heads);
    assert!(!file.catalog().unwrap().has(b"AF"));
    let mut names = Vec::new();
    for (number, page) in file.get_pages() {
        let found = associated(&file, file.get_dictionary(page).unwrap());
        if !found.is_empty() {
            let text = file.extract_text(&[number]).unwrap();
            assert!(text.contains(&heads[usize::from(!names.is_empty())].set.head.serial), "page {number}");
        }
        names.extend(found.into_iter().map(|(name, _, _)| name));
    }
    let plain = ["1-evaluation.json", "1-measurement-set.json", "1-target-profile.json"];
    let with_plan =
        ["2-evaluation.json", "2-rework-plan.json", "2-measurement-set.json", "2-target-profile.json"];
    assert_eq!(names, [&plain[..], &with_plan].concat());
}

/// ISO 19005-3: typefaces inside, nothing shines through, nothing is drawn from outside, no name is left without
/// what it stands for.
#[test]
fn nothing_but_whole_typefaces_and_plain_ink_is_needed() {
    for file in [sheet(&planned(&Kind::ALL)), report(&[documents_of_everything_long()])] {
        let mut fonts = 0;
        for object in file.objects.values() {
            let Ok(dictionary) = object.as_dict().or_else(|_| object.as_stream().map(|stream| &stream.dict))
            else {
                continue;
            };
            for banned in ["ExtGState", "XObject", "Group", "SMask", "JS", "Encrypt", "OpenAction", "Annots"]
            {
                assert!(!dictionary.has(banned.as_bytes()), "{banned}");
            }
            if dictionary.has_type(b"FontDescriptor") {
                fonts += 1;
                assert!(dictionary.has(b"FontFile2") && dictionary.has(b"CIDSet"));
            }
        }
        assert!(fonts >= 3, "{fonts}");
        let intents = file.catalog().unwrap().get(b"OutputIntents").unwrap().as_array().unwrap();
        let intent = file.dereference(&intents[0]).unwrap().1.as_dict().unwrap();
        assert_eq!(intent.get(b"S").unwrap().as_name().unwrap(), b"GTS_PDFA1");
        let metadata = file.catalog().unwrap().get_deref(b"Metadata", &file).unwrap().as_stream().unwrap();
        assert!(!metadata.dict.has(b"Filter"));
    }
}

#[test]
fn the_outline_names_verdict_plan_and_every_port_where_they_stand() {
    let mut documents = planned(&Kind::ALL);
    documents.plan.iter_mut().for_each(lengthen);
    let file = sheet(&documents);
    let toc = file.get_toc().unwrap().toc;
    let uppermost = |name: &str| toc.iter().any(|entry| entry.level == 1 && entry.title == name);
    assert!(uppermost("Verdict: rework") && uppermost("Rework plan") && uppermost("Ports"), "{toc:?}");
    let solid = |text: &str| text.split_whitespace().collect::<String>();
    let ports: Vec<_> = toc.iter().filter(|entry| entry.title.starts_with("Cylinder ")).collect();
    assert_eq!(ports.len(), documents.evaluation.ports.len());
    for port in ports {
        let (name, verdict) = port.title.split_once(": ").unwrap();
        let page = solid(&file.extract_text(&[u32::try_from(port.page).unwrap()]).unwrap());
        assert!(page.contains(&solid(name)) && page.contains(&solid(verdict)), "{}", port.title);
    }
}

#[test]
fn other_attached_bytes_give_another_file_and_long_names_do_no_harm() {
    let documents = Specimen { serial: "Ω\u{7}<&>".repeat(10), ..Specimen::default() }.documents();
    let input = documents.input(Paper::A4);
    let other = SheetInput { record: Record { profile: b"{}", ..RECORD }, ..input };
    let (first, second) = (inspection_sheet(&input).unwrap().bytes, inspection_sheet(&other).unwrap().bytes);
    assert_ne!(first, second);
    let file = Document::load_mem(&first).unwrap();
    let metadata = file.catalog().unwrap().get_deref(b"Metadata", &file).unwrap().as_stream().unwrap();
    let packet = String::from_utf8(metadata.content.clone()).unwrap();
    assert!(packet.contains("Ω‹U+0007›&lt;&amp;&gt;"), "{packet}");
}
