//! Lists where no list belongs.
//!
//! A structure read by its derived code also takes a list of its members in order, which the published
//! schemas do not: such a document has to take the long way, where the schema finds it.

use std::collections::BTreeSet;

use serde_json::Value;

use super::forms::forms;
use crate::schema::reachable;

/// Names under which lists stand in a document, and nothing else that has members.
type ListNames = BTreeSet<String>;

/// The names of the lists of a type and of all it is made of.
pub(crate) fn list_names(root: &str) -> ListNames {
    &names(root, may_be_list) - &names(root, is_structure)
}

/// Could there be a list where none belongs? Every one that does stands under the name of a list.
pub(super) fn may_hold_misplaced_list(bytes: &[u8], lists: &ListNames) -> bool {
    let is_placed = |start| {
        let name = name_before(bytes, start).and_then(|name| std::str::from_utf8(name).ok());
        name.is_some_and(|name| lists.contains(name))
    };
    memchr::memchr_iter(b'[', bytes).any(|start| !is_placed(start))
}

/// The name of the member whose value begins at `start`; `None` when it is no member's value.
fn name_before(bytes: &[u8], start: usize) -> Option<&[u8]> {
    let before_colon = bytes[..start].trim_ascii_end().strip_suffix(b":")?;
    let before_quote = before_colon.trim_ascii_end().strip_suffix(b"\"")?;
    let opening = memchr::memrchr(b'"', before_quote)?;
    Some(&before_quote[opening + 1..])
}

/// Names of the members whose schema is such.
fn names(root: &str, is_such: fn(&Value) -> bool) -> BTreeSet<String> {
    let schemas = reachable(root);
    let members = schemas.values().filter_map(|schema| schema.get("properties")?.as_object()).flatten();
    members.filter(|(_, schema)| is_such(schema)).map(|(name, _)| name.clone()).collect()
}

fn may_be_list(schema: &Value) -> bool {
    forms(schema).iter().any(|form| has_type(form, "array"))
}

/// Nothing but an object, or left out. What may be a number as well, a reading, is told apart by its own
/// code, which takes no list.
fn is_structure(schema: &Value) -> bool {
    let forms = forms(schema);
    let mut stated = forms.iter().filter(|form| !has_type(form, "null"));
    stated.clone().count() > 0 && stated.all(|form| has_type(form, "object"))
}

fn has_type(form: &Value, kind: &str) -> bool {
    match form.get("type") {
        Some(Value::String(one)) => one == kind,
        Some(Value::Array(several)) => several.iter().any(|one| one == kind),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_list_is_known_and_no_structure_is_taken_for_one() {
        let lists = list_names("EvaluateRequest");
        for name in ["ports", "readings", "angles", "points", "loads", "limits", "also_report", "repeats"] {
            assert!(lists.contains(name), "{name}");
        }
        for name in ["units", "head", "window", "winding", "decay", "decision_rule", "seat"] {
            assert!(!lists.contains(name), "{name}");
        }
        // A name of both would send every document that holds it the long way.
        for root in ["EvaluateRequest", "JobRequest", "Evaluation"] {
            assert!(names(root, may_be_list).is_disjoint(&names(root, is_structure)), "{root}");
        }
    }

    #[test]
    fn lists_are_seen_where_none_belongs() {
        let lists = list_names("EvaluateRequest");
        for fine in [r#"{"ports":[]}"#, "{\"ports\" :\n [ {\"readings\":[1]} ]}", "{}"] {
            assert!(!may_hold_misplaced_list(fine.as_bytes(), &lists), "{fine}");
        }
        let wrong = [
            "[1]",
            r#"{"ports":[[1]]}"#,
            r#"{"ports":[{}, [1]]}"#,
            r#"{"units":["mm"]}"#,
            r#"{"por\u0074s":[1]}"#,
        ];
        for wrong in wrong {
            assert!(may_hold_misplaced_list(wrong.as_bytes(), &lists), "{wrong}");
        }
    }
}
