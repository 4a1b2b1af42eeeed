//! Ways through a schema.

use serde_json::Value;

use crate::schema::definition;

/// The schema of a member or element.
pub(super) fn member<'s>(schema: &'s Value, token: &str) -> Option<&'s Value> {
    let inside =
        |form: &'s Value| form.get("properties").and_then(|all| all.get(token)).or_else(|| form.get("items"));
    forms(schema).into_iter().find_map(inside)
}

/// The forms a value may have, references followed.
pub(super) fn forms(schema: &Value) -> Vec<&Value> {
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
