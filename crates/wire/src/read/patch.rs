//! A document with faults of form, made whole enough to look for faults of content as well.
//!
//! Nothing made here is ever judged: it only lets a client learn both kinds of faults at once.

use std::collections::BTreeSet;

use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

use super::forms::{forms, member};
use crate::Fault;
use crate::schema::{Document, definition};

/// What other parts of a document are read by: where these have faults, content cannot be told.
const READ_BY_OTHERS: [&str; 3] = ["layout", "units", "instruments"];

/// What tells an element of a list from its neighbours: a placeholder there may make it the same as one of
/// them, and a right one would be told that it stands twice.
const TOLD_APART_BY: [&str; 10] =
    ["id", "cylinder", "service", "index", "characteristic", "use", "thickness", "part", "operator", "trial"];

/// Faults of content in what is not touched by the faults of form.
pub(super) fn content_faults<T: DeserializeOwned + Document>(
    mut value: Value,
    of_form: &[Fault],
) -> Vec<Fault> {
    let root = definition(T::ROOT);
    for fault in of_form {
        let path = tokens(&fault.pointer);
        if path.iter().any(|token| READ_BY_OTHERS.contains(&token.as_str())) || hides_identity(root, &path) {
            return Vec::new();
        }
        mend(&mut value, root, &path);
    }
    let Ok(document) = serde_json::from_value::<T>(value) else { return Vec::new() };
    let mut faults = document.content_faults();
    let of_form: BTreeSet<&str> = of_form.iter().map(|fault| fault.pointer.as_str()).collect();
    faults.retain(|fault| !is_related(&of_form, &fault.pointer));
    faults
}

/// Does what is wrong there leave open which element of a list is meant?
fn hides_identity(root: Option<&Value>, path: &[String]) -> bool {
    let is_index = |token: &String| token.parse::<usize>().is_ok();
    match path {
        [.., index, name] if is_index(index) => TOLD_APART_BY.contains(&name.as_str()),
        [.., index] if is_index(index) => {
            let at = path.iter().try_fold(root, |schema, token| Some(member(schema?, token)));
            at.flatten()
                .is_some_and(|element| TOLD_APART_BY.iter().any(|name| member(element, name).is_some()))
        }
        _ => false,
    }
}

fn tokens(pointer: &str) -> Vec<String> {
    pointer.split('/').skip(1).map(|token| token.replace("~1", "/").replace("~0", "~")).collect()
}

/// Is the pointer one of those, or above or below one?
fn is_related(others: &BTreeSet<&str>, pointer: &str) -> bool {
    let mut above = pointer.match_indices('/').map(|(end, _)| &pointer[..end]);
    let inside = format!("{pointer}/");
    others.contains(pointer)
        || above.any(|above| others.contains(above))
        || others.range(inside.as_str()..).next().is_some_and(|other| other.starts_with(&inside))
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
