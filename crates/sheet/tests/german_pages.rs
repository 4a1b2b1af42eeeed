//! Sheets and batch reports in German, read back from the finished files.

mod common;
#[path = "common/ink.rs"]
mod ink;
#[path = "common/readings.rs"]
mod readings;

use std::collections::BTreeMap;

use common::{Documents, Specimen, documents_of_everything_long};
use headproof_sheet::{BatchInput, batch_report, inspection_sheet};
use headproof_texts::Say;
use headproof_wire::{Language, Paper, SheetOptions};
use ink::{Ink, MM, check_page, pages};
use lopdf::Document;
use readings::{Given, add_readings};

/// ISO 216 and ANSI/ASME Y14.1.
const PAPERS: [(Paper, (f64, f64)); 2] =
    [(Paper::A4, (210.0 * MM, 297.0 * MM)), (Paper::Letter, (612.0, 792.0))];

/// The messages of the pages in both languages.
const CATALOGUES: [&str; 2] =
    [include_str!("../../texts/locales/en/pages.ftl"), include_str!("../../texts/locales/de/pages.ftl")];

const fn german(paper: Paper) -> SheetOptions {
    SheetOptions { paper, language: Language::De }
}

fn of(cylinders: u8, intake: u8, exhaust: u8) -> Specimen {
    Specimen { cylinders, intake, exhaust, ..Specimen::default() }
}

fn with_readings(mut documents: Documents, given: Given) -> Documents {
    add_readings(&mut documents, given);
    documents
}

fn sheet(documents: &Documents, paper: Paper) -> Vec<u8> {
    inspection_sheet(&documents.input_in(german(paper))).expect("the specimen has a sheet").bytes
}

fn report(heads: &[Documents], paper: Paper) -> Vec<u8> {
    report_of(heads, german(paper), paper)
}

/// A report in German of sheets that ask for a look of their own.
fn report_of(heads: &[Documents], asked: SheetOptions, paper: Paper) -> Vec<u8> {
    let input = BatchInput {
        batch_label: "Dritte Woche",
        sheets: heads.iter().map(|documents| documents.input_in(asked)).collect(),
        failed: vec![("KOPF-9".into(), "seine Messwerte waren unbrauchbar".into())],
        statistics: None,
        statistics_canonical: None,
        look: german(paper),
    };
    batch_report(&input).expect("the specimens have a report").bytes
}

fn heads() -> Vec<Documents> {
    let dispositions = ["accept", "rework", "incomplete", "reject"];
    (1..)
        .zip(dispositions)
        .map(|(n, disposition)| {
            let serial = format!("KOPF-{n}");
            Specimen { serial, disposition: Some(disposition), ..of(n, 2, 1) }.documents()
        })
        .collect()
}

fn texts(pages: &[Vec<Ink>]) -> impl Iterator<Item = &str> {
    pages.iter().flatten().filter_map(|ink| match ink {
        Ink::Text(_, text) => Some(text.as_str()),
        _ => None,
    })
}

/// A text without white space: lines break where the layout wants.
fn solid(text: &str) -> String {
    text.split_whitespace().collect()
}

fn solid_text(file: &[u8]) -> String {
    texts(&pages(file)).map(solid).collect()
}

#[track_caller]
fn check(file: &[u8], size: (f64, f64), name: &str) {
    for (n, page) in pages(file).iter().enumerate() {
        check_page(page, size, &format!("{name} on {size:?}, page {}", n + 1));
    }
}

#[test]
fn nothing_overlaps_on_sheets_of_small_and_large_heads() {
    for (paper, size) in PAPERS {
        for (specimen, given) in [
            (of(1, 1, 1), Given::All),
            (Specimen { inches: true, guarded: false, ..of(3, 2, 1) }, Given::Some),
            (Specimen { bad_every: 2, ..of(6, 2, 2) }, Given::All),
            (of(16, 3, 2), Given::All),
        ] {
            let name = format!("{} × {}+{}", specimen.cylinders, specimen.intake, specimen.exhaust);
            check(&sheet(&with_readings(specimen.documents(), given), paper), size, &name);
        }
    }
}

#[test]
fn nothing_overlaps_beside_long_texts() {
    let documents = with_readings(documents_of_everything_long(), Given::All);
    for (paper, size) in PAPERS {
        check(&sheet(&documents, paper), size, "long texts");
    }
}

#[test]
fn nothing_overlaps_in_a_report() {
    for (paper, size) in PAPERS {
        // The last is rejected, in white on a dark ground.
        check(&report(&heads()[..3], paper), size, "report");
    }
}

/// An ellipsis stands only before what says where to read on.
#[test]
fn nothing_is_cut_off() {
    for (paper, _) in PAPERS {
        let files = [report(&heads(), paper), sheet(&of(16, 3, 2).documents(), paper)];
        for file in files {
            let pages = pages(&file);
            let cut: Vec<_> = texts(&pages).filter(|text| text.trim_end().ends_with('…')).collect();
            assert!(cut.is_empty(), "{cut:?}");
        }
    }
}

/// Messages without values of one language, by their names.
fn fixed(catalogue: &str) -> BTreeMap<&str, &str> {
    catalogue
        .lines()
        .filter_map(|line| line.split_once(" = "))
        .filter(|(_, text)| !text.contains('{'))
        .collect()
}

#[test]
fn no_english_is_left() {
    let [english, german] = CATALOGUES.map(fixed);
    let say = Say::of(headproof_texts::Language::German);
    let titles = headproof_judge::table().map(|row| (row.title, say.title(&row.id.to_string()).into_owned()));
    let pairs = english.iter().filter_map(|(id, text)| Some((*text, (*german.get(id)?).to_owned())));
    let pairs: Vec<_> = pairs.chain(titles).filter(|(text, said)| text.len() > 12 && text != said).collect();
    assert!(pairs.len() > 120, "{} texts", pairs.len());
    let long = with_readings(documents_of_everything_long(), Given::All);
    for file in [report(&heads(), Paper::A4), sheet(&long, Paper::A4)] {
        let text = solid_text(&file);
        let left: Vec<_> = pairs.iter().filter(|(english, _)| text.contains(&solid(english))).collect();
        assert!(left.is_empty(), "{left:?}");
        let said = pairs.iter().filter(|(_, german)| text.contains(&solid(german))).count();
        assert!(said > 50, "{said} of them in German");
    }
}

#[test]
fn the_file_says_that_it_is_german_and_is_another_file() {
    let documents = Specimen::default().documents();
    let open = |input| {
        let file = inspection_sheet(&input).expect("the specimen has a sheet");
        Document::load_mem(&file.bytes).expect("the file can be read")
    };
    let (german, english) = (open(documents.input_in(german(Paper::A4))), open(documents.input(Paper::A4)));
    for (file, code) in [(&german, "de"), (&english, "en")] {
        let catalog = file.catalog().unwrap();
        assert_eq!(catalog.get(b"Lang").unwrap().as_str().unwrap(), code.as_bytes());
        let metadata = catalog.get_deref(b"Metadata", file).unwrap().as_stream().unwrap();
        let packet = String::from_utf8_lossy(&metadata.content).into_owned();
        assert!(packet.contains(&format!("<rdf:Bag><rdf:li>{code}</rdf:li></rdf:Bag>")), "{packet}");
        let title =
            if code == "de" { "Prüfblatt: Kopf PUMP-0417, Auftrag" } else { "Inspection sheet: head" };
        assert!(packet.contains(title), "{packet}");
    }
    assert_ne!(german.trailer.get(b"ID").unwrap(), english.trailer.get(b"ID").unwrap());
}

#[test]
fn days_and_figures_are_written_as_in_german() {
    let documents = Specimen::default().documents();
    let file = sheet(&documents, Paper::A4);
    let pages = pages(&file);
    let text = solid_text(&file);
    for words in ["02.03.2026 10:15 +02:00", "30.09.2026", "31.12.2025", "21,5 °C", "0,15 mm"] {
        assert!(text.contains(&solid(words)), "{words}");
    }
    // One point between digits; two make a day.
    let is_figure = |text: &&str| {
        text.chars().all(|c| c.is_ascii_digit() || "−+±., °".contains(c)) && text.matches('.').count() == 1
    };
    let points: Vec<_> = texts(&pages).filter(is_figure).collect();
    assert!(points.is_empty(), "{points:?}");
    assert!(texts(&pages).filter(|text| **text == *"−0,018").count() > 3);
}

#[test]
fn a_sheet_names_verdicts_notes_and_cautions_in_german() {
    let text = solid_text(&sheet(&Specimen::default().documents(), Paper::A4));
    for words in [
        "Seite 1 von",
        "demo-irrigation Revision 3",
        "Nicht unterschrieben: Dieses Blatt nennt nur Messwerte und Urteile.",
        "Sicherheitshinweise für diesen Kopf",
        "Niemals schneiden, schweißen, anbohren oder brechen",
        "Kein Riss gefunden (Verfahren: dye penetrant)",
        "Abdrücken mit water: 300 kPa bei 18 °C über 600 s gehalten",
        "Dichtprüfung mit Überdruck im Kanal, Feder eingebaut, Führung offen",
        "nicht konform: 1 von 9 begrenzten Merkmalen",
        // What the profile says stays as it was posted.
        "Demonstration limits without a source: not for use on a real engine.",
    ] {
        assert!(text.contains(&solid(words)), "{words}");
    }
}

#[test]
fn a_report_is_in_one_language_whatever_its_sheets_ask_for() {
    let sheets = heads();
    let file = report(&sheets, Paper::Letter);
    assert!(report_of(&sheets, SheetOptions::default(), Paper::Letter) == file);
    let document = Document::load_mem(&file).unwrap();
    let outline = document.get_toc().unwrap().toc;
    let names: Vec<&str> =
        outline.iter().filter(|entry| entry.level == 1).map(|entry| entry.title.as_str()).collect();
    let words = ["annehmen", "nacharbeiten", "unvollständig", "zurückweisen"];
    let heads = (1..).zip(words).map(|(n, word)| format!("KOPF-{n}, Auftrag 2026-0117: {word}"));
    let expected: Vec<String> = std::iter::once("Inhalt".to_owned()).chain(heads).collect();
    assert_eq!(names, expected);
    let index = solid_text(&file);
    let summary = "4 Köpfe beurteilt · 1 annehmen · 1 nacharbeiten · 1 unvollständig · 1 zurückweisen · 1 ohne Prüfblatt";
    assert!(index.contains(&solid(summary)));
    let descriptions: Vec<String> = document
        .objects
        .values()
        .filter_map(|object| object.as_dict().ok()?.get(b"Desc").ok()?.as_str().ok())
        .map(utf16)
        .collect();
    for head in &sheets {
        let described = format!("Messsatz von Kopf {}, Auftrag 2026-0117", head.set.head.serial);
        assert!(descriptions.contains(&described), "{descriptions:?}");
    }
}

/// A text string of ISO 32000-1, 7.9.2.2, in UTF-16.
fn utf16(bytes: &[u8]) -> String {
    let units = bytes.chunks_exact(2).skip(1).map(|pair| u16::from_be_bytes([pair[0], pair[1]]));
    String::from_utf16_lossy(&units.collect::<Vec<_>>())
}
