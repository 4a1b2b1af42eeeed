//! Studies of gauges: what was posted, and what it says.

mod crossed;
mod reference;
mod result;

use headproof_head::Instruments;
use headproof_judge::characteristic;
use headproof_line::{CrossedStudy, GaugeLimits, ReferenceResult, ReferenceRules};

use super::block::Conversion;
use super::evaluation::digits;
use crate::gauge_study::{GaugeStudy, GaugeStudyRequest, GaugeUnit};
use crate::pointer::At;
use crate::{Fault, Units};

/// The format line of a study.
const FORMAT: &str = "headproof/gauge-study/1";

/// The level of confidence where none is stated.
const USUAL_CONFIDENCE: f64 = 0.95;

/// The surest level that the sums can tell from certainty.
const GREATEST_CONFIDENCE: f64 = 0.999_999;

/// Beyond this no reading makes sense, and sums of squares stay far inside the range of a double.
const LARGEST: f64 = 1e15;

/// A tolerance is then no larger than a reading can be.
const LARGEST_LIMIT: f64 = LARGEST / 2.0;

/// A study without faults.
struct Understood {
    limits: Option<GaugeLimits>,
    confidence: f64,
    readings: Readings,
}

/// Readings of either kind; those on a reference are evaluated as soon as they are understood.
enum Readings {
    Crossed { study: CrossedStudy, pooling_above: f64, repeats: u32 },
    Reference { result: Box<ReferenceResult>, rules: ReferenceRules, value: f64 },
}

/// What a posted study says.
///
/// # Errors
/// Every fault of content, with its JSON Pointer below `at`.
///
/// ```
/// use headproof_wire::gauge_study::GaugeStudyRequest;
/// use headproof_wire::{At, examples, gauge_study_document, read};
///
/// let posted: GaugeStudyRequest = read(examples::GAUGE_STUDIES[0].text.as_bytes())?;
/// let found = gauge_study_document(&posted, &At::Root).map_err(|faults| format!("{faults:?}"))?;
/// assert_eq!(found.crossed.map(|crossed| (crossed.parts, crossed.operators)), Some((10, 3)));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn gauge_study_document(doc: &GaugeStudyRequest, at: &At<'_>) -> Result<GaugeStudy, Vec<Fault>> {
    understood(doc, at).map(|study| result::document(doc, &study))
}

/// Every fault of content of a study.
pub(crate) fn gauge_study_faults(doc: &GaugeStudyRequest) -> Vec<Fault> {
    understood(doc, &At::Root).err().unwrap_or_default()
}

fn understood(doc: &GaugeStudyRequest, at: &At<'_>) -> Result<Understood, Vec<Fault>> {
    let none = Instruments::default();
    let mut conversion = Conversion { faults: Vec::new(), units: Units::BASE, instruments: &none };
    let c = &mut conversion;
    c.format(&at.member("format"), &doc.format, FORMAT);
    c.text(&at.member("title"), &doc.title);
    c.optional_text(&at.member("instrument"), &doc.instrument);
    if let Some(name) = &doc.characteristic {
        studied_for(c, at, name, doc.unit);
    }
    let limits = limits(c, at, doc);
    let confidence = doc.confidence.unwrap_or(USUAL_CONFIDENCE);
    c.number(&at.member("confidence"), confidence, More::Than(0.0), GREATEST_CONFIDENCE);
    let readings = match (&doc.crossed, &doc.reference) {
        (Some(crossed), None) => crossed::readings(c, &at.member("crossed"), crossed),
        (None, Some(reference)) => {
            // A level that is wrong has been told; the readings are looked at all the same.
            let confidence = if is_level(confidence) { confidence } else { USUAL_CONFIDENCE };
            let rules = ReferenceRules { tolerance: tolerance(doc), confidence, ..ReferenceRules::default() };
            reference::readings(c, &at.member("reference"), reference, rules)
        }
        _ => {
            c.fault(at, "needs exactly one of crossed and reference", None);
            None
        }
    };
    match readings {
        Some(readings) if conversion.faults.is_empty() => Ok(Understood { limits, confidence, readings }),
        _ => Err(conversion.faults),
    }
}

fn is_level(confidence: f64) -> bool {
    confidence > 0.0 && confidence <= GREATEST_CONFIDENCE
}

/// The characteristic has to be an amount of the dimension of the unit.
fn studied_for(c: &mut Conversion<'_>, at: &At<'_>, name: &str, unit: GaugeUnit) {
    let place = at.member("characteristic");
    let Some(found) = characteristic(name) else {
        return c.fault(&place, "is not a characteristic this service judges", Some(name.into()));
    };
    let kind = found.kind();
    let is_read = GaugeUnit::ALL.iter().any(|unit| unit.unit().kind() == kind);
    if found.measure().is_in_order() || !is_read {
        return c.fault(&place, "is read from no instrument of a measurement set", Some(name.into()));
    }
    if unit.unit().kind() != kind {
        let detail = format!("is no unit of {name}, whose amounts are stated in {}", kind.base_unit().code());
        c.fault(&at.member("unit"), detail, Some(unit.unit().code().into()));
    }
}

fn limits(c: &mut Conversion<'_>, at: &At<'_>, doc: &GaugeStudyRequest) -> Option<GaugeLimits> {
    for (name, bound) in [("lower", doc.lower), ("upper", doc.upper)] {
        let Some(bound) = bound else { continue };
        c.number(&at.member(name), bound, More::OrEqual(-LARGEST_LIMIT), LARGEST_LIMIT);
    }
    if let (Some(lower), Some(upper)) = (doc.lower, doc.upper)
        && lower >= upper
    {
        c.fault(&at.member("upper"), "must be more than lower", Some(upper.into()));
    }
    GaugeLimits::new(doc.lower, doc.upper)
}

/// Upper less lower limit, where there are both, as the decimal it is.
fn tolerance(doc: &GaugeStudyRequest) -> Option<f64> {
    let tolerance = digits(doc.upper? - doc.lower?, 15);
    (tolerance > 0.0 && tolerance <= LARGEST).then_some(tolerance)
}

/// The least a number may be.
#[derive(Debug, Clone, Copy)]
enum More {
    Than(f64),
    OrEqual(f64),
}

impl Conversion<'_> {
    /// A number of no dimension that is known here, within bounds.
    fn number(&mut self, at: &At<'_>, number: f64, least: More, most: f64) {
        let (is_enough, words) = match least {
            More::Than(least) => (number > least, format!("more than {least}")),
            More::OrEqual(least) => (number >= least, format!("at least {least}")),
        };
        if !is_enough || number > most {
            self.fault(at, format!("must be {words} and at most {most}"), Some(number.into()));
        }
    }
}
