//! The evaluation as a document.

mod words;

use std::borrow::Cow;

use headproof_head as head;
use headproof_judge::{COVERAGE_FACTOR, Characteristic, Measure, characteristic};
use headproof_quantity::{Exact, Rounded};

pub(super) use self::words::verdict;
use self::words::{cause, detail, finding_word, headline, place, reason_word};
use super::phrases::english;
use crate::{
    Contribution, CylinderRows, DecisionRule, Evaluation, Finding, PortRows, ProfileRef, ReasonLine, Row,
    Tally,
};

/// The format line of an evaluation.
const FORMAT: &str = "headproof/evaluation/1";

/// Bounds of every limit of the profile as numbers, found once.
type Bounds = Vec<(Option<f64>, Option<f64>)>;

/// An evaluation as a document: amounts in base units, each rounded once.
#[must_use]
pub fn evaluation_document(
    evaluation: &head::Evaluation,
    set: &head::MeasurementSet,
    profile: &head::TargetProfile,
) -> Evaluation {
    let bounds: Bounds = profile.limits.iter().map(bounds_of).collect();
    let headline = headline(evaluation, profile);
    let rows =
        |rows: &[head::Row]| rows.iter().map(|one| row(one, &bounds, &set.instruments)).collect::<Vec<_>>();
    Evaluation {
        format: FORMAT.to_owned(),
        head_serial: set.head.serial.clone(),
        job_number: set.job.number.clone(),
        stage: set.job.stage.into(),
        measurement_set_digest: None,
        profile: profile_ref(profile),
        decision_rule: match profile.rule {
            head::DecisionRule::Simple => DecisionRule::Simple,
            head::DecisionRule::Guarded { probability } => {
                DecisionRule::Guarded { conformance_probability: probability }
            }
        },
        disposition: Cow::Borrowed(words::disposition(evaluation.disposition)),
        headline: english().phrase(&headline),
        headline_says: Some(headline.into()),
        reasons: evaluation.causes.iter().map(|cause| reason(cause, &evaluation.findings)).collect(),
        tally: tally(evaluation.tally),
        coverage_factor: COVERAGE_FACTOR,
        head: rows(&evaluation.head),
        cylinders: evaluation
            .cylinders
            .iter()
            .map(|(cylinder, of)| CylinderRows { cylinder: *cylinder, rows: rows(of) })
            .collect(),
        ports: evaluation
            .ports
            .iter()
            .map(|of| PortRows {
                cylinder: of.port.cylinder,
                service: of.port.service.into(),
                index: of.port.index,
                verdict: Cow::Borrowed(words::verdict(of.verdict)),
                rows: rows(&of.rows),
            })
            .collect(),
        findings: evaluation.findings.iter().map(finding).collect(),
    }
}

/// Which profile a document speaks of.
pub(super) fn profile_ref(profile: &head::TargetProfile) -> ProfileRef {
    ProfileRef {
        id: profile.id.clone(),
        revision: profile.revision.clone(),
        title: profile.title.clone(),
        notice: profile.notice.clone(),
        digest: None,
    }
}

/// The bounds of a limit as the verdicts were decided: on the grid, which also keeps them within the
/// digits a number on the wire may have.
fn bounds_of(limit: &head::Limit) -> (Option<f64>, Option<f64>) {
    let kind = characteristic(limit.characteristic.as_str()).map(Characteristic::kind);
    let bound = |exact: Option<Exact>| Rounded::from_exact(exact?, kind?).map(Rounded::to_f64);
    (bound(limit.lower), bound(limit.upper))
}

const fn tally(tally: head::Tally) -> Tally {
    Tally {
        conforms: tally.conforms,
        does_not_conform: tally.does_not_conform,
        not_proven: tally.not_proven,
        not_measured: tally.not_measured,
        no_limit: tally.no_limit,
    }
}

fn row(row: &head::Row, bounds: &Bounds, instruments: &head::Instruments) -> Row {
    let (lower, upper) = row.limit.and_then(|at| bounds.get(at).copied()).unwrap_or_default();
    let (measured, in_order) = match row.measured {
        Some(head::Measured::Amount(amount)) => (Some(amount.to_f64()), None),
        Some(head::Measured::InOrder(in_order)) => (None, Some(in_order)),
        None => (None, None),
    };
    let is_amount =
        characteristic(row.characteristic.as_str()).is_none_or(|of| of.measure() != Measure::InOrder);
    let detail = detail(row.characteristic, &row.reason);
    Row {
        characteristic: Cow::Borrowed(row.characteristic.as_str()),
        unit: is_amount.then(|| Cow::Borrowed(row.kind.base_unit().code())),
        place: place(row.place),
        measured,
        in_order,
        lower,
        upper,
        deviation: row.deviation.map(Rounded::to_f64),
        expanded_uncertainty: row.uncertainty.map(|u| three_digits(COVERAGE_FACTOR * u)),
        budget: row.budget.iter().map(|one| contribution(one, instruments)).collect(),
        conformance_probability: row.probability.map(|p| (p * 1e6).round() / 1e6),
        verdict: Cow::Borrowed(words::verdict(row.verdict)),
        reason: Cow::Borrowed(reason_word(&row.reason)),
        detail: detail.as_ref().map(|detail| english().phrase(detail)),
        detail_says: detail.map(Into::into),
        limit: row.limit,
    }
}

fn contribution(of: &head::Contribution, instruments: &head::Instruments) -> Contribution {
    let instrument = of.instrument.and_then(|index| instruments.get(index));
    Contribution {
        input: match of.number {
            None => Cow::Borrowed(of.input),
            Some(number) => Cow::Owned(format!("{} {number}", of.input)),
        },
        unit: Cow::Borrowed(of.kind.base_unit().code()),
        sensitivity: digits(of.sensitivity, 6),
        standard_uncertainty: of.uncertainty.map(three_digits),
        contribution: of.uncertainty.map(|u| three_digits(of.sensitivity * u)),
        instrument: instrument.map(|instrument| instrument.id.clone()),
    }
}

/// An uncertainty needs no more than two or three digits.
///
/// Source: JCGM 100:2008, 7.2.6 (clause number from memory).
fn three_digits(number: f64) -> f64 {
    digits(number, 3)
}

/// A number to so many significant digits; 0 for what is no number.
pub(super) fn digits(number: f64, count: i32) -> f64 {
    if number.abs() <= 0.0 || !number.is_finite() {
        return 0.0;
    }
    #[expect(clippy::cast_possible_truncation, reason = "the exponent of a double is small")]
    let exponent = count - 1 - libm::floor(libm::log10(number.abs())) as i32;
    match exponent {
        // Whole numbers divided by a power of ten that a double holds exactly.
        0..=15 => (number * 10f64.powi(exponent)).round() / 10f64.powi(exponent),
        _ => format!("{number:.decimals$e}", decimals = count as usize - 1).parse().unwrap_or(number),
    }
}

fn reason(of: &head::Cause, findings: &[head::Finding]) -> ReasonLine {
    let (characteristic, says) = match &of.what {
        head::CauseOf::Row { characteristic, reason } => {
            (Some(Cow::Borrowed(characteristic.as_str())), Some(cause(*characteristic, reason)))
        }
        head::CauseOf::Finding(at) => (None, findings.get(*at).map(|finding| finding.says.clone())),
        head::CauseOf::NothingJudged => (None, Some(head::Phrase::plain("cause-nothing-judged"))),
    };
    ReasonLine {
        disposition: Cow::Borrowed(words::disposition(of.disposition)),
        subject: of.subject.to_string(),
        characteristic,
        text: says.as_ref().map(|says| english().phrase(says)).unwrap_or_default(),
        says: says.map(Into::into),
    }
}

fn finding(finding: &head::Finding) -> Finding {
    let pointer = |(part, path): &(head::FindingPart, &str)| match part {
        head::FindingPart::Set => (*path).to_owned(),
        head::FindingPart::Port(ordinal) => format!("/ports/{ordinal}{path}"),
        head::FindingPart::Instrument(index) => format!("/instruments/{index}{path}"),
    };
    Finding {
        code: Cow::Borrowed(finding_word(finding.code)),
        severity: Cow::Borrowed(match finding.severity {
            head::Severity::Warning => "warning",
            head::Severity::Blocking => "blocking",
        }),
        pointers: finding.at.iter().map(pointer).collect(),
        text: english().phrase(&finding.says),
        says: Some(finding.says.clone().into()),
    }
}

#[cfg(test)]
mod tests {
    use super::three_digits;

    #[test]
    fn an_uncertainty_keeps_three_digits() {
        for (number, expected) in [
            (0.004_283_9, 0.004_28),
            (12.345, 12.3),
            (1234.5, 1230.0),
            (0.000_999_9, 0.001),
            (1.999_999_9e-20, 2e-20),
        ] {
            assert_eq!(three_digits(number).to_bits(), f64::to_bits(expected), "{number}");
        }
        assert_eq!(three_digits(0.0).to_bits(), 0);
    }
}
