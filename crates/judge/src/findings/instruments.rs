//! Gauges that may not be what they state.

use headproof_head::{
    Finding, FindingCode, FindingPart, Instrument, MeasurementSet, Phrase, PhraseValue, Severity,
};

/// Judged at the time of measuring, never at the time of judging.
pub(super) fn overdue_calibrations(set: &MeasurementSet, findings: &mut Vec<Finding>) {
    let measured_on = set.job.measured_at.date();
    findings.extend(set.instruments.iter().enumerate().filter_map(|(index, instrument)| {
        let due = instrument.calibration_due.filter(|due| *due < measured_on)?;
        Some(Finding {
            code: FindingCode::CalibrationOverdue,
            severity: Severity::Warning,
            at: vec![(FindingPart::Instrument(index), "/calibration_due")],
            says: Phrase::with("found-calibration-overdue", "instrument", PhraseValue::text(&instrument.id))
                .and("due", PhraseValue::day(due))
                .and("measured", PhraseValue::day(measured_on)),
            touches: Vec::new(),
        })
    }));
}

/// A step of the scale is an even spread over its length, which no gauge can be better than.
///
/// Source: JCGM 100:2008, F.2.2.1 (clause number from memory).
pub(super) fn finer_than_their_resolution(set: &MeasurementSet, findings: &mut Vec<Finding>) {
    let finer = |(_, instrument): &(usize, &Instrument)| {
        instrument.standard_uncertainty < instrument.uncertainty_of_a_step()
    };
    findings.extend(set.instruments.iter().enumerate().filter(finer).map(|(index, instrument)| Finding {
        code: FindingCode::UncertaintyBelowResolution,
        severity: Severity::Warning,
        at: vec![
            (FindingPart::Instrument(index), "/expanded_uncertainty"),
            (FindingPart::Instrument(index), "/resolution"),
        ],
        says: Phrase::with(
            "found-uncertainty-below-resolution",
            "instrument",
            PhraseValue::text(&instrument.id),
        ),
        touches: Vec::new(),
    }));
}
