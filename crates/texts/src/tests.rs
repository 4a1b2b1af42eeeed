//! The catalogues against each other and against the program that speaks by them.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use fluent_syntax::ast::{Entry, Expression, InlineExpression, Pattern, PatternElement};
use fluent_syntax::parser;

use crate::catalogue::{TITLE, sources};
use crate::{Language, Say};

/// Every message of a language with the names of its values.
fn messages(language: Language) -> BTreeMap<String, BTreeSet<String>> {
    let mut found = BTreeMap::new();
    for source in sources(language) {
        let resource = parser::parse(source.as_str()).expect("sound");
        for entry in resource.body {
            match entry {
                Entry::Message(message) => {
                    let mut names = BTreeSet::new();
                    collect(&message.value.expect("a message says something"), &mut names);
                    let twice = found.insert(message.id.name.to_owned(), names);
                    assert!(twice.is_none(), "{} stands twice", message.id.name);
                }
                Entry::Junk { content } => panic!("not understood: {content}"),
                _ => {}
            }
        }
    }
    found
}

fn collect(pattern: &Pattern<&str>, names: &mut BTreeSet<String>) {
    for element in &pattern.elements {
        let PatternElement::Placeable { expression } = element else { continue };
        match expression {
            Expression::Inline(inline) => inline_name(inline, names),
            Expression::Select { selector, variants } => {
                inline_name(selector, names);
                variants.iter().for_each(|variant| collect(&variant.value, names));
            }
        }
    }
}

fn inline_name(inline: &InlineExpression<&str>, names: &mut BTreeSet<String>) {
    if let InlineExpression::VariableReference { id } = inline {
        names.insert(id.name.to_owned());
    }
}

#[test]
fn every_language_says_the_same_things_with_the_same_values() {
    let english = messages(Language::English);
    for language in Language::ALL {
        let others = messages(language);
        let missing: Vec<_> = english.keys().filter(|id| !others.contains_key(*id)).collect();
        let extra: Vec<_> = others.keys().filter(|id| !english.contains_key(*id)).collect();
        assert!(
            missing.is_empty() && extra.is_empty(),
            "{language:?}: without {missing:?}, besides {extra:?}"
        );
        let differ: Vec<_> = english.iter().filter(|(id, names)| others[*id] != **names).collect();
        assert!(differ.is_empty(), "{language:?}: other values in {differ:?}");
    }
}

#[test]
fn every_characteristic_has_a_title() {
    for language in Language::ALL {
        let known = messages(language);
        for row in headproof_judge::table() {
            assert!(known.contains_key(&format!("{TITLE}{}", row.id)), "{language:?}: {}", row.id);
        }
    }
}

/// The text of every source file of the workspace that may speak; of this crate the one that does.
fn program() -> String {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let mut text = include_str!("say.rs").to_owned();
    for part in ["crates/head", "crates/judge", "crates/rework", "crates/sheet", "crates/wire", "services"] {
        gather(&root.join(part), &mut text);
    }
    text
}

fn gather(folder: &Path, text: &mut String) {
    for entry in fs::read_dir(folder).expect("a folder of the workspace") {
        let path = entry.expect("readable").path();
        if path.is_dir() {
            gather(&path, text);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            text.push_str(&fs::read_to_string(path).expect("readable"));
        }
    }
}

/// What stands in quotes right after an opening of a call.
fn literals_after<'a>(program: &'a str, opening: &str) -> Vec<&'a str> {
    program
        .split(opening)
        .skip(1)
        .filter_map(|rest| rest.trim_start().strip_prefix('"')?.split_once('"').map(|(literal, _)| literal))
        .collect()
}

#[test]
fn every_message_that_is_named_exists() {
    let (program, known) = (program(), messages(Language::English));
    let calls = [
        "say.text(",
        "say.with(",
        "say().text(",
        "say().with(",
        "Phrase::plain(",
        "Phrase::with(",
        "of_port(port, ",
    ];
    let named: Vec<&str> = calls.iter().flat_map(|call| literals_after(&program, call)).collect();
    assert!(named.len() > 100, "{} names found", named.len());
    let unknown: BTreeSet<_> = named.iter().filter(|id| !known.contains_key(**id)).collect();
    assert!(unknown.is_empty(), "{unknown:?}");
}

/// Messages that the judge names without saying them: it knows no language.
#[test]
fn every_message_that_the_judge_names_exists() {
    let known = messages(Language::English);
    let mut judge = String::new();
    gather(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../judge/src"), &mut judge);
    for opening in ["absent-", "found-", "series-", "size-", "sum-"] {
        let quoted = format!("\"{opening}");
        let rests = judge.split(&quoted).skip(1).filter_map(|rest| rest.split('"').next());
        let named: Vec<String> = rests.map(|rest| format!("{opening}{rest}")).collect();
        assert!(!named.is_empty(), "{opening}");
        let unknown: Vec<_> = named.iter().filter(|id| !known.contains_key(id.as_str())).collect();
        assert!(unknown.is_empty(), "{unknown:?}");
    }
}

#[test]
fn every_message_is_named_somewhere() {
    let program = program();
    let known = messages(Language::English);
    let unused: Vec<_> =
        known.keys().filter(|id| !id.starts_with(TITLE) && !program.contains(&format!("\"{id}\""))).collect();
    assert!(unused.is_empty(), "{unused:?}");
}

#[test]
fn what_no_catalogue_has_is_named_and_not_dropped() {
    let say = Say::of(Language::German);
    assert_eq!(say.text("no-such-text"), "no-such-text");
    assert_eq!(say.with("no-such-text", &[]), "no-such-text");
    assert_eq!(say.title("no-such-row"), "No such row");
}
