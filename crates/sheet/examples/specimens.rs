//! Writes specimen pages into a directory, to be looked at:
//! `cargo run -p headproof-sheet --example specimens -- some/directory`
//!
//! With three or four more arguments, the files of a measurement set, a profile, their evaluation and a rework
//! plan, it writes the sheet of that head instead.

#[path = "../tests/common/mod.rs"]
mod common;
#[path = "../tests/common/plan.rs"]
mod plan;
#[path = "../tests/common/readings.rs"]
mod readings;
#[path = "../tests/common/signed.rs"]
mod sign_offs;

use std::error::Error;
use std::path::{Path, PathBuf};

use common::{Documents, Specimen, documents_of_everything_long};
use headproof_sheet::{BatchInput, batch_report, inspection_sheet};
use headproof_wire::{Language, Meaning, Paper, SheetOptions};
use plan::{Kind, add_plan, lengthen};
use readings::{Given, add_readings};
use sign_offs::{Signed, signed};

fn main() -> Result<(), Box<dyn Error>> {
    let directory = PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| ".".to_owned()));
    if let [_, _, set, profile, evaluation, plan @ ..] = std::env::args().collect::<Vec<_>>().as_slice() {
        let documents = Documents {
            set: serde_json::from_str(&std::fs::read_to_string(set)?)?,
            profile: serde_json::from_str(&std::fs::read_to_string(profile)?)?,
            evaluation: serde_json::from_str(&std::fs::read_to_string(evaluation)?)?,
            plan: plan
                .first()
                .map(|plan| -> Result<_, Box<dyn Error>> {
                    Ok(serde_json::from_str(&std::fs::read_to_string(plan)?)?)
                })
                .transpose()?,
        };
        std::fs::write(directory.join("sheet.pdf"), inspection_sheet(&documents.input(Paper::A4))?.bytes)?;
        return Ok(());
    }
    let of = |cylinders, intake, exhaust| Specimen { cylinders, intake, exhaust, ..Specimen::default() };
    let long =
        "Ölmühlen- und Bewässerungsgenossenschaft Beispielhausen-am-langen-Bach, Abteilung Pumpen und Kälte";
    let specimens = [
        ("one-two", Specimen { bad_every: 0, guarded: false, ..of(1, 1, 1) }),
        ("four-four", of(4, 2, 2)),
        ("sixteen-five", of(16, 3, 2)),
        ("sixteen-four", of(16, 2, 2)),
        ("eight-valve-inch", Specimen { inches: true, guarded: false, ..of(4, 1, 1) }),
        (
            "long-names",
            Specimen {
                serial: format!("SERIAL-{}", "0123456789".repeat(7)),
                customer: long.into(),
                ..of(6, 2, 2)
            },
        ),
        (
            "greek",
            Specimen {
                serial: "ΑΝΤΛΙΑ-7".into(),
                customer: "Συνεταιρισμός Άρδευσης Υποδείγματος".into(),
                ..of(3, 2, 1)
            },
        ),
        ("clean", Specimen { clean: true, disposition: Some("accept"), ..of(4, 2, 2) }),
        ("reject", Specimen { disposition: Some("reject"), ..of(8, 1, 1) }),
        ("incomplete", Specimen { disposition: Some("incomplete"), ..of(2, 4, 1) }),
        (
            "cyrillic",
            Specimen {
                customer: "Зразковий кооператив «Їжак» \u{5D0}\u{202E}検".into(), ..of(2, 2, 2)
            },
        ),
    ];
    let documents: Vec<_> = specimens.iter().map(|(_, specimen)| specimen.documents()).collect();
    for ((name, _), documents) in specimens.iter().zip(&documents) {
        for (suffix, paper) in [("a4", Paper::A4), ("letter", Paper::Letter)] {
            std::fs::write(
                directory.join(format!("{name}-{suffix}.pdf")),
                inspection_sheet(&documents.input(paper))?.bytes,
            )?;
        }
    }
    let mut stretched = documents_of_everything_long();
    stretched.evaluation.disposition = "incomplete".into();
    for (name, paper) in [("stretched-a4", Paper::A4), ("stretched-letter", Paper::Letter)] {
        std::fs::write(
            directory.join(format!("{name}.pdf")),
            inspection_sheet(&stretched.input(paper))?.bytes,
        )?;
    }
    write_planned(&directory)?;
    write_drawn(&directory)?;
    write_signed(&directory)?;
    let report = BatchInput {
        batch_label: "Demo batch, third week: heads of the irrigation pumps",
        sheets: documents.iter().map(|documents| documents.input(Paper::A4)).collect(),
        failed: vec![("PUMP-0999".into(), "The sheet could not be made: 480 pages, more than 400.".into())],
        statistics: None,
        statistics_canonical: None,
        look: SheetOptions::default(),
    };
    std::fs::write(directory.join("batch.pdf"), batch_report(&report)?.bytes)?;
    Ok(())
}

/// Heads with readings to draw.
fn write_drawn(directory: &Path) -> Result<(), Box<dyn Error>> {
    let head = |cylinders, intake, exhaust, inches, given| {
        let specimen = Specimen { cylinders, intake, exhaust, inches, ..Specimen::default() };
        let mut documents = specimen.documents();
        add_readings(&mut documents, given);
        documents
    };
    let mut long = documents_of_everything_long();
    add_readings(&mut long, Given::All);
    let specimens = [
        ("drawn-one-two", head(1, 1, 1, false, Given::All)),
        ("drawn-three-inch", head(3, 2, 1, true, Given::All)),
        ("drawn-in-part", head(4, 2, 2, false, Given::Some)),
        ("drawn-sixteen-five", head(16, 3, 2, false, Given::All)),
        ("drawn-long", long),
    ];
    for (name, documents) in &specimens {
        for (suffix, paper) in [("a4", Paper::A4), ("letter", Paper::Letter)] {
            let path = directory.join(format!("{name}-{suffix}.pdf"));
            std::fs::write(path, inspection_sheet(&documents.input(paper))?.bytes)?;
        }
    }
    Ok(())
}

/// Heads with a rework plan.
fn write_planned(directory: &Path) -> Result<(), Box<dyn Error>> {
    let head = |cylinders, valves, inches, kinds: &[Kind]| {
        let specimen = Specimen { cylinders, intake: valves, exhaust: valves, inches, ..Specimen::default() };
        let mut documents = specimen.documents();
        add_plan(&mut documents, kinds);
        documents
    };
    let mut long = head(3, 2, false, &Kind::ALL);
    long.plan.iter_mut().for_each(lengthen);
    let specimens = [
        ("plan-four-four", head(4, 2, false, &Kind::WORK)),
        ("plan-one-inch", head(1, 1, true, &[Kind::Hand, Kind::Throat])),
        ("plan-every-kind", head(5, 1, false, &Kind::ALL)),
        ("plan-nothing", head(2, 1, false, &[Kind::Nothing])),
        ("plan-sixteen-four", head(16, 2, false, &Kind::WORK)),
        ("plan-long", long),
    ];
    for (name, documents) in &specimens {
        for (suffix, paper) in [("a4", Paper::A4), ("letter", Paper::Letter)] {
            let path = directory.join(format!("{name}-{suffix}.pdf"));
            std::fs::write(path, inspection_sheet(&documents.input(paper))?.bytes)?;
        }
    }
    Ok(())
}

/// Heads that somebody signed off, in every language.
fn write_signed(directory: &Path) -> Result<(), Box<dyn Error>> {
    let head = |cylinders, intake, exhaust, clean: bool| {
        let disposition = clean.then_some("accept");
        Specimen { cylinders, intake, exhaust, clean, disposition, ..Specimen::default() }.documents()
    };
    let of = Signed::meaning;
    let named = |name: &str| Signed {
        name: name.repeat(40).chars().take(200).collect(),
        role: name.repeat(40).chars().take(100).collect(),
        note: Some(name.repeat(100).chars().take(500).collect()),
        reason: name.repeat(100).chars().take(500).collect(),
        beside: 9,
        supersedes: 3,
        ..of(Meaning::Concession)
    };
    let specimens = [
        ("one-released", head(1, 1, 1, true), of(Meaning::Released)),
        ("one-concession", head(1, 1, 1, false), of(Meaning::Concession)),
        ("four-released", head(4, 2, 2, true), Signed { beside: 2, ..of(Meaning::Released) }),
        ("four-inspected", head(4, 2, 2, false), of(Meaning::Inspected)),
        (
            "four-concession",
            head(4, 2, 2, false),
            Signed {
                beside: 1,
                supersedes: 2,
                note: Some("Next inspection after 200 hours.".into()),
                ..of(Meaning::Concession)
            },
        ),
        ("sixteen-concession", head(16, 3, 2, false), of(Meaning::Concession)),
        ("sixteen-inspected", head(16, 3, 2, false), Signed { beside: 9, ..of(Meaning::Inspected) }),
        ("long-names", head(4, 2, 2, false), named("Freifrau von Beispiel-Langenbach ")),
        ("spelled", head(2, 2, 2, false), named("\u{5D0}\u{5D1}検査")),
        ("stretched", documents_of_everything_long(), named("UNBREAKABLE-0123456789")),
    ];
    for (name, documents, signature) in &specimens {
        let record = signature.record(&documents.evaluation);
        for (language, paper, suffix) in
            [(Language::En, Paper::A4, "en"), (Language::De, Paper::Letter, "de")]
        {
            let input = documents.input_in(SheetOptions { paper, language });
            let path = directory.join(format!("signed-{name}-{suffix}.pdf"));
            std::fs::write(path, inspection_sheet(&signed(input, &record))?.bytes)?;
        }
    }
    Ok(())
}
