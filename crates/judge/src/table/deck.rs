//! The deck and the cam bores.

use headproof_head::{CharacteristicId, FeelerDirection, MissingCause, Place};
use headproof_metrology as metrology;
use headproof_quantity::Kind;

use super::direct;
use crate::budget::Budget;
use crate::characteristic::{Candidate, Candidates, Characteristic, Derive, Derived, Measure};
use crate::context::{Context, not_computable};

pub(super) static ROWS: &[Characteristic] = &[
    row(
        "deck-flatness",
        "Deck flatness",
        "least distance between two parallel planes that hold all heights (minimum zone)",
        "ISO 1101 (from memory)",
        Kind::Length,
        flatness,
    ),
    row("deck-feeler-lengthwise", "Deck gap, lengthwise", FEELER, DEFINED, Kind::Length, |context, out| {
        feeler(context, FeelerDirection::Lengthwise, "lengthwise feeler readings", out)
    }),
    row("deck-feeler-crosswise", "Deck gap, crosswise", FEELER, DEFINED, Kind::Length, |context, out| {
        feeler(context, FeelerDirection::Crosswise, "crosswise feeler readings", out)
    }),
    row("deck-feeler-diagonal", "Deck gap, diagonal", FEELER, DEFINED, Kind::Length, |context, out| {
        feeler(context, FeelerDirection::Diagonal, "diagonal feeler readings", out)
    }),
    row(
        "deck-roughness",
        "Deck roughness Ra",
        direct::READ_DIRECTLY,
        DEFINED,
        Kind::Roughness,
        |context, out| direct::each(&context.set.deck.roughness, direct::entry, "deck roughness", out),
    ),
    row("head-thickness", "Head thickness", direct::READ_DIRECTLY, DEFINED, Kind::Length, |context, out| {
        let thickness: Vec<_> = context.set.deck.thickness.iter().map(|named| named.reading).collect();
        direct::each(&thickness, direct::entry, "head thickness", out)
    }),
    row(
        "deck-removed",
        "Metal removed from the deck",
        direct::READ_DIRECTLY,
        DEFINED,
        Kind::Length,
        |context, out| direct::one(context.set.deck.removed.as_ref(), "metal removed from the deck", out),
    ),
    row(
        "cam-bore-straightness",
        "Cam bore straightness",
        direct::READ_DIRECTLY,
        DEFINED,
        Kind::Length,
        |context, out| {
            let bores = context.set.cam_bores.as_ref();
            direct::one(bores.and_then(|bores| bores.straightness.as_ref()), "cam bore straightness", out)
        },
    ),
    row(
        "cam-bore-diameter",
        "Cam bore diameter",
        direct::READ_DIRECTLY,
        DEFINED,
        Kind::Length,
        |context, out| {
            let bores = context.set.cam_bores.as_ref().map_or(&[][..], |bores| &bores.diameters);
            direct::each(bores, direct::entry, "cam bore diameters", out)
        },
    ),
    row(
        "cam-bore-clearance",
        "Cam journal clearance",
        direct::READ_DIRECTLY,
        DEFINED,
        Kind::Length,
        |context, out| {
            let bores = context.set.cam_bores.as_ref().map_or(&[][..], |bores| &bores.clearances);
            direct::each(bores, direct::entry, "cam journal clearances", out)
        },
    ),
];

const FEELER: &str = "thickest feeler under a straightedge, worst line";
const DEFINED: &str = direct::DEFINITION;

const fn row(
    id: &'static str,
    title: &'static str,
    formula: &'static str,
    source: &'static str,
    kind: Kind,
    derive: fn(&Context<'_>, &mut Candidates) -> Derived,
) -> Characteristic {
    Characteristic {
        id: CharacteristicId::new(id),
        title,
        formula,
        source,
        uncertainty: direct::FIRST_ORDER,
        measure: Measure::Amount(kind),
        derive: Derive::Head(derive),
    }
}

fn flatness(context: &Context<'_>, out: &mut Candidates) -> Derived {
    let heights = &context.set.deck.heights;
    if heights.is_empty() {
        return Err(MissingCause::Absent("deck heights"));
    }
    let points: Vec<_> = heights.iter().map(|point| (point.x, point.y, point.z.value())).collect();
    let zone = metrology::flatness_minimum_zone(&points).map_err(not_computable)?;
    let mut budget = Budget::new();
    for (index, sensitivity) in zone.sensitivity {
        budget.reading(sensitivity, &heights[index].z);
    }
    out.push(Candidate::computed(Place::Whole, zone.value.get(), budget.total()));
    Ok(())
}

fn feeler(
    context: &Context<'_>,
    direction: FeelerDirection,
    what: &'static str,
    out: &mut Candidates,
) -> Derived {
    let lines = context.set.deck.feeler.iter().zip(1..);
    out.extend(
        lines
            .filter(|(line, _)| line.direction == direction)
            .map(|(line, number)| direct::at(Place::Entry(number), &line.gap)),
    );
    if out.is_empty() { Err(MissingCause::Absent(what)) } else { Ok(()) }
}
