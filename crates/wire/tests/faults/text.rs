//! Texts that are no JSON, or hold what a JSON value cannot.

use headproof_wire::{MeasurementSet, ReadError, read};

use super::{SET, expect, faults_of_set};

/// The demo text with one piece replaced: for what a JSON value cannot hold.
#[track_caller]
fn replaced(old: &str, new: &str) -> String {
    assert_eq!(SET.matches(old).count(), 1, "{old} stands exactly once");
    SET.replace(old, new)
}

#[test]
fn faults_of_the_text() {
    let first_margin = r#""gasket_bore": { "value": 79,"#;
    let with_number =
        |number: &str| replaced(first_margin, &format!(r#""gasket_bore": {{ "value": {number},"#));
    let at = "/layout/compression/gasket_bore/value";
    let too_deep = deep(30);
    let cases = [
        ("sixteen digits", with_number("79.00000000000001"), vec![(at, "more than 15 significant digits")]),
        (
            "seventeen digits",
            with_number("0.30000000000000004"),
            vec![(at, "more than 15 significant digits")],
        ),
        ("sixteen digits before the point", with_number("1234567890123456"), vec![(at, "more than 15")]),
        ("beyond the range of numbers", with_number("1e999"), vec![(at, "out of the range")]),
        ("too small to be told from zero", with_number("1e-400"), vec![(at, "too small")]),
        ("beyond it below zero", with_number("-1e999"), vec![(at, "out of the range")]),
        (
            "a key given twice",
            replaced(r#""casting": "DEMO 6-K","#, r#""casting": "DEMO 6-K", "casting": "DEMO 6-L","#),
            vec![("/head/casting", "stands more than once")],
        ),
        (
            "a key given twice, once with an escape",
            replaced(r#""casting": "DEMO 6-K","#, r#""casting": "DEMO 6-K", "cas\u0074ing": "x","#),
            vec![("/head/casting", "stands more than once")],
        ),
        (
            "several at once",
            replaced(
                r#""casting": "DEMO 6-K","#,
                r#""casting": "DEMO 6-K", "hardness": 1.2345678901234567, "hardness": 1e400, "colour": 1,"#,
            ),
            vec![
                ("/head/colour", "not a field"),
                ("/head/hardness", "15 significant digits"),
                ("/head/hardness", "stands more than once"),
                ("/head/hardness", "out of the range"),
            ],
        ),
        (
            "half of a surrogate pair",
            replaced(r#""casting": "DEMO 6-K","#, r#""casting": "DEMO \ud800","#),
            vec![("/head/casting", "surrogate")],
        ),
        (
            "nested a thousand deep",
            replaced(
                r#""casting": "DEMO 6-K","#,
                &format!(r#""casting": {}{},"#, "[".repeat(1000), "]".repeat(1000)),
            ),
            vec![("/head/casting", ""), (too_deep.as_str(), "nested too deep")],
        ),
    ];
    for (name, text, mut expected) in cases {
        let mut found = faults_of_set(&text);
        // Faults at one place come in no order that is promised.
        found.sort_by(|a, b| (&a.pointer, &a.detail).cmp(&(&b.pointer, &b.detail)));
        expected.sort_unstable();
        let mut by_words = Vec::new();
        for fault in &found {
            let known = expected
                .iter()
                .position(|(pointer, words)| *pointer == fault.pointer && fault.detail.contains(words));
            by_words.push(known.unwrap_or_else(|| panic!("{name}: {fault:?} was not expected")));
        }
        by_words.sort_unstable();
        assert_eq!(by_words, (0..expected.len()).collect::<Vec<_>>(), "{name}: {found:#?}");
    }
}

fn deep(levels: usize) -> String {
    format!("/head/casting{}", "/0".repeat(levels))
}

/// RFC 8259: what is no JSON text at all. A byte order mark must not be sent (clause 8.1).
#[test]
fn what_is_no_json_is_told_so() {
    let bom = [b"\xef\xbb\xbf".as_slice(), SET.as_bytes()].concat();
    let utf16: Vec<u8> = SET.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let latin1 =
        SET.replace("Süß", "S\u{1}").into_bytes().iter().map(|b| if *b == 1 { 0xfc } else { *b }).collect();
    let cases: [(&str, Vec<u8>); 12] = [
        ("nothing", Vec::new()),
        ("blanks", b" \n\t".to_vec()),
        ("prose", b"the head is fine".to_vec()),
        ("cut off", SET.as_bytes()[..SET.len() / 2].to_vec()),
        ("two documents", [SET.as_bytes(), SET.as_bytes()].concat()),
        ("a byte order mark", bom),
        ("UTF-16", utf16),
        ("Latin-1", latin1),
        ("not a number", replaced(r#""casting": "DEMO 6-K""#, r#""hardness": NaN"#).into_bytes()),
        (
            "a comma too many",
            replaced(r#""casting": "DEMO 6-K","#, r#""casting": "DEMO 6-K",,"#).into_bytes(),
        ),
        ("a leading zero", replaced(r#""casting": "DEMO 6-K""#, r#""hardness": 0123"#).into_bytes()),
        ("a raw line feed in a text", replaced("DEMO 6-K", "DEMO\n6-K").into_bytes()),
    ];
    for (name, text) in cases {
        match read::<MeasurementSet>(&text) {
            Err(ReadError::NotJson(why)) => assert!(!why.is_empty(), "{name}"),
            other => panic!("{name}: {other:?}"),
        }
    }
}

#[test]
fn json_of_another_shape_is_refused_at_the_root() {
    for text in ["null", "[]", "3", "\"set\"", "true"] {
        let faults = faults_of_set(text);
        expect(text, faults, &[("", "")]);
    }
}
