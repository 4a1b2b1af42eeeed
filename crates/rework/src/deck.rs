//! The one cut of the deck.

use headproof_head::{
    Camshaft, CharacteristicId, DeckWork, Evaluation, FeelerLine, Limit, MeasurementSet, Reading, Row, Stage,
    TargetProfile, Verdict, Workshop,
};
use headproof_metrology::spread;
use headproof_quantity::{Dimension, Length};

use crate::cure::is_bad;
use crate::grid::{length, quantity};
use crate::moved::{Zone, row_of};
use crate::port_model::DeckRange;

/// What there is to say about the deck before any plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct DeckState {
    /// What may come off.
    pub(crate) range: DeckRange,
    /// What has to come off to clean it.
    pub(crate) needed: f64,
    /// It may not be cut before the cam bores are measured and straight.
    pub(crate) waits_for_cam_bores: bool,
}

const CAM_BORES: CharacteristicId = CharacteristicId::new("cam-bore-straightness");
/// Less than this no cut comes off evenly; common practice, no source.
const LEAST_CUT: f64 = 0.05;
const THICKNESS: CharacteristicId = CharacteristicId::new("head-thickness");

/// Is a characteristic of the head cured by cutting its deck?
pub(crate) fn is_of_the_deck(id: CharacteristicId) -> bool {
    let id = id.as_str();
    id == "deck-flatness"
        || id == "deck-flatness-least-squares"
        || id == "deck-flatness-local"
        || id == "deck-roughness"
        || id == "deck-stock-parallel"
        || id == "deck-stock-free"
        || id.starts_with("deck-feeler-")
}

/// Looks at the deck.
pub(crate) fn look(
    set: &MeasurementSet,
    profile: &TargetProfile,
    workshop: &Workshop,
    evaluation: &Evaluation,
    stage: Stage,
) -> DeckState {
    let is_read = |row: &Row| is_bad(row) && row.verdict != Verdict::NotMeasured;
    let bad = evaluation.head.iter().any(|row| is_read(row) && is_of_the_deck(row.characteristic));
    let clean = stock(set).max(LEAST_CUT);
    let needed = if bad { clean } else { 0.0 };
    // A warped head with its own camshaft is straightened, or its bores are, before anything is cut.
    let cam_bores = row_of(&evaluation.head, CAM_BORES).filter(|row| row.measured.is_some());
    let straight = cam_bores.is_some_and(|row| matches!(row.verdict, Verdict::Conforms | Verdict::NoLimit));
    let waits = set.layout.camshaft == Camshaft::Overhead && !straight;
    let range = match workshop.deck {
        Some(work) if !waits && effect_is_known(set, &work) => {
            let to_spare = thickness_to_spare(set, profile, evaluation, stage);
            let to_spare = to_spare.min(still_to_be_removed(profile, evaluation, stage));
            let most = work.most.approx().min(to_spare);
            DeckRange { least: needed, most: most.max(0.0), clean, ports: 0 }
        }
        _ => DeckRange::default(),
    };
    DeckState { range, needed, waits_for_cam_bores: bad && waits }
}

/// What a cut does to the chambers has to be known where they were measured.
fn effect_is_known(set: &MeasurementSet, work: &DeckWork) -> bool {
    set.chambers.is_empty() || work.open_chamber_area.is_some()
}

/// What may still come off before more was removed than may be.
fn still_to_be_removed(profile: &TargetProfile, evaluation: &Evaluation, stage: Stage) -> f64 {
    const REMOVED: CharacteristicId = CharacteristicId::new("deck-removed");
    let limit = profile.limit(REMOVED, None, stage).map(|(_, limit)| limit);
    let Some((limit, row)) = limit.zip(row_of(&evaluation.head, REMOVED)) else { return f64::INFINITY };
    let greatest = Zone::of(limit, profile.rule, row.uncertainty).greatest;
    greatest.zip(row.amount()).map_or(f64::INFINITY, |(greatest, removed)| greatest - removed.to_f64())
}

/// What has to come off the highest place to reach the lowest.
fn stock(set: &MeasurementSet) -> f64 {
    let heights: Vec<Length> = set.deck.heights.iter().map(|height| height.z.value()).collect();
    let of_heights = spread(&heights).map_or(0.0, |sum| sum.value.get());
    let gaps = set.deck.feeler.iter().map(|line: &FeelerLine| line.gap.value().approx());
    gaps.fold(of_heights, f64::max)
}

/// How much may come off before the head is too thin anywhere.
fn thickness_to_spare(
    set: &MeasurementSet,
    profile: &TargetProfile,
    evaluation: &Evaluation,
    stage: Stage,
) -> f64 {
    let limit: Option<&Limit> = profile.limit(THICKNESS, None, stage).map(|(_, limit)| limit);
    let row = row_of(&evaluation.head, THICKNESS);
    let zone = limit.zip(row).map(|(limit, row)| Zone::of(limit, profile.rule, row.uncertainty));
    let Some(least) = zone.and_then(|zone| zone.least) else { return f64::INFINITY };
    let readings = set.deck.thickness.iter().map(|named| named.reading.value().approx());
    readings.fold(f64::INFINITY, f64::min) - least
}

/// The deck after a cut.
pub(crate) fn cut(set: &mut MeasurementSet, work: &DeckWork, depth: f64) {
    let deck = &mut set.deck;
    let lowest = deck.heights.iter().map(|height| height.z.value()).min();
    let stock = deck.heights.iter().map(|height| height.z.value()).max();
    if let Some((lowest, highest)) = lowest.zip(stock) {
        let level = highest.approx() - depth;
        let level = level.min(lowest.approx());
        let left = work.flatness_left.approx();
        for (index, height) in deck.heights.iter_mut().enumerate() {
            // What a fresh cut is left with shows at one corner.
            let over = if index == 0 { left } else { 0.0 };
            height.z = height.z.at(length(level + over));
        }
    }
    for line in &mut deck.feeler {
        line.gap = line.gap.at(work.flatness_left);
    }
    for roughness in &mut deck.roughness {
        *roughness = roughness.at(work.roughness_left);
    }
    for named in &mut deck.thickness {
        named.reading = less(&named.reading, depth);
    }
    deck.removed = deck.removed.as_ref().map(|removed| less(removed, -depth));
    // What stands in the deck stands out further.
    for parts in &mut set.diesel {
        for part in [&mut parts.prechamber, &mut parts.injector, &mut parts.sleeve] {
            *part = part.as_ref().map(|part| less(part, -depth));
        }
    }
}

/// A reading lowered by so much.
pub(crate) fn less<D: Dimension>(reading: &Reading<D>, by: f64) -> Reading<D> {
    reading.at(quantity(reading.value().approx() - by))
}
