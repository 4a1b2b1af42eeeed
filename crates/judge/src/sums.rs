//! Why a sum cannot be formed, as a sentence.

use headproof_head::{Phrase, PhraseValue};
use headproof_metrology::MetrologyError;

/// The error in words.
pub(crate) fn phrase(error: MetrologyError) -> Phrase {
    match error {
        MetrologyError::NotEnough { needed, given } => {
            Phrase::with("sum-not-enough", "needed", needed).and("given", given)
        }
        MetrologyError::AllSamePlace => Phrase::plain("sum-all-same-place"),
        MetrologyError::NotPositive { what, given } => {
            Phrase::with("sum-not-positive", "what", size(what)).and("given", amount(given))
        }
        MetrologyError::Negative { what, given } => {
            Phrase::with("sum-negative", "what", size(what)).and("given", amount(given))
        }
        MetrologyError::AngleOutOfRange { what, degrees } => {
            Phrase::with("sum-angle-out-of-range", "what", size(what)).and("given", degrees_of(degrees))
        }
        MetrologyError::NotSteeper { steeper, flatter } => {
            Phrase::with("sum-not-steeper", "steeper", degrees_of(steeper))
                .and("flatter", degrees_of(flatter))
        }
        MetrologyError::NoMaterial { what, given } => {
            Phrase::with("sum-no-material", "what", size(what)).and("given", amount(given))
        }
        MetrologyError::OutOfReach { height, least, greatest } => {
            Phrase::with("sum-out-of-reach", "height", millimetres(height))
                .and("least", millimetres(least))
                .and("greatest", millimetres(greatest))
        }
        MetrologyError::CountsDiffer { readings, angles } => {
            Phrase::with("sum-counts-differ", "readings", readings).and("angles", angles)
        }
        MetrologyError::AnglesTooClose => Phrase::plain("sum-angles-too-close"),
        MetrologyError::NoWindow { length, width } => {
            Phrase::with("sum-no-window", "length", millimetres(length)).and("width", millimetres(width))
        }
        MetrologyError::TooMany { points, steps } => {
            Phrase::with("sum-too-many", "points", points).and("steps", steps)
        }
    }
}

fn amount(number: f64) -> PhraseValue {
    PhraseValue::amount(number.to_string())
}

fn degrees_of(angle: f64) -> PhraseValue {
    PhraseValue::amount(format!("{angle}°"))
}

fn millimetres(length: f64) -> PhraseValue {
    PhraseValue::amount(format!("{length} mm"))
}

/// Each size that a sum may refuse, as `metrology` calls it, and the message that names it.
const SIZES: [(&str, &str); 37] = [
    ("Poisson's ratio", "size-poisson"),
    ("Young's modulus", "size-youngs-modulus"),
    ("density", "size-density"),
    ("expansion", "size-expansion"),
    ("the absolute pressure", "size-absolute-pressure"),
    ("the absolute pressure at the end", "size-absolute-pressure-end"),
    ("the absolute pressure at the start", "size-absolute-pressure-start"),
    ("the bore", "size-bore"),
    ("the clearance", "size-clearance"),
    ("the clearance volume", "size-clearance-volume"),
    ("the diameter", "size-diameter"),
    ("the diameter of the interface", "size-interface"),
    ("the distance outside the guide", "size-distance-outside"),
    ("the duration", "size-duration"),
    ("the engaged length", "size-engaged-length"),
    ("the face angle", "size-face-angle"),
    ("the flatter angle", "size-flatter-angle"),
    ("the inner diameter of the coil", "size-coil-inner"),
    ("the inner diameter of the insert", "size-insert-inner"),
    ("the interface less the inner diameter", "size-ring-wall"),
    ("the interference", "size-interference"),
    ("the length of the window", "size-window-length"),
    ("the mean coil diameter", "size-mean-coil"),
    ("the number of active coils", "size-active-coils"),
    ("the number of coils", "size-coils"),
    ("the outer diameter less the interface", "size-surrounding-wall"),
    ("the ring that seat and face share", "size-shared-ring"),
    ("the rocking travel", "size-rocking-travel"),
    ("the seat angle", "size-seat-angle"),
    ("the shear modulus", "size-shear-modulus"),
    ("the steeper angle", "size-steeper-angle"),
    ("the stroke", "size-stroke"),
    ("the temperature at the end, in kelvin,", "size-kelvin-end"),
    ("the temperature at the start, in kelvin,", "size-kelvin-start"),
    ("the test volume", "size-test-volume"),
    ("the width of the window", "size-window-width"),
    ("the wire diameter", "size-wire"),
];

fn size(what: &'static str) -> PhraseValue {
    match SIZES.iter().find(|(name, _)| *name == what) {
        Some((_, id)) => Phrase::plain(id).into(),
        None => PhraseValue::text(what),
    }
}

#[cfg(test)]
mod tests {
    use std::fs;
    use std::path::Path;

    use super::*;

    /// What stands in quotes and begins like the name of a size in the sources of `metrology`; neither in their tests
    /// nor in the sentences of the errors.
    fn named(folder: &Path, found: &mut Vec<String>) {
        for entry in fs::read_dir(folder).expect("a folder of the workspace") {
            let path = entry.expect("readable").path();
            if path.is_dir() {
                named(&path, found);
            }
            if !path.is_file() || path.ends_with("tests.rs") || path.ends_with("error.rs") {
                continue;
            }
            let source = fs::read_to_string(&path).expect("readable");
            let program = source.split("#[cfg(test)]").next().unwrap_or_default();
            let lines = program.lines().filter(|line| !line.trim_start().starts_with("//"));
            let quoted = lines.flat_map(|line| line.split('"').skip(1).step_by(2).map(str::to_owned));
            found.extend(quoted.filter(|text| text.starts_with("the ") && !text.contains('{')));
        }
    }

    #[test]
    fn every_size_that_a_sum_refuses_has_a_message() {
        let mut found = Vec::new();
        named(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../metrology/src"), &mut found);
        found.extend(["Young's modulus", "Poisson's ratio", "density", "expansion"].map(str::to_owned));
        assert!(found.len() > 30, "{} names found", found.len());
        for name in &found {
            assert!(SIZES.iter().any(|(known, _)| known == name), "{name}");
        }
        let unknown = SIZES.iter().find(|(name, _)| !found.iter().any(|of| of == name));
        assert_eq!(unknown, None);
    }
}
