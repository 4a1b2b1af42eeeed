//! What columns mean, as W3C CSV on the Web says it (Metadata Vocabulary for Tabular Data, 2015; from memory).

use serde_json::{Value, json};

use crate::column::{Column, Kind, Needed};
use crate::words::{schema_at, words_at};

/// The metadata document of a file with these columns, in this order; `url` is where the file is, seen from the
/// document.
#[must_use]
pub fn metadata<'c>(url: &str, columns: impl IntoIterator<Item = &'c Column>) -> Value {
    let columns: Vec<Value> = columns.into_iter().map(described).collect();
    json!({
        "@context": ["http://www.w3.org/ns/csvw", {"@language": "en"}],
        "url": url,
        "dc:title": "Measurements of cylinder heads, one row for each port",
        "dialect": {
            "encoding": "utf-8",
            "delimiter": ",",
            "quoteChar": "\"",
            "doubleQuote": true,
            "header": true,
            "trim": false,
        },
        "tableSchema": { "columns": columns },
    })
}

fn described(column: &Column) -> Value {
    json!({
        "name": column.name,
        "titles": column.name,
        "dc:description": column.description(),
        "datatype": datatype(column),
        "null": "",
        "required": column.needed() == Needed::EachRow,
    })
}

impl Column {
    /// What it says, in words.
    #[must_use]
    pub fn description(&self) -> String {
        use crate::column::Part;
        let said = self.family.description;
        match self.part {
            Part::Value => said.to_owned(),
            Part::Instrument => format!("Id of its instrument: {said}"),
            Part::Uncertainty => format!("Expanded uncertainty: {said}"),
            Part::CoverageFactor => format!("Coverage factor of the uncertainty, 2 when left out: {said}"),
            Part::Repeat(number) => format!("Taken several times, the value of time {number}: {said}"),
        }
    }
}

fn datatype(column: &Column) -> Value {
    match column.kind() {
        Kind::Reading | Kind::Number => json!("double"),
        Kind::Integer => {
            let schema = schema_at(&column.pointer);
            let bound = |name: &str| schema.and_then(|schema| schema.get(name)).cloned();
            json!({"base": "integer", "minimum": bound("minimum"), "maximum": bound("maximum")})
        }
        Kind::Word => {
            json!({"base": "string", "format": format!("^({})$", words_at(&column.pointer).join("|"))})
        }
        Kind::YesNo => json!({"base": "boolean", "format": "yes|no"}),
        Kind::Text => json!({"base": "string", "maxLength": 200}),
        Kind::Date => json!("date"),
        Kind::DateTime => json!("dateTimeStamp"),
        Kind::NoneOfThem => json!({"base": "string", "format": "^none$"}),
    }
}
