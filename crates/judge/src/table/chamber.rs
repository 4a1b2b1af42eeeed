//! Chambers, compression, and what stands out of a diesel deck.

use headproof_head::{CharacteristicId, DieselParts, MissingCause, Place, Reading};
use headproof_metrology::{self as metrology, CompressionInputs};
use headproof_quantity::{Dimension, Exact, Kind, LengthDim, Quantity, Volume, VolumeDim};

use super::direct;
use crate::budget::Budget;
use crate::characteristic::{Candidate, Candidates, Characteristic, Derive, Derived, Measure};
use crate::context::{Context, not_computable};

pub(super) static ROWS: &[Characteristic] = &[
    Characteristic {
        id: CharacteristicId::new("chamber-volume"),
        title: "Chamber volume",
        formula: direct::READ_DIRECTLY,
        source: direct::DEFINITION,
        uncertainty: direct::OF_THE_READING,
        measure: Measure::Amount(Kind::Volume),
        derive: Derive::Cylinder(|context, cylinder, out| {
            direct::one(chamber(context, cylinder).ok(), "chamber volume", out)
        }),
    },
    Characteristic {
        id: CharacteristicId::new("compression-ratio"),
        title: "Compression ratio",
        formula: "(swept + clearance) / clearance; clearance = chamber + gasket + deck + piston",
        source: "definition; volume of a cylinder",
        uncertainty: direct::FIRST_ORDER,
        measure: Measure::Amount(Kind::Ratio),
        derive: Derive::Cylinder(compression_ratio),
    },
    protrusion("prechamber-protrusion", "Pre-chamber protrusion", |context, cylinder, out| {
        diesel(context, cylinder, |parts| parts.prechamber.as_ref(), "pre-chamber protrusion", out)
    }),
    protrusion("injector-protrusion", "Injector protrusion", |context, cylinder, out| {
        diesel(context, cylinder, |parts| parts.injector.as_ref(), "injector protrusion", out)
    }),
    protrusion("sleeve-protrusion", "Injector sleeve protrusion", |context, cylinder, out| {
        diesel(context, cylinder, |parts| parts.sleeve.as_ref(), "injector sleeve protrusion", out)
    }),
    Characteristic {
        id: CharacteristicId::new("chamber-spread"),
        title: "Chamber volume spread",
        formula: "greatest − least chamber volume over all cylinders",
        source: "definition",
        uncertainty: direct::FIRST_ORDER,
        measure: Measure::Amount(Kind::Volume),
        derive: Derive::Head(spread),
    },
];

const fn protrusion(
    id: &'static str,
    title: &'static str,
    derive: fn(&Context<'_>, u8, &mut Candidates) -> Derived,
) -> Characteristic {
    Characteristic {
        id: CharacteristicId::new(id),
        title,
        formula: direct::READ_DIRECTLY,
        source: direct::DEFINITION,
        uncertainty: direct::OF_THE_READING,
        measure: Measure::Amount(Kind::Length),
        derive: Derive::Cylinder(derive),
    }
}

fn diesel(
    context: &Context<'_>,
    cylinder: u8,
    part: impl Fn(&DieselParts) -> Option<&Reading<LengthDim>>,
    what: &'static str,
    out: &mut Candidates,
) -> Derived {
    let parts = context.set.diesel.iter().find(|parts| parts.cylinder == cylinder);
    direct::one(parts.and_then(part), what, out)
}

fn chamber<'a>(context: &'a Context<'_>, cylinder: u8) -> Result<&'a Reading<VolumeDim>, MissingCause> {
    let found = context.set.chambers.iter().find(|chamber| chamber.cylinder == cylinder);
    found.map(|chamber| &chamber.volume).ok_or(MissingCause::Absent("chamber volume"))
}

fn spread(context: &Context<'_>, out: &mut Candidates) -> Derived {
    let cylinders = context.set.layout.cylinders;
    let readings: Vec<_> = (1..=cylinders).filter_map(|cylinder| chamber(context, cylinder).ok()).collect();
    let all = if readings.len() == usize::from(cylinders) {
        Ok(())
    } else {
        Err(MissingCause::Absent("chamber volume of every cylinder"))
    };
    if readings.len() < 2 {
        // One chamber has no spread; of several, one known chamber says nothing.
        out.extend(all.is_ok().then(|| Candidate::exact(Place::Whole, Exact::ZERO, Some(0.0))));
        return all;
    }
    let values: Vec<Volume> = readings.iter().map(|reading| reading.value()).collect();
    let sum = metrology::spread(&values).map_err(not_computable)?;
    let mut budget = Budget::new();
    for (index, sensitivity) in sum.sensitivity {
        budget.reading(sensitivity, readings[index]);
    }
    out.push(Candidate::computed(Place::Whole, sum.value.get(), budget.total()));
    all
}

fn compression_ratio(context: &Context<'_>, cylinder: u8, out: &mut Candidates) -> Derived {
    let terms = &context.set.layout.compression;
    let bore = need(terms.bore.as_ref(), "cylinder bore")?;
    let stroke = need(terms.stroke.as_ref(), "stroke")?;
    let gasket_bore = need(terms.gasket_bore.as_ref(), "gasket bore")?;
    let gasket_thickness = need(terms.gasket_thickness.as_ref(), "gasket thickness")?;
    let deck_clearance = need(terms.deck_clearance.as_ref(), "piston deck clearance")?;
    let piston = need(terms.piston_volume.as_ref(), "piston volume")?;
    let chamber = chamber(context, cylinder)?;
    // Pre-chamber and crevice are told only where they matter; left out they add nothing.
    let extras = [terms.prechamber.as_ref(), terms.crevice.as_ref()];
    let inputs = CompressionInputs {
        bore: bore.value(),
        stroke: stroke.value(),
        chamber: chamber.value(),
        gasket_bore: gasket_bore.value(),
        gasket_thickness: gasket_thickness.value(),
        deck_clearance: deck_clearance.value(),
        piston: piston.value(),
        extra: total(extras.into_iter().flatten()),
    };
    let sum = metrology::compression_ratio(&inputs).map_err(not_computable)?;
    let [per_bore, per_stroke, per_chamber, per_gasket_bore, per_gasket, per_deck, per_piston, per_extra] =
        sum.sensitivity;
    let mut budget = Budget::new();
    let lengths = [
        (per_bore, bore),
        (per_stroke, stroke),
        (per_gasket_bore, gasket_bore),
        (per_gasket, gasket_thickness),
        (per_deck, deck_clearance),
    ];
    for (sensitivity, reading) in lengths {
        budget.reading(sensitivity, reading);
    }
    budget.reading(per_chamber, chamber);
    budget.reading(per_piston, piston);
    for extra in extras.into_iter().flatten() {
        budget.reading(per_extra, extra);
    }
    out.push(Candidate::computed(Place::Whole, sum.value.get(), budget.total()));
    Ok(())
}

fn need<'a, D: Dimension>(
    reading: Option<&'a Reading<D>>,
    what: &'static str,
) -> Result<&'a Reading<D>, MissingCause> {
    reading.ok_or(MissingCause::Absent(what))
}

fn total<'a, D: Dimension>(readings: impl Iterator<Item = &'a Reading<D>>) -> Quantity<D> {
    readings.fold(Quantity::ZERO, |sum, reading| sum + (reading.value() - Quantity::ZERO))
}
