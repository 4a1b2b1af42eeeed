//! The pages of a blank worksheet, read back from the finished files.

#[path = "common/ink.rs"]
mod ink;
#[path = "common/worksheets.rs"]
mod worksheets;

use std::collections::BTreeSet;
use std::sync::LazyLock;

use headproof_sheet::{SheetError, worksheet};
use headproof_texts::Say;
use headproof_wire::{Language, Paper, SheetOptions};
use ink::{Ink, MM, check_page, pages};
use worksheets::{Blank, DIGEST, inches, specimens};

/// ISO 216 and ANSI/ASME Y14.1.
const PAPERS: [(Paper, (f64, f64)); 2] =
    [(Paper::A4, (210.0 * MM, 297.0 * MM)), (Paper::Letter, (612.0, 792.0))];

const GERMAN: SheetOptions = SheetOptions { paper: Paper::A4, language: Language::De };

/// Specimens that are drawn in German too: between them everything that can stand on a worksheet, with the longest
/// words where there is least room.
const IN_GERMAN: [&str; 4] = ["pushrods", "terms", "every-limit-inch", "wordy"];

fn file_in(blank: &Blank, look: SheetOptions) -> Vec<u8> {
    worksheet(&blank.input_in(look)).expect("the specimen has a worksheet").bytes
}

fn file(blank: &Blank, paper: Paper) -> Vec<u8> {
    file_in(blank, SheetOptions { paper, ..SheetOptions::default() })
}

/// A text without white space: lines break where the layout wants.
fn solid(text: &str) -> String {
    text.split_whitespace().collect()
}

fn text_of(page: &[Ink]) -> String {
    let texts =
        page.iter().filter_map(|ink| if let Ink::Text(_, text) = ink { Some(text.as_str()) } else { None });
    solid(&texts.collect::<String>())
}

fn text_in(blank: &Blank, look: SheetOptions) -> String {
    pages(&file_in(blank, look)).iter().map(|page| text_of(page)).collect()
}

fn text(blank: &Blank) -> String {
    text_in(blank, SheetOptions::default())
}

fn say_in(language: Language) -> Say {
    Say::of(language.into())
}

/// One specimen on one paper, read back.
struct Drawn {
    name: &'static str,
    blank: Blank,
    size: (f64, f64),
    language: Language,
    pages: Vec<Vec<Ink>>,
}

/// All specimens on both papers, some of them in German too, drawn once.
static DRAWN: LazyLock<Vec<Drawn>> = LazyLock::new(|| {
    let drawn = |(name, blank): (&'static str, Blank)| {
        let languages = [Some(Language::En), IN_GERMAN.contains(&name).then_some(Language::De)];
        let looks =
            languages.into_iter().flatten().flat_map(|language| PAPERS.map(|paper| (language, paper)));
        let each = looks.map(|(language, (paper, size))| {
            let pages = pages(&file_in(&blank, SheetOptions { paper, language }));
            Drawn { name, blank: blank.clone(), size, language, pages }
        });
        each.collect::<Vec<_>>()
    };
    specimens().into_iter().flat_map(drawn).collect()
});

/// Width and height in millimetres of every outlined rectangle: the boxes to write in.
fn boxes(page: &[Ink]) -> Vec<(f64, f64)> {
    let sides = |points: &Vec<(f64, f64)>| {
        let closed = points.len() >= 5 && points.first() == points.last();
        let size = |pick: fn(&(f64, f64)) -> f64| (pick(&points[2]) - pick(&points[0])).abs() / MM;
        closed.then(|| (size(|p| p.0), size(|p| p.1)))
    };
    page.iter()
        .filter_map(|ink| if let Ink::Stroke(points, _) = ink { sides(points) } else { None })
        .collect()
}

#[test]
fn nothing_overlaps_leaves_the_page_or_is_hidden() {
    for drawn in DRAWN.iter() {
        for (n, page) in drawn.pages.iter().enumerate() {
            let name = format!("{} on {:?}, {:?}, page {}", drawn.name, drawn.size, drawn.language, n + 1);
            check_page(page, drawn.size, &name);
        }
    }
}

#[test]
fn every_size_of_head_in_either_unit_and_language_finds_room() {
    for (cylinders, intake, exhaust) in [(1, 1, 1), (5, 4, 1), (6, 1, 2), (12, 2, 2)] {
        for units in [worksheets::metric(), inches()] {
            let language = if units == inches() { Language::De } else { Language::En };
            let blank = Blank { units, ..Blank::of(cylinders, intake, exhaust) };
            let (paper, size) = PAPERS[usize::from(cylinders) % 2];
            for (n, page) in pages(&file_in(&blank, SheetOptions { paper, language })).iter().enumerate() {
                check_page(page, size, &format!("{cylinders} × {intake}+{exhaust}, page {}", n + 1));
            }
        }
    }
}

/// A hand needs room: 8 mm clear inside the outline.
#[test]
fn every_box_is_high_enough_to_write_in_and_wide_enough_for_a_figure() {
    const OUTLINE: f64 = 0.5 / MM;
    for Drawn { name, pages, .. } in DRAWN.iter() {
        let boxes: Vec<_> = pages.iter().flat_map(|page| boxes(page)).collect();
        for (width, height) in &boxes {
            assert!(height - OUTLINE >= 8.0, "{name}: {height}");
            assert!(width - OUTLINE >= 8.0, "{name}: {width}");
        }
        assert!(boxes.len() > 60, "{name}: {} boxes", boxes.len());
    }
}

#[test]
fn no_writing_stands_in_a_box_but_what_is_known() {
    for Drawn { name, language, pages, .. } in DRAWN.iter() {
        let terms = ["92", "98.5", "0.7; 0.71"].map(|known| say_in(*language).number(known));
        for page in pages {
            let text =
                |ink| if let &Ink::Text(extent, ref words) = ink { Some((extent, words)) } else { None };
            let words: Vec<_> = page.iter().filter_map(text).collect();
            for ink in page {
                let Ink::Fill(extent, grey) = ink else { continue };
                if *grey < 0.99 {
                    continue;
                }
                for (place, words) in
                    words.iter().filter(|(place, _)| place.shrunk(0.4).meets(extent.shrunk(0.4)))
                {
                    let known = *name == "terms" && terms.iter().any(|term| term == *words);
                    assert!(known, "{name}: “{words}” stands in a box at {place:?}");
                }
            }
        }
    }
}

#[test]
fn every_limited_characteristic_appears_with_its_limits() {
    let blank = Blank::of(1, 1, 1).with_every_limit();
    for (language, sign) in [(Language::En, '.'), (Language::De, ',')] {
        check_limits(&text_in(&blank, SheetOptions { language, ..GERMAN }), say_in(language), sign);
    }
}

fn check_limits(all: &str, say: Say, sign: char) {
    for row in headproof_judge::table() {
        let title = say.title(row.id.as_str());
        assert!(all.contains(&solid(&title)), "{title} is missing");
    }
    let limits = |lower: &str, upper: &str| {
        all.matches(&format!("≥{lower}≤{upper}").replace('.', &sign.to_string())).count()
    };
    let of = |scope| {
        let amounts = headproof_judge::table().filter(|row| !row.measure().is_in_order());
        amounts.filter(|row| row.scope() == scope).count()
    };
    use headproof_judge::Scope::{Cylinder, Head, Port};
    // Each stands there for build and for wear; a port's for the intake and for the exhaust.
    let expected = 2 * (of(Head) + of(Cylinder) + 2 * of(Port));
    let found = limits("−123.4567", "1234.5678") + limits("−123.45670", "1234.56780");
    assert_eq!(found, expected);
}

#[test]
fn a_limit_of_one_service_stands_at_its_ports_only() {
    let pages = pages(&file(&Blank::of(1, 1, 1), Paper::A4));
    let all: String = pages.iter().map(|page| text_of(page)).collect();
    let (intake, exhaust) = all.split_once("Cylinder1,exhaust1Nam").expect("both ports");
    // The demo profile: 1.000 to 1.600 mm and, as received, 0.800 to 2.000; exhaust 1.400 to 2.000.
    let seat_width = |text: &str, limits: &str| text.contains(&format!("Seatwidth,mm{limits}"));
    assert!(seat_width(intake, "≥1.000≤1.600nominal1.300asreceived≥0.800≤2.000"), "{intake}");
    assert!(seat_width(exhaust, "≥1.400≤2.000nominal1.700asreceived≥1.200≤2.400"), "{exhaust}");
}

/// Every message of the catalogue that needs no values, and every title, as English says it and as German does.
fn fixed_texts() -> Vec<(&'static str, String, String)> {
    const FILES: [&str; 5] = [
        include_str!("../../texts/locales/en/drawings.ftl"),
        include_str!("../../texts/locales/en/judgement.ftl"),
        include_str!("../../texts/locales/en/pages.ftl"),
        include_str!("../../texts/locales/en/plan.ftl"),
        include_str!("../../texts/locales/en/worksheet.ftl"),
    ];
    let [english, german] = [Language::En, Language::De].map(say_in);
    let lines = FILES.iter().flat_map(|file| file.lines());
    let ids = lines.filter_map(|line| line.split_once(" = ").filter(|(_, text)| !text.contains('$')));
    let messages = ids.map(|(id, _)| (id, english.text(id).to_owned(), german.text(id).to_owned()));
    let titles = headproof_judge::table().map(|row| row.id.as_str());
    let titles = titles.map(|id| (id, english.title(id).into_owned(), german.title(id).into_owned()));
    messages.chain(titles).collect()
}

#[test]
fn a_german_worksheet_says_nothing_in_english() {
    let mut blank = Blank::of(2, 1, 1).with_every_limit();
    // What the profile says stays as it was posted.
    blank.profile.title = "P".to_owned();
    blank.profile.notice = None;
    let (all, in_english) = (text_in(&blank, GERMAN), text(&blank));
    let mut seen = 0;
    for (id, english, german) in fixed_texts() {
        let [english, german] = [&english, &german].map(|text| solid(text));
        let is_long = english.chars().count() > 12;
        if is_long && english != german && !german.contains(&english) {
            assert!(!all.contains(&english), "{id}: “{english}”");
            seen += usize::from(in_english.contains(&english) && all.contains(&german));
        }
    }
    assert!(seen > 130, "{seen} texts in both languages");
}

/// A message that no catalogue has is said by its name.
#[test]
fn every_message_of_the_tables_is_in_the_catalogue() {
    for Drawn { name, pages, .. } in DRAWN.iter() {
        for page in pages {
            let text = text_of(page);
            assert!(!text.contains("blank-") && !text.contains("stage-"), "{name}: {text}");
        }
    }
}

#[test]
fn no_word_of_a_title_is_broken() {
    let blank = Blank::of(1, 1, 1).with_every_limit();
    for language in [Language::En, Language::De] {
        let pages = pages(&file_in(&blank, SheetOptions { language, ..GERMAN }));
        let texts = pages.iter().flatten().filter_map(|ink| match ink {
            Ink::Text(_, text) => Some(text.as_str()),
            _ => None,
        });
        let printed: BTreeSet<&str> = texts.flat_map(bare_words).collect();
        for row in headproof_judge::table() {
            let title = say_in(language).title(row.id.as_str());
            let broken: Vec<&str> = bare_words(&title).filter(|word| !printed.contains(word)).collect();
            assert!(broken.is_empty(), "{title}: {broken:?}");
        }
    }
}

fn bare_words(text: &str) -> impl Iterator<Item = &str> {
    text.split_whitespace().map(|word| word.trim_end_matches(','))
}

#[test]
fn a_german_worksheet_speaks_german_with_decimal_commas() {
    let mut blank = Blank::of(1, 1, 1);
    blank.layout.compression = serde_json::from_value(serde_json::json!({"bore": 82.01})).ok();
    let all = text_in(&blank, GERMAN);
    for words in [
        "Messblatt",
        "Sitzbreite,mm≥1,000≤1,600Sollwert1,300Eingang≥0,800≤2,000",
        "Brennraumvolumen,mL≥41,00≤43,00Sollwert42,00",
        "aufje75,000×75,000mm",
        "FührungundSchaftZylinder1,Auslass1",
        "NatriumimSchaft",
        "82,01",
    ] {
        assert!(all.contains(words), "{words} is not in {all}");
    }
}

/// 1 in = 25.4 mm, 1 lbf = 4.448 221 615 260 5 N: NIST SP 811 (2008), Appendix B.8.
#[test]
fn limits_are_converted_to_the_units_asked_for() {
    let all = text(&Blank { units: inches(), ..Blank::of(1, 1, 1) });
    for words in [
        "Seatwidth,in≥0.03937≤0.06299nominal0.05118",
        "Seatload,lbf≥50.58≤61.82nominal56.20",
        "DeckroughnessRa,µin≤31.5",
        "Leaktest",
    ] {
        assert!(all.contains(words), "{words} is not in {all}");
    }
    for wrong in ["−0.000≤", "-0.0", "NaN", "inf≤", ",mm"] {
        assert!(!all.contains(wrong), "{wrong}");
    }
}

#[test]
fn only_what_the_profile_and_the_layout_ask_for_is_printed() {
    let mut blank = Blank::of(2, 1, 1);
    blank.profile.also_report.clear();
    blank.profile.limits.retain(|limit| limit.characteristic == "seat-width");
    let all = text(&blank);
    for words in ["Seatwidth", "Oldgasketsandsoot", "Turningover"] {
        assert!(all.contains(words), "{words}");
    }
    for words in [
        "Springs",
        "Valvesprings",
        "Compressedair",
        "Deckandhead",
        "Guidebore",
        "Heightsofthedeck",
        "Warpeddeck",
    ] {
        assert!(!all.contains(words), "{words}");
    }
    blank.layout.camshaft = headproof_wire::Camshaft::Pushrod;
    assert!(!text(&blank).contains("Turningover"));
}

#[test]
fn readings_of_what_is_worked_out_have_boxes_of_their_own() {
    let mut blank = Blank::of(1, 1, 1);
    blank.profile.also_report.clear();
    blank.profile.limits.retain(|limit| limit.characteristic == "stem-to-guide-clearance");
    let all = text(&blank);
    for words in ["Guidebore,mm", "top,axis1", "bottom,2", "Stemdiameter,mm", "unworn"] {
        assert!(all.contains(words), "{words}");
    }
    blank.profile = Blank::of(1, 1, 1).profile;
    for (characteristic, needs) in [
        ("seat-runout", "Dialonceroundtheseat"),
        ("seat-width-uniformity", "Seatwidth,mm"),
        ("seat-load", "Loadsattwoheights"),
        ("contact-offset", "Diameteratwhichthefacebegins"),
        ("deck-flatness", "Heightsofthedeckoveradatum"),
        ("stem-protrusion-spread", "Stemprotrusion,mm"),
        ("compression-ratio", "Chambervolume,mL"),
        ("pressure-test", "medium"),
    ] {
        blank.profile.limits.truncate(1);
        blank.profile.also_report = Vec::new();
        characteristic.clone_into(&mut blank.profile.limits[0].characteristic);
        assert!(text(&blank).contains(needs), "{characteristic}: {needs}");
    }
}

#[test]
fn every_page_says_what_it_belongs_to_or_leaves_room_to_write_it() {
    for Drawn { name, blank, language, pages, .. } in DRAWN.iter() {
        let labels = ["label-head", "label-job"].map(|label| say_in(*language).text(label));
        let known: Vec<&String> = blank.head_serial.iter().chain(&blank.job_number).collect();
        for (n, page) in pages.iter().enumerate() {
            assert!(text_of(page).contains(&DIGEST[..12]), "{name}, page {}", n + 1);
            // Room for what is not known stands in the running head, above everything else.
            let heads = page
                .iter()
                .filter(|ink| matches!(ink, Ink::Text(_, text) if labels.contains(&text.as_str())));
            assert!(heads.count() >= 2, "{name}, page {}", n + 1);
            assert!(boxes(page).len() >= 2 - known.len(), "{name}, page {}", n + 1);
        }
        let first = text_of(&pages[0]);
        for text in known.iter().filter(|text| !text.contains('\u{5D0}')) {
            assert!(first.contains(&solid(text)), "{name}: {text} is not in {first}");
        }
    }
}

#[test]
fn every_block_names_its_port() {
    let blank = Blank::of(2, 2, 1);
    let all = text(&blank);
    for port in ["Cylinder1,intake1", "Cylinder1,intake2", "Cylinder1,exhaust1", "Cylinder2,exhaust1"] {
        for block in
            ["Guideandstem", "Valve", "Seat", "Contactbandonthevalveface", "Heights", "Springs", "Leaktest"]
        {
            assert!(all.contains(&format!("{block}{port}")), "{block} of {port}");
        }
    }
}

#[test]
fn the_same_request_gives_the_same_bytes_and_another_another_file() {
    let identity = |file: &[u8]| {
        let document = lopdf::Document::load_mem(file).expect("the file can be read");
        format!("{:?}", document.trailer.get(b"ID"))
    };
    let blank = Blank::of(2, 1, 1);
    let first = file(&blank, Paper::A4);
    assert!(first == file(&blank.clone(), Paper::A4), "other bytes");
    let others = [
        Blank { job_number: Some("7".into()), ..blank.clone() },
        Blank { head_serial: Some("7".into()), ..blank.clone() },
        Blank { units: inches(), ..blank.clone() },
        Blank::of(2, 1, 2),
    ];
    let mut seen =
        vec![identity(&first), identity(&file(&blank, Paper::Letter)), identity(&file_in(&blank, GERMAN))];
    seen.extend(others.iter().map(|other| identity(&file(other, Paper::A4))));
    let count = seen.len();
    seen.sort();
    seen.dedup();
    assert_eq!(seen.len(), count);
}

/// Whatever a document may hold, it either fits or is refused in words.
#[test]
fn the_largest_head_with_every_limit_is_refused_or_fits() {
    let blank = Blank::of(16, 3, 2).with_every_limit();
    match worksheet(&blank.input(Paper::Letter)) {
        Ok(file) => assert!(pages(&file.bytes).len() <= 400),
        Err(error) => assert!(matches!(error, SheetError::TooLarge { limit: 400, .. }), "{error}"),
    }
}
