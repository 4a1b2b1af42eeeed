//! The whole measurement set.

use headproof_head::{self as head, Instruments};
use headproof_quantity::{Kind, RatioDim, StandardUncertainty, UncertaintyError};
use time::format_description::well_known::Rfc3339;
use time::macros::format_description;
use time::{Date, OffsetDateTime};

use super::block::{Block, Conversion, Range};
use super::port::port;
use crate::pointer::At;
use crate::{
    CamBores, Chamber, CompressionTerms, Deck, DieselParts, Fault, HeadIdentity, HeadTests, Instrument,
    JobNote, Layout, MeasurementSet, Measures, Units,
};

/// The format line of a measurement set.
pub(crate) const FORMAT: &str = "headproof/measurement-set/1";

const MOST_CYLINDERS: u8 = 16;
const MOST_VALVES: u8 = 5;

/// A posted set as the domain knows it.
///
/// # Errors
/// Every fault of content, with its JSON Pointer below `at`.
pub fn measurement_set(doc: &MeasurementSet, at: &At<'_>) -> Result<head::MeasurementSet, Vec<Fault>> {
    let (instruments, faults) = instruments(&doc.instruments, doc.units, &at.member("instruments"));
    let mut conversion = Conversion { faults, units: doc.units, instruments: &instruments };
    let c = &mut conversion;
    c.format(&at.member("format"), &doc.format, FORMAT);
    let head = identity(c, &at.member("head"), &doc.head);
    let customer = doc.customer.as_ref().map(|doc| {
        let at = at.member("customer");
        head::Customer {
            name: c.text(&at.member("name"), &doc.name),
            reference: c.optional_text(&at.member("reference"), &doc.reference),
        }
    });
    let job = job_note(c, &at.member("job"), &doc.job);
    let layout = layout(c, &at.member("layout"), &doc.layout);
    let deck = doc.deck.as_ref().map(|doc| deck(c, at.member("deck"), doc)).unwrap_or_default();
    let cam_bores = doc.cam_bores.as_ref().map(|doc| cam_bores(c, at.member("cam_bores"), doc));
    let diesel = diesel(c, &at.member("diesel"), &doc.diesel, layout.cylinders);
    let chambers = chambers(c, &at.member("chambers"), &doc.chambers, layout.cylinders);
    let ports = ports(c, &at.member("ports"), doc, &layout);
    let tests = doc.tests.as_ref().map(|doc| tests(c, at.member("tests"), doc)).unwrap_or_default();
    let faults = conversion.faults;
    match job {
        Some(job) if faults.is_empty() => Ok(head::MeasurementSet {
            lengths: doc.units.length.into(),
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
        }),
        _ => Err(faults),
    }
}

fn instruments(docs: &[Instrument], units: Units, at: &At<'_>) -> (Instruments, Vec<Fault>) {
    let none = Instruments::default();
    let mut conversion = Conversion { faults: Vec::new(), units, instruments: &none };
    let mut found: Vec<head::Instrument> = Vec::new();
    for (index, doc) in conversion.bounded(at, docs, 0..=200).iter().enumerate() {
        let at = at.element(index);
        if found.iter().any(|other| other.id == doc.id) {
            conversion.fault(
                &at.member("id"),
                "another instrument has this id",
                Some(doc.id.as_str().into()),
            );
        }
        found.push(instrument(&mut conversion, &at, doc));
    }
    let faults = conversion.faults;
    (Instruments::new(found), faults)
}

fn instrument(c: &mut Conversion<'_>, at: &At<'_>, doc: &Instrument) -> head::Instrument {
    let measures = kind(doc.measures);
    let unit = c.units.unit(measures);
    let mut in_base = |name: &str, number: f64| match unit.to_base(number) {
        Ok(exact) => exact.approx(),
        Err(error) => {
            c.fault(&at.member(name), error.to_string(), Some(number.into()));
            0.0
        }
    };
    let expanded = in_base("expanded_uncertainty", doc.expanded_uncertainty);
    let resolution = doc.resolution.map(|number| in_base("resolution", number));
    // The dimension is only known at run time here; the check is the same for all of them.
    let uncertainty = StandardUncertainty::<RatioDim>::from_expanded(expanded, doc.coverage_factor);
    if let Err(error) = uncertainty {
        let (name, number) = match error {
            UncertaintyError::Negative => ("expanded_uncertainty", doc.expanded_uncertainty),
            UncertaintyError::Coverage => ("coverage_factor", doc.coverage_factor),
        };
        c.fault(&at.member(name), error.to_string(), Some(number.into()));
    }
    let correlation = doc.correlation.unwrap_or(0.0);
    if !(0.0..=1.0).contains(&correlation) {
        c.fault(&at.member("correlation"), "must be 0 to 1", Some(correlation.into()));
    }
    if resolution.is_some_and(|resolution| resolution <= 0.0) {
        c.fault(&at.member("resolution"), "must be more than zero", doc.resolution.map(Into::into));
    }
    head::Instrument {
        id: c.text(&at.member("id"), &doc.id),
        description: c.text(&at.member("description"), &doc.description),
        measures,
        standard_uncertainty: uncertainty.map_or(0.0, StandardUncertainty::get),
        correlation,
        resolution,
        calibration_due: doc
            .calibration_due
            .as_ref()
            .and_then(|text| date(c, &at.member("calibration_due"), text)),
    }
}

const fn kind(measures: Measures) -> Kind {
    match measures {
        Measures::Length => Kind::Length,
        Measures::Angle => Kind::Angle,
        Measures::Force => Kind::Force,
        Measures::Volume => Kind::Volume,
        Measures::Pressure => Kind::Pressure,
        Measures::Roughness => Kind::Roughness,
        Measures::Temperature => Kind::Temperature,
        Measures::Time => Kind::Time,
    }
}

fn date(c: &mut Conversion<'_>, at: &At<'_>, text: &str) -> Option<Date> {
    let date = Date::parse(text, format_description!("[year]-[month]-[day]"));
    if date.is_err() {
        c.fault(at, "is not a date as YYYY-MM-DD", Some(text.into()));
    }
    date.ok()
}

fn identity(c: &mut Conversion<'_>, at: &At<'_>, doc: &HeadIdentity) -> head::HeadIdentity {
    head::HeadIdentity {
        serial: c.text(&at.member("serial"), &doc.serial),
        engine_family: c.optional_text(&at.member("engine_family"), &doc.engine_family),
        casting: c.optional_text(&at.member("casting"), &doc.casting),
        material: doc.material.into(),
        overheated: doc.overheated,
        welded: doc.welded,
        hardness: doc.hardness.and_then(|number| c.quantity(&at.member("hardness"), number, Range::Positive)),
    }
}

fn job_note(c: &mut Conversion<'_>, at: &At<'_>, doc: &JobNote) -> Option<head::JobNote> {
    let when = OffsetDateTime::parse(&doc.measured_at, &Rfc3339);
    if when.is_err() {
        let detail = "is not a date and time with offset as RFC 3339 has it";
        c.fault(&at.member("measured_at"), detail, Some(doc.measured_at.as_str().into()));
    }
    let number = c.text(&at.member("number"), &doc.number);
    let measured_by = c.text(&at.member("measured_by"), &doc.measured_by);
    let bench = c.optional_text(&at.member("bench"), &doc.bench);
    let cutter = c.optional_text(&at.member("cutter"), &doc.cutter);
    let operator = c.optional_text(&at.member("operator"), &doc.operator);
    let temperature = Block::new(c, *at, None).any("temperature", &doc.temperature);
    let stage = doc.stage.into();
    let measured_at = when.ok()?;
    Some(head::JobNote { number, stage, measured_by, measured_at, bench, cutter, operator, temperature })
}

pub(super) fn layout(c: &mut Conversion<'_>, at: &At<'_>, doc: &Layout) -> head::Layout {
    if !(1..=MOST_CYLINDERS).contains(&doc.cylinders) {
        c.fault(
            &at.member("cylinders"),
            format!("must be 1 to {MOST_CYLINDERS}"),
            Some(doc.cylinders.into()),
        );
    }
    for (name, count) in
        [("intake_per_cylinder", doc.intake_per_cylinder), ("exhaust_per_cylinder", doc.exhaust_per_cylinder)]
    {
        if !(1..MOST_VALVES).contains(&count) {
            c.fault(&at.member(name), format!("must be 1 to {}", MOST_VALVES - 1), Some(count.into()));
        }
    }
    if doc.intake_per_cylinder.saturating_add(doc.exhaust_per_cylinder) > MOST_VALVES {
        c.fault(at, format!("a cylinder has at most {MOST_VALVES} valves"), None);
    }
    let terms = doc.compression.as_ref();
    head::Layout {
        camshaft: doc.camshaft.into(),
        lifter: doc.lifter.into(),
        cylinders: doc.cylinders.min(MOST_CYLINDERS),
        intake_per_cylinder: doc.intake_per_cylinder.min(MOST_VALVES),
        exhaust_per_cylinder: doc.exhaust_per_cylinder.min(MOST_VALVES),
        compression: terms.map(|doc| compression(c, at.member("compression"), doc)).unwrap_or_default(),
    }
}

fn compression(c: &mut Conversion<'_>, at: At<'_>, doc: &CompressionTerms) -> head::CompressionTerms {
    let mut block = Block::new(c, at, doc.instrument.as_deref());
    head::CompressionTerms {
        bore: block.positive("bore", &doc.bore),
        stroke: block.positive("stroke", &doc.stroke),
        gasket_bore: block.positive("gasket_bore", &doc.gasket_bore),
        gasket_thickness: block.positive("gasket_thickness", &doc.gasket_thickness),
        deck_clearance: block.any("deck_clearance", &doc.deck_clearance),
        piston_volume: block.any("piston_volume", &doc.piston_volume),
        prechamber: block.non_negative("prechamber", &doc.prechamber),
        crevice: block.non_negative("crevice", &doc.crevice),
    }
}

fn deck(c: &mut Conversion<'_>, at: At<'_>, doc: &Deck) -> head::Deck {
    let mut block = Block::new(c, at, doc.instrument.as_deref());
    let feelers = at.member("feeler");
    let feeler = block.conversion.bounded(&feelers, &doc.feeler, 0..=100).iter().enumerate().filter_map(
        |(index, doc)| {
            let at = feelers.element(index);
            let span = doc
                .span
                .and_then(|number| block.conversion.quantity(&at.member("span"), number, Range::Positive));
            let gap = block.reading(&at.member("gap"), &doc.gap, Range::NonNegative)?;
            Some(head::FeelerLine { direction: doc.direction.into(), span, gap })
        },
    );
    let feeler = feeler.collect();
    let places = at.member("thickness");
    let thickness = block.conversion.bounded(&places, &doc.thickness, 0..=100).iter().enumerate().filter_map(
        |(index, doc)| {
            let at = places.element(index);
            let place = block.conversion.text(&at.member("place"), &doc.place);
            let reading = block.reading(&at.member("reading"), &doc.reading, Range::Positive)?;
            Some(head::NamedReading { place, reading })
        },
    );
    let thickness = thickness.collect();
    head::Deck {
        heights: heights(&mut block, doc),
        feeler,
        roughness: block.list("roughness", &doc.roughness, 0..=100, Range::Positive),
        thickness,
        removed: block.non_negative("removed", &doc.removed),
        dowels: doc.dowels.map(Into::into),
        bolt_threads: doc.bolt_threads.map(Into::into),
        plugs: doc.plugs.map(Into::into),
    }
}

fn heights(block: &mut Block<'_, '_, '_>, doc: &Deck) -> Vec<head::DeckHeight> {
    let Some(doc) = &doc.heights else { return Vec::new() };
    let mut block = block.inner("heights", doc.instrument.as_deref());
    let at = block.at;
    let points = at.member("points");
    let heights = block.conversion.bounded(&points, &doc.points, 4..=5000).iter().enumerate().filter_map(
        |(index, doc)| {
            let at = points.element(index);
            let x = block.conversion.quantity(&at.member("x"), doc.x, Range::Any);
            let y = block.conversion.quantity(&at.member("y"), doc.y, Range::Any);
            let z = block.reading(&at.member("z"), &doc.z, Range::Any);
            Some(head::DeckHeight { x: x?, y: y?, z: z? })
        },
    );
    heights.collect()
}

fn cam_bores(c: &mut Conversion<'_>, at: At<'_>, doc: &CamBores) -> head::CamBores {
    let mut block = Block::new(c, at, doc.instrument.as_deref());
    head::CamBores {
        straightness: block.non_negative("straightness", &doc.straightness),
        diameters: block.list("diameters", &doc.diameters, 0..=40, Range::Positive),
        clearances: block.list("clearances", &doc.clearances, 0..=40, Range::Any),
    }
}

/// One entry per cylinder of the layout at most.
fn check_cylinder(c: &mut Conversion<'_>, at: &At<'_>, cylinder: u8, cylinders: u8, seen: &mut Vec<u8>) {
    let at = at.member("cylinder");
    if cylinder == 0 || cylinder > cylinders {
        c.fault(&at, format!("the layout has cylinders 1 to {cylinders}"), Some(cylinder.into()));
    } else if seen.contains(&cylinder) {
        c.fault(&at, "this cylinder was already given", Some(cylinder.into()));
    }
    seen.push(cylinder);
}

fn diesel(
    c: &mut Conversion<'_>,
    at: &At<'_>,
    docs: &[DieselParts],
    cylinders: u8,
) -> Vec<head::DieselParts> {
    let mut seen = Vec::new();
    let parts = c.bounded(at, docs, 0..=16).iter().enumerate().map(|(index, doc)| {
        let at = at.element(index);
        check_cylinder(c, &at, doc.cylinder, cylinders, &mut seen);
        let mut block = Block::new(c, at, doc.instrument.as_deref());
        head::DieselParts {
            cylinder: doc.cylinder,
            prechamber: block.any("prechamber", &doc.prechamber),
            injector: block.any("injector", &doc.injector),
            sleeve: block.any("sleeve", &doc.sleeve),
        }
    });
    parts.collect()
}

fn chambers(c: &mut Conversion<'_>, at: &At<'_>, docs: &[Chamber], cylinders: u8) -> Vec<head::Chamber> {
    let mut seen = Vec::new();
    let chambers = c.bounded(at, docs, 0..=16).iter().enumerate().filter_map(|(index, doc)| {
        let at = at.element(index);
        check_cylinder(c, &at, doc.cylinder, cylinders, &mut seen);
        let mut block = Block::new(c, at, doc.instrument.as_deref());
        let volume = block.required("volume", &doc.volume, Range::Positive)?;
        Some(head::Chamber { cylinder: doc.cylinder, volume })
    });
    chambers.collect()
}

fn ports(
    c: &mut Conversion<'_>,
    at: &At<'_>,
    doc: &MeasurementSet,
    layout: &head::Layout,
) -> Vec<head::Port> {
    let mut ports: Vec<head::Port> = Vec::new();
    for (index, doc) in c.bounded(at, &doc.ports, 0..=80).iter().enumerate() {
        let at = at.element(index);
        let port = port(c, &at, index, doc);
        if !layout.has(port.id) {
            c.fault(&at, format!("the layout has no {}", port.id), None);
        } else if let Some(earlier) = ports.iter().find(|earlier| earlier.id == port.id) {
            let detail = format!("{} was already given as element {} of this list", port.id, earlier.ordinal);
            c.fault(&at, detail, None);
        }
        ports.push(port);
    }
    ports
}

fn tests(c: &mut Conversion<'_>, at: At<'_>, doc: &HeadTests) -> head::HeadTests {
    let crack = doc.crack.as_ref().map(|doc| {
        let at = at.member("crack");
        head::CrackTest {
            method: c.text(&at.member("method"), &doc.method),
            crack_found: doc.crack_found,
            note: c.optional_text(&at.member("note"), &doc.note),
        }
    });
    let pressure = doc.pressure.as_ref().and_then(|doc| {
        let at = at.member("pressure");
        let medium = c.text(&at.member("medium"), &doc.medium);
        let mut block = Block::new(c, at, None);
        let temperature = block.any("temperature", &doc.temperature);
        let duration = block.positive("seconds", &doc.seconds);
        let pressure = block.required("pressure", &doc.pressure, Range::Positive)?;
        Some(head::PressureTest { medium, pressure, temperature, duration, held: doc.held })
    });
    head::HeadTests { crack, pressure }
}
