//! What a plan runs up against, and what would free it.

use std::borrow::Cow;

use headproof_head::{self as head, Bound, CharacteristicId, Way};
use headproof_judge::{Characteristic, characteristic};
use headproof_quantity::Kind;

use super::amounts::Amounts;
use crate::convert::evaluation::{inside_a_sentence, title};
use crate::{PlanBound, PlanConflict, PlanWay};

pub(super) fn conflict(conflict: &head::Conflict, amounts: Amounts) -> PlanConflict {
    PlanConflict {
        between: bounds(&conflict.between),
        apart: conflict.apart.iter().map(|apart| bounds(apart)).collect(),
        freed_by: conflict.freed_by.iter().map(|one| way(*one, amounts)).collect(),
    }
}

fn bounds(bounds: &[Bound]) -> Vec<PlanBound> {
    bounds.iter().map(|one| bound(*one)).collect()
}

pub(super) fn bound(bound: Bound) -> PlanBound {
    PlanBound {
        bound: Cow::Borrowed(word(bound)),
        characteristic: limited(bound).map(|id| Cow::Borrowed(id.as_str())),
        text: sentence(bound),
    }
}

const fn word(bound: Bound) -> &'static str {
    match bound {
        Bound::Lower(_) => "lower-limit",
        Bound::Upper(_) => "upper-limit",
        Bound::TooCoarse(_) => "gauge-too-coarse",
        Bound::AsItIs(_) => "as-it-is",
        Bound::CleanUp => "clean-up",
        Bound::Correction => "correction",
        Bound::Throat => "throat",
        Bound::FaceEdge => "face-edge",
        Bound::InsertEdge => "insert-edge",
        Bound::InsertStock => "insert-stock",
        Bound::TipLimit => "tip-limit",
        Bound::SpringReadings => "spring-readings",
        Bound::ShimStock => "shim-stock",
        Bound::LashShimStock => "lash-shim-stock",
        Bound::SpareStock => "spare-stock",
        Bound::DeckMost => "deck-most",
        Bound::DeckCleanUp => "deck-clean-up",
    }
}

const fn limited(bound: Bound) -> Option<CharacteristicId> {
    match bound {
        Bound::Lower(id) | Bound::Upper(id) | Bound::TooCoarse(id) | Bound::AsItIs(id) => Some(id),
        _ => None,
    }
}

/// The characteristic's title as it stands in the middle of a sentence.
fn named(id: CharacteristicId) -> String {
    inside_a_sentence(title(id))
}

fn sentence(bound: Bound) -> String {
    let text = match bound {
        Bound::Lower(id) => {
            return format!(
                "The lower limit of {}: what the gauge and the cuts may be out is kept clear of it.",
                named(id)
            );
        }
        Bound::Upper(id) => {
            return format!(
                "The upper limit of {}: what the gauge and the cuts may be out is kept clear of it.",
                named(id)
            );
        }
        Bound::TooCoarse(id) => {
            return format!("{}: no value of it could be proved to conform with this gauge.", title(id));
        }
        Bound::AsItIs(id) => return format!("{}: this work leaves it as it is.", title(id)),
        Bound::CleanUp => "The seat cutter has to go deep enough to cut runout and pits away.",
        Bound::Correction => {
            "A cut has to be deep enough to put right what the cut before it may have missed."
        }
        Bound::Throat => "The seat has to stay outside the throat.",
        Bound::FaceEdge => "The contact band has to stay on the face of the valve.",
        Bound::InsertEdge => "The seat has to stay on its insert.",
        Bound::InsertStock => "No more may be fed into the insert, or too little of it is left.",
        Bound::TipLimit => "No more may be ground off the hardened tip.",
        Bound::SpringReadings => "The loads of the springs are known between certain heights only.",
        Bound::ShimStock => "No other shims are on the shelf, or no more may lie under one spring.",
        Bound::LashShimStock => "No other lash shims are on the shelf.",
        Bound::SpareStock => "No other parts are on the shelf.",
        Bound::DeckMost => "No more may come off the deck.",
        Bound::DeckCleanUp => "So much has to come off the deck until it is clean all over.",
    };
    text.to_owned()
}

/// What a concession would be on.
fn conceded(bound: Bound) -> String {
    let text = match bound {
        Bound::Lower(id) => return format!("the lower limit of {}", named(id)),
        Bound::Upper(id) => return format!("the upper limit of {}", named(id)),
        Bound::TooCoarse(id) => return format!("the tolerance of {}", named(id)),
        Bound::AsItIs(id) => return format!("{} as it is", named(id)),
        Bound::CleanUp => "the depth that runout and pits need",
        Bound::Correction => "the depth that puts right what a cut may have missed",
        Bound::Throat => "the distance of the seat from the throat",
        Bound::FaceEdge => "the distance of the contact band from the edge of the face",
        Bound::InsertEdge => "the distance of the seat from the edge of its insert",
        Bound::InsertStock => "what may be fed into the insert",
        Bound::TipLimit => "what may be ground off the tip",
        Bound::SpringReadings => "the heights at which the loads of the springs are known",
        Bound::ShimStock => "the height that shims have to make up",
        Bound::LashShimStock => "the thickness of the lash shim",
        Bound::SpareStock => "the parts on the shelf",
        Bound::DeckMost => "what may come off the deck",
        Bound::DeckCleanUp => "what has to come off the deck",
    };
    text.to_owned()
}

fn way(way: Way, amounts: Amounts) -> PlanWay {
    let plain = |word: &'static str, text: &str| PlanWay {
        way: Cow::Borrowed(word),
        bound: None,
        characteristic: None,
        amount: None,
        unit: None,
        text: text.to_owned(),
    };
    match way {
        Way::Concession { bound, by } => {
            // Whatever has no characteristic of its own is a length.
            let kind = limited(bound)
                .and_then(|id| characteristic(id.as_str()))
                .map_or(Kind::Length, Characteristic::kind);
            let text = format!(
                "A concession on {}, of at least {}: for whoever answers for this engine to decide.",
                conceded(bound),
                amounts.at_least(by, kind)
            );
            PlanWay {
                bound: Some(Cow::Borrowed(word(bound))),
                characteristic: limited(bound).map(|id| Cow::Borrowed(id.as_str())),
                amount: Some(by.to_f64()),
                unit: Some(Cow::Borrowed(kind.base_unit().code())),
                ..plain("concession", &text)
            }
        }
        Way::NewInsert => plain("new-insert", "With a new seat insert there is a plan."),
        Way::OtherValve => plain("other-valve", "With another valve there is a plan."),
        Way::OtherSprings => plain("other-springs", "With other springs there is a plan."),
        Way::MoreShims => {
            plain("more-shims", "With more shims, or shims of other thicknesses, there is a plan.")
        }
        Way::BetterGauge(id) => PlanWay {
            characteristic: Some(Cow::Borrowed(id.as_str())),
            ..plain("better-gauge", &format!("With a better gauge for {} there is a plan.", named(id)))
        },
    }
}
