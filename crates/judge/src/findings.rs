//! What is wrong or doubtful with the data themselves.

use std::collections::BTreeMap;

use headproof_head::{
    CharacteristicId, ContactMark, Finding, FindingCode, FindingPart, MeasurementSet, Port, Severity, Subject,
};

use headproof_metrology::overhang_from_diameters;

use crate::table::guide_heights;

/// Looks through a set for what no gauge can have read, or what makes a reading doubtful.
///
/// Source: common practice, no source.
pub(crate) fn find(set: &MeasurementSet) -> Vec<Finding> {
    let mut findings = Vec::new();
    missing_ports(set, &mut findings);
    missing_chambers(set, &mut findings);
    for port in &set.ports {
        findings.extend(negative_clearance(port));
        findings.extend(crossed_diameters(port));
        findings.extend(contact_outside_face(port));
        findings.extend(decay_rose(port));
    }
    repeated_tags(set, &mut findings);
    overdue_calibrations(set, &mut findings);
    findings
}

fn missing_ports(set: &MeasurementSet, findings: &mut Vec<Finding>) {
    findings.extend(set.layout.ports().filter(|id| set.port(*id).is_none()).map(|id| Finding {
        code: FindingCode::PortMissing,
        severity: Severity::Blocking,
        at: vec![(FindingPart::Set, "/ports")],
        text: format!("{id} belongs to the layout but was not measured"),
        touches: Vec::new(),
    }));
}

fn missing_chambers(set: &MeasurementSet, findings: &mut Vec<Finding>) {
    if set.chambers.is_empty() {
        return;
    }
    let measured = |cylinder: &u8| set.chambers.iter().any(|chamber| chamber.cylinder == *cylinder);
    findings.extend((1..=set.layout.cylinders).filter(|cylinder| !measured(cylinder)).map(|cylinder| {
        Finding {
            code: FindingCode::ChamberMissing,
            severity: Severity::Warning,
            at: vec![(FindingPart::Set, "/chambers")],
            text: format!("other chambers were measured, that of cylinder {cylinder} was not"),
            touches: Vec::new(),
        }
    }));
}

fn negative_clearance(port: &Port) -> Option<Finding> {
    let (position, axis) = guide_heights(port).into_iter().find_map(|(position, bores, stem)| {
        let stem = stem?;
        (1..)
            .zip(bores)
            .find(|(_, bore)| bore.value() < stem.value())
            .map(|(axis, _): (u8, _)| (position, axis))
    })?;
    Some(at_port(
        port,
        FindingCode::NegativeClearance,
        &["/guide/bores", "/valve/stem"],
        format!(
            "{}: the stem is thicker than the guide bore at the {}, axis {axis}",
            port.id,
            position.word()
        ),
        &["stem-to-guide-clearance"],
    ))
}

fn crossed_diameters(port: &Port) -> Option<Finding> {
    let (inner, outer) = port.seat.inner_diameter.as_ref().zip(port.seat.outer_diameter.as_ref())?;
    (inner.value() >= outer.value()).then(|| {
        at_port(
            port,
            FindingCode::SeatDiametersCrossed,
            &["/seat/inner_diameter", "/seat/outer_diameter"],
            format!("{}: the seat's inner diameter is not smaller than its outer", port.id),
            &["seat-width", "overhang"],
        )
    })
}

fn contact_outside_face(port: &Port) -> Option<Finding> {
    let marks = &port.contact.marks;
    let over_edge = marks.iter().any(|mark| mark.from_edge.value().exact().is_negative());
    let over_inner_edge = face_length(port).is_some_and(|length| {
        let reach = |mark: &ContactMark| {
            mark.from_edge.value().approx() + mark.width.as_ref().map_or(0.0, |width| width.value().approx())
        };
        marks.iter().any(|mark| reach(mark) > length)
    });
    let larger = port
        .valve
        .head_diameter
        .as_ref()
        .zip(port.seat.outer_diameter.as_ref())
        .is_some_and(|(valve, seat)| marks.is_empty() && valve.value() < seat.value());
    let (fields, what): (&[&'static str], _) = if over_edge {
        (&["/contact/marks"], "the contact band reaches over the outer edge of the valve face")
    } else if over_inner_edge {
        (
            &["/contact/marks", "/valve/face_inner_diameter"],
            "the contact band reaches over the inner edge of the valve face",
        )
    } else if larger {
        (
            &["/seat/outer_diameter", "/valve/head_diameter"],
            "the seat's outer diameter is larger than the valve head",
        )
    } else {
        return None;
    };
    let text = format!("{}: {what}", port.id);
    Some(at_port(port, FindingCode::ContactOutsideFace, fields, text, &["overhang", "contact-width"]))
}

/// Length of the valve face along its slope, where it was measured.
fn face_length(port: &Port) -> Option<f64> {
    let (outer, inner) = port.valve.head_diameter.as_ref().zip(port.valve.face_inner_diameter.as_ref())?;
    let angle = port.valve.face_angle.as_ref()?;
    let length = overhang_from_diameters(outer.value(), inner.value(), angle.value()).ok()?;
    Some(length.value.get())
}

fn decay_rose(port: &Port) -> Option<Finding> {
    let decay = port.leak.decay.as_ref().filter(|decay| decay.end.value() > decay.start.value())?;
    let what = if decay.vacuum { "vacuum" } else { "pressure" };
    let text = format!(
        "{}: the {what} of the decay test was greater at the end than at the start; both are sizes relative to the atmosphere",
        port.id
    );
    let fields = ["/leak/decay/start", "/leak/decay/end"];
    Some(at_port(port, FindingCode::DecayRose, &fields, text, &["leak-rate", "leak-pressure-drop"]))
}

fn at_port(
    port: &Port,
    code: FindingCode,
    fields: &[&'static str],
    text: String,
    touches: &[&'static str],
) -> Finding {
    let subject = Subject::Port(port.id);
    Finding {
        code,
        severity: Severity::Blocking,
        at: fields.iter().map(|field| (FindingPart::Port(port.ordinal), *field)).collect(),
        text,
        touches: touches.iter().map(|id| (subject, CharacteristicId::new(id))).collect(),
    }
}

fn repeated_tags(set: &MeasurementSet, findings: &mut Vec<Finding>) {
    let mut by_tag: BTreeMap<&str, Vec<&Port>> = BTreeMap::new();
    for port in &set.ports {
        if let Some(tag) = &port.valve.tag {
            by_tag.entry(tag).or_default().push(port);
        }
    }
    findings.extend(by_tag.into_iter().filter(|(_, ports)| ports.len() > 1).map(|(tag, ports)| {
        let names: Vec<String> = ports.iter().map(|port| port.id.to_string()).collect();
        Finding {
            code: FindingCode::ValveTagRepeated,
            severity: Severity::Warning,
            at: ports.iter().map(|port| (FindingPart::Port(port.ordinal), "/valve/tag")).collect(),
            text: format!("valve tag {tag} stands at {}: a valve belongs to one seat", names.join(" and ")),
            touches: Vec::new(),
        }
    }));
}

/// Judged at the time of measuring, never at the time of judging.
fn overdue_calibrations(set: &MeasurementSet, findings: &mut Vec<Finding>) {
    let measured_on = set.job.measured_at.date();
    findings.extend(set.instruments.iter().enumerate().filter_map(|(index, instrument)| {
        let due = instrument.calibration_due.filter(|due| *due < measured_on)?;
        Some(Finding {
            code: FindingCode::CalibrationOverdue,
            severity: Severity::Warning,
            at: vec![(FindingPart::Instrument(index), "/calibration_due")],
            text: format!(
                "calibration of {} ran out on {due}, before the measurement on {measured_on}",
                instrument.id
            ),
            touches: Vec::new(),
        })
    }));
}
