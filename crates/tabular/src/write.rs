//! A file out of requests, by the same table.

use std::collections::{BTreeMap, BTreeSet};

use headproof_wire::JobRequest;
use serde_json::Value;

use crate::column::{COLUMNS, Column, Needed, Scope, generalised};

/// A file and its columns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    /// The file: RFC 4180, with CR LF at the end of each row.
    pub text: String,
    /// Its columns in order.
    pub columns: Vec<&'static Column>,
}

/// Writes requests as rows. What is said of a head stands on its first row, what is said of a cylinder on the first
/// row of that; serial and stage stand on all. A profile is left to be given beside the file.
///
/// # Errors
/// Pointers of everything that has no column, each with the place of its request before it.
pub fn write(requests: &[JobRequest]) -> Result<Written, Vec<String>> {
    let mut homeless = Vec::new();
    let mut rows: Vec<BTreeMap<usize, String>> = Vec::new();
    for (place, request) in requests.iter().enumerate() {
        let without_column = rows_of(request, &mut rows);
        homeless.extend(without_column.into_iter().map(|pointer| format!("{place}: {pointer}")));
    }
    if !homeless.is_empty() {
        return Err(homeless);
    }
    let used: BTreeSet<usize> = rows.iter().flat_map(BTreeMap::keys).copied().collect();
    let columns: Vec<&Column> = used.iter().map(|column| &COLUMNS.all[*column]).collect();
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    let cells = |row: &BTreeMap<usize, String>| -> Vec<String> {
        used.iter().map(|column| row.get(column).cloned().unwrap_or_default()).collect()
    };
    let lines = std::iter::once(columns.iter().map(|column| column.name.clone()).collect());
    let written =
        lines.chain(rows.iter().map(cells)).try_for_each(|line: Vec<String>| writer.write_record(line));
    let text =
        written.ok().and_then(|()| writer.into_inner().ok()).and_then(|bytes| String::from_utf8(bytes).ok());
    text.map(|text| Written { text, columns }).ok_or_else(|| vec!["no room to write to".into()])
}

/// Adds the rows of a request; returns what has no column.
fn rows_of(request: &JobRequest, rows: &mut Vec<BTreeMap<usize, String>>) -> Vec<String> {
    let ports = &request.measurement_set.ports;
    let mut cells: BTreeMap<(Scope, usize), BTreeMap<usize, String>> = BTreeMap::new();
    let mut homeless = Vec::new();
    let value = serde_json::to_value(JobRequest { profile: None, ..request.clone() }).unwrap_or_default();
    each_leaf(&value, "", &mut |pointer, leaf| {
        let (scope, template, index) = generalised(pointer);
        let is_key = template == "/measurement_set/format"
            || scope != Scope::Port && scope.list().is_some() && template.ends_with("}/cylinder");
        match COLUMNS.at(&template).zip(said(leaf)) {
            _ if is_key => {}
            Some((column, text)) => {
                cells.entry((scope, index)).or_default().insert(column, text);
            }
            None => homeless.push(pointer.to_owned()),
        }
    });
    let start = rows.len();
    let mut of_head = cells.remove(&(Scope::Head, 0)).unwrap_or_default();
    for index in 0..ports.len() {
        let mut row = cells.remove(&(Scope::Port, index)).unwrap_or_default();
        let on_each = |column: &usize| COLUMNS.all[*column].needed() == Needed::EachRow;
        row.extend(of_head.iter().filter(|(column, _)| on_each(column)).map(|(c, text)| (*c, text.clone())));
        if index == 0 {
            row.append(&mut of_head.clone());
            of_head.retain(|column, _| on_each(column));
        }
        rows.push(row);
    }
    for ((scope, index), mut of_cylinder) in cells {
        let set = &request.measurement_set;
        let cylinder = match scope {
            Scope::Chamber => set.chambers.get(index).map(|chamber| chamber.cylinder),
            _ => set.diesel.get(index).map(|parts| parts.cylinder),
        };
        match ports.iter().position(|port| Some(port.cylinder) == cylinder) {
            Some(port) => rows[start + port].append(&mut of_cylinder),
            None => homeless.push(format!("{}{index}", scope.list().unwrap_or_default())),
        }
    }
    homeless
}

/// Calls with every value that has no members of its own; an empty list of gaps says something, others do not.
fn each_leaf(value: &Value, pointer: &str, call: &mut impl FnMut(&str, &Value)) {
    match value {
        Value::Object(members) => {
            members.iter().for_each(|(name, value)| each_leaf(value, &format!("{pointer}/{name}"), call));
        }
        Value::Array(elements) if elements.is_empty() && !pointer.ends_with("/gaps") => {}
        Value::Array(elements) if !elements.is_empty() => {
            let elements = elements.iter().enumerate();
            elements.for_each(|(index, value)| each_leaf(value, &format!("{pointer}/{index}"), call));
        }
        _ => call(pointer, value),
    }
}

/// A value as it stands in a cell.
fn said(leaf: &Value) -> Option<String> {
    match leaf {
        Value::Bool(truth) => Some(if *truth { "yes" } else { "no" }.to_owned()),
        Value::Number(number) => Some(number.to_string()),
        Value::String(text) => Some(text.clone()),
        Value::Array(_) => Some("none".to_owned()),
        Value::Null | Value::Object(_) => None,
    }
}
