//! The plan for one port.

use std::borrow::Cow;

use headproof_head as head;
use headproof_quantity::Rounded;

use super::amounts::Amounts;
use super::{bounds, mm, words};
use crate::{
    FeedEffect, FeedMoves, FittedShims, NewPart, PlanCut, PlanEffect, PlanTarget, PortPlan, SeatWork,
};

pub(super) fn port(plan: &head::PortPlan, amounts: Amounts) -> PortPlan {
    PortPlan {
        cylinder: plan.port.cylinder,
        service: plan.port.service.into(),
        index: plan.port.index,
        status: Cow::Borrowed(words::status(plan.status)),
        seat: plan.seat.as_ref().map(seat),
        face_grind: plan.face_grind.map(mm),
        tip_grind: plan.tip_grind.map(mm),
        shims: plan
            .shims
            .iter()
            .map(|(thickness, count)| FittedShims { thickness: mm(*thickness), count: *count })
            .collect(),
        lash_shim: plan.lash_shim.map(mm),
        new_parts: plan.new_parts.iter().map(new_part).collect(),
        sink: plan.sink.to_f64(),
        effects: plan.effects.iter().map(effect).collect(),
        binds: plan.binds.iter().map(|bound| bounds::bound(*bound)).collect(),
        conflict: plan.conflict.as_ref().map(|conflict| bounds::conflict(conflict, amounts)),
        needs: plan.needs.iter().map(|id| Cow::Borrowed(id.as_str())).collect(),
        feed_effect: plan.feed_effect.as_ref().map(feed_effect),
    }
}

fn seat(work: &head::SeatWork) -> SeatWork {
    let target = |target: head::Target| PlanTarget { size: mm(target.size), tolerance: mm(target.tolerance) };
    SeatWork {
        cuts: work.cuts.iter().map(cut).collect(),
        outer_diameter: target(work.outer_diameter),
        inner_diameter: target(work.inner_diameter),
        width: target(work.width),
    }
}

pub(super) fn cut(cut: &head::Cut) -> PlanCut {
    let [outer_diameter, inner_diameter, width] = cut.leaves.map(mm);
    PlanCut {
        cut: Cow::Borrowed(words::cut(cut.kind)),
        cutter: cut.cutter.clone(),
        angle: super::amounts::degrees(cut.angle),
        feed: cut.feed.map(mm),
        tolerance: mm(cut.tolerance),
        outer_diameter,
        inner_diameter,
        width,
        touches_first: cut
            .touches_outer_edge_first
            .map(|outer| Cow::Borrowed(if outer { "outer-edge" } else { "inner-edge" })),
    }
}

fn new_part(part: &head::NewPart) -> NewPart {
    let (part, id) = match part {
        head::NewPart::Insert(id) => ("insert", id),
        head::NewPart::Valve(id) => ("valve", id),
        head::NewPart::Spring(id) => ("spring", id),
    };
    NewPart { part: Cow::Borrowed(part), id: id.clone() }
}

fn effect(effect: &head::Effect) -> PlanEffect {
    PlanEffect {
        characteristic: Cow::Borrowed(effect.characteristic.as_str()),
        unit: Cow::Borrowed(effect.kind.base_unit().code()),
        before: effect.before.map(Rounded::to_f64),
        after: effect.after.to_f64(),
        tolerance: effect.tolerance.to_f64(),
        least: effect.least.map(Rounded::to_f64),
        greatest: effect.greatest.map(Rounded::to_f64),
    }
}

fn feed_effect(effect: &head::FeedEffect) -> FeedEffect {
    let moves = |moves: head::FeedMoves| FeedMoves {
        outer_diameter: moves.outer_diameter.to_f64(),
        inner_diameter: moves.inner_diameter.to_f64(),
        width: moves.width.to_f64(),
        sink: moves.sink.to_f64(),
    };
    FeedEffect { seat: moves(effect.seat), top: moves(effect.top), throat: moves(effect.throat) }
}
