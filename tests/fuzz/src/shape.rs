//! What the schemas say may stand where, and values made from that.

use std::sync::LazyLock;

use headproof_judge::table;
use headproof_wire::{Document, EvaluateRequest, schema};
use serde_json::Value;

use crate::dice::Dice;
use crate::outline::Outline;

static REQUEST: LazyLock<Value> = LazyLock::new(|| schema(EvaluateRequest::ROOT));

/// The forms a value may have.
pub(crate) type Forms = Vec<&'static Value>;

/// The forms that the schema of a request has for what stands at a spot; none where it knows of nothing.
pub(crate) fn forms_at(outline: &Outline<'_>, spot: usize) -> Forms {
    let spot = &outline.spots[spot];
    match spot.parent {
        None => forms(&REQUEST),
        Some(parent) => inside(&forms_at(outline, parent), outline.plain_name(spot).as_deref()),
    }
}

/// The words of an enumeration among forms.
pub(crate) fn words(forms: &[&'static Value]) -> Vec<&'static str> {
    let all = forms.iter().filter_map(|form| form.get("enum")?.as_array()).flatten();
    all.filter_map(Value::as_str).collect()
}

/// The name of one of the characteristics that are judged: schemas take any text for one.
pub(crate) fn characteristic(dice: &mut Dice) -> &'static str {
    let names: Vec<&str> = table().map(|one| one.id.as_str()).collect();
    dice.pick(&names).copied().unwrap_or_default()
}

/// The members that an object may have.
pub(crate) fn members(forms: &[&'static Value]) -> Vec<(&'static str, &'static Value)> {
    let all = forms.iter().filter_map(|form| form.get("properties")?.as_object()).flatten();
    all.map(|(name, schema)| (name.as_str(), schema)).collect()
}

/// The forms of the member of that name, or of an element.
pub(crate) fn inside(around: &[&'static Value], name: Option<&str>) -> Forms {
    let inner = around.iter().filter_map(|form| match name {
        Some(name) => form.get("properties")?.get(name),
        None => form.get("items"),
    });
    inner.flat_map(forms).collect()
}

/// References followed, alternatives spread out.
pub(crate) fn forms(schema: &'static Value) -> Forms {
    if let Some(reference) = schema.get("$ref").and_then(Value::as_str) {
        let name = reference.rsplit('/').next().unwrap_or_default();
        return REQUEST["$defs"].get(name).map(forms).unwrap_or_default();
    }
    let several = ["oneOf", "anyOf", "allOf"].iter().find_map(|of| schema.get(of)?.as_array());
    several.map_or_else(|| vec![schema], |several| several.iter().flat_map(forms).collect())
}

/// Must an object have this member?
pub(crate) fn requires(forms: &[&'static Value], name: &str) -> bool {
    let all = forms.iter().filter_map(|form| form.get("required")?.as_array()).flatten();
    all.into_iter().any(|required| required == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_schema_is_found_at_every_spot_of_a_request() {
        let text = br#"{"measurement_set": {"ports": [{"valve": {"stem": {"top": 8.0}}}], "units": {"length": "mm"}}}"#;
        let outline = Outline::of(text).unwrap();
        let at = |text: &[u8]| {
            let index = outline.spots.iter().position(|spot| outline.text_of(spot) == text).unwrap();
            forms_at(&outline, index)
        };
        assert!(words(&at(br#""mm""#)).contains(&"in"));
        assert!(members(&at(br#"{"top": 8.0}"#)).iter().any(|(name, _)| *name == "bottom"));
        assert!(at(b"8.0").iter().any(|form| form["type"] == "number"));
    }
}
