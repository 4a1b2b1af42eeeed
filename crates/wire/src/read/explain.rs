//! What a schema validator found, in words and with pointers a client can act on.

use jsonschema::error::ValidationErrorKind;
use jsonschema::{ValidationError, Validator};
use serde_json::Value;

use super::MOST_FAULTS;
use crate::Fault;
use crate::pointer::escape;

/// Every fault that a schema finds in a value.
pub(super) fn schema_faults(validator: &Validator, value: &Value) -> Vec<Fault> {
    let mut faults = Vec::new();
    for error in validator.iter_errors(value) {
        explain(&error, &mut faults);
        if faults.len() >= MOST_FAULTS {
            break;
        }
    }
    faults
}

fn explain(error: &ValidationError<'_>, faults: &mut Vec<Fault>) {
    let pointer = error.instance_path().as_str().to_owned();
    let value = error.instance();
    match error.kind() {
        ValidationErrorKind::AdditionalProperties { unexpected } => {
            faults.extend(unexpected.iter().map(|name| {
                let offending = value.get(name).cloned();
                Fault::new(
                    format!("{pointer}/{}", escape(name)),
                    "is not a field of this document".into(),
                    offending,
                )
            }));
        }
        ValidationErrorKind::Required { property } => {
            let name = property.as_str().unwrap_or_default();
            faults.push(Fault::new(
                format!("{pointer}/{}", escape(name)),
                "is required and missing".into(),
                None,
            ));
        }
        ValidationErrorKind::OneOfNotValid { context } | ValidationErrorKind::AnyOf { context } => {
            branch(&pointer, value, context, faults);
        }
        ValidationErrorKind::Enum { options } => {
            faults.push(Fault::new(
                pointer,
                format!("is none of {options}"),
                Some(value.clone().into_owned()),
            ));
        }
        _ => faults.push(Fault::new(
            pointer,
            error.masked_with("the value").to_string(),
            Some(value.clone().into_owned()),
        )),
    }
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
            faults.push(Fault::new(pointer.to_owned(), detail, Some(value.clone())));
        }
    }
}

/// The only word allowed: how forms of one object are told apart.
fn is_one_word(options: &Value) -> bool {
    options.as_array().is_some_and(|options| options.len() == 1)
}
