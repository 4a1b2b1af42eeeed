//! What stands on the pages, read back from the finished files.

mod common;

use std::process::Command;

use common::{DIGEST, Documents, Specimen, documents_of_everything_long};
use headproof_sheet::{BatchInput, SheetError, batch_report, inspection_sheet};
use headproof_wire::{Paper, SheetOptions};

/// The text of every page, as its ToUnicode maps give it.
fn texts(file: &[u8]) -> Vec<String> {
    let document = lopdf::Document::load_mem(file).expect("the file can be read");
    let text = |page| document.extract_text(&[page]).expect("the page has text");
    document.get_pages().into_keys().map(text).collect()
}

/// A text without white space: lines break where the layout wants.
fn solid(text: &str) -> String {
    text.split_whitespace().collect()
}

fn sheet(documents: &Documents) -> Vec<u8> {
    inspection_sheet(&documents.input(Paper::A4)).expect("the specimen has a sheet").bytes
}

/// FNV-1a, to compare files without printing them.
fn fingerprint(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xCBF2_9CE4_8422_2325, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01B3)
    })
}

#[test]
fn the_same_input_gives_the_same_bytes_whatever_was_rendered_before() {
    let documents = Specimen::default().documents();
    let first = sheet(&documents);
    sheet(&Specimen { customer: "Σύνολο Їжак".into(), ..Specimen::default() }.documents());
    let threads: Vec<_> = (0..3)
        .map(|_| std::thread::spawn(|| fingerprint(&sheet(&Specimen::default().documents()))))
        .collect();
    for thread in threads {
        assert_eq!(thread.join().unwrap(), fingerprint(&first));
    }
}

#[test]
fn another_process_gives_the_same_bytes() {
    const CHILD: &str = "HEADPROOF_SHEET_TEST_CHILD";
    let mine = format!("fingerprint {:016x}", fingerprint(&sheet(&Specimen::default().documents())));
    if std::env::var_os(CHILD).is_some() {
        println!("{mine}");
        return;
    }
    let child = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "another_process_gives_the_same_bytes", "--nocapture"])
        .env(CHILD, "1")
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&child.stdout).into_owned();
    assert!(said.contains(&mine), "{mine} is not in {said}");
}

#[test]
fn every_page_says_what_it_belongs_to() {
    let documents = Specimen::default().documents();
    let pages = texts(&sheet(&documents));
    let total = pages.len();
    assert!(total > 3);
    let notice = documents.profile.notice.clone().unwrap();
    for (n, page) in pages.iter().enumerate() {
        let page = solid(page);
        let number = format!("page {} of {total}", n + 1);
        let not_signed = "Not signed: this sheet states measurements and verdicts only.";
        for text in [
            "PUMP-0417",
            "2026-0117",
            "demo-irrigation revision 3",
            &DIGEST[..12],
            &number,
            &notice,
            not_signed,
        ] {
            assert!(page.contains(&solid(text)), "page {}: {text}", n + 1);
        }
    }
}

#[test]
fn the_first_page_has_verdict_headline_digest_and_every_port() {
    let documents = Specimen::default().documents();
    let page = solid(&texts(&sheet(&documents))[0]);
    for text in ["REWORK", &documents.evaluation.headline, DIGEST, "Guarded acceptance", "at least 95 %"] {
        assert!(page.contains(&solid(text)), "{text}");
    }
    for port in &documents.evaluation.ports {
        let service = if port.service == headproof_wire::Service::Intake { "intake" } else { "exhaust" };
        let name = format!("{}{service}{}", port.cylinder, port.index);
        assert!(page.contains(&name), "{name}");
    }
    assert!(page.find("REWORK") < page.find("Reasons"));
    assert!(page.find("Reasons") < page.find("Datafindings"));
}

#[test]
fn no_reason_finding_row_or_source_is_dropped() {
    for documents in [
        Specimen::default().documents(),
        Specimen { cylinders: 10, intake: 3, bad_every: 2, ..Specimen::default() }.documents(),
        documents_of_everything_long(),
    ] {
        let text = solid(&texts(&sheet(&documents)).concat());
        // Running heads and page breaks come between: what is looked for stays within one line.
        let count = |needle: &str| text.matches(&solid(needle)).count();
        let words = |verdict: &str| {
            let rows = documents.evaluation.ports.iter().flat_map(|port| &port.rows);
            rows.filter(|row| row.verdict == verdict).count()
        };
        assert!(count("does not conform") >= words("does-not-conform"));
        let why = "is above its upper limit";
        let reasons = &documents.evaluation.reasons;
        assert_eq!(count(why), reasons.iter().filter(|reason| reason.text.ends_with(why)).count());
        for finding in &documents.evaluation.findings {
            for pointer in &finding.pointers {
                assert!(count(pointer) >= 1, "{pointer}");
            }
        }
        for limit in &documents.profile.limits {
            assert!(count(&limit.source[..13]) >= 1, "{}", limit.source);
        }
    }
}

#[test]
fn names_in_greek_and_cyrillic_can_be_read_back_and_strange_characters_are_spelled_out() {
    let name = "Συνεταιρισμός Άρδευσης, Зразковий кооператив «Їжак» Őrsi";
    let customer = format!("{name} \u{5E9}\u{202E}\u{7}");
    let documents = Specimen { customer, serial: "Ω-7".into(), ..Specimen::default() }.documents();
    let page = solid(&texts(&sheet(&documents))[0]);
    assert!(page.contains(&solid(name)), "{page}");
    assert!(page.contains("‹U+05E9›‹U+202E›‹U+0007›"), "{page}");
    assert!(page.contains("Ω-7"));
}

#[test]
fn no_amount_is_minus_zero_and_minus_signs_are_true() {
    let mut documents = Specimen::default().documents();
    documents.evaluation.ports[0].rows[0].deviation = Some(-0.000_01);
    documents.evaluation.ports[0].rows[0].measured = Some(-0.0);
    let text = texts(&sheet(&documents)).concat();
    for wrong in ["-0.0", "−0.000 ", "−0.000\n", "NaN", "inf"] {
        assert!(!text.contains(wrong), "{wrong}");
    }
    assert!(text.contains("−0.018"));
}

#[test]
fn a_head_without_readings_still_gets_a_sheet() {
    let mut documents = Specimen::default().documents();
    documents.set.ports.clear();
    documents.set.instruments.clear();
    documents.set.customer = None;
    documents.set.job.measured_at = "not a time".into();
    documents.profile.limits.clear();
    documents.evaluation.ports.clear();
    documents.evaluation.head.clear();
    documents.evaluation.cylinders.clear();
    documents.evaluation.reasons.clear();
    documents.evaluation.findings.clear();
    let page = solid(&texts(&sheet(&documents))[0]);
    assert_eq!(page.matches("notmeasured").count(), 16 + 3, "ports, headline, tally, legend: {page}");
}

#[test]
fn a_record_of_more_than_four_hundred_pages_is_refused() {
    let mut documents = Specimen::default().documents();
    let finding = documents.evaluation.findings[0].clone();
    documents.evaluation.findings = vec![finding; 20];
    for finding in &mut documents.evaluation.findings {
        finding.text = "far too much to read ".repeat(8_000);
    }
    let error = inspection_sheet(&documents.input(Paper::A4)).unwrap_err();
    assert!(matches!(error, SheetError::TooLarge { limit: 400, .. }), "{error}");
    assert!(error.to_string().contains("PUMP-0417"), "{error}");
}

/// Time: laid out row by row this would take minutes; what cannot fit is refused at once.
#[test]
fn a_record_of_a_million_rows_is_refused_at_once() {
    let mut documents = Specimen::default().documents();
    let row = documents.evaluation.ports[0].rows[0].clone();
    documents.evaluation.ports[0].rows = vec![row; 1_000_000];
    let begin = std::time::Instant::now();
    let error = inspection_sheet(&documents.input(Paper::A4)).unwrap_err();
    assert!(matches!(error, SheetError::TooLarge { limit: 400, .. }), "{error}");
    assert!(begin.elapsed().as_secs() < 5, "{:?}", begin.elapsed());
}

#[test]
fn a_batch_whose_index_alone_is_too_long_is_refused() {
    let failed = vec![("HEAD".to_owned(), "its readings could not be used".to_owned()); 1_000_000];
    let input = BatchInput {
        batch_label: "Third week",
        sheets: Vec::new(),
        failed,
        statistics: None,
        statistics_canonical: None,
        look: SheetOptions::default(),
    };
    let begin = std::time::Instant::now();
    let error = batch_report(&input).unwrap_err();
    assert!(begin.elapsed().as_secs() < 5, "{:?}", begin.elapsed());
    assert!(matches!(error, SheetError::TooLarge { limit: 6000, .. }), "{error}");
    assert!(error.to_string().contains("Third week"), "{error}");
}

#[test]
fn a_batch_names_the_page_of_every_head() {
    let specimens: Vec<Documents> = (1..=5)
        .map(|n| Specimen { serial: format!("HEAD-{n}"), cylinders: n, ..Specimen::default() }.documents())
        .collect();
    let input = BatchInput {
        batch_label: "Third week",
        sheets: specimens.iter().map(|documents| documents.input(Paper::A4)).collect(),
        failed: vec![("HEAD-9".into(), "its readings could not be used".into())],
        statistics: None,
        statistics_canonical: None,
        look: SheetOptions { paper: Paper::Letter, ..SheetOptions::default() },
    };
    let file = batch_report(&input).unwrap().bytes;
    assert_eq!(file, batch_report(&input).unwrap().bytes);
    let pages = texts(&file);
    let index = solid(&pages[0]);
    assert!(index.contains("HEAD-9") && index.contains("itsreadingscouldnotbeused"));
    for n in 1..=5 {
        let serial = format!("HEAD-{n}");
        let first = pages.iter().position(|page| page.contains(&serial) && page.contains("REWORK"));
        let number = first.unwrap() + 1;
        assert!(solid(&pages[number - 1]).contains(&format!("page{number}of{}", pages.len())));
        let bookmarks = lopdf::Document::load_mem(&file).unwrap().get_toc().unwrap().toc;
        let named = bookmarks.iter().find(|entry| entry.title.starts_with(&serial)).unwrap();
        assert_eq!(named.page, number, "{serial}");
        let line = index.split(&serial).nth(1).unwrap();
        assert!(line.starts_with("2026-0117asreceivedrework"), "{line}");
        let figures = &specimens[n - 1].evaluation.tally;
        let counts = format!(
            "{}{}{}{}{number}",
            figures.conforms, figures.does_not_conform, figures.not_proven, figures.not_measured
        );
        assert!(line.contains(&counts), "{counts} is not in {line}");
    }
    let failures = index.split("Failuresbycharacteristic").nth(1).unwrap();
    assert!(failures.find("Seatrunout") < failures.find("Dowels").or(Some(usize::MAX)));
}

#[test]
fn the_paper_has_the_size_that_was_asked_for() {
    let documents = Specimen::default().documents();
    for (paper, width, height) in [(Paper::A4, 595.276, 841.89), (Paper::Letter, 612.0, 792.0)] {
        let file = inspection_sheet(&documents.input(paper)).unwrap().bytes;
        let document = lopdf::Document::load_mem(&file).unwrap();
        for id in document.get_pages().into_values() {
            let page = document.get_dictionary(id).unwrap();
            let size = page.get(b"MediaBox").unwrap().as_array().unwrap();
            let [w, h] = [2, 3].map(|n| size[n].as_float().unwrap());
            assert!((w - width).abs() < 0.01 && (h - height).abs() < 0.01, "{w} {h}");
        }
        assert_eq!(document.version, "1.7");
    }
}
