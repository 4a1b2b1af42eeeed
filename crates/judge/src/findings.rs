//! What is wrong or doubtful with the data themselves.

mod completeness;
mod contradictions;
mod impossible;
mod instruments;
mod pasted;
mod rests_on;
mod temperature;
mod units;

use headproof_head::{
    CharacteristicId, Finding, FindingCode, FindingPart, Phrase, PhraseValue, Port, Severity, Subject,
};

use crate::budget::Budget;
use crate::characteristic::Scope;
use crate::context::Context;
use crate::table::characteristic;

/// Looks through a set for what no gauge can have read, or what makes a reading doubtful.
///
/// Source: common practice, no source, where nothing else is named.
pub(crate) fn find(context: &Context<'_>) -> Vec<Finding> {
    let set = context.set;
    let mut findings = Vec::new();
    completeness::missing_ports(set, &mut findings);
    completeness::missing_chambers(set, &mut findings);
    units::of_the_head(set, &mut findings);
    for port in &set.ports {
        findings.extend(units::of_the_port(port, set.lengths));
        findings.extend(impossible::negative_clearance(context, port));
        findings.extend(impossible::crossed_diameters(port));
        findings.extend(impossible::contact_outside_face(context, port));
        findings.extend(impossible::decay_rose(context, port));
        findings.extend(impossible::vacuum_too_deep(port));
        findings.extend(contradictions::widths(context, port));
        findings.extend(contradictions::clearances(context, port));
        findings.extend(temperature::drift(port));
    }
    completeness::repeated_tags(set, &mut findings);
    pasted::readings(set, &mut findings);
    temperature::off(set, &mut findings);
    instruments::overdue_calibrations(set, &mut findings);
    instruments::finer_than_their_resolution(set, &mut findings);
    findings
}

/// Standard uncertainties beyond which chance is no excuse: it goes so far once in 370 times.
const CERTAIN: f64 = 3.0;

/// How far chance may have moved a value; `None` where its uncertainty is not known.
fn by_chance(budget: Budget<'_>) -> Option<f64> {
    budget.close().0.map(|u| CERTAIN * u)
}

/// A finding that makes rows of a port unusable.
fn blocking(
    port: &Port,
    code: FindingCode,
    fields: &[&'static str],
    says: Phrase,
    touches: impl IntoIterator<Item = &'static str>,
) -> Finding {
    Finding {
        code,
        severity: Severity::Blocking,
        at: fields.iter().map(|field| (FindingPart::Port(port.ordinal), *field)).collect(),
        says,
        touches: touched(port, touches).collect(),
    }
}

/// A finding about a port that is worth a look.
fn warning(port: &Port, code: FindingCode, fields: &[&'static str], says: Phrase) -> Finding {
    Finding { severity: Severity::Warning, ..blocking(port, code, fields, says, []) }
}

/// What is said of a port.
fn of_port(port: &Port, id: &'static str) -> Phrase {
    Phrase::plain(id).and("port", port.id.phrase())
}

/// Names of ports, to be listed.
fn names(ports: &[&Port]) -> PhraseValue {
    PhraseValue::All(ports.iter().map(|port| port.id.phrase().into()).collect())
}

/// Rows that rest on readings of a port: its own, and those of its cylinder and of the head.
fn touched(
    port: &Port,
    ids: impl IntoIterator<Item = &'static str>,
) -> impl Iterator<Item = (Subject, CharacteristicId)> {
    ids.into_iter().filter_map(|id| {
        let row = characteristic(id)?;
        let subject = match row.scope() {
            Scope::Head => Subject::Head,
            Scope::Cylinder => Subject::Cylinder(port.id.cylinder),
            Scope::Port => Subject::Port(port.id),
        };
        Some((subject, row.id))
    })
}
