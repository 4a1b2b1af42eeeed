//! Documents made to cost: what is answered stays small, and is found in a time that grows with the document.

use std::time::{Duration, Instant};

use headproof_wire::Fault;
use serde_json::{Value, json};

use super::{changed, faults_of_profile, faults_of_set, profile, set};

/// Bytes that the faults of any document may take as JSON.
const LARGEST_ANSWER: usize = 1_000_000;

/// Far more than is needed without optimisation on a busy machine; faults compared in pairs take longer.
const LONGEST_TIME: Duration = Duration::from_secs(10);

#[track_caller]
fn bounded(name: &str, faults: impl FnOnce() -> Vec<Fault>) -> Vec<Fault> {
    let start = Instant::now();
    let faults = faults();
    let time = start.elapsed();
    assert!(time < LONGEST_TIME, "{name}: {time:?}");
    assert!((1..=1000).contains(&faults.len()), "{name}: {} faults", faults.len());
    let size = serde_json::to_string(&faults).expect("faults").len();
    assert!(size < LARGEST_ANSWER, "{name}: {size} bytes");
    faults
}

/// An object of one key in another, so deep, with a value inside.
fn nested(keys: &[String], inside: &str) -> String {
    let opened: String = keys.iter().map(|key| format!("{{{}:", json!(key))).collect();
    format!("{opened}{inside}{}", "}".repeat(keys.len()))
}

fn many(element: &str, count: usize) -> String {
    format!("[{}]", vec![element; count].join(","))
}

#[test]
fn long_names_are_not_answered_as_often_as_there_are_faults_below_them() {
    let long = "k".repeat(100_000);
    let numbers = many("0.12345678901234567", 1000);
    let faults = bounded("long numbers", || faults_of_set(&nested(std::slice::from_ref(&long), &numbers)));
    assert_eq!(faults.len(), 1000);
    assert_eq!(faults[7].pointer, format!("/{}…/7", "k".repeat(100)));

    let mut keys = vec!["k".to_owned(); 31];
    keys[0].clone_from(&long);
    let faults = bounded("too deep", || faults_of_set(&nested(&keys, &many("[]", 10_000))));
    assert_eq!(faults.len(), 1000);

    for character in ["k", "/", "ü", "\u{1}", "\"", "\u{1f600}"] {
        // Each takes 2 kB or so, whatever its characters take in JSON.
        let size = json!(character).to_string().len() - 2;
        let keys = vec![character.repeat(2000 / size); 30];
        bounded(character, || faults_of_set(&nested(&keys, &numbers)));
    }
}

#[test]
fn long_names_and_values_are_shown_in_part() {
    let long = "k".repeat(100_000);
    let text = changed(
        set(),
        &[
            (&format!("/ports/0/{long}"), json!(long)),
            ("/ports/0/valve/tip", json!(long)),
            ("/format", json!(long)),
        ],
    );
    let faults = bounded("long names", || faults_of_set(&text));
    let pointers: Vec<&str> = faults.iter().map(|fault| fault.pointer.as_str()).collect();
    let unknown = format!("/ports/0/{}…", "k".repeat(100));
    assert!(pointers.contains(&unknown.as_str()), "{pointers:?}");
    assert!(faults.iter().all(|fault| fault.value.is_none()), "{faults:?}");
}

#[test]
fn many_faults_of_every_kind_are_found_in_time() {
    let unknown: serde_json::Map<String, Value> =
        (0..40_000).map(|n| (format!("unknown{n}"), 0.into())).collect();
    let points = |count: usize| vec![json!({ "x": 2e6, "y": 2e6, "z": 2e6 }); count];
    let text =
        changed(set(), &[("/head", Value::Object(unknown)), ("/deck/heights/points", json!(points(2000)))]);
    let faults = bounded("40 000 of form and 6000 of content", || faults_of_set(&text));
    assert_eq!(faults.len(), 1000);

    // Fewer of form than are told: what room is left goes to those of content.
    let misspelt: serde_json::Map<String, Value> =
        (0..900).map(|n| (format!("unknown{n}"), 0.into())).collect();
    let mut document = set();
    document["ports"][0]["valve"] = Value::Object(misspelt);
    let text = changed(document, &[("/deck/heights/points", json!(points(2000)))]);
    let faults = bounded("900 of form and 6000 of content", || faults_of_set(&text));
    assert_eq!(faults.iter().filter(|fault| fault.pointer.starts_with("/ports/0/valve/")).count(), 900);
    assert_eq!(faults.iter().filter(|fault| fault.pointer.starts_with("/deck/heights/points/")).count(), 100);

    let text = changed(set(), &[("/deck/heights/points", json!(points(5000)))]);
    assert_eq!(bounded("15 000 of content", || faults_of_set(&text)).len(), 1000);

    let limit = json!({ "characteristic": "margin", "use": "build", "lower": 2e6, "upper": 2e6, "nominal": 2e6,
        "if_outside": "rework", "source": "\u{1}" });
    let text = changed(profile(), &[("/limits", json!(vec![limit; 400]))]);
    assert_eq!(bounded("1600 of content in a profile", || faults_of_profile(&text)).len(), 1000);

    let text = changed(set(), &[("/deck/heights/points", json!(vec![0; 100_000]))]);
    assert_eq!(bounded("100 000 points that are none", || faults_of_set(&text)).len(), 1000);
}

/// What stands beyond the longest list allowed is told once.
#[test]
fn a_list_much_too_long_is_looked_at_as_far_as_it_may_go() {
    let text = changed(set(), &[("/ports", json!(vec![0; 100_000]))]);
    let faults = bounded("100 000 ports that are none", || faults_of_set(&text));
    let (whole, elements): (Vec<&Fault>, Vec<&Fault>) =
        faults.iter().partition(|fault| fault.pointer == "/ports");
    assert!(matches!(whole.as_slice(), [fault] if fault.detail.contains("80")), "{whole:?}");
    assert_eq!(elements.len(), 81);
}
