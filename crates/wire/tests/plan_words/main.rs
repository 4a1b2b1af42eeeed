//! The rework plan as a document: one plan that holds every word the domain knows, made by hand.

mod languages;
mod made;

use std::collections::BTreeSet;

use headproof_head::{DeckCut, Outcome, Plan, Subject};
use headproof_quantity::{Exact, Length};
use headproof_wire::{
    At, Document, LengthUnit, PlanStep, ReworkPlan, Units, measurement_set, plan_document, read,
};
use serde_json::Value;

use self::made::{documents, every_bound, every_caution, every_work, id, mm, plan};

const INCHES: Units = Units { length: LengthUnit::Inch, ..Units::BASE };

fn document(units: Units) -> ReworkPlan {
    let (set, profile) = documents();
    plan_document(&plan(&set, &profile), &set, &profile, units)
}

/// Every sentence of the plan itself, with the pointer to it; predicted documents have words of their own.
fn sentences(document: &ReworkPlan) -> Vec<(String, String)> {
    fn walk(value: &Value, pointer: &str, inside: bool, found: &mut Vec<(String, String)>) {
        const SENTENCES: [&str; 6] = ["text", "check", "headline", "notice", "assumptions", "cautions"];
        match value {
            Value::Object(map) => {
                for (name, value) in map {
                    let of_plan = !matches!(name.as_str(), "profile" | "measurement_set" | "evaluation");
                    let phrase = name.ends_with("says") || name.ends_with("_say");
                    if of_plan && !phrase {
                        let inside = SENTENCES.contains(&name.as_str());
                        walk(value, &format!("{pointer}/{name}"), inside, found);
                    }
                }
            }
            Value::Array(list) => {
                for (index, value) in list.iter().enumerate() {
                    walk(value, &format!("{pointer}/{index}"), inside, found);
                }
            }
            Value::String(text) if inside => found.push((pointer.to_owned(), text.clone())),
            _ => {}
        }
    }
    let mut found = Vec::new();
    walk(&serde_json::to_value(document).expect("a document"), "", false, &mut found);
    found
}

fn text<'d>(document: &'d ReworkPlan, operation: &str) -> Vec<&'d PlanStep> {
    document.steps.iter().filter(|step| step.operation == operation).collect()
}

#[test]
fn a_plan_with_every_word_fits_its_own_schema_and_comes_back_equal() {
    for units in [Units::BASE, INCHES] {
        let document = document(units);
        let text = serde_json::to_string(&document).expect("a plan can be written");
        let value: Value = serde_json::from_str(&text).expect("JSON");
        let errors: Vec<String> =
            ReworkPlan::validator().iter_errors(&value).map(|error| error.to_string()).collect();
        assert_eq!(errors, Vec::<String>::new());
        let back: ReworkPlan = read(text.as_bytes()).expect("it can be read back");
        assert_eq!(back, document);
    }
    assert!(!ReworkPlan::validator().is_valid(&serde_json::json!({ "format": "headproof/rework-plan/1" })));
}

#[test]
fn every_sentence_says_something_and_no_number_is_broken() {
    for units in [Units::BASE, INCHES] {
        let sentences = sentences(&document(units));
        assert!(sentences.len() > 400, "{}", sentences.len());
        for (pointer, text) in sentences {
            assert!(text.ends_with('.') && text.starts_with(char::is_uppercase), "{pointer}: {text}");
            assert!(
                !text.contains("..") && !text.contains("  ") && !text.contains(" ,"),
                "{pointer}: {text}"
            );
            for word in text.split([' ', '(', ')', '±']) {
                let number = word.trim_start_matches(['-', '−']);
                let is_zero = number.chars().any(|c| c == '0') && number.trim_matches(['0', '.']).is_empty();
                assert!(!(is_zero && number != word), "{pointer}: negative zero in {text}");
            }
            for broken in ["NaN", "inf ", "None", "Some", "{", "}"] {
                assert!(!text.contains(broken), "{pointer}: {text}");
            }
        }
    }
}

#[test]
fn a_set_in_inches_gets_its_steps_in_inches() {
    for (pointer, text) in sentences(&document(INCHES)) {
        assert!(!text.contains("mm"), "{pointer}: {text}");
    }
    let metric = sentences(&document(Units::BASE));
    assert!(metric.iter().all(|(_, text)| !text.contains(" in)") && !text.contains("0 in ")), "{metric:?}");
    // Amounts as numbers are in base units whatever the sentences are in.
    let (inches, millimetres) = (document(INCHES), document(Units::BASE));
    assert_eq!(inches.ports, {
        let mut ports = millimetres.ports.clone();
        for (port, other) in ports.iter_mut().zip(&inches.ports) {
            port.conflict.clone_from(&other.conflict);
        }
        ports
    });
    assert_eq!(inches.steps[4].cut, millimetres.steps[4].cut);
    let predicted = inches.predicted.as_ref().expect("a prediction");
    assert_eq!(predicted.measurement_set.units, INCHES);
}

#[test]
fn every_work_has_its_word_and_its_number() {
    let document = document(Units::BASE);
    let words: Vec<&str> = document.steps.iter().map(|step| step.operation.as_ref()).collect();
    assert_eq!(words, every_work().iter().map(|(_, word)| *word).collect::<Vec<_>>());
    assert!(document.steps.iter().map(|step| step.number).eq(1..=words.len() as u32));
    for step in &document.steps {
        assert_eq!(step.subject, "cylinder 1 intake 1");
        assert_eq!(step.cautions.len(), every_caution().len());
        assert_eq!(step.cut.is_some(), step.operation.ends_with("-cut") || step.operation == "light-turns");
    }
    let again = document.measure_again.iter().map(|again| again.characteristics.join(" "));
    assert_eq!(again.collect::<Vec<_>>(), ["seat-width leak-held", ""]);
}

/// What the bench reads. A tolerance is printed no wider than it is (0.14196 as 0.14).
#[test]
fn steps_are_told_by_what_can_be_seen() {
    let cases = [
        (
            Units::BASE,
            "seat-cut",
            [
                "Ink the seat. Seat cutter 45°: turn until the bright ring is unbroken, about 0.12 mm (±0.03) past \
                 first touch; the ring shows first at 120° from the first dial reading and the last ink goes \
                 opposite.",
                "Ink the seat. Seat cutter 44.5° (C-44): turn until the bright ring is unbroken, about 0.125 mm \
                 (±0.03) past first touch; it touches the outer edge first; the ring shows first at 355° from the \
                 first dial reading and the last ink goes opposite.",
                "Ink the seat. Seat cutter 45°: turn until the ring on the new insert is 32.14 mm outside and \
                 29.96 mm inside.",
            ]
            .as_slice(),
        ),
        (
            Units::BASE,
            "top-cut",
            &["Top cutter 30°: bring the seat's outer diameter in to 32.14 mm (±0.14), about 0.15 mm of feed."],
        ),
        (
            INCHES,
            "top-cut",
            &["Top cutter 30°: bring the seat's outer diameter in to 1.2654 in (±0.0055), about 0.0059 in of feed."],
        ),
        (
            Units::BASE,
            "throat-cut",
            &["Throat cutter 60°: until the band is 1.31 mm wide (±0.06), its inner diameter then 29.96 mm (±0.08), \
               about 0.10 mm of feed; it touches the inner edge first."],
        ),
        (
            Units::BASE,
            "form-cut",
            &["Ink the seat. Form cutter 45° (F-1): one plunge, until the bright ring is unbroken, about 0.12 mm \
               (±0.03) past first touch; the ring shows first at 0° from the first dial reading and the last ink \
               goes opposite."],
        ),
        (
            Units::BASE,
            "light-turns",
            &[
                "Two light turns of the seat cutter 45° against the burr: no more than 0.01 mm.",
                "Two light turns of the seat cutter 45° (C-45) against the burr.",
            ],
        ),
        (
            Units::BASE,
            "fit-valve",
            &[
                "Valve 1I1 goes back to cylinder 1 intake 1.",
                "The valve that came from it goes back to cylinder 1 intake 1.",
                "New valve V-33 goes to cylinder 1 intake 1 in place of valve 1I1; mark it for this seat.",
                "New valve V-33 goes to cylinder 1 intake 1 in place of the old one; mark it for this seat.",
            ],
        ),
        (
            Units::BASE,
            "fit-springs",
            &[
                "Fit shims: 1 × 0.25 mm; installed height then 35.02 mm.",
                "Fit new springs P-2 and shims: 2 × 0.25 mm and 1 × 0.50 mm.",
                "Fit the springs that came from this port; installed height then 35.00 mm.",
                "Fit new springs P-2.",
            ],
        ),
        (
            INCHES,
            "fit-lash-shim",
            &["Fit a lash shim of 0.1112 in; lash then 0.0098 in.", "Fit a lash shim of 0.1102 in."],
        ),
        (Units::BASE, "cut-deck", &["Cut the deck: 0.085 mm off at its highest place (0.08 mm is what cleans it)."]),
        (Units::BASE, "measure-first", &["Measure first: seat runout (TIR), pit depth in the band."]),
    ];
    for (units, operation, expected) in cases {
        let document = document(units);
        let texts: Vec<&str> = text(&document, operation).iter().map(|step| step.text.as_str()).collect();
        assert_eq!(texts, expected, "{operation}");
    }
}

#[test]
fn every_bound_and_way_has_a_word_of_its_own() {
    let document = document(Units::BASE);
    let port = &document.ports[0];
    let words: BTreeSet<&str> = port.binds.iter().map(|bound| bound.bound.as_ref()).collect();
    let texts: BTreeSet<&str> = port.binds.iter().map(|bound| bound.text.as_str()).collect();
    assert_eq!((words.len(), texts.len()), (every_bound().len(), every_bound().len()));
    assert_eq!(port.binds[0].characteristic.as_deref(), Some("seat-width"));
    let ways = &port.conflict.as_ref().expect("a conflict").freed_by;
    let first = &ways[0];
    assert_eq!((first.way.as_ref(), first.bound.as_deref()), ("concession", Some("lower-limit")));
    assert_eq!((first.amount, first.unit.as_deref()), (Some(0.0512), Some("mm")));
    assert_eq!(
        first.text,
        "A concession on the lower limit of seat width, of at least 0.06 mm: for whoever answers for this engine to \
         decide."
    );
    let force = ways.iter().find(|way| way.characteristic.as_deref() == Some("seat-load")).expect("a force");
    assert_eq!((force.amount, force.unit.as_deref()), (Some(12.34), Some("N")));
    assert!(force.text.contains("of at least 12.4 N"), "{}", force.text);
    let words: BTreeSet<&str> = ways.iter().map(|way| way.way.as_ref()).collect();
    assert_eq!(
        words.into_iter().collect::<Vec<_>>(),
        ["better-gauge", "concession", "more-shims", "new-insert", "other-springs", "other-valve"]
    );
    let cautions: BTreeSet<&str> = document.steps[0].cautions.iter().map(String::as_str).collect();
    assert_eq!(cautions.len(), every_caution().len());
    let statuses: Vec<&str> = document.ports.iter().map(|port| port.status.as_ref()).collect();
    assert_eq!(statuses, ["planned", "nothing-to-do", "guide-first", "measure-first", "no-plan"]);
}

#[test]
fn cautions_name_what_hurts() {
    let document = document(Units::BASE);
    let cautions = &document.steps[0].cautions;
    for words in [
        "Sodium in the stem: never grind, cut, weld",
        "Beryllium copper: never grind it dry, its dust is toxic",
        "one that is cut too thin is replaced",
        "only where the engine maker allows it",
        "use a spring compressor, stand aside",
        "Wear eye protection",
        "gloves",
        "makes the readings of its seat void",
        "cam timing",
        "holds a valve off its seat",
    ] {
        assert!(cautions.iter().any(|caution| caution.contains(words)), "{words}: {cautions:?}");
    }
}

#[test]
fn a_prediction_never_wears_the_mark_of_a_measurement() {
    let document = document(Units::BASE);
    assert_eq!(document.format, "headproof/rework-plan/1");
    assert!(document.headline.contains("Predicted, not measured."), "{}", document.headline);
    let predicted = document.predicted.expect("a prediction");
    assert!(predicted.notice.starts_with("Predicted, not measured: "));
    assert!(predicted.evaluation.headline.starts_with("Predicted, not measured: "));
    assert!(predicted.evaluation.headline.contains("to be found by measuring only: "));
    assert_eq!(predicted.unpredictable, ["leak-held", "contact-gap"]);
    // It is refused as a measurement.
    assert_eq!(predicted.measurement_set.format, "headproof/predicted-set/1");
    let faults = measurement_set(&predicted.measurement_set, &At::Root).expect_err("no measurement");
    assert_eq!(faults.iter().map(|fault| fault.pointer.as_str()).collect::<Vec<_>>(), ["/format"]);
}

fn headline(change: impl FnOnce(&mut Plan)) -> String {
    let (set, profile) = documents();
    let mut plan = plan(&set, &profile);
    plan.beyond.clear();
    plan.deck = None;
    change(&mut plan);
    plan_document(&plan, &set, &profile, Units::BASE).headline
}

#[test]
fn headlines_promise_no_more_than_was_found() {
    let beyond = headline(|plan| plan.beyond = vec![(Subject::Head, id("crack-test")); 2]);
    assert!(beyond.ends_with("beyond any work of this kind: no crack found (2)."), "{beyond}");
    assert!(
        headline(|_| ())
            .starts_with("Planned: work on 3 ports, predicted to bring every port inside profile ")
    );
    let deck = headline(|plan| {
        plan.deck = Some(DeckCut { depth: mm(0.1), needed: mm(0.1) });
        plan.totals.ports = 0;
    });
    assert!(deck.starts_with("Planned: a cut of the deck, predicted to bring the deck inside"), "{deck}");
    let nothing = headline(|plan| plan.outcome = Outcome::NothingToDo);
    assert!(nothing.starts_with("Nothing to do: as measured, no port needs work"), "{nothing}");
    let staged = headline(|plan| (plan.outcome, plan.totals.ports) = (Outcome::Staged, 1));
    for words in [
        "In stages: work on 1 port, predicted",
        "the guide comes first on 1 port",
        "something has to be measured first on 1 port",
    ] {
        assert!(staged.contains(words), "{words}: {staged}");
    }
    let waiting = headline(|plan| (plan.outcome, plan.totals.ports) = (Outcome::Staged, 0));
    assert!(waiting.starts_with("In stages: nothing can be cut yet; "), "{waiting}");
    let none = headline(|plan| plan.outcome = Outcome::NoPlan);
    assert!(none.starts_with("No plan: 1 port cannot be brought inside"), "{none}");
    let together = headline(|plan| {
        plan.outcome = Outcome::NoPlan;
        plan.ports.truncate(1);
    });
    assert!(together.starts_with("No plan: each port by itself could be"), "{together}");
    let ended = headline(|plan| {
        plan.outcome = Outcome::NoPlan;
        plan.search.limit_hit = true;
    });
    assert!(ended.starts_with("No plan found") && ended.ends_with("there may be some."), "{ended}");
}

/// Sums of doubles and what is not known do not get onto the wire as they are.
#[test]
fn numbers_are_whole_or_left_out() {
    let (set, profile) = documents();
    let mut plan = plan(&set, &profile);
    let document = plan_document(&plan, &set, &profile, Units::BASE);
    assert_eq!(
        [document.totals.minutes, document.totals.cost].map(f64::to_bits),
        [57.33, 0.3].map(f64::to_bits)
    );
    assert_eq!((document.search.objective, document.search.gap), (Some(0.3), Some(0.0)));
    (plan.search.objective, plan.search.gap) = (None, None);
    // A length that a sum made has more digits than the wire carries.
    plan.ports[0].face_grind = Some(Length::from_exact(Exact::from_count(50_000_000_000_000_049, 18)));
    let document = plan_document(&plan, &set, &profile, Units::BASE);
    assert_eq!((document.search.objective, document.search.gap), (None, None));
    assert_eq!(document.ports[0].face_grind, Some(0.05));
    assert!(read::<ReworkPlan>(&serde_json::to_vec(&document).expect("a plan can be written")).is_ok());
}
