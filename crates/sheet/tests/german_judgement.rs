//! The judgement on German pages: headline, tally, reasons, findings and judged rows.

#[path = "common/ink.rs"]
mod ink;

use headproof_sheet::{Record, SheetInput, inspection_sheet};
use headproof_wire::{
    At, Evaluation, Language, MeasurementSet, Paper, SheetOptions, TargetProfile, evaluation_document,
    examples, measurement_set, read, target_profile,
};
use ink::{Ink, MM, check_page, pages};

/// ISO 216 and ANSI/ASME Y14.1.
const PAPERS: [(Paper, (f64, f64)); 2] =
    [(Paper::A4, (210.0 * MM, 297.0 * MM)), (Paper::Letter, (612.0, 792.0))];

/// A demo head with its judgement; one port of it was not posted, and one valve tag stands twice.
fn judged(n: usize) -> (MeasurementSet, TargetProfile, Evaluation) {
    let (set, profile) = examples::HEADS[n];
    let mut set: MeasurementSet = read(set.text.as_bytes()).expect("a demo set");
    set.ports.remove(2);
    for port in &mut set.ports[..2] {
        port.valve.get_or_insert_default().tag = Some("T1".into());
    }
    let profile: TargetProfile = read(profile.text.as_bytes()).expect("a demo profile");
    let known = measurement_set(&set, &At::Root).expect("a good set");
    let limits = target_profile(&profile, &At::Root).expect("a good profile");
    let evaluation = evaluation_document(&headproof_judge::evaluate(&known, &limits), &known, &limits);
    (set, profile, evaluation)
}

fn german(n: usize, paper: Paper) -> Vec<Vec<Ink>> {
    let (set, profile, evaluation) = judged(n);
    let input = SheetInput {
        set: &set,
        profile: &profile,
        evaluation: &evaluation,
        evaluation_digest: "3f9a12c4d0e85b7760a1c2d3e4f5061728394a5b6c7d8e9f00112233445566aa",
        plan: None,
        earlier: None,
        sign_off: None,
        record: Record { measurement_set: b"{}", profile: b"{}", evaluation: b"{}" },
        look: SheetOptions { paper, language: Language::De },
    };
    pages(&inspection_sheet(&input).expect("a demo head has a sheet").bytes)
}

#[test]
fn the_judgement_of_the_demo_heads_is_said_in_german() {
    let pages = german(0, Paper::A4);
    let words = pages.iter().flatten().filter_map(|ink| match ink {
        Ink::Text(_, words) => Some(words.as_str()),
        _ => None,
    });
    let text = words.collect::<Vec<_>>().join(" ");
    for words in [
        "UNVOLLSTÄNDIG",
        "Unvollständig: Nicht alles Geforderte wurde gemessen und nachgewiesen.",
        "Konform mit Profil",
        "Merkmalen",
        "ohne Grenze",
        "Zu diesem Ventilplatz wurde nichts angegeben",
        "Ventilplatz fehlt",
        "Ventilkennzeichen doppelt",
        "und Zylinder",
        "höchstens 0,",
        "Stelle 3 von 8",
        "Richtung ",
        "U (k = 2)",
        "sperrend",
    ] {
        assert!(text.contains(words), "{words} is not on the pages: {text}");
    }
    for words in ["not given", "Needs rework", "is above its"] {
        assert!(!text.contains(words), "{words} is on the pages");
    }
}

#[test]
fn no_words_of_the_german_pages_meet() {
    for n in 0..examples::HEADS.len() {
        for (paper, size) in PAPERS {
            // The word for a rejected head stands on a dark ground.
            let dark = usize::from(judged(n).2.disposition == "reject");
            for (number, page) in german(n, paper).iter().enumerate().skip(dark) {
                check_page(page, size, &format!("head {n}, page {}", number + 1));
            }
        }
    }
}
