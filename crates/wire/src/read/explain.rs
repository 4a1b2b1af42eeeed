//! What a schema validator found, in words and with pointers a client can act on.

use jsonschema::error::ValidationErrorKind;
use jsonschema::{ValidationError, Validator};
use serde_json::Value;

use crate::Fault;
use crate::pointer::push_token;
use crate::problem::{MOST_FAULTS, record};

/// Adds every fault that a schema finds in a value, as far as there is room.
pub(super) fn schema_faults(validator: &Validator, value: &Value, faults: &mut Vec<Fault>) {
    if faults.len() >= MOST_FAULTS {
        return;
    }
    for error in validator.iter_errors(value) {
        explain(&error, faults);
        if faults.len() >= MOST_FAULTS {
            return;
        }
    }
}

fn explain(error: &ValidationError<'_>, faults: &mut Vec<Fault>) {
    // Every name in it is one of the schema's, and so short: what lies below an unknown one is not validated.
    let pointer = error.instance_path().as_str();
    let value = error.instance();
    match error.kind() {
        ValidationErrorKind::AdditionalProperties { unexpected } => {
            for name in unexpected.iter().take(MOST_FAULTS.saturating_sub(faults.len())) {
                let offending = value.get(name).unwrap_or(&Value::Null);
                record(faults, || {
                    Fault::of(member(pointer, name), "is not a field of this document".into(), offending)
                });
            }
        }
        ValidationErrorKind::Required { property } => {
            let name = property.as_str().unwrap_or_default();
            record(faults, || Fault::new(member(pointer, name), "is required and missing".into(), None));
        }
        ValidationErrorKind::OneOfNotValid { context } | ValidationErrorKind::AnyOf { context } => {
            branch(pointer, value, context, faults);
        }
        ValidationErrorKind::Enum { options } => {
            record(faults, || Fault::of(pointer.to_owned(), format!("is none of {options}"), value));
        }
        _ => record(faults, || {
            Fault::of(pointer.to_owned(), error.masked_with("the value").to_string(), value)
        }),
    }
}

fn member(pointer: &str, name: &str) -> String {
    let mut pointer = pointer.to_owned();
    push_token(&mut pointer, name);
    pointer
}

/// Of several forms a value may have, the one meant is the one whose type fits and whose tag, a member with
/// one word allowed, is there; its faults are those worth telling.
fn branch(pointer: &str, value: &Value, context: &[Vec<ValidationError<'_>>], faults: &mut Vec<Fault>) {
    let of_wrong_type = |errors: &[ValidationError<'_>]| {
        errors.iter().any(|error| {
            error.instance_path().as_str() == pointer
                && matches!(error.kind(), ValidationErrorKind::Type { .. })
        })
    };
    let meant: Vec<_> =
        context.iter().filter(|errors| !errors.is_empty() && !of_wrong_type(errors)).collect();
    let of_other_tag = |errors: &[ValidationError<'_>]| {
        errors.iter().any(|error| {
            let member = error.instance_path().as_str().strip_prefix(pointer).unwrap_or_default();
            let is_tag =
                matches!(error.kind(), ValidationErrorKind::Enum { options } if is_one_word(options));
            is_tag && member.starts_with('/') && !member[1..].contains('/')
        })
    };
    let tagged: Vec<_> = meant.iter().copied().filter(|errors| !of_other_tag(errors)).collect();
    let meant = if tagged.is_empty() { meant } else { tagged };
    match meant.as_slice() {
        [errors] => errors.iter().for_each(|error| explain(error, faults)),
        _ => {
            let detail = "has none of the forms allowed here".to_owned();
            record(faults, || Fault::of(pointer.to_owned(), detail, value));
        }
    }
}

/// The only word allowed: how forms of one object are told apart.
fn is_one_word(options: &Value) -> bool {
    options.as_array().is_some_and(|options| options.len() == 1)
}
