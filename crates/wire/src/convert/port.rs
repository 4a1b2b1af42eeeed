//! One port.

use headproof_head as head;
use headproof_quantity::{RatioDim, Unit};

use super::block::{Block, Conversion, Range};
use crate::pointer::At;
use crate::{
    Assembly, Bores, Contact, Dial, Guide, Insert, Leak, Port, Seat, Spring, SpringPack, StemDiameters,
    Valve, Winding,
};

pub(super) fn port(conversion: &mut Conversion<'_>, at: &At<'_>, ordinal: usize, doc: &Port) -> head::Port {
    let id = head::PortId { cylinder: doc.cylinder, service: doc.service.into(), index: doc.index };
    let c = conversion;
    head::Port {
        id,
        ordinal,
        guide: doc.guide.as_ref().map(|doc| guide(c, at.member("guide"), doc)).unwrap_or_default(),
        valve: doc.valve.as_ref().map(|doc| valve(c, at.member("valve"), doc)).unwrap_or_default(),
        seat: doc.seat.as_ref().map(|doc| seat(c, at.member("seat"), doc)).unwrap_or_default(),
        contact: doc.contact.as_ref().map(|doc| contact(c, at.member("contact"), doc)).unwrap_or_default(),
        springs: doc
            .spring_pack
            .as_ref()
            .map(|doc| spring_pack(c, at.member("spring_pack"), doc))
            .unwrap_or_default(),
        assembly: doc
            .assembly
            .as_ref()
            .map(|doc| assembly(c, at.member("assembly"), doc))
            .unwrap_or_default(),
        leak: doc.leak.as_ref().map(|doc| leak(c, at.member("leak"), doc)).unwrap_or_default(),
    }
}

fn guide(conversion: &mut Conversion<'_>, at: At<'_>, doc: &Guide) -> head::Guide {
    let mut block = Block::new(conversion, at, doc.instrument.as_deref());
    head::Guide {
        bores: doc.bores.as_ref().map(|doc| bores(&mut block, doc)).unwrap_or_default(),
        engaged_length: block.positive("engaged_length", &doc.engaged_length),
        fit: doc.fit.map(Into::into),
        height: block.any("height", &doc.height),
        stem_seal: doc.stem_seal.map(Into::into),
        rocking: doc.rocking.as_ref().and_then(|doc| {
            let mut block = block.inner("rocking", None);
            Some(head::Rocking {
                travel: block.required("travel", &doc.travel, Range::NonNegative)?,
                distance_outside: block.required(
                    "distance_outside",
                    &doc.distance_outside,
                    Range::NonNegative,
                )?,
            })
        }),
    }
}

fn bores(block: &mut Block<'_, '_, '_>, doc: &Bores) -> head::Bores {
    let mut block = block.inner("bores", doc.instrument.as_deref());
    head::Bores {
        top: block.list("top", &doc.top, 0..=4, Range::Positive),
        middle: block.list("middle", &doc.middle, 0..=4, Range::Positive),
        bottom: block.list("bottom", &doc.bottom, 0..=4, Range::Positive),
    }
}

fn valve(conversion: &mut Conversion<'_>, at: At<'_>, doc: &Valve) -> head::Valve {
    let tag = conversion.optional_text(&at.member("tag"), &doc.tag);
    let mut block = Block::new(conversion, at, doc.instrument.as_deref());
    head::Valve {
        tag,
        stem: doc.stem.as_ref().map(|doc| stem(&mut block, doc)).unwrap_or_default(),
        head_diameter: block.positive("head_diameter", &doc.head_diameter),
        margin: block.non_negative("margin", &doc.margin),
        face_angle: block.slope("face_angle", &doc.face_angle),
        face_inner_diameter: block.positive("face_inner_diameter", &doc.face_inner_diameter),
        face_runout: doc.face_runout.as_ref().map(|doc| dial(&mut block, "face_runout", doc)),
        overall_length: block.positive("overall_length", &doc.overall_length),
        stretch: block.any("stretch", &doc.stretch),
        tip: doc.tip.map(Into::into),
        keeper_groove: doc.keeper_groove.map(Into::into),
        neck: doc.neck.map(Into::into),
        coated: doc.coated,
        nitrided: doc.nitrided,
        titanium: doc.titanium,
        hollow: doc.hollow,
        sodium_filled: doc.sodium_filled,
    }
}

fn stem(block: &mut Block<'_, '_, '_>, doc: &StemDiameters) -> head::StemDiameters {
    let mut block = block.inner("stem", doc.instrument.as_deref());
    head::StemDiameters {
        top: block.positive("top", &doc.top),
        middle: block.positive("middle", &doc.middle),
        bottom: block.positive("bottom", &doc.bottom),
        unworn: block.positive("unworn", &doc.unworn),
    }
}

fn dial(block: &mut Block<'_, '_, '_>, name: &str, doc: &Dial) -> head::Dial {
    let mut block = block.inner(name, doc.instrument.as_deref());
    let angles = doc.angles.as_ref().map(|numbers| {
        let at = block.at;
        let list = at.member("angles");
        if numbers.len() != doc.readings.len() {
            let detail = format!("must be as many as the readings, {}", doc.readings.len());
            block.conversion.fault(&list, detail, None);
        }
        let angles = block.conversion.bounded(&list, numbers, 4..=720).iter().enumerate();
        let angle = |(index, number): (usize, &f64)| {
            block.conversion.quantity(&list.element(index), *number, Range::Turn)
        };
        angles.filter_map(angle).collect()
    });
    head::Dial {
        direction: doc.direction.into(),
        readings: block.list("readings", &doc.readings, 4..=720, Range::Any),
        angles,
    }
}

fn seat(conversion: &mut Conversion<'_>, at: At<'_>, doc: &Seat) -> head::Seat {
    let mut block = Block::new(conversion, at, doc.instrument.as_deref());
    head::Seat {
        seat_angle: block.slope("seat_angle", &doc.seat_angle),
        top_angle: block.slope("top_angle", &doc.top_angle),
        throat_angle: block.slope("throat_angle", &doc.throat_angle),
        inner_diameter: block.positive("inner_diameter", &doc.inner_diameter),
        outer_diameter: block.positive("outer_diameter", &doc.outer_diameter),
        widths: block.list("widths", &doc.widths, 0..=360, Range::NonNegative),
        runout: doc.runout.as_ref().map(|doc| dial(&mut block, "runout", doc)),
        insert: doc.insert.as_ref().map(|doc| insert(&mut block, doc)),
        throat_diameter: block.positive("throat_diameter", &doc.throat_diameter),
        pit: doc.pit.as_ref().and_then(|doc| {
            let depth = block.inner("pit", None).required("depth", &doc.depth, Range::NonNegative)?;
            Some(head::Pit { depth, inside_band: doc.inside_band })
        }),
    }
}

fn insert(block: &mut Block<'_, '_, '_>, doc: &Insert) -> head::Insert {
    let mut block = block.inner("insert", doc.instrument.as_deref());
    head::Insert {
        fit: doc.fit.map(Into::into),
        material: doc.material.map(Into::into),
        diameter: block.positive("diameter", &doc.diameter),
        counterbore_diameter: block.positive("counterbore_diameter", &doc.counterbore_diameter),
        depth: block.positive("depth", &doc.depth),
        wall_left: block.non_negative("wall_left", &doc.wall_left),
    }
}

fn contact(conversion: &mut Conversion<'_>, at: At<'_>, doc: &Contact) -> head::Contact {
    let list = at.member("marks");
    let mut block = Block::new(conversion, at, doc.instrument.as_deref());
    let gaps = doc.gaps.as_ref().map(|gaps| block.list("gaps", gaps, 0..=360, Range::NonNegative));
    let marks =
        block.conversion.bounded(&list, &doc.marks, 0..=360).iter().enumerate().filter_map(|(index, doc)| {
            let at = list.element(index);
            let from_edge = block.reading(&at.member("from_edge"), &doc.from_edge, Range::Any)?;
            let width = doc
                .width
                .as_ref()
                .and_then(|doc| block.reading(&at.member("width"), doc, Range::NonNegative));
            Some(head::ContactMark { from_edge, width })
        });
    head::Contact { marks: marks.collect(), gaps }
}

fn spring_pack(conversion: &mut Conversion<'_>, at: At<'_>, doc: &SpringPack) -> head::SpringPack {
    let mut block = Block::new(conversion, at, doc.instrument.as_deref());
    let installed_height = block.positive("installed_height", &doc.installed_height);
    let lift = block.positive("lift", &doc.lift);
    let retainer_travel = block.non_negative("retainer_travel", &doc.retainer_travel);
    let shims = block.non_negative("shims", &doc.shims);
    let mut list = block.inner("springs", None);
    let docs = list.conversion.bounded(&list.at, &doc.springs, 0..=4);
    let springs = docs.iter().enumerate().map(|(index, doc)| spring(&mut list, index, doc)).collect();
    head::SpringPack { installed_height, lift, retainer_travel, shims, springs }
}

fn spring(list: &mut Block<'_, '_, '_>, index: usize, doc: &Spring) -> head::Spring {
    let mut block = list.inner_element(index, doc.instrument.as_deref());
    let points = block.at;
    let points = points.member("loads");
    let loads = block.conversion.bounded(&points, &doc.loads, 0..=50);
    head::Spring {
        seat_step: block.any("seat_step", &doc.seat_step),
        free_length: block.positive("free_length", &doc.free_length),
        loads: loads
            .iter()
            .enumerate()
            .filter_map(|(index, doc)| {
                let at = points.element(index);
                let height = block.reading(&at.member("height"), &doc.height, Range::Positive);
                let load = block.reading(&at.member("load"), &doc.load, Range::NonNegative);
                Some(head::LoadPoint { height: height?, load: load? })
            })
            .collect(),
        solid_height: block.positive("solid_height", &doc.solid_height),
        squareness: block.non_negative("squareness", &doc.squareness),
        winding: doc.winding.as_ref().and_then(|doc| winding(&mut block, doc)),
    }
}

/// Of spring steel wire. Source: EN 10270-1 (from memory).
const STEEL_SHEAR_MODULUS_GPA: f64 = 81.5;
/// Of steel, in kg/dm³. Source: EN 10270-1 (from memory).
const STEEL_DENSITY: f64 = 7.85;

fn winding(block: &mut Block<'_, '_, '_>, doc: &Winding) -> Option<head::Winding> {
    let mut block = block.inner("winding", doc.instrument.as_deref());
    let shear_modulus = doc.shear_modulus_gpa.unwrap_or(STEEL_SHEAR_MODULUS_GPA);
    let density = doc.density.unwrap_or(STEEL_DENSITY);
    let shear_modulus = block.constant("shear_modulus_gpa", shear_modulus, 1.0..=500.0, Unit::Gigapascal);
    let density = block.constant::<RatioDim>("density", density, 1.0..=25.0, Unit::One);
    let wire_diameter = block.required("wire_diameter", &doc.wire_diameter, Range::Positive);
    let outer_diameter = block.required("outer_diameter", &doc.outer_diameter, Range::Positive);
    let active_coils = block.required("active_coils", &doc.active_coils, Range::Positive);
    Some(head::Winding {
        wire_diameter: wire_diameter?,
        outer_diameter: outer_diameter?,
        active_coils: active_coils?,
        shear_modulus: shear_modulus?,
        density: density?.approx(),
    })
}

fn assembly(conversion: &mut Conversion<'_>, at: At<'_>, doc: &Assembly) -> head::Assembly {
    let mut block = Block::new(conversion, at, doc.instrument.as_deref());
    head::Assembly {
        recession: block.any("recession", &doc.recession),
        recession_datum: doc.recession_datum.map(Into::into),
        stem_protrusion: block.any("stem_protrusion", &doc.stem_protrusion),
        lash: block.any("lash", &doc.lash),
        lash_shim: block.positive("lash_shim", &doc.lash_shim),
        tip_to_retainer: block.any("tip_to_retainer", &doc.tip_to_retainer),
        valve_to_piston: block.any("valve_to_piston", &doc.valve_to_piston),
    }
}

fn leak(conversion: &mut Conversion<'_>, at: At<'_>, doc: &Leak) -> head::Leak {
    let decay = doc.decay.as_ref().and_then(|doc| {
        let mut block = Block::new(conversion, at.member("decay"), doc.instrument.as_deref());
        let start = block.required("start", &doc.start, Range::NonNegative);
        let end = block.required("end", &doc.end, Range::NonNegative);
        let duration = block.required("seconds", &doc.seconds, Range::Positive);
        Some(head::Decay {
            start: start?,
            end: end?,
            duration: duration?,
            volume: block.positive("volume", &doc.volume),
            start_temperature: block.any("start_temperature", &doc.start_temperature),
            end_temperature: block.any("end_temperature", &doc.end_temperature),
            atmosphere: block.positive("atmosphere", &doc.atmosphere),
            side: doc.side.into(),
            vacuum: doc.vacuum,
            spring_fitted: doc.spring_fitted,
            guide_sealed: doc.guide_sealed,
        })
    });
    head::Leak { decay, held: doc.held, seep: doc.seep }
}
