//! What a plan runs up against, and what would free it.

use std::borrow::Cow;

use headproof_head::{self as head, Bound, CharacteristicId, Phrase, Way};
use headproof_judge::{Characteristic, characteristic};
use headproof_quantity::Kind;

use super::amounts::{Amounts, amount};
use crate::convert::phrases::{named, said, title};
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
    let (text, says) = said(sentence(bound));
    PlanBound {
        bound: Cow::Borrowed(word(bound)),
        characteristic: limited(bound).map(|id| Cow::Borrowed(id.as_str())),
        text,
        says: Some(says),
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

fn sentence(bound: Bound) -> Phrase {
    Phrase::plain(match bound {
        Bound::Lower(id) => return Phrase::with("plan-bound-lower-limit", "what", named(id)),
        Bound::Upper(id) => return Phrase::with("plan-bound-upper-limit", "what", named(id)),
        Bound::TooCoarse(id) => return Phrase::with("plan-bound-gauge-too-coarse", "what", title(id)),
        Bound::AsItIs(id) => return Phrase::with("plan-bound-as-it-is", "what", title(id)),
        Bound::CleanUp => "plan-bound-clean-up",
        Bound::Correction => "plan-bound-correction",
        Bound::Throat => "plan-bound-throat",
        Bound::FaceEdge => "plan-bound-face-edge",
        Bound::InsertEdge => "plan-bound-insert-edge",
        Bound::InsertStock => "plan-bound-insert-stock",
        Bound::TipLimit => "plan-bound-tip-limit",
        Bound::SpringReadings => "plan-bound-spring-readings",
        Bound::ShimStock => "plan-bound-shim-stock",
        Bound::LashShimStock => "plan-bound-lash-shim-stock",
        Bound::SpareStock => "plan-bound-spare-stock",
        Bound::DeckMost => "plan-bound-deck-most",
        Bound::DeckCleanUp => "plan-bound-deck-clean-up",
    })
}

/// What a concession would be on.
fn conceded(bound: Bound) -> Phrase {
    Phrase::plain(match bound {
        Bound::Lower(id) => return Phrase::with("plan-concession-lower-limit", "what", named(id)),
        Bound::Upper(id) => return Phrase::with("plan-concession-upper-limit", "what", named(id)),
        Bound::TooCoarse(id) => return Phrase::with("plan-concession-tolerance", "what", named(id)),
        Bound::AsItIs(id) => return Phrase::with("plan-concession-as-it-is", "what", named(id)),
        Bound::CleanUp => "plan-concession-clean-up",
        Bound::Correction => "plan-concession-correction",
        Bound::Throat => "plan-concession-throat",
        Bound::FaceEdge => "plan-concession-face-edge",
        Bound::InsertEdge => "plan-concession-insert-edge",
        Bound::InsertStock => "plan-concession-insert-stock",
        Bound::TipLimit => "plan-concession-tip-limit",
        Bound::SpringReadings => "plan-concession-spring-readings",
        Bound::ShimStock => "plan-concession-shim-stock",
        Bound::LashShimStock => "plan-concession-lash-shim-stock",
        Bound::SpareStock => "plan-concession-spare-stock",
        Bound::DeckMost => "plan-concession-deck-most",
        Bound::DeckCleanUp => "plan-concession-deck-clean-up",
    })
}

fn way(way: Way, amounts: Amounts) -> PlanWay {
    let (text, says) = said(freed(way, amounts));
    let plain = |word: &'static str| PlanWay {
        way: Cow::Borrowed(word),
        bound: None,
        characteristic: None,
        amount: None,
        unit: None,
        text,
        says: Some(says),
    };
    match way {
        Way::Concession { bound, by } => PlanWay {
            bound: Some(Cow::Borrowed(word(bound))),
            characteristic: limited(bound).map(|id| Cow::Borrowed(id.as_str())),
            amount: Some(by.to_f64()),
            unit: Some(Cow::Borrowed(kind(bound).base_unit().code())),
            ..plain("concession")
        },
        Way::NewInsert => plain("new-insert"),
        Way::OtherValve => plain("other-valve"),
        Way::OtherSprings => plain("other-springs"),
        Way::MoreShims => plain("more-shims"),
        Way::BetterGauge(id) => {
            PlanWay { characteristic: Some(Cow::Borrowed(id.as_str())), ..plain("better-gauge") }
        }
    }
}

/// What would free a conflict.
fn freed(way: Way, amounts: Amounts) -> Phrase {
    Phrase::plain(match way {
        Way::Concession { bound, by } => {
            let by = amount(amounts.at_least(by, kind(bound)));
            return Phrase::with("plan-way-concession", "what", conceded(bound)).and("amount", by);
        }
        Way::NewInsert => "plan-way-new-insert",
        Way::OtherValve => "plan-way-other-valve",
        Way::OtherSprings => "plan-way-other-springs",
        Way::MoreShims => "plan-way-more-shims",
        Way::BetterGauge(id) => return Phrase::with("plan-way-better-gauge", "what", named(id)),
    })
}

/// Of what a bound is an amount: whatever has no characteristic of its own is a length.
fn kind(bound: Bound) -> Kind {
    limited(bound).and_then(|id| characteristic(id.as_str())).map_or(Kind::Length, Characteristic::kind)
}
