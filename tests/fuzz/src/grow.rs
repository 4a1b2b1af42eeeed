//! Values made from their schema, with texts and numbers that stand elsewhere in the document.

use std::fmt::Write;

use serde_json::Value;

use crate::dice::Dice;
use crate::numbers;
use crate::outline::{Kind, Outline};
use crate::shape::{characteristic, forms, inside, members, requires};

/// Members that need not be there are made up to this depth.
const DEEP: usize = 4;

/// A value for the member of that name (or for an element of it), of one of the forms of its schema.
pub(crate) fn grow(outline: &Outline<'_>, name: &str, forms: &[&'static Value], dice: &mut Dice) -> String {
    let mut growth = Growth { outline, dice, text: String::new() };
    growth.value(name, forms, 0);
    growth.text
}

struct Growth<'o> {
    outline: &'o Outline<'o>,
    dice: &'o mut Dice,
    text: String,
}

impl Growth<'_> {
    fn value(&mut self, name: &str, forms: &[&'static Value], depth: usize) {
        // What may be left out may be null as well, which is tried elsewhere.
        let kind_of = |form: &Value| match form.get("type") {
            Some(Value::Array(kinds)) => kinds.first().and_then(Value::as_str).unwrap_or_default().to_owned(),
            kind => kind.and_then(Value::as_str).unwrap_or_default().to_owned(),
        };
        let mut forms = forms.to_vec();
        forms.retain(|form| kind_of(form) != "null");
        let Some(form) = self.dice.pick(&forms).copied() else { return self.text.push_str("null") };
        if let Some(words) = form.get("enum").and_then(Value::as_array) {
            let _ = write!(self.text, "{}", self.dice.pick(words).unwrap_or(&Value::Null));
            return;
        }
        match kind_of(form).as_str() {
            "object" => self.object(form, depth),
            "array" => self.array(name, form, depth),
            "number" => self.number(name, form),
            "integer" => {
                let number = 1 + self.dice.below(4);
                let _ = write!(self.text, "{number}");
            }
            "boolean" => self.text.push_str(if self.dice.once_in(2) { "true" } else { "false" }),
            "string" => self.string(name, form),
            _ => self.text.push_str("null"),
        }
    }

    fn object(&mut self, form: &'static Value, depth: usize) {
        self.text.push('{');
        let mut separator = "";
        for (name, schema) in members(&[form]) {
            if requires(&[form], name) || depth < DEEP && self.dice.once_in(2 + depth) {
                let _ = write!(self.text, "{separator}{name:?}:");
                self.value(name, &forms(schema), depth + 1);
                separator = ",";
            }
        }
        self.text.push('}');
    }

    fn array(&mut self, name: &str, form: &'static Value, depth: usize) {
        let least = form.get("minItems").and_then(Value::as_u64);
        let least = least.and_then(|least| usize::try_from(least).ok()).unwrap_or(0);
        self.text.push('[');
        for index in 0..least + self.dice.below(4) {
            if index > 0 {
                self.text.push(',');
            }
            self.value(name, &inside(&[form], None), depth + 1);
        }
        self.text.push(']');
    }

    fn number(&mut self, name: &str, form: &Value) {
        let number = self.known(name, Kind::Number).unwrap_or_else(|| numbers::likely(self.dice));
        let bound = |of: &str| form.get(of).and_then(Value::as_f64);
        match (bound("minimum"), bound("maximum"), number.parse::<f64>()) {
            (Some(least), _, Ok(number)) if number < least => {
                let _ = write!(self.text, "{least}");
            }
            (_, Some(most), Ok(number)) if number > most => {
                let _ = write!(self.text, "{most}");
            }
            _ => self.text.push_str(&number),
        }
    }

    fn string(&mut self, name: &str, form: &Value) {
        let text = match form.get("format").and_then(Value::as_str) {
            Some("date") => "2026-03-18",
            Some("date-time") => "2026-03-18T14:05:00Z",
            _ if name == "characteristic" => characteristic(self.dice),
            _ => match self.known(name, Kind::Text) {
                Some(known) => return self.text.push_str(&known),
                None => characteristic(self.dice),
            },
        };
        let _ = write!(self.text, "{text:?}");
    }

    /// What stands under that name elsewhere, mostly.
    fn known(&mut self, name: &str, kind: Kind) -> Option<String> {
        if self.dice.once_in(4) {
            return None;
        }
        let quoted = format!("{name:?}").into_bytes();
        let is_named = |index: usize| self.outline.name_of(&self.outline.spots[index]) == Some(&quoted);
        let spots = self.outline.spots.iter().enumerate();
        let there = spots.filter(|(index, spot)| {
            spot.kind == kind && (is_named(*index) || spot.parent.is_some_and(is_named))
        });
        let there: Vec<_> = there.map(|(_, spot)| self.outline.text_of(spot)).collect();
        self.dice.pick(&there).map(|text| String::from_utf8_lossy(text).into_owned())
    }
}

#[cfg(test)]
mod tests {
    use serde_json::value::RawValue;

    use super::*;
    use crate::shape::forms_at;

    #[test]
    fn what_is_grown_is_json_of_the_right_form() {
        let outline = Outline::of(br#"{"measurement_set": {"head": {"serial": "FROM ELSEWHERE"}}}"#).unwrap();
        let request = forms_at(&outline, 0);
        let grown: Vec<String> =
            (0..200).map(|seed| grow(&outline, "", &request, &mut Dice::new(seed))).collect();
        for text in &grown {
            assert!(Outline::of(text.as_bytes()).is_some_and(|outline| outline.spots.len() > 20), "{text}");
            assert!(serde_json::from_str::<&RawValue>(text).is_ok(), "{text}");
        }
        assert!(grown.iter().any(|text| text.contains("FROM ELSEWHERE")));
        // Of form, nothing but a number now and then is wrong: 1e400, or a negative uncertainty.
        let valid = grown.iter().filter_map(|text| serde_json::from_str::<Value>(text).ok());
        let right = valid
            .filter(|value| serde_json::from_value::<headproof_wire::EvaluateRequest>(value.clone()).is_ok());
        assert!(right.count() > 100);
    }
}
