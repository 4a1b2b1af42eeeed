//! The rework plan in German.

use headproof_sheet::inspection_sheet;
use headproof_texts::Say;
use headproof_wire::{Language, Paper, Phrase, ReworkPlan, SheetOptions};

use crate::common::{Documents, Specimen};
use crate::ink::{Ink, check_page, pages};
use crate::plan::Kind;
use crate::{A4, LETTER, head, of, says, solid};

/// What stands over every page of the plan.
const STRIP: &str =
    "NACHARBEITSPLAN: Was er über die Zeit nach der Arbeit sagt, ist errechnet, nicht gemessen";

/// The pages of the plan.
fn german(documents: &Documents, paper: Paper) -> Vec<Vec<Ink>> {
    let look = SheetOptions { paper, language: Language::De };
    let file = inspection_sheet(&documents.input_in(look)).expect("the head has a sheet");
    let pages: Vec<_> = pages(&file.bytes).into_iter().filter(|page| says(page, STRIP)).collect();
    assert!(!pages.is_empty(), "the head has pages of its plan");
    pages
}

fn text(pages: &[Vec<Ink>]) -> String {
    let texts = pages.iter().flatten().filter_map(|ink| match ink {
        Ink::Text(_, text) => Some(text.as_str()),
        _ => None,
    });
    solid(&texts.collect::<String>())
}

/// The demo head that has work to be done, with the documents as the service answers them.
fn demo() -> Documents {
    macro_rules! demo {
        ($file:literal) => {
            serde_json::from_str(include_str!(concat!("../../../../openapi/examples/", $file, ".json")))
                .expect("a demo document")
        };
    }
    Documents {
        set: demo!("irrigation-pump-16v.measurement-set"),
        profile: demo!("demo-aluminium-16v.target-profile"),
        evaluation: demo!("irrigation-pump-16v.evaluation"),
        plan: Some(demo!("irrigation-pump-16v.rework-plan")),
    }
}

/// English sentences of a plan with what they say.
fn told(plan: &ReworkPlan) -> Vec<(&str, &Phrase)> {
    fn says(phrase: &Option<Phrase>) -> &Phrase {
        phrase.as_ref().expect("what it says")
    }
    let mut told = vec![(plan.headline.as_str(), says(&plan.headline_says))];
    for step in &plan.steps {
        told.push((&step.text, says(&step.says)));
        told.push((&step.check, says(&step.check_says)));
        told.extend(step.cautions.iter().map(String::as_str).zip(&step.cautions_say));
    }
    for bound in plan.ports.iter().flat_map(|port| &port.binds) {
        told.push((&bound.text, says(&bound.says)));
    }
    let predicted = plan.predicted.as_ref().expect("a prediction");
    told.push((&predicted.notice, says(&predicted.notice_says)));
    told.push((&predicted.evaluation.headline, says(&predicted.evaluation.headline_says)));
    told
}

#[test]
fn a_german_plan_says_every_sentence_in_german_with_its_amounts() {
    let documents = demo();
    let plan = documents.plan.as_ref().expect("a plan");
    let text = text(&german(&documents, Paper::A4));
    let told = told(plan);
    assert!(told.len() > 50, "{}", told.len());
    for (english, phrase) in told {
        let said = Say::of(Language::De.into()).phrase(&phrase.into());
        assert!(text.contains(&solid(&said)), "{said} is not in {text}");
        assert!(!text.contains(&solid(english)), "{english} is left");
    }
    for words in ["0,052mm(±0,03)", "26,98mm(±0,13)", "0,205mm", "27,124", "2,45mm"] {
        assert!(text.contains(words), "{words} is not in {text}");
    }
}

#[test]
fn the_words_of_a_german_plan_are_german() {
    let text = text(&german(&head(of(5, 1, 1), &Kind::ALL), Paper::A4));
    for words in [
        "Nacharbeitsplan",
        "6Plätze mit Arbeit",
        "Ventilplätze im Überblick",
        "Zylinder 4, Einlass 1 zuerst messen Zu messen: Rundlauf des Sitzes, Außendurchmesser des Sitzes; vorher wird \
         nichts geschnitten",
        "Nichts zu tun: Zylinder 4, Auslass 1.",
        "Schritte in der Reihenfolge der Werkbank",
        "Zustellung, mm",
        "beliebiger mit diesem Winkel",
        "Sitzbreite,mm2,1231,400±0,0601,3001,550",
        "Warum nicht weniger Arbeit genügt",
        "Ventil sitzt so hoch wie vorher",
        "nachher, errechnet",
        "Der Kopf als Ganzes Dies lässt sich nicht alles erfüllen; mindestens ein Punkt davon muss weichen:",
    ] {
        assert!(text.contains(&solid(words)), "{words} is not in {text}");
    }
    for word in ["Check:", "Caution", "Readafterit", "(continued)", "Cylinder", "Characteristic"] {
        assert!(!text.contains(word), "{word} is left");
    }
}

/// A plan that was stored before sentences had phrases keeps them in English.
#[test]
fn a_sentence_without_a_phrase_stays_as_it_was_written() {
    let documents = head(of(1, 1, 1), &[Kind::Hand]);
    let text = text(&german(&documents, Paper::A4));
    for step in &documents.plan.as_ref().expect("a plan").steps {
        assert!(text.contains(&solid(&step.text)), "step {}", step.number);
    }
}

#[test]
fn nothing_overlaps_or_leaves_the_page_in_german() {
    let inches = Specimen { inches: true, ..of(5, 1, 1) };
    let heads =
        [demo(), head(of(5, 1, 1), &Kind::ALL), head(inches, &Kind::ALL), head(of(7, 2, 1), &Kind::WORK)];
    for documents in &heads {
        for (paper, size) in [A4, LETTER] {
            for (n, page) in german(documents, paper).iter().enumerate() {
                check_page(page, size, &format!("page {} of the plan on {paper:?}", n + 1));
            }
        }
    }
}
