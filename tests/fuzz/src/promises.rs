//! What any answer promises, whatever was posted.

use headproof_seal::canonical;
use headproof_wire::{Document, Evaluation, Row, Tally, read};
use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::outline::{Kind, Outline};
use crate::pointer::{Leads, follow};

/// A text that was taken has no member twice, and no number that a double with 15 digits does not keep.
pub(crate) fn text_promises(outline: &Outline<'_>) {
    for (index, spot) in outline.spots.iter().enumerate() {
        match spot.kind {
            Kind::Number => number_promises(&String::from_utf8_lossy(outline.text_of(spot))),
            Kind::Object => {
                let children = outline.children(index);
                let mut names: Vec<_> =
                    children.filter_map(|child| outline.plain_name(&outline.spots[child])).collect();
                names.sort_unstable();
                let twice = names.windows(2).find(|pair| pair[0] == pair[1]);
                assert!(twice.is_none(), "taken, though a member stands twice: {twice:?}");
            }
            Kind::Array | Kind::Text | Kind::Word => {}
        }
    }
}

fn number_promises(text: &str) {
    let mantissa = text.split(['e', 'E']).next().unwrap_or(text);
    let digits: String = mantissa.chars().filter(char::is_ascii_digit).collect();
    let digits = digits.trim_start_matches('0');
    // Zeros before the point only place it; zeros behind it claim a resolution.
    let significant = if mantissa.contains('.') { digits } else { digits.trim_end_matches('0') };
    assert!(significant.len() <= 15, "taken, though it has more than 15 digits: {text}");
    let number: f64 = text.parse().expect("what the service reads as a number is one");
    assert!(number.is_finite(), "taken, though no double is that large: {text}");
    assert!(significant.is_empty() || number != 0.0, "taken, though no double is that small: {text}");
}

/// An evaluation is consistent in itself, and points into the set it judges.
pub(crate) fn evaluation_promises(evaluation: &Evaluation, text: &[u8], request: &Outline<'_>) {
    let written = Outline::of(text).expect("an evaluation is JSON");
    let is_null = |spot| written.text_of(spot) == b"null";
    assert!(!written.spots.iter().any(is_null), "null in an evaluation: a number that is none");
    let mut tally = Tally { conforms: 0, does_not_conform: 0, not_proven: 0, not_measured: 0, no_limit: 0 };
    let head = evaluation.head.iter();
    let cylinders = evaluation.cylinders.iter().flat_map(|of| &of.rows);
    let ports = evaluation.ports.iter().flat_map(|of| &of.rows);
    for row in head.chain(cylinders).chain(ports) {
        row_promises(row);
        *match row.verdict.as_ref() {
            "conforms" => &mut tally.conforms,
            "does-not-conform" => &mut tally.does_not_conform,
            "not-proven" => &mut tally.not_proven,
            "not-measured" => &mut tally.not_measured,
            "no-limit" => &mut tally.no_limit,
            other => panic!("there is no verdict {other}"),
        } += 1;
    }
    assert_eq!(evaluation.tally, tally, "the tally is not that of the rows");
    disposition_promises(evaluation);
    for pointer in evaluation.findings.iter().flat_map(|finding| &finding.pointers) {
        let leads = follow(request, &format!("/measurement_set{pointer}"));
        assert!(leads != Leads::Nowhere, "a finding about nothing: {pointer}");
    }
}

fn row_promises(row: &Row) {
    let conforms = row.verdict == "conforms";
    assert!(!conforms || row.deviation.is_none_or(|by| by <= 0.0), "conforms though outside: {row:?}");
    assert!(!conforms || row.measured.is_some() || row.in_order == Some(true), "a pass of nothing: {row:?}");
    assert!(
        row.conformance_probability.is_none_or(|of| (0.0..=1.0).contains(&of)),
        "a probability that is none: {row:?}"
    );
    assert!(row.expanded_uncertainty.is_none_or(|of| of >= 0.0), "an uncertainty below zero: {row:?}");
}

/// Only what is proven in order is accepted; all else has its reasons.
fn disposition_promises(evaluation: &Evaluation) {
    let Evaluation { disposition, reasons, tally, .. } = evaluation;
    assert_eq!(disposition == "accept", reasons.is_empty(), "{disposition} because of {reasons:?}");
    assert!(reasons.iter().all(|reason| !reason.text.is_empty()), "a reason without a word: {reasons:?}");
    if let Some(gravest) = reasons.first() {
        assert_eq!(gravest.disposition, *disposition, "the gravest reason calls for another disposition");
    }
    if disposition == "accept" {
        assert_eq!(tally.does_not_conform, 0, "accepted, though something is outside");
        assert!(tally.conforms > 0, "accepted, though nothing was judged");
    }
}

/// The same evaluation as if nobody had asked what the uncertainties are made of.
pub(crate) fn without_budgets(evaluation: &Evaluation) -> Evaluation {
    let mut plain = evaluation.clone();
    let head = plain.head.iter_mut();
    let cylinders = plain.cylinders.iter_mut().flat_map(|of| &mut of.rows);
    let ports = plain.ports.iter_mut().flat_map(|of| &mut of.rows);
    head.chain(cylinders).chain(ports).for_each(|row| row.budget.clear());
    plain
}

/// A document comes back from the store as it went in: there it lies in its canonical form.
pub(crate) fn reads_back<T>(document: &T)
where
    T: Document + Serialize + DeserializeOwned + PartialEq,
{
    let stored = canonical(document).expect("a document has a canonical form");
    match read::<T>(&stored) {
        Ok(back) => assert!(back == *document, "{} comes back as another", T::ROOT),
        Err(error) => panic!("{} does not come back: {error:?}", T::ROOT),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fails(text: &str) -> bool {
        let text = text.to_owned();
        std::panic::catch_unwind(move || text_promises(&Outline::of(text.as_bytes()).unwrap())).is_err()
    }

    #[test]
    fn a_text_that_must_not_be_taken_is_noticed() {
        for text in [
            r#"{"a": 1, "\u0061": 2}"#,
            "[1.234567890123456]",
            "[1.000000000000000]",
            "[1234567890123456]",
            "[1e400]",
            "[-1e-400]",
        ] {
            assert!(fails(text), "{text}");
        }
        for text in
            [r#"[{"a": 1}, {"a": 1}]"#, "[0.00123456789012345, 12345e300, 1000000000000000000, 0e-999]"]
        {
            assert!(!fails(text), "{text}");
        }
    }
}
