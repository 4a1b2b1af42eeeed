//! The same series of readings at several ports.

use headproof_head::{
    Dial, Finding, FindingCode, FindingPart, MeasurementSet, Phrase, Port, Reading, Severity,
};
use headproof_quantity::{Dimension, Exact};

use super::rests_on::{BAND, BORES, FACE_TURN, SEAT_TURN, SEAT_WIDTHS};
use super::{names, touched};

/// How long and varied a series must be so that chance does not repeat it (common practice, no source).
struct Telling {
    readings: usize,
    different: usize,
}

/// Worth a word at two ports.
const DOUBTFUL: Telling = Telling { readings: 6, different: 4 };
/// No accident at three.
const NO_ACCIDENT: Telling = Telling { readings: 8, different: 5 };
const BLOCKS_FROM: usize = 3;

/// A series of a port: where it stands, what it is, and the rows that depend on it.
struct Series {
    field: &'static str,
    /// Name of the message that names it.
    name: &'static str,
    of: fn(&Port) -> Vec<Exact>,
    touches: &'static [&'static str],
}

const SERIES: [Series; 5] = [
    Series {
        field: "/guide/bores",
        name: "series-guide-bores",
        of: |port| {
            let bores = &port.guide.bores;
            values(bores.top.iter().chain(&bores.middle).chain(&bores.bottom))
        },
        touches: BORES,
    },
    Series {
        field: "/seat/widths",
        name: "series-seat-widths",
        of: |port| values(&port.seat.widths),
        touches: SEAT_WIDTHS,
    },
    Series {
        field: "/seat/runout/readings",
        name: "series-seat-dial",
        of: |port| dial(port.seat.runout.as_ref()),
        touches: SEAT_TURN,
    },
    Series {
        field: "/valve/face_runout/readings",
        name: "series-face-dial",
        of: |port| dial(port.valve.face_runout.as_ref()),
        touches: FACE_TURN,
    },
    Series {
        field: "/contact/marks",
        name: "series-contact-bands",
        of: |port| {
            let marks = port.contact.marks.iter();
            marks.flat_map(|mark| values(std::iter::once(&mark.from_edge).chain(&mark.width))).collect()
        },
        touches: BAND,
    },
];

fn values<'a, D: Dimension>(readings: impl IntoIterator<Item = &'a Reading<D>>) -> Vec<Exact> {
    readings.into_iter().map(|reading| reading.value().exact()).collect()
}

fn dial(dial: Option<&Dial>) -> Vec<Exact> {
    dial.map(|dial| values(&dial.readings)).unwrap_or_default()
}

impl Telling {
    fn is_met_by(&self, series: &[Exact]) -> bool {
        let is_new = |(index, value): &(usize, &Exact)| !series[..*index].contains(value);
        let different = series.iter().enumerate().filter(is_new).take(self.different).count();
        series.len() >= self.readings && different == self.different
    }
}

pub(super) fn readings(set: &MeasurementSet, findings: &mut Vec<Finding>) {
    for series in &SERIES {
        let mut alike: Vec<(Vec<Exact>, Vec<&Port>)> = Vec::with_capacity(set.ports.len());
        for port in &set.ports {
            let readings = (series.of)(port);
            match alike.iter_mut().find(|(earlier, _)| *earlier == readings) {
                Some((_, ports)) => ports.push(port),
                None => alike.push((readings, vec![port])),
            }
        }
        let repeated =
            alike.iter().filter(|(readings, ports)| ports.len() > 1 && DOUBTFUL.is_met_by(readings));
        findings.extend(repeated.map(|(readings, ports)| pasted(series, readings, ports)));
    }
}

fn pasted(series: &Series, readings: &[Exact], ports: &[&Port]) -> Finding {
    let blocks = ports.len() >= BLOCKS_FROM && NO_ACCIDENT.is_met_by(readings);
    let touches = ports.iter().flat_map(|port| touched(port, series.touches.iter().copied()));
    Finding {
        code: FindingCode::ReadingsPasted,
        severity: if blocks { Severity::Blocking } else { Severity::Warning },
        at: ports.iter().map(|port| (FindingPart::Port(port.ordinal), series.field)).collect(),
        says: Phrase::with("found-readings-pasted", "series", Phrase::plain(series.name))
            .and("ports", names(ports)),
        touches: if blocks { touches.collect() } else { Vec::new() },
    }
}
