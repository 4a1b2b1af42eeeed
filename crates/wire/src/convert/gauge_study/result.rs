//! What a study says, as a document: every number to 15 digits.

mod crossed;
mod reference;

use headproof_line as line;

use super::{Readings, Understood, digits};
use crate::gauge_study::{
    GaugeForTheSet, GaugeInterval, GaugeOutcome, GaugeStudy, GaugeStudyKind, GaugeStudyRequest,
};

/// The format line of what a study says.
const FORMAT: &str = "headproof/gauge-study-result/1";

/// Coverage factor of the expanded uncertainty that goes into a set; usual for 95 % (JCGM 100:2008, 6.3, from memory).
const COVERAGE_FACTOR: f64 = 2.0;

pub(super) fn document(doc: &GaugeStudyRequest, study: &Understood) -> GaugeStudy {
    let GaugeStudyRequest { title, characteristic, instrument, unit, lower, upper, .. } = doc.clone();
    let mut found = GaugeStudy {
        format: FORMAT.to_owned(),
        kind: GaugeStudyKind::Crossed,
        title,
        characteristic,
        instrument,
        unit,
        lower,
        upper,
        confidence: study.confidence,
        outcome: GaugeOutcome::Undecided,
        headline: String::new(),
        crossed: None,
        reference: None,
        for_the_instrument: None,
    };
    match &study.readings {
        Readings::Crossed { study: readings, pooling_above, repeats } => {
            let anova = readings.anova(crossed::pooling(*pooling_above));
            let asked = crossed::Asked {
                limits: study.limits,
                confidence: study.confidence,
                pooling_above: *pooling_above,
                repeats: *repeats,
            };
            (found.outcome, found.headline) = crossed::outcome(&anova.variation, study.limits);
            found.crossed = Some(crossed::result(readings, &anova, &asked));
            found.for_the_instrument = entry(doc, anova.variation.grr, None, crossed::COVERS);
        }
        Readings::Reference { result, rules, value } => {
            found.kind = GaugeStudyKind::Reference;
            (found.outcome, found.headline) = reference::outcome(result, rules);
            let combined = result.uncertainty.combined;
            found.for_the_instrument = entry(doc, combined, rules.resolution, reference::COVERS);
            found.reference = Some(reference::result(result, rules, *value));
        }
    }
    found
}

/// No uncertainty is stated where none was seen: a gauge without any does not exist.
fn entry(
    doc: &GaugeStudyRequest,
    standard_uncertainty: f64,
    resolution: Option<f64>,
    covers: &str,
) -> Option<GaugeForTheSet> {
    (standard_uncertainty > 0.0).then(|| GaugeForTheSet {
        measures: doc.unit.measures(),
        unit: doc.unit,
        standard_uncertainty: digits(standard_uncertainty, 3),
        expanded_uncertainty: digits(COVERAGE_FACTOR * standard_uncertainty, 3),
        coverage_factor: COVERAGE_FACTOR,
        resolution,
        covers: covers.to_owned(),
    })
}

/// As many digits as a number on the wire may have.
fn on_the_wire(number: f64) -> f64 {
    digits(number, 15)
}

fn interval(interval: line::GaugeInterval) -> GaugeInterval {
    GaugeInterval { lower: on_the_wire(interval.lower), upper: on_the_wire(interval.upper) }
}
