//! The same series of readings at several ports.

use std::collections::BTreeMap;

use headproof_head::{Dial, Finding, FindingCode, FindingPart, MeasurementSet, Port, Reading, Severity};
use headproof_quantity::{Dimension, Exact};

use super::touched;

/// Shorter series repeat by chance.
const LEAST_LENGTH: usize = 4;
/// So do those with fewer different values.
const LEAST_DIFFERENT: usize = 3;
/// A series at two ports may be an accident; at so many it is none.
const BLOCKS_FROM: usize = 3;

/// A series of a port: where it stands, what it is, and the rows that depend on it.
struct Series {
    field: &'static str,
    words: &'static str,
    of: fn(&Port) -> Vec<Exact>,
    touches: &'static [&'static str],
}

const SERIES: [Series; 5] = [
    Series {
        field: "/guide/bores",
        words: "guide bores",
        of: |port| {
            let bores = &port.guide.bores;
            values(bores.top.iter().chain(&bores.middle).chain(&bores.bottom))
        },
        touches: &[
            "stem-to-guide-clearance",
            "guide-bore",
            "guide-taper",
            "guide-ovality",
            "guide-bell-mouth",
            "stem-tilt",
        ],
    },
    Series {
        field: "/seat/widths",
        words: "seat widths",
        of: |port| values(&port.seat.widths),
        touches: &["seat-width", "seat-width-uniformity"],
    },
    Series {
        field: "/seat/runout/readings",
        words: "dial readings of the seat",
        of: |port| dial(port.seat.runout.as_ref()),
        touches: &[
            "seat-runout",
            "seat-eccentricity",
            "seat-ovality",
            "seat-chatter",
            "seat-roundness-least-squares",
            "seat-roundness-minimum-zone",
        ],
    },
    Series {
        field: "/valve/face_runout/readings",
        words: "dial readings of the face",
        of: |port| dial(port.valve.face_runout.as_ref()),
        touches: &["face-runout", "face-eccentricity", "face-ovality", "face-roundness-minimum-zone"],
    },
    Series {
        field: "/contact/marks",
        words: "contact bands",
        of: |port| {
            let marks = port.contact.marks.iter();
            marks.flat_map(|mark| values(std::iter::once(&mark.from_edge).chain(&mark.width))).collect()
        },
        touches: &[
            "overhang",
            "contact-width",
            "contact-width-uniformity",
            "contact-offset",
            "inner-edge-clearance",
        ],
    },
];

fn values<'a, D: Dimension>(readings: impl IntoIterator<Item = &'a Reading<D>>) -> Vec<Exact> {
    readings.into_iter().map(|reading| reading.value().exact()).collect()
}

fn dial(dial: Option<&Dial>) -> Vec<Exact> {
    dial.map(|dial| values(&dial.readings)).unwrap_or_default()
}

/// Long and varied enough not to repeat by chance.
fn is_telling(series: &[Exact]) -> bool {
    let mut different = series.to_vec();
    different.sort_unstable();
    different.dedup();
    series.len() >= LEAST_LENGTH && different.len() >= LEAST_DIFFERENT
}

pub(super) fn readings(set: &MeasurementSet, findings: &mut Vec<Finding>) {
    for series in &SERIES {
        let mut alike: BTreeMap<Vec<Exact>, Vec<&Port>> = BTreeMap::new();
        for port in &set.ports {
            let readings = (series.of)(port);
            if is_telling(&readings) {
                alike.entry(readings).or_default().push(port);
            }
        }
        findings
            .extend(alike.into_values().filter(|ports| ports.len() > 1).map(|ports| pasted(series, &ports)));
    }
}

fn pasted(series: &Series, ports: &[&Port]) -> Finding {
    let blocks = ports.len() >= BLOCKS_FROM;
    let names: Vec<String> = ports.iter().map(|port| port.id.to_string()).collect();
    let touches = ports.iter().flat_map(|port| touched(port, series.touches));
    Finding {
        code: FindingCode::ReadingsPasted,
        severity: if blocks { Severity::Blocking } else { Severity::Warning },
        at: ports.iter().map(|port| (FindingPart::Port(port.ordinal), series.field)).collect(),
        text: format!("the {} are the same, reading by reading, at {}", series.words, names.join(" and ")),
        touches: if blocks { touches.collect() } else { Vec::new() },
    }
}
