//! Beside every sentence of a plan stands what it says, for any language.

use std::collections::BTreeSet;

use headproof_texts::{Language, Say};
use headproof_wire::{Phrase, ReworkPlan, Units, read};
use serde_json::Value;

use crate::{INCHES, document, sentences};

/// Every sentence of a plan that was written and read back, with what stands beside it.
fn told(units: Units) -> Vec<(String, String, headproof_head::Phrase)> {
    let text = serde_json::to_string(&document(units)).expect("a plan can be written");
    let plan: ReworkPlan = read(text.as_bytes()).expect("it can be read back");
    let value = serde_json::to_value(&plan).expect("a plan can be written");
    let mut told = Vec::new();
    for (pointer, text) in sentences(&plan) {
        let beside = beside(&pointer);
        let phrase = value.pointer(&beside).unwrap_or_else(|| panic!("{beside} is not there"));
        told.push((pointer, text, phrase_of(phrase)));
    }
    let predicted = plan.predicted.expect("a prediction");
    let says = predicted.evaluation.headline_says.as_ref().expect("what its headline says");
    told.push(("/predicted/evaluation/headline".to_owned(), predicted.evaluation.headline, says.into()));
    told
}

fn phrase_of(value: &Value) -> headproof_head::Phrase {
    let phrase: Phrase = serde_json::from_value(value.clone()).expect("a phrase");
    (&phrase).into()
}

/// `/steps/0/cautions_say/1` of `/steps/0/cautions/1`.
fn beside(pointer: &str) -> String {
    let (rest, last) = pointer.rsplit_once('/').expect("a pointer");
    match last {
        "text" => format!("{rest}/says"),
        number if number.parse::<usize>().is_ok() => format!("{rest}_say/{number}"),
        name => format!("{rest}/{name}_says"),
    }
}

#[test]
fn a_phrase_that_was_read_back_says_in_english_what_stands_beside_it() {
    for units in [Units::BASE, INCHES] {
        let told = told(units);
        assert!(told.len() > 400, "{}", told.len());
        for (pointer, text, phrase) in told {
            assert_eq!(Say::of(Language::English).phrase(&phrase), text, "{pointer}");
        }
    }
}

/// Numbers of a text, with a decimal point.
fn numbers(text: &str) -> Vec<String> {
    let numbers = text.split(|c: char| !c.is_ascii_digit() && c != '.' && c != ',');
    let plain = numbers.map(|number| number.trim_matches(['.', ',']).replace(',', "."));
    let mut found: Vec<String> = plain.filter(|number| !number.is_empty()).collect();
    found.sort();
    found
}

#[test]
fn german_says_all_of_it_with_the_same_amounts_and_a_decimal_comma() {
    let german = Say::of(Language::German);
    for units in [Units::BASE, INCHES] {
        for (pointer, english, phrase) in told(units) {
            let text = german.phrase(&phrase);
            assert!(text.ends_with('.') && text.starts_with(char::is_uppercase), "{pointer}: {text}");
            assert!(
                !text.contains("..") && !text.contains("  ") && !text.contains(" ,"),
                "{pointer}: {text}"
            );
            // 15° stands once in English and twice in German.
            let (told, meant): (BTreeSet<_>, BTreeSet<_>) =
                (numbers(&text).into_iter().collect(), numbers(&english).into_iter().collect());
            assert_eq!(told, meant, "{pointer}: {text}");
            for number in numbers(&text).iter().filter(|number| number.contains('.')) {
                assert!(text.contains(&number.replace('.', ",")), "{pointer}: {number} in {text}");
            }
            for word in [" the ", " of ", " is ", "plan-", "cylinder", "seat"] {
                assert!(!text.contains(word), "{pointer}: {text}");
            }
        }
    }
}

#[test]
fn what_says_something_else_in_english_says_something_else_in_german() {
    let german = Say::of(Language::German);
    let told = told(Units::BASE);
    let english: BTreeSet<&str> = told.iter().map(|(_, text, _)| text.as_str()).collect();
    let said: BTreeSet<String> = told.iter().map(|(.., phrase)| german.phrase(phrase)).collect();
    assert_eq!(said.len(), english.len());
}
