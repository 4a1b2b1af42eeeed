//! The way back: a measurement set of the domain as a document, in any units.
//!
//! Every part of the domain is taken to pieces by name, with no `..`: a field that is added there does not
//! compile here before it is written.

mod deck;
mod instrument;
mod layout;
mod port;
mod reading;
mod seat;
mod spring;
mod valve;

use headproof_head::{self as head, Instruments};
use time::format_description::well_known::Rfc3339;

use crate::{CrackTest, Customer, HeadIdentity, HeadTests, JobNote, MeasurementSet, PressureTest, Units};

/// What the parts of one document share.
#[derive(Clone, Copy)]
struct Writer<'s> {
    units: Units,
    instruments: &'s Instruments,
}

/// A set as a document, with every number in `units` and `format` as its format line: the inverse of
/// [`measurement_set`](crate::measurement_set).
///
/// Numbers are divided exactly and rounded once to 15 significant digits and 15 decimals, so that a document
/// in the units it was posted in shows the numbers that were posted. A reading is a bare number when nothing
/// is known of it; else it names its own instrument, and states its expanded uncertainty (coverage factor 2)
/// where that is not what the instrument alone gives. Blocks name no instrument.
///
/// Three things do not come back as they were posted. The mean of repeats stands for the repeats, and its
/// stated uncertainty holds their scatter, which can then no longer be told from what the gauge brings. An
/// expanded uncertainty with another coverage factor is stated with the factor 2. A winding says which shear
/// modulus and density it has where these were left out.
///
/// ```
/// use headproof_wire::{At, MeasurementSet, Units, examples, measurement_set, read, set_document};
///
/// let posted: MeasurementSet = read(examples::HEADS[0].0.text.as_bytes())?;
/// let set = measurement_set(&posted, &At::Root).unwrap_or_else(|faults| panic!("{faults:?}"));
/// let written = set_document(&set, posted.units, "headproof/predicted-set/1");
/// assert_eq!(written.head.serial, posted.head.serial);
/// // What is predicted is never taken for what was measured.
/// let faults = measurement_set(&written, &At::Root).map(|_| ()).unwrap_err();
/// assert_eq!(faults[0].pointer, "/format");
/// # Ok::<(), headproof_wire::ReadError>(())
/// ```
#[must_use]
pub fn set_document(set: &head::MeasurementSet, units: Units, format: &str) -> MeasurementSet {
    // The unit its lengths were written in gives way to that of `units`.
    let head::MeasurementSet {
        lengths: _,
        head,
        customer,
        job,
        layout,
        instruments,
        deck,
        cam_bores,
        diesel,
        chambers,
        ports,
        tests,
    } = set;
    let w = Writer { units, instruments };
    MeasurementSet {
        format: format.to_owned(),
        units,
        head: w.identity(head),
        customer: customer.as_ref().map(|customer| {
            let head::Customer { name, reference } = customer;
            Customer { name: name.clone(), reference: reference.clone() }
        }),
        job: w.job_note(job),
        layout: w.layout(layout),
        instruments: instruments.iter().filter_map(|instrument| w.instrument(instrument)).collect(),
        deck: unless_empty(deck, |deck| w.deck(deck)),
        cam_bores: cam_bores.as_ref().map(|bores| w.cam_bores(bores)),
        diesel: diesel.iter().map(|parts| w.diesel(parts)).collect(),
        chambers: chambers.iter().map(|chamber| w.chamber(chamber)).collect(),
        ports: ports.iter().map(|port| w.port(port)).collect(),
        tests: unless_empty(tests, |tests| w.tests(tests)),
    }
}

/// A block of the document, left out when nothing is in it.
fn unless_empty<T: Default + PartialEq, W>(part: &T, write: impl FnOnce(&T) -> W) -> Option<W> {
    (*part != T::default()).then(|| write(part))
}

impl Writer<'_> {
    fn identity(self, head: &head::HeadIdentity) -> HeadIdentity {
        let head::HeadIdentity { serial, engine_family, casting, material, overheated, welded, hardness } =
            head;
        HeadIdentity {
            serial: serial.clone(),
            engine_family: engine_family.clone(),
            casting: casting.clone(),
            material: (*material).into(),
            overheated: *overheated,
            welded: *welded,
            hardness: hardness.map(|hardness| self.number(hardness)),
        }
    }

    fn job_note(self, job: &head::JobNote) -> JobNote {
        let head::JobNote { number, stage, measured_by, measured_at, bench, cutter, operator, temperature } =
            job;
        JobNote {
            number: number.clone(),
            stage: (*stage).into(),
            measured_by: measured_by.clone(),
            // RFC 3339 has no years beyond 9999 and no seconds in an offset; a time that was read has neither.
            measured_at: measured_at.format(&Rfc3339).unwrap_or_else(|_| measured_at.to_string()),
            bench: bench.clone(),
            cutter: cutter.clone(),
            operator: operator.clone(),
            temperature: self.optional(*temperature),
        }
    }

    fn tests(self, tests: &head::HeadTests) -> HeadTests {
        let head::HeadTests { crack, pressure } = tests;
        HeadTests {
            crack: crack.as_ref().map(|crack| {
                let head::CrackTest { method, crack_found, note } = crack;
                CrackTest { method: method.clone(), crack_found: *crack_found, note: note.clone() }
            }),
            pressure: pressure.as_ref().map(|test| {
                let head::PressureTest { medium, pressure, temperature, duration, held } = test;
                PressureTest {
                    medium: medium.clone(),
                    pressure: self.reading(*pressure),
                    temperature: self.optional(*temperature),
                    seconds: self.optional(*duration),
                    held: *held,
                }
            }),
        }
    }
}
