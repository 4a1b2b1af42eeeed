//! Sheets that somebody signed off, read back from the finished files.

mod common;
#[path = "common/ink.rs"]
mod ink;
#[path = "common/signed.rs"]
mod sign_offs;

use common::{Documents, Specimen, documents_of_everything_long};
use headproof_sheet::inspection_sheet;
use headproof_wire::{Concession, Language, Meaning, Paper, SheetOptions, SignOff};
use ink::{Ink, MM, check_page, pages};
use sign_offs::{Signed, signed};

/// ISO 216 and ANSI/ASME Y14.1.
const PAPERS: [(Paper, (f64, f64)); 2] =
    [(Paper::A4, (210.0 * MM, 297.0 * MM)), (Paper::Letter, (612.0, 792.0))];
const LANGUAGES: [Language; 2] = [Language::En, Language::De];
const MEANINGS: [Meaning; 3] = [Meaning::Inspected, Meaning::Released, Meaning::Concession];

fn of(cylinders: u8, intake: u8, exhaust: u8) -> Specimen {
    Specimen { cylinders, intake, exhaust, ..Specimen::default() }
}

fn sheet(documents: &Documents, record: &SignOff, look: SheetOptions) -> Vec<Vec<Ink>> {
    let file = inspection_sheet(&signed(documents.input_in(look), record));
    pages(&file.expect("the specimen has a sheet").bytes)
}

/// A page's texts without white space: lines break where the layout wants.
fn solid_text(page: &[Ink]) -> String {
    let texts = page.iter().filter_map(|ink| match ink {
        Ink::Text(_, text) => Some(solid(text)),
        _ => None,
    });
    texts.collect()
}

fn solid(text: &str) -> String {
    text.split_whitespace().collect()
}

/// Draws a head in every language and on every paper, and looks at its first page and at those of the sign-off; what
/// is between them is the same without one.
#[track_caller]
fn check(documents: &Documents, sign_off: &Signed, name: &str) -> Vec<Vec<Vec<Ink>>> {
    let record = sign_off.record(&documents.evaluation);
    let mut all = Vec::new();
    for (paper, size) in PAPERS {
        for language in LANGUAGES {
            let drawn = sheet(documents, &record, SheetOptions { paper, language });
            let section = drawn.len().saturating_sub(8);
            for (n, page) in drawn.iter().enumerate().filter(|(n, _)| *n == 0 || *n >= section) {
                check_page(page, size, &format!("{name} in {language:?} on {size:?}, page {}", n + 1));
            }
            all.push(drawn);
        }
    }
    all
}

/// The digests end the first page: what stands below the sign-off found its place there, too.
#[test]
fn nothing_overlaps_and_the_first_page_stays_whole() {
    let every = &MEANINGS[..];
    for (specimen, meanings, counts) in [
        (of(1, 1, 1), every, &[0, 30][..]),
        (Specimen { clean: true, ..of(1, 2, 2) }, &every[1..2], &[1]),
        (of(4, 2, 2), &every[..1], &[2]),
        (of(16, 3, 2), &every[2..], &[30]),
    ] {
        for meaning in meanings.iter().copied() {
            for beside in counts.iter().copied() {
                let name = format!("{} cylinders, {meaning:?}, {beside} beside", specimen.cylinders);
                let sign_off = Signed { beside, supersedes: beside / 10, ..Signed::meaning(meaning) };
                for drawn in check(&specimen.documents(), &sign_off, &name) {
                    let first = solid_text(&drawn[0]);
                    let digest: String = common::DIGEST.chars().rev().collect();
                    let whole = ["7K2M-93QX-TB5D-8HZA", "DemoForeman", "2026", "51c0de12c4d0", &digest];
                    let missing: Vec<_> = whole.iter().filter(|text| !first.contains(**text)).collect();
                    assert!(missing.is_empty(), "{name}: {missing:?}");
                }
            }
        }
    }
}

#[test]
fn long_names_stay_in_their_places_and_stand_in_full_further_back() {
    for name in ["Freifrau von Beispiel-Langenbach ", "UNBREAKABLE-0123456789", "\u{5D0}\u{5D1}検査", "Ω"]
    {
        let long = |count: usize| name.repeat(200).chars().take(count).collect::<String>();
        let sign_off = Signed {
            name: long(200).trim().to_owned(),
            role: long(100),
            note: Some(long(500)),
            reason: long(300),
            beside: 12,
            supersedes: 2,
            ..Signed::meaning(Meaning::Concession)
        };
        let spelled = |c: char| match c {
            '\u{5D0}'..='\u{5EA}' | '一'..='龥' => format!("‹U+{:04X}›", c as u32),
            _ => c.to_string(),
        };
        let full = solid(&sign_off.name.chars().map(spelled).collect::<String>());
        for drawn in check(&of(2, 2, 2).documents(), &sign_off, name) {
            assert!(drawn.iter().any(|page| solid_text(page).contains(&full)), "{name}");
        }
    }
}

#[test]
fn nothing_overlaps_where_everything_is_long() {
    let sign_off = Signed { beside: 12, ..Signed::meaning(Meaning::Concession) };
    check(&documents_of_everything_long(), &sign_off, "long texts");
}

#[test]
fn every_one_of_two_hundred_concessions_is_listed() {
    let documents = of(2, 2, 2).documents();
    let mut record = Signed::meaning(Meaning::Concession).record(&documents.evaluation);
    record.concessions = (0..200)
        .map(|n| Concession {
            subject: "cylinder 2 exhaust 1".into(),
            characteristic: (n % 2 == 0).then(|| "seat-runout".into()),
            reason: format!("accepted as number {n}."),
        })
        .collect();
    let file = inspection_sheet(&signed(documents.input(Paper::A4), &record)).unwrap();
    let drawn = pages(&file.bytes);
    let text: String = drawn.iter().map(|page| solid_text(page)).collect();
    for n in 0..200 {
        assert!(text.contains(&format!("acceptedasnumber{n}.")), "{n}");
    }
    assert!(text.contains("200deviationsareaccepted"));
    assert_eq!(text.matches("doubtaboutthedata").count(), 100);
    for page in drawn.iter().rev().take(8) {
        check_page(page, PAPERS[0].1, "200 concessions");
    }
}

#[test]
fn what_a_signature_means_is_told_in_words_on_every_page() {
    let documents = of(1, 1, 1).documents();
    let cases = [
        (Meaning::Inspected, 0, "INSPECTED ONLY – NOT RELEASED", "inspected only, not released"),
        (Meaning::Inspected, 3, "INSPECTED", "inspected"),
        (Meaning::Released, 0, "RELEASED", "released"),
        (Meaning::Concession, 0, "RELEASED BY CONCESSION", "released by concession"),
    ];
    let german = [
        ("NUR GEPRÜFT – NICHT FREIGEGEBEN", "nur geprüft, nicht freigegeben"),
        ("GEPRÜFT", "geprüft"),
        ("FREIGEGEBEN", "freigegeben"),
        ("SONDERFREIGABE", "Sonderfreigabe"),
    ];
    for ((meaning, beside, word, said), (wort, gesagt)) in cases.into_iter().zip(german) {
        let record = Signed { beside, ..Signed::meaning(meaning) }.record(&documents.evaluation);
        let closings = [
            format!("Signed by Demo Foreman, 2026-03-05 15:20:31 UTC: {said}."),
            format!("Unterschrieben von Demo Foreman, 05.03.2026 15:20:31 UTC: {gesagt}."),
        ];
        for ((language, word), closing) in LANGUAGES.into_iter().zip([word, wort]).zip(closings) {
            let drawn = sheet(&documents, &record, SheetOptions { language, ..SheetOptions::default() });
            let is_word = |ink: &Ink| matches!(ink, Ink::Text(_, text) if text == word);
            assert!(drawn[0].iter().any(is_word), "{word}");
            for page in &drawn {
                let text = solid_text(page);
                assert!(text.contains(&solid(&closing)), "{closing}");
                assert!(!text.contains("Notsigned") && !text.contains("Nichtunterschrieben"));
            }
        }
    }
}

#[test]
fn the_section_has_the_whole_record() {
    let documents = of(1, 1, 1).documents();
    let sign_off = Signed {
        note: Some("Next inspection after 200 hours.".into()),
        supersedes: 2,
        ..Signed::meaning(Meaning::Concession)
    };
    let record = sign_off.record(&documents.evaluation);
    let drawn = sheet(&documents, &record, SheetOptions::default());
    let text: String = drawn.iter().map(|page| solid_text(page)).collect();
    let Signed { note, reason, .. } = &sign_off;
    let digests = [&record.evaluation_digest, &record.signer.certificate, &record.signer.authority];
    let whole = digests.into_iter().map(String::as_str).chain([
        sign_offs::SIGN_OFF_DIGEST,
        "https://heads.example/look-up/7K2M-93QX-TB5D-8HZA",
        "Invented Co-operative Workshop",
        "4711 entries",
        note.as_deref().unwrap_or_default(),
        reason,
        "Takes the place of",
        "0.058 mm, at most 0.050",
    ]);
    for words in whole {
        assert!(text.contains(&solid(words)), "{words}");
    }
}
