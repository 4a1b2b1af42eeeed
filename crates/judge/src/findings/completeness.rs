//! What is missing or there twice.

use std::collections::BTreeMap;

use headproof_head::{
    Finding, FindingCode, FindingPart, MeasurementSet, Phrase, PhraseValue, Port, Severity,
};

use super::names;

pub(super) fn missing_ports(set: &MeasurementSet, findings: &mut Vec<Finding>) {
    findings.extend(set.layout.ports().filter(|id| set.port(*id).is_none()).map(|id| Finding {
        code: FindingCode::PortMissing,
        severity: Severity::Blocking,
        at: vec![(FindingPart::Set, "/ports")],
        says: Phrase::with("found-port-missing", "port", id.phrase()),
        touches: Vec::new(),
    }));
}

pub(super) fn missing_chambers(set: &MeasurementSet, findings: &mut Vec<Finding>) {
    if set.chambers.is_empty() {
        return;
    }
    let measured = |cylinder: &u8| set.chambers.iter().any(|chamber| chamber.cylinder == *cylinder);
    findings.extend((1..=set.layout.cylinders).filter(|cylinder| !measured(cylinder)).map(|cylinder| {
        Finding {
            code: FindingCode::ChamberMissing,
            severity: Severity::Warning,
            at: vec![(FindingPart::Set, "/chambers")],
            says: Phrase::with("found-chamber-missing", "cylinder", cylinder),
            touches: Vec::new(),
        }
    }));
}

pub(super) fn repeated_tags(set: &MeasurementSet, findings: &mut Vec<Finding>) {
    let mut by_tag: BTreeMap<&str, Vec<&Port>> = BTreeMap::new();
    for port in &set.ports {
        if let Some(tag) = &port.valve.tag {
            by_tag.entry(tag).or_default().push(port);
        }
    }
    findings.extend(by_tag.into_iter().filter(|(_, ports)| ports.len() > 1).map(|(tag, ports)| {
        Finding {
            code: FindingCode::ValveTagRepeated,
            severity: Severity::Warning,
            at: ports.iter().map(|port| (FindingPart::Port(port.ordinal), "/valve/tag")).collect(),
            says: Phrase::with("found-valve-tag-repeated", "tag", PhraseValue::text(tag))
                .and("ports", names(&ports)),
            touches: Vec::new(),
        }
    }));
}
