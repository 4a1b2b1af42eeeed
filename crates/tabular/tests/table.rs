//! The table against the schema, and what is made of it.

use std::collections::BTreeSet;

use headproof_tabular::{Kind, Part, Scope, columns, families, metadata};
use serde_json::json;

#[test]
fn every_name_stands_once_and_is_plain() {
    let names: BTreeSet<&str> = columns().iter().map(|column| column.name.as_str()).collect();
    assert_eq!(names.len(), columns().len());
    for name in names {
        assert!(name.bytes().all(|byte| matches!(byte, b'a'..=b'z' | b'0'..=b'9' | b'_')), "{name}");
    }
}

#[test]
fn every_line_says_something_and_numbers_what_it_names() {
    for family in families() {
        let holes = |text: &str| (text.matches("{n}").count(), text.matches("{m}").count());
        let (n, m) = holes(family.name);
        assert_eq!(holes(family.path), (n, m), "{}", family.name);
        assert_eq!((family.most.0 > 0, family.most.1 > 0), (n > 0, m > 0), "{}", family.name);
        assert!(family.description.len() > 5, "{}", family.name);
    }
    assert!(families().any(|family| family.scope == Scope::Diesel));
}

#[test]
fn columns_are_described_as_csv_on_the_web_has_it() {
    let wanted = ["stage", "cylinder", "seat_angle", "valve_coated", "measured_at", "seat_angle_repeat_2"];
    let found = wanted.map(|name| columns().iter().find(|column| column.name == name).expect(name));
    let described = metadata("file.csv", found);
    assert_eq!(described["@context"][0], "http://www.w3.org/ns/csvw");
    let column = |index: usize| described["tableSchema"]["columns"][index].clone();
    assert_eq!(column(0)["datatype"]["format"], "^(as-received|after-rework|final)$");
    assert_eq!(column(1)["datatype"], json!({"base": "integer", "minimum": 1, "maximum": 16}));
    assert_eq!((&column(1)["required"], &column(2)["required"]), (&json!(true), &json!(false)));
    assert_eq!(column(2)["datatype"], "double");
    assert_eq!(column(3)["datatype"], json!({"base": "boolean", "format": "yes|no"}));
    assert_eq!(column(4)["datatype"], "dateTimeStamp");
    assert_eq!(found[5].part, Part::Repeat(2));
    assert_eq!(found[5].kind(), Kind::Number);
}
