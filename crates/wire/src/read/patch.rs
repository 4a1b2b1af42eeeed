//! A document with faults of form, made whole enough to look for faults of content as well.
//!
//! Nothing made here is ever judged: it only lets a client learn both kinds of faults at once.

use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

use crate::Fault;
use crate::schema::{Document, definition};

/// What other parts of a document are read by: where these have faults, content cannot be told.
const READ_BY_OTHERS: [&str; 3] = ["layout", "units", "instruments"];

/// Faults of content in what is not touched by the faults of form.
pub(super) fn content_faults<T: DeserializeOwned + Document>(
    mut value: Value,
    of_form: &[Fault],
) -> Vec<Fault> {
    let is_read_by_others =
        |fault: &Fault| fault.pointer.split('/').any(|token| READ_BY_OTHERS.contains(&token));
    if of_form.iter().any(is_read_by_others) {
        return Vec::new();
    }
    for fault in of_form {
        mend(&mut value, definition(T::ROOT), &tokens(&fault.pointer));
    }
    let Ok(document) = serde_json::from_value::<T>(value) else { return Vec::new() };
    let mut faults = document.content_faults();
    faults.retain(|fault| !of_form.iter().any(|form| is_related(&form.pointer, &fault.pointer)));
    faults
}

fn tokens(pointer: &str) -> Vec<String> {
    pointer.split('/').skip(1).map(|token| token.replace("~1", "/").replace("~0", "~")).collect()
}

/// Is one the other, or above it?
fn is_related(a: &str, b: &str) -> bool {
    let is_above =
        |above: &str, below: &str| below.strip_prefix(above).is_some_and(|rest| rest.starts_with('/'));
    a == b || is_above(a, b) || is_above(b, a)
}

/// Puts a placeholder where the schema knows of something, and takes away what it does not know.
fn mend(value: &mut Value, schema: Option<&Value>, path: &[String]) {
    let Some((token, rest)) = path.split_first() else {
        *value = schema.map_or(Value::Null, placeholder);
        return;
    };
    let inner = schema.and_then(|schema| member(schema, token));
    match value {
        Value::Object(map) => match (inner, rest.is_empty()) {
            (None, true) => {
                map.remove(token);
            }
            (inner, _) => mend(map.entry(token.clone()).or_insert(Value::Null), inner, rest),
        },
        Value::Array(elements) => {
            let element = token.parse().ok().and_then(|index: usize| elements.get_mut(index));
            if let Some(element) = element {
                mend(element, inner, rest);
            }
        }
        _ => {}
    }
}

/// The schema of a member or element.
fn member<'s>(schema: &'s Value, token: &str) -> Option<&'s Value> {
    let inside =
        |form: &'s Value| form.get("properties").and_then(|all| all.get(token)).or_else(|| form.get("items"));
    forms(schema).into_iter().find_map(inside)
}

/// The forms a value may have, references followed.
fn forms(schema: &Value) -> Vec<&Value> {
    let schema = match schema.get("$ref").and_then(Value::as_str) {
        Some(reference) => match reference.rsplit('/').next().and_then(definition) {
            Some(schema) => schema,
            None => return Vec::new(),
        },
        None => schema,
    };
    let several = schema.get("oneOf").or_else(|| schema.get("anyOf")).and_then(Value::as_array);
    several.map_or_else(|| vec![schema], |several| several.iter().flat_map(forms).collect())
}

/// The plainest value of a schema.
fn placeholder(schema: &Value) -> Value {
    // An optional thing is allowed to be null as one of its forms; what is meant is the other one.
    let is_null = |form: &&Value| form.get("type").is_some_and(|kind| kind == "null");
    let forms = forms(schema);
    let Some(form) = forms.iter().find(|form| !is_null(form)) else { return Value::Null };
    if let Some(word) = form.pointer("/enum/0") {
        return word.clone();
    }
    let kind = match form.get("type") {
        Some(Value::Array(kinds)) => kinds.first(),
        kind => kind,
    };
    match kind.and_then(Value::as_str) {
        Some("string") => "placeholder".into(),
        Some("number" | "integer") => form.get("minimum").cloned().unwrap_or_else(|| 1.into()),
        Some("boolean") => false.into(),
        Some("array") => Value::Array(Vec::new()),
        Some("object") => {
            let required = form.get("required").and_then(Value::as_array).into_iter().flatten();
            let members = required.filter_map(|name| {
                let name = name.as_str()?;
                Some((name.to_owned(), placeholder(form.pointer("/properties")?.get(name)?)))
            });
            Value::Object(members.collect::<Map<_, _>>())
        }
        _ => Value::Null,
    }
}
