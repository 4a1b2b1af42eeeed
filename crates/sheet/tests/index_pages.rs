//! The report of a batch without its sheets, read back from the finished files.

mod common;
#[path = "common/ink.rs"]
mod ink;
#[path = "common/summaries.rs"]
mod summaries;

use common::{Documents, Specimen, documents_of_everything_long};
use headproof_sheet::{BatchInput, HeadInIndex, SheetError, batch_index, batch_report};
use headproof_wire::{Language, Paper, SheetOptions};
use ink::{Ink, MM, check_page, pages};
use lopdf::{Dictionary, Document};
use summaries::{ARCHIVE, failed, index_of, summaries};

/// ISO 216 and ANSI/ASME Y14.1.
const PAPERS: [(Paper, (f64, f64)); 2] =
    [(Paper::A4, (210.0 * MM, 297.0 * MM)), (Paper::Letter, (612.0, 792.0))];
const LANGUAGES: [Language; 2] = [Language::En, Language::De];

fn index(heads: &[HeadInIndex], failed: &[(String, String)], look: SheetOptions) -> Vec<u8> {
    batch_index(&index_of(heads, failed, look)).expect("the specimens have an index").bytes
}

fn english() -> SheetOptions {
    SheetOptions::default()
}

/// What stands on each page, as one reads it, line by line.
fn texts(page: &[Ink]) -> impl Iterator<Item = &str> {
    page.iter().filter_map(|ink| match ink {
        Ink::Text(_, text) => Some(text.as_str()),
        _ => None,
    })
}

/// All of it without white space: lines break where the layout wants.
fn solid_text(pages: &[Vec<Ink>]) -> String {
    pages.iter().flat_map(|page| texts(page)).map(solid).collect()
}

fn solid(text: &str) -> String {
    text.split_whitespace().collect()
}

#[test]
fn nothing_overlaps_in_either_language_on_either_paper() {
    let names = |head: HeadInIndex| HeadInIndex {
        serial: format!("SERIAL-{}", "0123456789".repeat(7)),
        job: "very long words of the shop ".repeat(3),
        ..head
    };
    let mut long: Vec<HeadInIndex> = summaries(30).into_iter().map(names).collect();
    let Documents { set, evaluation, .. } = documents_of_everything_long();
    long.push(HeadInIndex::of(31, &set, &evaluation, "digest"));
    for (paper, size) in PAPERS {
        for language in LANGUAGES {
            for (heads, failed) in [
                (summaries(3), failed(1)),
                (summaries(201), failed(70)),
                (long.clone(), failed(2)),
                (Vec::new(), failed(3)),
            ] {
                let file = index(&heads, &failed, SheetOptions { paper, language });
                for (n, page) in pages(&file).iter().enumerate() {
                    let name = format!("{} heads in {language:?} on {size:?}, page {}", heads.len(), n + 1);
                    check_page(page, size, &name);
                }
            }
        }
    }
}

#[test]
fn every_head_is_on_a_line_with_the_number_of_its_line() {
    let later = |head: HeadInIndex| HeadInIndex { line: head.line + 40_000, ..head };
    let heads: Vec<HeadInIndex> = summaries(201).into_iter().map(later).collect();
    let pages = pages(&index(&heads, &failed(1), english()));
    let place = |text: &str| {
        let is_it = |ink: &Ink| matches!(ink, Ink::Text(_, words) if words == text);
        let page = pages.iter().position(|page| page.iter().any(is_it)).unwrap_or_else(|| panic!("{text}"));
        let Some(Ink::Text(extent, _)) = pages[page].iter().find(|ink| is_it(ink)) else { panic!("{text}") };
        (page, extent.bottom)
    };
    for head in &heads {
        let ((page, y), (page_of_line, y_of_line)) = (place(&head.serial), place(&head.line.to_string()));
        assert!(page == page_of_line && (y - y_of_line).abs() < 1.0, "{}", head.serial);
    }
    for (n, page) in pages.iter().enumerate() {
        let number = format!("page {} of {}", n + 1, pages.len());
        assert!(texts(page).any(|text| text == number), "{number}");
        assert!(texts(page).any(|text| text.starts_with("Not signed:")), "{number}");
    }
}

#[test]
fn what_fails_most_comes_first_with_some_of_the_heads_and_how_many_more() {
    let heads = summaries(201);
    for (language, more, sheets, headings) in [
        (
            Language::En,
            "… and 131 more",
            "The sheets are not in this report",
            ["Failures by", "Heads without"],
        ),
        (
            Language::De,
            "… und 131 weitere",
            "Die Prüfblätter stehen nicht in diesem Bericht",
            ["Beanstandungen nach", "Köpfe ohne"],
        ),
    ] {
        let text = solid_text(&pages(&index(&heads, &failed(1), SheetOptions { language, ..english() })));
        // Three of four heads up to 201 are not accepted: 151, of which the last is number 201.
        let words = [sheets, ARCHIVE, headings[0], more, "PUMP-00201", headings[1], "WELL-00001"];
        let places = words.map(|words| text.find(&solid(words)).unwrap_or_else(|| panic!("{words}: {text}")));
        assert!(places.is_sorted(), "{places:?}");
        // Three decks are few enough to be named.
        assert!(text.contains("PUMP-00067(1),PUMP-00134(1),PUMP-00201(1)"), "{text}");
        assert_eq!(text.matches('…').count(), 1);
    }
}

/// The elements of a type in the structure.
fn elements<'a>(file: &'a Document, kind: &'a [u8]) -> impl Iterator<Item = &'a Dictionary> {
    let dictionaries = file.objects.values().filter_map(|object| object.as_dict().ok());
    dictionaries.filter(move |element| {
        element.has(b"P") && element.get(b"S").and_then(lopdf::Object::as_name).is_ok_and(|name| name == kind)
    })
}

/// Checks the structure and the outline of an index of so many heads, one of them without a sheet.
fn check_structure(file: &[u8], heads: usize) {
    let file = Document::load_mem(file).expect("the file can be read");
    let catalog = file.catalog().expect("there");
    assert!(
        catalog
            .get(b"MarkInfo")
            .expect("there")
            .as_dict()
            .expect("there")
            .get(b"Marked")
            .expect("there")
            .as_bool()
            .expect("there")
    );
    assert!(!catalog.has(b"Names") && !catalog.has(b"AF"), "nothing is attached");
    assert_eq!(elements(&file, b"Table").count(), 3);
    // Heads of the tables, characteristics (of the first heads no deck is crooked), the heads, and one without a sheet.
    let failures = if heads < 67 { 1 } else { 2 };
    assert_eq!(elements(&file, b"TR").count(), 3 + failures + heads + 1);
    assert_eq!(elements(&file, b"TD").count(), 2 * failures + 8 * heads + 1);
    let titles: Vec<String> =
        file.get_toc().expect("there").toc.into_iter().map(|entry| entry.title).collect();
    assert_eq!(titles, ["Failures by characteristic", "Heads", "Heads without a sheet"]);
}

#[test]
fn pages_are_tagged_and_the_parts_have_bookmarks() {
    check_structure(&index(&summaries(201), &failed(1), english()), 201);
    check_structure(&index(&summaries(3), &failed(1), english()), 3);
}

#[test]
fn twenty_thousand_heads_have_an_index() {
    let heads = summaries(20_000);
    let file = index(&heads, &failed(1), english());
    check_structure(&file, 20_000);
    let pages = pages(&file);
    assert!((301..600).contains(&pages.len()), "{} pages", pages.len());
    for n in [0, pages.len() / 2, pages.len() - 1] {
        check_page(&pages[n], PAPERS[0].1, &format!("page {} of {}", n + 1, pages.len()));
    }
    let serials = pages.iter().flat_map(|page| texts(page)).filter(|text| text.starts_with("PUMP-"));
    // Two lists of some beside the characteristics are no lines of the index.
    let serials = serials.filter(|text| !text.contains('('));
    assert!(serials.eq(heads.iter().map(|head| head.serial.as_str())));
}

#[test]
fn the_same_heads_are_the_same_file() {
    for language in LANGUAGES {
        let look = SheetOptions { language, ..english() };
        let first = index(&summaries(2_000), &failed(1), look);
        index(&summaries(3), &failed(1), look);
        let again = std::thread::spawn(move || index(&summaries(2_000), &failed(1), look));
        assert!(first == again.join().expect("there"), "{language:?}");
    }
}

#[test]
fn other_heads_are_another_file() {
    let heads = summaries(3);
    let id = |heads: &[HeadInIndex], failed: &[(String, String)], look| {
        let file = Document::load_mem(&index(heads, failed, look)).expect("there");
        format!("{:?}", file.trailer.get(b"ID").expect("there"))
    };
    let mut corrected = heads.clone();
    corrected[1].digest = "c0ffee".to_owned();
    let german = SheetOptions { language: Language::De, ..english() };
    let ids = [
        id(&heads, &failed(1), english()),
        id(&corrected, &failed(1), english()),
        id(&heads, &failed(2), english()),
        id(&heads, &failed(1), german),
    ];
    for (n, one) in ids.iter().enumerate() {
        assert!(!ids[n + 1..].contains(one), "{ids:?}");
    }
}

#[test]
fn an_index_of_more_than_six_thousand_pages_is_refused() {
    let heads = summaries(1);
    let many = failed(1_000_000);
    let begin = std::time::Instant::now();
    let error = batch_index(&index_of(&heads, &many, english())).unwrap_err();
    assert!(begin.elapsed().as_secs() < 5, "{:?}", begin.elapsed());
    assert!(matches!(error, SheetError::TooLarge { limit: 6000, .. }), "{error}");
}

/// The lines of a table on pages, each as a text.
fn lines(file: &[u8], is_it: impl Fn(&str) -> bool) -> Vec<String> {
    let texts: Vec<String> = pages(file).iter().flat_map(|page| texts(page)).map(str::to_owned).collect();
    let begin = texts.iter().position(|text| is_it(text)).expect("such a line");
    texts[begin..begin + 8].to_vec()
}

#[test]
fn a_head_is_counted_as_in_a_report_with_its_sheet() {
    let documents: Vec<Documents> = [("HEAD-1", 2), ("HEAD-2", 5), ("HEAD-3", 0)]
        .map(|(serial, bad_every)| Specimen { serial: serial.into(), bad_every, ..Specimen::default() })
        .iter()
        .map(Specimen::documents)
        .collect();
    let heads: Vec<HeadInIndex> = (1..)
        .zip(&documents)
        .map(|(line, Documents { set, evaluation, .. })| {
            HeadInIndex::of(line, set, evaluation, &format!("digest {line}"))
        })
        .collect();
    let report = batch_report(&BatchInput {
        batch_label: "Third week",
        sheets: documents.iter().map(|documents| documents.input(Paper::A4)).collect(),
        failed: Vec::new(),
        statistics: None,
        statistics_canonical: None,
        look: english(),
    });
    let (report, index) = (report.expect("there").bytes, index(&heads, &[], english()));
    for characteristic in ["Seat runout", "Deck", "Bolt threads"] {
        let [in_report, in_index] =
            [&report, &index].map(|file| lines(file, |text| text.starts_with(characteristic))[..3].to_vec());
        assert_eq!(in_report, in_index);
    }
    for head in &heads {
        let [in_report, in_index] = [&report, &index].map(|file| lines(file, |text| text == head.serial));
        assert_eq!(in_report, in_index, "all but the page and the line");
    }
}
