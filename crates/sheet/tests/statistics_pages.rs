//! What many heads say together, read back from the finished files.

mod common;
#[path = "common/ink.rs"]
mod ink;
#[path = "common/statistics.rs"]
mod made;
#[path = "common/summaries.rs"]
mod summaries;

use common::{Documents, Specimen, documents_of_everything_long};
use headproof_sheet::{
    BatchInput, IndexInput, StatisticsInput, batch_index, batch_report, statistics_report,
};
use headproof_wire::statistics::Statistics;
use headproof_wire::{Language, Paper, SheetOptions};
use ink::{Ink, MM, check_page, pages};
use lopdf::{Dictionary, Document, Object};
use summaries::{failed, index_of, summaries};

/// ISO 216 and ANSI/ASME Y14.1.
const PAPERS: [(Paper, (f64, f64)); 2] =
    [(Paper::A4, (210.0 * MM, 297.0 * MM)), (Paper::Letter, (612.0, 792.0))];
const LANGUAGES: [Language; 2] = [Language::En, Language::De];
const CANONICAL: &[u8] = b"{\"are\":\"statistics\"}";
const TITLE: &str = "Irrigation pumps, second quarter";

fn english() -> SheetOptions {
    SheetOptions::default()
}

fn report(statistics: &Statistics, look: SheetOptions) -> Vec<u8> {
    let input = StatisticsInput { statistics, canonical: CANONICAL, title: Some(TITLE), look };
    statistics_report(&input).expect("statistics have pages").bytes
}

fn index(statistics: Option<&Statistics>, look: SheetOptions) -> Vec<u8> {
    let (heads, failed) = (summaries(30), failed(1));
    let input = IndexInput {
        statistics,
        statistics_canonical: statistics.map(|_| CANONICAL),
        ..index_of(&heads, &failed, look)
    };
    batch_index(&input).expect("the heads have an index").bytes
}

fn texts(page: &[Ink]) -> impl Iterator<Item = &str> {
    page.iter().filter_map(|ink| match ink {
        Ink::Text(_, text) => Some(text.as_str()),
        _ => None,
    })
}

/// All of it without white space: lines break where the layout wants.
fn solid_text(file: &[u8]) -> String {
    pages(file).iter().flat_map(|page| texts(page)).map(solid).collect()
}

fn solid(text: &str) -> String {
    text.split_whitespace().collect()
}

#[test]
fn nothing_overlaps_in_either_language_on_either_paper() {
    let mut many = made::statistics(130, 80);
    many.selection = made::odd().selection;
    for (paper, size) in PAPERS {
        for language in LANGUAGES {
            for statistics in
                [&made::odd(), &made::none(), &made::statistics(1, 12), &made::statistics(40, 12), &many]
            {
                let file = report(statistics, SheetOptions { paper, language });
                for (n, page) in pages(&file).iter().enumerate() {
                    let heads = statistics.heads.counted;
                    check_page(
                        page,
                        size,
                        &format!("{heads} heads in {language:?} on {size:?}, page {}", n + 1),
                    );
                }
            }
        }
    }
}

/// Every number that stands on the pages by itself, with how many decimals it has.
fn numbers(file: &[u8], sign: char) -> Vec<(f64, usize)> {
    let mut numbers = Vec::new();
    for page in pages(file) {
        for text in texts(&page) {
            let words = text.split(|c: char| c.is_whitespace() || "()–≥≤%;:".contains(c));
            for word in words {
                let word = word.trim_end_matches([',', '.']).replace('−', "-").replace(sign, ".");
                let places = word.split_once('.').map_or(0, |(_, decimals)| decimals.len());
                numbers.extend(word.parse().ok().map(|number: f64| (number, places)));
            }
        }
    }
    numbers
}

#[test]
fn every_figure_stands_on_the_pages() {
    let statistics = made::statistics(130, 80);
    for (language, sign) in [(Language::En, '.'), (Language::De, ',')] {
        let numbers = numbers(&report(&statistics, SheetOptions { language, ..english() }), sign);
        let has = |amount: Option<f64>, least: usize, what: &str| {
            let Some(amount) = amount else { return };
            let is_it = |(number, places): &(f64, usize)| {
                *places >= least && (number - amount).abs() <= 0.5001 * 0.1_f64.powi(*places as i32)
            };
            assert!(numbers.iter().any(is_it), "{what}: {amount} in {language:?}");
        };
        for of in &statistics.characteristics {
            let usual = match of.unit.as_str() {
                "mm" => 3,
                "deg" => 2,
                _ => 1,
            };
            let what = |name: &str| format!("{name} of {} in {}", of.characteristic, of.unit);
            has(of.mean, usual, &what("mean"));
            has(of.s, usual.min(2), &what("s"));
            for (name, amount) in
                [("least", of.min), ("greatest", of.max), ("lower", of.lower), ("upper", of.upper)]
            {
                has(amount, usual, &what(name));
            }
            has(Some(of.n as f64), 0, &what("n"));
            let Some(capability) = &of.capability else { continue };
            let indices = [&capability.cp, &capability.cpk, &capability.pp].into_iter().flatten();
            for index in indices.chain([&capability.ppk]) {
                for one in [Some(index.value), index.lower, index.upper] {
                    has(one, 2, &what("index"));
                }
            }
        }
        for failure in statistics.failures.iter().take(12) {
            has(Some(failure.count as f64), 0, "count");
            has(Some(failure.cumulative * 100.0), 1, "cumulative share");
        }
        for port in statistics.failing_ports.iter().take(12) {
            has(Some(port.count as f64), 0, "count");
            has(Some(port.cumulative * 100.0), 1, "cumulative share");
        }
    }
}

#[test]
fn the_summary_says_what_became_of_the_heads_and_what_to_bear_in_mind() {
    let statistics = made::statistics(130, 12);
    for (language, words) in [
        (
            Language::En,
            [
                "130 measurement sets, measured from 2026-03-02 07:15 +02:00 to 2026-05-29 16:40 +02:00",
                "After rework: 88 accept · 26 rework · 0 incomplete · 2 reject; Final: 0 accept",
                "80.0 % (71.7–86.1 %): 104 of 130",
                "0.8 % (0.0–6.9 %): 1 of 130",
                "18 superseded by a later revision · 11 without values",
                "no capability index foretells anything",
                "the one at the worst place",
                "No statistic makes a head good or bad",
                "The engine maker's manual goes before",
                "95 % confidence",
            ],
        ),
        (
            Language::De,
            [
                "130 Messsätze, gemessen vom 02.03.2026 07:15 +02:00 bis zum 29.05.2026 16:40 +02:00",
                "Nach Nacharbeit: 88 annehmen · 26 nacharbeiten · 0 unvollständig · 2 zurückweisen; Endprüfung: 0 annehmen",
                "80,0 % (71,7–86,1 %): 104 von 130",
                "0,8 % (0,0–6,9 %): 1 von 130",
                "18 durch eine spätere Fassung ersetzt · 11 ohne Werte",
                "sagt kein Fähigkeitskennwert etwas voraus",
                "an der schlechtesten Stelle",
                "Keine Statistik macht einen Kopf gut oder schlecht",
                "Das Handbuch des Motorherstellers geht",
                "Vertrauensniveau der Bereiche 95 %",
            ],
        ),
    ] {
        let look = SheetOptions { language, ..english() };
        for file in [report(&statistics, look), index(Some(&statistics), look)] {
            let first: String = texts(&pages(&file)[0]).map(solid).collect();
            for words in words {
                assert!(first.contains(&solid(words)), "{words} is not in {first}");
            }
        }
    }
}

#[test]
fn figures_are_of_the_worst_and_the_words_under_them_name_heads_rules_and_codes() {
    let statistics = made::statistics(130, 80);
    let text = solid_text(&report(&statistics, english()));
    let charts = statistics.characteristics.iter().filter(|of| of.chart.is_some()).count();
    let left = format!("{} further characteristics are left out here", charts - 24);
    assert!(text.contains(&solid(&left)), "{left}");
    assert_eq!(text.matches("drawn;").count(), 24);
    let few = made::statistics(130, 20);
    let text_of_few = solid_text(&report(&few, english()));
    let mut signalling = 0;
    for of in &few.characteristics {
        let Some(chart) = of.chart.as_ref().filter(|chart| chart.signal_count > 0) else { continue };
        signalling += 1;
        let Some(newest) = chart.signals.last() else { continue };
        let first = if newest.from == newest.to { String::new() } else { format!("#{}–", newest.from) };
        let named = format!("{} ({first}#{})", newest.head, newest.to);
        assert!(text_of_few.contains(&solid(&named)), "{named}");
    }
    assert!(signalling > 3, "{signalling}");
    for words in [
        "8 in a row on one side",
        "beyond a control limit",
        "Cutters differ (p < 0.001), the farthest off first: C-03",
    ] {
        assert!(text.contains(&solid(words)), "{words}");
    }
    assert!(!text.contains("Operatorsdiffer"), "those differ by chance");
}

/// Elements of a type.
fn elements<'a>(file: &'a Document, kind: &'a [u8]) -> impl Iterator<Item = &'a Dictionary> {
    let dictionaries = file.objects.values().filter_map(|object| object.as_dict().ok());
    dictionaries.filter(move |element| {
        element.has(b"P") && element.get(b"S").and_then(Object::as_name).is_ok_and(|name| name == kind)
    })
}

#[test]
fn every_figure_says_what_it_shows_to_whom_cannot_see_it() {
    let statistics = made::statistics(40, 12);
    let file = Document::load_mem(&report(&statistics, english())).expect("the file can be read");
    let charts = statistics.characteristics.iter().filter(|of| of.chart.is_some()).count();
    let told: Vec<String> = elements(&file, b"Figure")
        .map(|figure| lopdf::decode_text_string(figure.get(b"Alt").expect("an alternative")).expect("a text"))
        .collect();
    // Two stages, each by characteristic and by port.
    assert_eq!(told.len(), 2 * charts + 4);
    let about =
        |words: &[&str]| told.iter().filter(|text| words.iter().all(|one| text.contains(one))).count();
    assert_eq!(about(&["histogram of", "the fullest from"]), charts);
    assert_eq!(about(&["the last of", "control limits"]), charts);
    assert_eq!(about(&["cumulative 100.0"]), 2);
    // The lines, their bands, and the facts of the summary, each with its head.
    let bands = 6;
    assert_eq!(elements(&file, b"Table").count(), 2);
    assert_eq!(elements(&file, b"TR").count(), 2 + 10 + 12 + bands);
    let titles: Vec<String> =
        file.get_toc().expect("there").toc.into_iter().map(|entry| entry.title).collect();
    assert_eq!(
        titles[..5],
        ["What the heads say together", "To be borne in mind", "What fails most", "Capability", "Charts"]
    );
    assert_eq!(titles.len(), 5 + charts);
}

#[test]
fn the_statistics_are_attached() {
    let statistics = made::statistics(12, 3);
    let documents = documents_of_everything_long();
    let batch = BatchInput {
        batch_label: "Third week",
        sheets: vec![documents.input(Paper::A4)],
        failed: Vec::new(),
        statistics: Some(&statistics),
        statistics_canonical: Some(CANONICAL),
        look: english(),
    };
    let batch = batch_report(&batch).expect("a report").bytes;
    for file in [report(&statistics, english()), index(Some(&statistics), english()), batch] {
        let file = Document::load_mem(&file).expect("the file can be read");
        let attached =
            file.catalog().expect("there").get(b"AF").and_then(Object::as_array).expect("attached");
        let [specification] = attached.as_slice() else { panic!("one: {attached:?}") };
        let specification = file.dereference(specification).expect("there").1.as_dict().expect("there");
        assert_eq!(specification.get(b"F").and_then(Object::as_str).expect("a name"), b"statistics.json");
        assert_eq!(specification.get(b"AFRelationship").and_then(Object::as_name).expect("told"), b"Data");
        let embedded = specification.get_deref(b"EF", &file).and_then(Object::as_dict).expect("there");
        let embedded = embedded.get_deref(b"F", &file).and_then(Object::as_stream).expect("there");
        assert_eq!(embedded.decompressed_content().expect("deflated"), CANONICAL);
    }
}

#[test]
fn a_report_with_statistics_goes_on_with_the_heads_on_a_page_of_their_own() {
    let statistics = made::statistics(40, 6);
    let documents: Documents = Specimen { serial: "HEAD-1".into(), ..Specimen::default() }.documents();
    let made = |statistics| {
        let input = BatchInput {
            batch_label: "Third week",
            sheets: vec![documents.input(Paper::A4)],
            failed: Vec::new(),
            statistics,
            statistics_canonical: None,
            look: english(),
        };
        let file = batch_report(&input).expect("a report").bytes;
        let titles: Vec<String> = Document::load_mem(&file)
            .expect("there")
            .get_toc()
            .expect("there")
            .toc
            .into_iter()
            .map(|entry| entry.title)
            .collect();
        (pages(&file), titles)
    };
    let ((without, _), (with, titles)) = (made(None), made(Some(&statistics)));
    let more = with.len() - without.len();
    assert!(more > 1, "{more}");
    assert_eq!(titles[1..3], ["What the heads say together", "To be borne in mind"]);
    let line = |page: &[Ink]| -> Vec<String> {
        let texts: Vec<&str> = texts(page).collect();
        let at = texts.iter().position(|text| *text == "HEAD-1").expect("the line of the head");
        texts[at..at + 9].iter().map(|text| (*text).to_owned()).collect()
    };
    let (with, without) = (line(&with[more]), line(&without[0]));
    assert_eq!(with[..8], without[..8]);
    assert_eq!((with[8].parse(), without[8].parse()), (Ok(2 + more), Ok(2_usize)), "the page of the sheet");
}

#[test]
fn the_same_statistics_are_the_same_file_and_others_another() {
    let statistics = made::statistics(130, 30);
    for (paper, _) in PAPERS {
        for language in LANGUAGES {
            let look = SheetOptions { paper, language };
            let first = report(&statistics, look);
            report(&made::odd(), look);
            let other = statistics.clone();
            let again = std::thread::spawn(move || report(&other, look)).join().expect("there");
            assert!(first == again, "{language:?}");
        }
    }
    let id = |file: &[u8]| {
        let file = Document::load_mem(file).expect("there");
        format!("{:?}", file.trailer.get(b"ID").expect("there"))
    };
    let mut other = statistics.clone();
    other.characteristics[29].trend = None;
    assert_ne!(id(&report(&statistics, english())), id(&report(&other, english())));
    let indices = [None, Some(&statistics), Some(&other)].map(|one| id(&index(one, english())));
    assert!(indices[0] != indices[1] && indices[1] != indices[2], "{indices:?}");
}

#[test]
fn ten_thousand_heads_are_a_dozen_pages() {
    let statistics = made::statistics(10_000, 80);
    let file = pages(&report(&statistics, english()));
    assert!((10..20).contains(&file.len()), "{}", file.len());
    for (n, page) in file.iter().enumerate() {
        check_page(page, PAPERS[0].1, &format!("page {}", n + 1));
    }
}
