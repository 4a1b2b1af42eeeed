//! What the schema of a job request says of a value: its words and bounds stand nowhere else.

use std::sync::LazyLock;

use headproof_wire::schema;
use serde_json::Value;

static SCHEMA: LazyLock<Value> = LazyLock::new(|| schema("JobRequest"));

/// The schema of what stands there, its plainest form where it has several; none where nothing can stand.
pub(crate) fn schema_at(pointer: &str) -> Option<&'static Value> {
    let tokens = pointer.split('/').skip(1);
    let meant = tokens.fold(forms(&SCHEMA), |outer, token| {
        let inside = |form: &&'static Value| {
            form.get("properties").and_then(|all| all.get(token)).or_else(|| form.get("items"))
        };
        outer.iter().find_map(inside).map(forms).unwrap_or_default()
    });
    meant.into_iter().next()
}

/// The words that may stand there.
pub(crate) fn words_at(pointer: &str) -> Vec<&'static str> {
    let words = schema_at(pointer).and_then(|schema| schema.get("enum")?.as_array());
    words.into_iter().flatten().filter_map(Value::as_str).collect()
}

/// The forms that a value may have, references followed, without the one that is null.
fn forms(schema: &'static Value) -> Vec<&'static Value> {
    if let Some(reference) = schema.get("$ref").and_then(Value::as_str) {
        let named = reference.strip_prefix('#').and_then(|pointer| SCHEMA.pointer(pointer));
        return named.map(forms).unwrap_or_default();
    }
    let several = schema.get("oneOf").or_else(|| schema.get("anyOf")).and_then(Value::as_array);
    match several {
        Some(several) => several.iter().flat_map(forms).collect(),
        None if schema.get("type").is_some_and(|kind| kind == "null") => Vec::new(),
        None => vec![schema],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::column::{COLUMNS, Kind, specific};

    /// Whatever a column says can stand where it goes, and is of that kind.
    #[test]
    fn every_column_goes_to_a_place_of_the_schema() {
        for column in &COLUMNS.all {
            let schema =
                schema_at(&specific(&column.goes_to(false), 0)).unwrap_or_else(|| panic!("{}", column.name));
            let kinds = schema["type"].as_str().map_or_else(
                || schema["type"].as_array().into_iter().flatten().filter_map(Value::as_str).collect(),
                |kind| vec![kind],
            );
            let expected = match column.kind() {
                Kind::Reading | Kind::Number => "number",
                Kind::Integer => "integer",
                Kind::Word | Kind::Text | Kind::Date | Kind::DateTime => "string",
                Kind::YesNo => "boolean",
                Kind::NoneOfThem => "array",
            };
            assert!(kinds.contains(&expected), "{}: {schema}", column.name);
            let words = words_at(&specific(&column.goes_to(false), 0));
            assert_eq!(words.is_empty(), column.kind() != Kind::Word, "{}: {words:?}", column.name);
            if column.kind() == Kind::Integer {
                assert!(schema.get("minimum").and(schema.get("maximum")).is_some(), "{}", column.name);
            }
            let format = schema.get("format").and_then(Value::as_str);
            assert_eq!(format == Some("date"), column.kind() == Kind::Date, "{}", column.name);
            assert_eq!(format == Some("date-time"), column.kind() == Kind::DateTime, "{}", column.name);
        }
    }

    #[test]
    fn ports_are_as_many_as_the_schema_allows() {
        let ports = schema_at("/measurement_set/ports").expect("ports");
        assert_eq!(ports["maxItems"], crate::gathered::MOST_PORTS);
    }
}
