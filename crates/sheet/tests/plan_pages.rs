//! The pages of a rework plan, read back from the finished files.

mod common;
#[path = "common/german_plan.rs"]
mod german;
#[path = "common/ink.rs"]
mod ink;
#[path = "common/plan.rs"]
mod plan;

use common::{Documents, PLAN_DIGEST, Specimen, documents_of_everything_long};
use headproof_sheet::{BatchInput, PlanInput, SheetError, SheetInput, batch_report, inspection_sheet};
use headproof_wire::{LengthUnit, Paper, PlanStep, ReworkPlan, SheetOptions};
use ink::{Extent, Ink, MM, check_page, pages};
use plan::{Kind, add_plan, lengthen};

/// What stands over every page of the plan.
const STRIP: &str = "REWORK PLAN: what it says of after the work is worked out, not measured";

fn head(specimen: Specimen, kinds: &[Kind]) -> Documents {
    let mut documents = specimen.documents();
    add_plan(&mut documents, kinds);
    documents
}

fn of(cylinders: u8, intake: u8, exhaust: u8) -> Specimen {
    Specimen { cylinders, intake, exhaust, ..Specimen::default() }
}

fn plan(documents: &Documents) -> &ReworkPlan {
    documents.plan.as_ref().expect("the specimen has a plan")
}

fn sheet(documents: &Documents, paper: Paper) -> Vec<u8> {
    inspection_sheet(&documents.input(paper)).expect("the specimen has a sheet").bytes
}

/// A text without white space: lines break where the layout wants.
fn solid(text: &str) -> String {
    text.split_whitespace().collect()
}

fn says(page: &[Ink], words: &str) -> bool {
    page.iter().any(|ink| matches!(ink, Ink::Text(_, text) if text == words))
}

/// All text of the pages of the plan, in the order of drawing.
fn text_of_plan(file: &[u8]) -> String {
    let pages = pages(file).into_iter().filter(|page| says(page, STRIP));
    let texts = pages.flatten().filter_map(|ink| match ink {
        Ink::Text(_, text) => Some(text),
        _ => None,
    });
    solid(&texts.collect::<String>())
}

/// ISO 216 and ANSI/ASME Y14.1.
const A4: (Paper, (f64, f64)) = (Paper::A4, (210.0 * MM, 297.0 * MM));
const LETTER: (Paper, (f64, f64)) = (Paper::Letter, (612.0, 792.0));

#[track_caller]
fn check_pages(documents: &Documents, name: &str, papers: &[(Paper, (f64, f64))]) {
    for (paper, size) in papers.iter().copied() {
        let pages = pages(&sheet(documents, paper));
        let planned: Vec<_> = pages.iter().enumerate().filter(|(_, page)| says(page, STRIP)).collect();
        assert!(!planned.is_empty(), "{name} has no pages of its plan");
        for (n, page) in planned {
            check_page(page, size, &format!("{name} on {paper:?}, page {}", n + 1));
        }
    }
}

#[test]
fn nothing_overlaps_leaves_the_page_or_is_hidden() {
    check_pages(&head(of(5, 1, 1), &Kind::ALL), "every kind", &[A4, LETTER]);
    check_pages(
        &head(Specimen { inches: true, ..of(5, 1, 1) }, &Kind::ALL),
        "every kind in inches",
        &[A4, LETTER],
    );
    check_pages(&head(of(1, 1, 0), &[Kind::Hand]), "one valve", &[A4, LETTER]);
    check_pages(&head(of(2, 1, 1), &[Kind::Nothing]), "nothing to do", &[A4, LETTER]);
    check_pages(&head(of(16, 2, 2), &Kind::WORK), "sixteen by four", &[LETTER]);
}

#[test]
fn long_names_and_texts_find_room() {
    for inches in [false, true] {
        let mut documents = head(Specimen { inches, ..of(3, 2, 2) }, &Kind::ALL);
        documents.plan.iter_mut().for_each(lengthen);
        check_pages(&documents, "long texts", &[A4, LETTER]);
    }
    let mut documents = documents_of_everything_long();
    add_plan(&mut documents, &Kind::ALL);
    documents.plan.iter_mut().for_each(lengthen);
    let file = sheet(&documents, Paper::A4);
    let text = text_of_plan(&file);
    for step in &plan(&documents).steps {
        for words in [&step.text, &step.check] {
            assert!(text.contains(&solid(words)) || is_torn(&text, words), "step {}: {words}", step.number);
        }
    }
}

/// Where a text runs over the end of a page, foot and head of pages stand between its words.
fn is_torn(text: &str, words: &str) -> bool {
    let words = solid(words);
    let half = words.len() / 2;
    let (Some(first), Some(last)) = (words.get(..half), words.get(half..)) else { return false };
    text.contains(first) || text.contains(last)
}

/// Every port with its own seat: many angles, widths and feeds.
#[test]
fn seats_of_many_shapes_are_drawn_clear_of_their_names() {
    for kind in Kind::WORK {
        for length in [LengthUnit::Millimetre, LengthUnit::Inch] {
            let inches = length == LengthUnit::Inch;
            let documents = head(Specimen { inches, ..of(7, 2, 1) }, &[kind]);
            check_pages(&documents, &format!("{kind:?} in {length:?}"), &[A4]);
        }
    }
}

/// The other side of the checks above: a page that is wrong is found wrong.
#[test]
fn a_page_that_is_wrong_is_found_wrong() {
    let text = |left: f64, bottom: f64| {
        let extent = Extent { left, right: left + 40.0, bottom, top: bottom + 8.0 };
        Ink::Text(extent, "words".to_owned())
    };
    let white = Extent { left: 100.0, right: 140.0, bottom: 98.0, top: 110.0 };
    let line = |grey: f64| Ink::Stroke(vec![(90.0, 104.0), (200.0, 105.0)], grey);
    let wrong = [
        vec![text(100.0, 100.0), text(130.0, 104.0)],
        vec![text(20.0, 100.0)],
        vec![text(100.0, 100.0), line(0.0)],
        vec![line(0.0), Ink::Fill(white, 1.0)],
        vec![text(100.0, 100.0), Ink::Fill(white, 0.3)],
        vec![Ink::Stroke(vec![(100.0, 100.0), (900.0, 100.0)], 0.7)],
    ];
    for (n, page) in wrong.iter().enumerate() {
        let found = std::panic::catch_unwind(|| check_page(page, (595.0, 842.0), "wrong"));
        assert!(found.is_err(), "page {n} passed");
    }
    check_page(&[line(0.72), Ink::Fill(white, 1.0), text(100.0, 100.0)], (595.0, 842.0), "right");
}

#[test]
fn every_step_stands_there_with_its_check_its_cautions_and_its_cut() {
    let documents = head(of(5, 1, 1), &Kind::ALL);
    let text = text_of_plan(&sheet(&documents, Paper::A4));
    let steps = &plan(&documents).steps;
    let mut from = 0;
    for step in steps {
        let place = text[from..].find(&solid(&step.text)).map(|place| from + place);
        from = place.unwrap_or_else(|| panic!("step {} does not follow the one before", step.number));
        let until = text[from + 1..].find("Readafterit").map_or(text.len(), |end| from + 1 + end);
        let own = &text[from..until];
        assert!(own.contains(&format!("Check:{}", solid(&step.check))), "{own}");
        for caution in &step.cautions {
            assert!(own.contains(&format!("Caution{}", solid(caution))), "{own}");
        }
        assert_eq!(own.matches("Caution").count(), step.cautions.len());
        check_cut(step, own);
    }
    assert_eq!(text.matches("Readafterit").count(), steps.len());
}

/// Cutter, angle, feed with its tolerance, and the sizes the cut leaves, in this order.
fn check_cut(step: &PlanStep, own: &str) {
    let Some(cut) = &step.cut else {
        assert!(!own.contains("Widthleft"), "{own}");
        return;
    };
    let row = own.split("Widthleft,mm").nth(1).expect("a row of figures");
    let cutter = cut.cutter.as_deref().unwrap_or("any of this angle");
    let feed = match cut.feed {
        Some(feed) if cut.cut == "light-turns" => format!("atmost{feed:.3}"),
        Some(feed) => format!("{feed:.3}±{:.3}", cut.tolerance),
        None => "byitssizes".to_owned(),
    };
    let expected = format!(
        "{}{}°{feed}{:.3}{:.3}{:.3}",
        solid(cutter),
        cut.angle,
        cut.outer_diameter,
        cut.inner_diameter,
        cut.width
    );
    assert!(row.starts_with(&expected), "{expected} is not {row}");
}

#[test]
fn each_step_has_a_box_to_tick_and_a_place_for_a_reading() {
    let documents = head(of(5, 1, 1), &Kind::ALL);
    let pages = pages(&sheet(&documents, Paper::A4));
    let boxes = |wide: f64, high: f64| {
        let is_one = |ink: &&Ink| match ink {
            Ink::Stroke(points, _) if points.len() == 5 => {
                let (from, to) = (points[0], points[2]);
                ((to.0 - from.0).abs() - wide * MM).abs() < 0.1
                    && ((to.1 - from.1).abs() - high * MM).abs() < 0.1
            }
            _ => false,
        };
        pages.iter().filter(|page| says(page, STRIP)).flatten().filter(is_one).count()
    };
    let steps = plan(&documents).steps.len();
    assert_eq!((boxes(5.4, 5.4), boxes(36.0, 9.0)), (steps, steps));
}

#[test]
fn the_summary_says_what_it_comes_to_and_that_nobody_measured_it() {
    let documents = head(of(4, 1, 1), &Kind::WORK);
    let pages = pages(&sheet(&documents, Paper::A4));
    let first = pages.iter().position(|page| says(page, STRIP)).expect("the plan");
    let words = |page: &[Ink]| {
        let text = page
            .iter()
            .filter_map(|ink| if let Ink::Text(_, text) = ink { Some(text.as_str()) } else { None });
        solid(&text.collect::<String>())
    };
    let (page, plan) = (words(&pages[first]), plan(&documents));
    assert!(first > 0 && words(&pages[0]).contains("REWORK"), "the verdict comes first");
    for text in [
        "Rework plan",
        &plan.headline,
        "Least sink",
        "Nobody measured it",
        "8ports with work",
        "5new parts",
        "6shims",
        "100.4minutes at the bench",
        "251.20cost",
        "Proved best",
        "0.120 mm comes off",
        &plan.assumptions[0],
        &plan.assumptions[1],
        PLAN_DIGEST,
        &plan.predicted.as_ref().unwrap().notice,
    ] {
        assert!(page.contains(&solid(text)), "{text} is not in {page}");
    }
    let tables = pages.iter().position(|page| words(page).contains("Deckandhead")).expect("the tables");
    assert!(tables > first && !says(&pages[tables], STRIP), "the inspection tables come after the plan");
}

#[test]
fn a_plan_that_is_not_proved_best_says_by_how_much() {
    let mut documents = head(of(1, 1, 1), &[Kind::Hand]);
    let text = |documents: &Documents| text_of_plan(&sheet(documents, Paper::A4));
    let search = &mut documents.plan.as_mut().unwrap().search;
    (search.proved_best, search.gap, search.limit_hit) = (false, Some(0.012_34), true);
    let found = text(&documents);
    assert!(found.contains(&solid("another plan could be better in it by 1.3 % at the most")), "{found}");
    assert!(found.contains(&solid("The search was ended by its limit.")));
    documents.plan.as_mut().unwrap().search.gap = None;
    assert!(text(&documents).contains(&solid("how much better another plan could be is not known")));
}

#[test]
fn ports_without_work_and_without_a_plan_are_named_with_their_reason() {
    let documents = head(of(5, 1, 1), &Kind::ALL);
    let text = text_of_plan(&sheet(&documents, Paper::A4));
    for words in [
        "Cylinder 3, exhaust 1 guide comes first Nothing is cut before it is done and measured",
        "Cylinder 4, intake 1 to be measured first To be measured: seat runout (TIR), seat outer diameter; nothing is \
         cut before that",
        "Cylinder 5, intake 1 no plan See “Where there is no plan”",
        "Nothing to do: Cylinder 4, exhaust 1.",
        "The head as a whole These cannot all be met; one of them at least has to give way: – The seat cutter has",
        "Apart from that, neither can all of these; of them, too, one has to give way: – No more may come off the deck. \
         – So much has to come off the deck until it is clean all over.",
        "Cylinder 5, intake 1 These cannot all be met; without any one of them the others can: – The seat cutter has",
        "Each of these would free it; each was tried and leads to a plan: – With a new seat insert there is a plan.",
    ] {
        assert!(text.contains(&solid(words)), "{words} is not in {text}");
    }
}

#[test]
fn amounts_have_the_units_of_the_set_and_none_is_minus_zero() {
    let millimetres = text_of_plan(&sheet(&head(of(5, 1, 1), &Kind::ALL), Paper::A4));
    let inches = Specimen { inches: true, ..of(5, 1, 1) };
    let inches = text_of_plan(&sheet(&head(inches, &Kind::ALL), Paper::A4));
    // 1 in = 25.4 mm, 1 lbf = 4.448 221 615 260 5 N: NIST SP 811 (2008), Appendix B.8.
    assert!(millimetres.contains("Seatwidth,mm2.1231.400±0.0601.3001.550"), "{millimetres}");
    assert!(inches.contains("Seatwidth,in0.08360.0551±0.00240.05120.0610"), "{inches}");
    assert!(millimetres.contains("Seatload,N241.3249.9±1.2249.8250.1"));
    assert!(inches.contains("Seatload,lbf54.256.2±0.356.256.2"));
    for text in [millimetres, inches] {
        for wrong in ["−0.000±", "−0.0000±", "-0.0", "NaN", "inf"] {
            assert!(!text.contains(wrong), "{wrong}");
        }
        let recession = text.split("Valverecession,").nth(1).unwrap();
        assert!(recession.contains("–0.000") && !recession.starts_with('−'), "{}", &recession[..20]);
        assert!(text.contains("valvesitsashighasbefore"));
    }
}

#[test]
fn the_same_plan_gives_the_same_bytes_and_another_plan_another_file() {
    let documents = head(of(2, 2, 1), &Kind::ALL);
    let file = sheet(&documents, Paper::A4);
    assert_eq!(file, sheet(&head(of(2, 2, 1), &Kind::ALL), Paper::A4));
    let identity = |file: &[u8]| {
        let document = lopdf::Document::load_mem(file).unwrap();
        format!("{:?}", document.trailer.get(b"ID").unwrap())
    };
    let input = documents.input(Paper::A4);
    let plan = input.plan.map(|plan| PlanInput { digest: "another", ..plan });
    let other = inspection_sheet(&SheetInput { plan, ..input }).unwrap().bytes;
    assert_ne!(identity(&file), identity(&other));
    let without = inspection_sheet(&SheetInput { plan: None, ..documents.input(Paper::A4) }).unwrap().bytes;
    assert_ne!(identity(&file), identity(&without));
    assert!(pages(&without).iter().all(|page| !says(page, STRIP)));
}

#[test]
fn a_batch_prints_the_plan_of_each_head_that_has_one() {
    let planned = head(of(1, 1, 1), &[Kind::Hand]);
    let plain = of(1, 1, 1).documents();
    let input = BatchInput {
        batch_label: "Week with a plan",
        sheets: vec![plain.input(Paper::A4), planned.input(Paper::A4)],
        failed: Vec::new(),
        statistics: None,
        statistics_canonical: None,
        look: SheetOptions { paper: Paper::Letter, ..SheetOptions::default() },
    };
    let pages = pages(&batch_report(&input).unwrap().bytes);
    let summaries = pages.iter().filter(|page| says(page, "Rework plan")).count();
    assert_eq!(summaries, 1);
}

#[test]
fn a_plan_of_more_pages_than_anybody_reads_is_refused() {
    let mut documents = head(of(1, 1, 1), &[Kind::Hand]);
    let plan = documents.plan.as_mut().unwrap();
    plan.steps = vec![plan.steps[1].clone(); 20];
    for step in &mut plan.steps {
        step.text = "far too much to read ".repeat(8_000);
    }
    let error = inspection_sheet(&documents.input(Paper::A4)).unwrap_err();
    assert!(matches!(error, SheetError::TooLarge { limit: 400, .. }), "{error}");
}
