//! The drawings on the inspection pages, read back from the finished files.

mod common;
#[path = "common/ink.rs"]
mod ink;
#[path = "common/readings.rs"]
mod readings;

use common::{Documents, Specimen, documents_of_everything_long};
use headproof_sheet::inspection_sheet;
use headproof_wire::{Evaluation, Paper};
use ink::{Ink, MM, check_page, pages};
use readings::{Given, add_readings};

/// ISO 216 and ANSI/ASME Y14.1.
const PAPERS: [(Paper, (f64, f64)); 2] =
    [(Paper::A4, (210.0 * MM, 297.0 * MM)), (Paper::Letter, (612.0, 792.0))];

fn head(specimen: Specimen, given: Given) -> Documents {
    let mut documents = specimen.documents();
    add_readings(&mut documents, given);
    documents
}

fn of(cylinders: u8, intake: u8, exhaust: u8) -> Specimen {
    Specimen { cylinders, intake, exhaust, ..Specimen::default() }
}

fn sheet(documents: &Documents, paper: Paper) -> Vec<Vec<Ink>> {
    pages(&inspection_sheet(&documents.input(paper)).expect("the specimen has a sheet").bytes)
}

fn count(pages: &[Vec<Ink>], begins: &str) -> usize {
    let is_it = |ink: &&Ink| matches!(ink, Ink::Text(_, text) if text.starts_with(begins));
    pages.iter().flatten().filter(is_it).count()
}

#[track_caller]
fn check(documents: &Documents, name: &str) {
    for (paper, size) in PAPERS {
        for (n, page) in sheet(documents, paper).iter().enumerate() {
            check_page(page, size, &format!("{name} on {paper:?}, page {}", n + 1));
        }
    }
}

#[test]
fn nothing_overlaps_in_either_unit() {
    for inches in [false, true] {
        let unit = if inches { "inch" } else { "mm" };
        let specimen = |cylinders, intake, exhaust| Specimen {
            inches,
            guarded: !inches,
            ..of(cylinders, intake, exhaust)
        };
        check(&head(specimen(1, 1, 1), Given::All), &format!("1 × 2 in {unit}"));
        check(&head(specimen(3, 2, 1), Given::All), &format!("3 × 3 in {unit}"));
        check(&head(specimen(5, 2, 1), Given::Some), &format!("5 × 3 in {unit}, in part"));
    }
}

#[test]
fn nothing_overlaps_on_the_largest_head() {
    check(&head(of(16, 3, 2), Given::All), "sixteen by five");
}

#[test]
fn the_plan_view_stands_under_its_heading() {
    let documents = of(16, 3, 2).documents();
    for (paper, _) in PAPERS {
        let pages = sheet(&documents, paper);
        let headed = pages.iter().position(|page| count(std::slice::from_ref(page), "Plan view") > 0);
        let drawn =
            pages.iter().position(|page| count(std::slice::from_ref(page), "Scheme, not to scale") > 0);
        assert!(headed.is_some() && headed == drawn, "{paper:?}: {headed:?} {drawn:?}");
    }
}

#[test]
fn nothing_overlaps_beside_long_texts() {
    let mut documents = documents_of_everything_long();
    add_readings(&mut documents, Given::All);
    check(&documents, "long texts");
}

#[test]
fn each_port_with_its_readings_has_its_four_drawings_and_the_head_its_deck() {
    let pages = sheet(&head(of(3, 2, 1), Given::All), Paper::A4);
    for title in ["Seat, in section, mm", "Contact on the face, mm", "Runout, mm", "Spring load, N over mm"] {
        assert_eq!(count(&pages, title), 9, "{title}");
    }
    assert_eq!(count(&pages, "Deck, heights"), 1);
    assert_eq!(count(&pages, "high "), 1, "the high point is named");
    assert_eq!(count(&pages, "low 0"), 1, "the low point is named");
    assert_eq!(count(&pages, "Ports: what the drawings mean"), 1);
}

#[test]
fn a_drawing_whose_readings_are_missing_is_left_out() {
    let mut documents = head(of(2, 1, 1), Given::All);
    let [first, second, third, fourth] = documents.set.ports.as_mut_slice() else { panic!("four ports") };
    first.seat.as_mut().unwrap().seat_angle = None;
    second.contact = None;
    third.spring_pack = None;
    fourth.seat.as_mut().unwrap().runout = None;
    fourth.valve.as_mut().unwrap().face_runout = None;
    documents.set.deck = None;
    let pages = sheet(&documents, Paper::A4);
    for title in ["Seat, in section", "Contact on the face", "Runout, mm", "Spring load, N"] {
        assert_eq!(count(&pages, title), 3, "{title}");
    }
    assert_eq!(count(&pages, "Deck, heights"), 0);
    documents.set.ports.clear();
    let pages = sheet(&documents, Paper::A4);
    assert_eq!(count(&pages, "Ports: what the drawings mean"), 0, "nothing to explain");
}

#[test]
fn every_limited_amount_has_its_bar() {
    let documents = head(of(2, 1, 1), Given::All);
    let evaluation = &documents.evaluation;
    let rows = evaluation.ports.iter().flat_map(|port| &port.rows);
    let rows = rows.chain(&evaluation.head).chain(evaluation.cylinders.iter().flat_map(|c| &c.rows));
    let ends = rows.filter(|row| row.measured.is_some()).flat_map(|row| [row.lower, row.upper]);
    let limits = ends.flatten().count();
    // The upright of a limit on a bar: 2 + 2 × 0.5 mm.
    let is_upright = |ink: &&Ink| match ink {
        Ink::Stroke(points, _) if points.len() == 2 => {
            let (from, to) = (points[0], points[1]);
            (from.0 - to.0).abs() < 0.01 && ((from.1 - to.1).abs() - 3.0 * MM).abs() < 0.03
        }
        _ => false,
    };
    let uprights =
        |documents: &Documents| sheet(documents, Paper::A4).iter().flatten().filter(is_upright).count();
    let mut without = head(of(2, 1, 1), Given::All);
    let Evaluation { head: rows, cylinders, ports, .. } = &mut without.evaluation;
    let rows = rows.iter_mut().chain(cylinders.iter_mut().flat_map(|cylinder| &mut cylinder.rows));
    for row in rows.chain(ports.iter_mut().flat_map(|port| &mut port.rows)) {
        (row.lower, row.upper) = (None, None);
    }
    assert_eq!(uprights(&documents) - uprights(&without), limits);
}

/// The drawings of a port take no more than half a page beside its rows.
#[test]
fn drawings_cost_half_a_page_a_port_at_the_most() {
    for (paper, _) in PAPERS {
        for (cylinders, intake, exhaust) in [(1, 1, 1), (4, 2, 2)] {
            let specimen = of(cylinders, intake, exhaust);
            let plain = sheet(&specimen.documents(), paper).len();
            let drawn = sheet(&head(specimen, Given::All), paper).len();
            let ports = usize::from(cylinders) * usize::from(intake + exhaust);
            assert!(2 * (drawn - plain) <= ports + 4, "{plain} pages became {drawn} with {ports} ports");
        }
    }
}

#[test]
fn the_same_readings_give_the_same_drawings() {
    let file = || inspection_sheet(&head(of(2, 2, 2), Given::Some).input(Paper::A4)).unwrap().bytes;
    assert_eq!(file(), file());
}
