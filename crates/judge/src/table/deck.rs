//! The deck and the cam bores.

use headproof_head::{CharacteristicId, FeelerDirection, FeelerLine, MissingCause, Place, Reading};
use headproof_metrology as metrology;
use headproof_quantity::{Kind, Length, LengthDim};

use super::direct;
use crate::budget::{Budget, nth};
use crate::candidate::{Candidate, Candidates};
use crate::characteristic::{Characteristic, Derived};
use crate::context::{Context, not_computable};

pub(super) static ROWS: &[Characteristic] = &[
    Characteristic::of_head("deck-flatness", "Deck flatness", Kind::Length, flatness).worked_out(
        "least distance between two parallel planes that hold all heights (minimum zone)",
        "ISO 1101, ISO 12781-1 (from memory)",
        "scipy.optimize.linprog, exact enumeration in fractions, a published surface plate",
    ),
    Characteristic::of_head(
        "deck-flatness-least-squares",
        "Deck flatness, least squares",
        Kind::Length,
        flatness_least_squares,
    )
    .worked_out(
        "greatest − least distance of the heights from their least-squares plane",
        "ISO 12781-1 (from memory)",
        "numpy.linalg.lstsq on random decks; a published surface plate",
    )
    .on_request(),
    Characteristic::of_head("deck-flatness-local", "Deck flatness, local", Kind::Length, flatness_local)
        .worked_out(
            "greatest minimum-zone flatness within any window of the profile's length and width, wherever \
             it is laid; and every feeler gap over a span that fits into the window",
            "ISO 1101 (from memory), restricted to a part of the surface",
            "scipy.optimize.linprog in every window of random decks",
        )
        .in_windows()
        .on_request(),
    Characteristic::of_head(
        "deck-feeler-lengthwise",
        "Deck gap, lengthwise",
        Kind::Length,
        |context, out| feeler(context, FeelerDirection::Lengthwise, "absent-lengthwise-feeler-readings", out),
    )
    .worked_out(FEELER, DEFINITION, NO_SUM),
    Characteristic::of_head("deck-feeler-crosswise", "Deck gap, crosswise", Kind::Length, |context, out| {
        feeler(context, FeelerDirection::Crosswise, "absent-crosswise-feeler-readings", out)
    })
    .worked_out(FEELER, DEFINITION, NO_SUM),
    Characteristic::of_head("deck-feeler-diagonal", "Deck gap, diagonal", Kind::Length, |context, out| {
        feeler(context, FeelerDirection::Diagonal, "absent-diagonal-feeler-readings", out)
    })
    .worked_out(FEELER, DEFINITION, NO_SUM),
    Characteristic::of_head(
        "deck-stock-parallel",
        "Least cut, parallel to datum",
        Kind::Length,
        stock_parallel,
    )
    .worked_out(
        "what cleans the deck up: greatest − least height over the datum",
        "solid geometry",
        "numpy.ptp",
    )
    .on_request(),
    Characteristic::of_head("deck-stock-free", "Least cut, free to tilt", Kind::Length, flatness)
        .worked_out(
            "what cleans the deck up: the minimum-zone flatness; the plane of the cut lies in the lower \
             of its two planes",
            "ISO 1101 (from memory), solid geometry",
            "scipy.optimize.linprog: the least greatest cut under all heights",
        )
        .on_request(),
    Characteristic::of_head("deck-roughness", "Deck roughness Ra", Kind::Roughness, |context, out| {
        direct::each(&context.set.deck.roughness, direct::entry, "absent-deck-roughness", out)
    }),
    Characteristic::of_head("head-thickness", "Head thickness", Kind::Length, |context, out| {
        let thickness: Vec<_> = context.set.deck.thickness.iter().map(|named| named.reading).collect();
        direct::each(&thickness, direct::entry, "absent-head-thickness", out)
    })
    .least_tells(),
    Characteristic::of_head(
        "head-thickness-cleaned",
        "Thickness after least cut, at least",
        Kind::Length,
        thickness_cleaned,
    )
    .worked_out("thickness − least cut parallel to the datum, at each place: more is left where it was read at a low spot", "solid geometry", "numpy.ptp")
    .least_possible()
    .on_request()
    .least_tells(),
    Characteristic::of_head("deck-removed", "Metal removed from the deck", Kind::Length, |context, out| {
        direct::one(context.set.deck.removed.as_ref(), "absent-deck-removed", out)
    }),
    Characteristic::of_head(
        "cam-bore-straightness",
        "Cam bore straightness",
        Kind::Length,
        |context, out| {
            let bores = context.set.cam_bores.as_ref();
            direct::one(bores.and_then(|bores| bores.straightness.as_ref()), "absent-cam-bore-straightness", out)
        },
    ),
    Characteristic::of_head("cam-bore-diameter", "Cam bore diameter", Kind::Length, |context, out| {
        let bores = context.set.cam_bores.as_ref().map_or(&[][..], |bores| &bores.diameters);
        direct::each(bores, direct::entry, "absent-cam-bore-diameters", out)
    }),
    Characteristic::of_head("cam-bore-clearance", "Cam journal clearance", Kind::Length, |context, out| {
        let bores = context.set.cam_bores.as_ref().map_or(&[][..], |bores| &bores.clearances);
        direct::each(bores, direct::entry, "absent-cam-journal-clearances", out)
    })
    .least_tells(),
];

const FEELER: &str = "thickest feeler under a straightedge, worst line";
const DEFINITION: &str = "definition of the measured quantity";
const NO_SUM: &str = "none needed: the greatest reading";

type Points = Vec<(Length, Length, Length)>;

fn points(context: &Context<'_>) -> Result<Points, MissingCause> {
    let heights = &context.set.deck.heights;
    if heights.is_empty() {
        return Err(MissingCause::Absent("absent-deck-heights"));
    }
    Ok(heights.iter().map(|point| (point.x, point.y, point.z.value())).collect())
}

/// A value that depends on heights of the deck.
fn of_heights(
    context: &Context<'_>,
    place: Place,
    value: f64,
    sensitivity: Vec<(usize, f64)>,
    out: &mut Candidates,
) {
    let mut budget = Budget::new(context);
    for (index, sensitivity) in sensitivity {
        budget.reading(nth("deck height", index), sensitivity, &context.set.deck.heights[index].z);
    }
    out.push(Candidate::computed(place, value, budget));
}

fn flatness(context: &Context<'_>, out: &mut Candidates) -> Derived {
    let zone = metrology::flatness_minimum_zone(&points(context)?).map_err(not_computable)?;
    of_heights(context, Place::Whole, zone.value.get(), zone.sensitivity, out);
    Ok(())
}

fn flatness_least_squares(context: &Context<'_>, out: &mut Candidates) -> Derived {
    let plane = metrology::flatness_least_squares(&points(context)?).map_err(not_computable)?;
    of_heights(context, Place::Whole, plane.value.get(), plane.sensitivity, out);
    Ok(())
}

fn flatness_local(context: &Context<'_>, out: &mut Candidates) -> Derived {
    let stage = context.set.job.stage;
    let limit = context.profile.limit(FLATNESS_LOCAL, None, stage);
    let window = limit.and_then(|(_, limit)| limit.window);
    let [length, width] = window.ok_or(MissingCause::Absent("absent-window-size"))?;
    let fits = |line: &FeelerLine| {
        let Some(span) = line.span else { return false };
        match line.direction {
            FeelerDirection::Lengthwise => span <= length,
            FeelerDirection::Crosswise => span <= width,
            FeelerDirection::Diagonal => span.approx() <= libm::hypot(length.approx(), width.approx()),
        }
    };
    let lines = context.set.deck.feeler.iter().zip(1..);
    let short = lines.filter(|(line, _)| fits(line));
    out.extend(short.map(|(line, number)| Candidate::read(Place::Entry(number), &line.gap)));
    match points(context) {
        Err(_) if !out.is_empty() => Ok(()),
        Err(_) => Err(MissingCause::Absent("absent-deck-heights-or-short-gaps")),
        Ok(points) => {
            let local = metrology::flatness_in_windows(&points, length, width).map_err(not_computable)?;
            let weight = |(_, a): &&(usize, f64), (_, b): &&(usize, f64)| a.abs().total_cmp(&b.abs());
            let place = local.sensitivity.iter().max_by(weight);
            let place = place.map_or(Place::Whole, |(index, _)| Place::Height(direct::number(index + 1)));
            of_heights(context, place, local.value.get(), local.sensitivity, out);
            Ok(())
        }
    }
}

const FLATNESS_LOCAL: CharacteristicId = CharacteristicId::new("deck-flatness-local");

/// Greatest less least height over the datum.
fn stock(context: &Context<'_>) -> Result<metrology::SeriesSum<LengthDim>, MissingCause> {
    let heights: Vec<Length> = points(context)?.into_iter().map(|(_, _, z)| z).collect();
    metrology::spread(&heights).map_err(not_computable)
}

fn stock_parallel(context: &Context<'_>, out: &mut Candidates) -> Derived {
    let stock = stock(context)?;
    of_heights(context, Place::Whole, stock.value.get(), stock.sensitivity, out);
    Ok(())
}

fn thickness_cleaned(context: &Context<'_>, out: &mut Candidates) -> Derived {
    let thickness = &context.set.deck.thickness;
    if thickness.is_empty() {
        return Err(MissingCause::Absent("absent-head-thickness"));
    }
    let stock = stock(context)?;
    for (named, number) in thickness.iter().zip(1..) {
        let reading: &Reading<LengthDim> = &named.reading;
        let mut budget = Budget::new(context);
        budget.reading("head thickness", 1.0, reading);
        for (index, sensitivity) in &stock.sensitivity {
            let height = &context.set.deck.heights[*index].z;
            budget.reading(nth("deck height", *index), -sensitivity, height);
        }
        let left = reading.value().approx() - stock.value.get();
        out.push(Candidate::computed(Place::Entry(number), left, budget));
    }
    Ok(())
}

fn feeler(
    context: &Context<'_>,
    direction: FeelerDirection,
    absent: &'static str,
    out: &mut Candidates,
) -> Derived {
    let lines = context.set.deck.feeler.iter().zip(1..);
    out.extend(
        lines
            .filter(|(line, _)| line.direction == direction)
            .map(|(line, number)| Candidate::read(Place::Entry(number), &line.gap)),
    );
    if out.is_empty() { Err(MissingCause::Absent(absent)) } else { Ok(()) }
}
