//! Lists that are longer than allowed, cut before a schema validator finds a fault in each of a million
//! elements.

use serde_json::Value;

use super::forms::{forms, member};

/// Keeps one element too many of every list that has too many: enough for that to be found, and what stands
/// beyond is not looked at.
pub(super) fn prune(value: &mut Value, schema: &Value) {
    match value {
        Value::Array(elements) => {
            let most = forms(schema).into_iter().filter_map(|form| form.get("maxItems")?.as_u64()).max();
            if let Some(most) = most.and_then(|most| usize::try_from(most).ok()) {
                elements.truncate(most.saturating_add(1));
            }
            if let Some(schema) = member(schema, "0") {
                elements.iter_mut().for_each(|element| prune(element, schema));
            }
        }
        Value::Object(map) => {
            for (name, value) in map.iter_mut() {
                if let Some(schema) = member(schema, name) {
                    prune(value, schema);
                }
            }
        }
        _ => {}
    }
}
