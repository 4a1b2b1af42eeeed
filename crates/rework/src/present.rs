//! One port's plan in the words of the domain.

use headproof_head::{
    Bound, CharacteristicId, Conflict, Cut, CutKind, Effect, FeedEffect, FeedMoves, NewPart, PortId,
    PortPlan, PortStatus, SeatWork, Target, Workshop,
};
use headproof_quantity::{Kind, Length, Rounded};

use crate::affine::Affine;
use crate::case::{Case, Worked};
use crate::cones::{CutSeat, Cuts, Lines, Slopes, cosine, cut, tangent};
use crate::course::{Angled, SeatCourse, ValveCourse};
use crate::facts::SeatFacts;
use crate::grid::{NOTHING, length, on_grid, quantity};
use crate::heights::LoadCurve;
use crate::moved::{Moved, row_of};

/// A port without work.
pub(crate) fn idle(port: PortId, status: PortStatus) -> PortPlan {
    PortPlan {
        port,
        status,
        seat: None,
        face_grind: None,
        tip_grind: None,
        shims: Vec::new(),
        lash_shim: None,
        new_parts: Vec::new(),
        sink: on_grid(0.0, Kind::Length),
        effects: Vec::new(),
        binds: Vec::new(),
        conflict: None,
        needs: Vec::new(),
        feed_effect: None,
    }
}

/// A port that something has to be measured on first.
pub(crate) fn measure_first(port: PortId, needs: Vec<CharacteristicId>) -> PortPlan {
    PortPlan { needs, ..idle(port, PortStatus::MeasureFirst) }
}

/// A port without plan.
pub(crate) fn without_plan(port: PortId, conflict: Conflict) -> PortPlan {
    PortPlan { conflict: Some(conflict), ..idle(port, PortStatus::NoPlan) }
}

/// Does anything have to be done to the port?
pub(crate) fn is_work(case: &Case<'_>, worked: &Worked<'_>, workshop: &Workshop) -> bool {
    let course = &worked.model.course;
    let shown = Shown { case, worked, workshop };
    course.cuts_seat()
        || matches!(course.valve, ValveCourse::Grind(_))
        || course.new_parts() > 0
        || worked.model.sets_lash
        || shown.tip_grind().is_some()
        || !shown.shims().is_empty()
        || shown.lash_shim().is_some()
}

/// The plan of one port.
pub(crate) fn port_plan(case: &Case<'_>, worked: &Worked<'_>, workshop: &Workshop) -> PortPlan {
    let shown = Shown { case, worked, workshop };
    let status = if is_work(case, worked, workshop) { PortStatus::Planned } else { PortStatus::NothingToDo };
    let sink = on_grid(worked.model.sink.at(&worked.decisions), Kind::Length);
    let plan = PortPlan { sink, ..idle(case.port.id, status) };
    if status == PortStatus::NothingToDo {
        return plan;
    }
    PortPlan {
        seat: shown.seat_work(),
        face_grind: shown.face_grind(),
        tip_grind: shown.tip_grind(),
        shims: shown.shims(),
        lash_shim: shown.lash_shim(),
        new_parts: new_parts(worked),
        effects: shown.effects(),
        binds: shown.binds(),
        feed_effect: shown.feed_effect(),
        ..plan
    }
}

fn new_parts(worked: &Worked<'_>) -> Vec<NewPart> {
    let course = &worked.model.course;
    let valve = match course.valve {
        ValveCourse::New(spare) => Some(NewPart::Valve(spare.part.id.clone())),
        _ => None,
    };
    let insert = course.insert.map(|spare| NewPart::Insert(spare.part.id.clone()));
    let springs = course.springs.map(|spare| NewPart::Spring(spare.part.id.clone()));
    [insert, valve, springs].into_iter().flatten().collect()
}

struct Shown<'s, 'a> {
    case: &'s Case<'a>,
    worked: &'s Worked<'a>,
    workshop: &'s Workshop,
}

impl Shown<'_, '_> {
    /// What the face gives way, square to it.
    fn face_grind(&self) -> Option<Length> {
        let ValveCourse::Grind(angle) = self.worked.model.course.valve else { return None };
        Some(length(self.worked.model.face_stock * cosine(angle)))
    }

    fn tip_grind(&self) -> Option<Length> {
        let ground = self.worked.decisions[self.worked.model.handles.tip?];
        (ground > NOTHING).then(|| length(ground))
    }

    fn shims(&self) -> Vec<(Length, u8)> {
        let counts = self.worked.model.handles.shims.iter().map(|var| self.worked.decisions[*var]);
        let stocks = counts.zip(&self.workshop.shims);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few shims")]
        stocks
            .filter(|(count, _)| *count > 0.5)
            .map(|(count, stock)| (stock.thickness, count.round() as u8))
            .collect()
    }

    /// The lash shim to fit, where it is another than the one that is there.
    fn lash_shim(&self) -> Option<Length> {
        let old = self.case.facts.lash_shim?;
        let fitted = length(self.worked.model.value(Moved::LashShim)?.at(&self.worked.decisions));
        ((fitted.approx() - old).abs() > NOTHING).then_some(fitted)
    }

    fn effects(&self) -> Vec<Effect> {
        let model = &self.worked.model;
        let value = |(moved, value): &(Moved, Affine)| {
            self.effect(*moved, value.at(&self.worked.decisions), value.spread(model.tolerance))
        };
        let load = |(moved, curve): &(Moved, LoadCurve)| {
            let (load, tolerance) = self.load(curve)?;
            self.effect(*moved, load, tolerance)
        };
        model.values.iter().filter_map(value).chain(model.loads.iter().filter_map(load)).collect()
    }

    /// What the work does to a limited characteristic that was measured.
    fn effect(&self, moved: Moved, after: f64, tolerance: f64) -> Option<Effect> {
        let zone = self.case.zones.get(moved)?.narrowed(tolerance);
        let row = row_of(&self.case.rows.rows, moved.id())?;
        let rounded = |amount: f64| Rounded::from_computed(amount, row.kind);
        Some(Effect {
            characteristic: moved.id(),
            kind: row.kind,
            before: row.amount(),
            after: rounded(after)?,
            tolerance: rounded(tolerance)?,
            least: zone.least.and_then(rounded),
            greatest: zone.greatest.and_then(rounded),
        })
    }

    /// A load follows the installed height along its curve; how far it may be off, with it.
    fn load(&self, curve: &LoadCurve) -> Option<(f64, f64)> {
        let installed = self.worked.model.value(Moved::InstalledHeight)?;
        let (height, off) =
            (installed.at(&self.worked.decisions), installed.spread(self.worked.model.tolerance));
        let load = curve.at(height)?;
        let ends =
            [height - off, height + off].map(|height| curve.at(height).map_or(0.0, |end| (end - load).abs()));
        Some((load, ends[0].max(ends[1])))
    }

    /// Rules that leave no room, each named once.
    fn binds(&self) -> Vec<Bound> {
        const NO_ROOM: f64 = 1e-6;
        let mut binds = Vec::new();
        for rule in &self.worked.model.rules {
            let left =
                rule.terms.iter().fold(rule.at_most, |left, (var, c)| left - c * self.worked.decisions[*var]);
            let bound = rule.bound.filter(|bound| !binds.contains(bound));
            if !rule.terms.is_empty() && left < NO_ROOM {
                binds.extend(bound);
            }
        }
        binds
    }

    fn target(&self, value: &Affine, times: f64) -> Target {
        let tolerance = value.spread(self.worked.model.tolerance) * times.abs();
        Target { size: length(times * value.at(&self.worked.decisions)), tolerance: length(tolerance) }
    }

    fn seat_work(&self) -> Option<SeatWork> {
        let facts = self.case.facts.seat?;
        let after = self.worked.model.seat.as_ref().filter(|_| self.worked.model.course.cuts_seat())?;
        Some(SeatWork {
            cuts: self.cuts(&facts, after),
            outer_diameter: self.target(&after.outer_radius, 2.0),
            inner_diameter: self.target(&after.inner_radius, 2.0),
            width: self.target(&after.width, 1.0),
        })
    }

    fn cuts(&self, facts: &SeatFacts, after: &CutSeat) -> Vec<Cut> {
        let decisions = &self.worked.decisions;
        match self.worked.model.course.seat {
            SeatCourse::Leave => Vec::new(),
            SeatCourse::Form { cutter, seat, tolerance, .. } => vec![Cut {
                kind: CutKind::Form,
                cutter: Some(cutter.to_owned()),
                angle: quantity(seat),
                feed: self.worked.model.course.insert.is_none().then(|| length(decisions[0])),
                tolerance: length(tolerance),
                leaves: sizes(after, decisions),
                touches_outer_edge_first: first_touch(facts, seat)
                    .filter(|_| self.worked.model.course.insert.is_none()),
            }],
            SeatCourse::Hand { seat, top, throat, with_top, with_throat } => {
                self.hand_cuts(facts, (seat, top, throat), (with_top, with_throat))
            }
        }
    }

    fn hand_cuts(
        &self,
        facts: &SeatFacts,
        (seat, top, throat): (Angled<'_>, Angled<'_>, Angled<'_>),
        (with_top, with_throat): (bool, bool),
    ) -> Vec<Cut> {
        let decisions = &self.worked.decisions;
        let raw = self.worked.model.course.insert.is_some();
        let light = self.workshop.light_turns.approx();
        let raised = self.worked.model.course.insert.map(|insert| insert.raises_seat.approx());
        let stage = |with_top: bool, with_throat: bool, less: f64| {
            let cuts = Cuts {
                slopes: Slopes::of(top.degrees, seat.degrees, throat.degrees),
                seat_angle: seat.degrees,
                seat: 0,
                top: with_top.then_some(1),
                throat: with_throat.then_some(1 + usize::from(with_top)),
                form: false,
                raised,
                light_turns: 0.0,
            };
            let mut fed = decisions.clone();
            fed[0] -= less;
            (cut(facts, &cuts), fed)
        };
        let (whole, fed) = stage(with_top, with_throat, 0.0);
        let finished = sizes(&whole, &fed);
        let one = |kind, angled: Angled<'_>, feed: f64, leaves, first: Option<bool>| Cut {
            kind,
            cutter: angled.cutter.map(str::to_owned),
            angle: quantity(angled.degrees),
            feed: (!raw).then(|| length(feed.max(0.0))),
            tolerance: self.workshop.cut_tolerance,
            // What a raw insert looks like in between depends on the insert.
            leaves: if raw { finished } else { leaves },
            touches_outer_edge_first: first.filter(|_| !raw),
        };
        let old = Lines::of(facts);
        let mut cuts = Vec::new();
        let (ring, fed) = stage(false, false, light);
        cuts.push(one(
            CutKind::Seat,
            seat,
            decisions[0] - light,
            sizes(&ring, &fed),
            first_touch(facts, seat.degrees),
        ));
        if with_top {
            let (done, fed) = stage(true, false, light);
            // From the cone that is there at the edge the seat cut left.
            let edge = ring.outer_radius.at(&fed);
            let line = -facts.outer_radius * tangent(top.degrees) - decisions[1];
            let depth = old.slopes.top.mul_add(edge, old.top) - tangent(top.degrees).mul_add(edge, line);
            cuts.push(one(CutKind::Top, top, depth, sizes(&done, &fed), None));
        }
        if with_throat {
            let (done, fed) = stage(with_top, true, light);
            let edge = ring.inner_radius.at(&fed);
            let feed = decisions[1 + usize::from(with_top)];
            let touch = (facts.inner_radius - facts.outer_radius) * old.slopes.seat;
            let line = touch - facts.inner_radius * tangent(throat.degrees) - feed;
            let depth =
                old.slopes.throat.mul_add(edge, old.throat) - tangent(throat.degrees).mul_add(edge, line);
            cuts.push(one(CutKind::Throat, throat, depth, sizes(&done, &fed), None));
        }
        let light = one(CutKind::LightTurns, seat, light, finished, None);
        // Their feed is the most there is, not a stop that could be missed.
        cuts.push(Cut { tolerance: Length::ZERO, ..light });
        cuts
    }

    /// What 0.1 mm of each cutter does.
    fn feed_effect(&self) -> Option<FeedEffect> {
        const FEED: f64 = 0.1;
        let after = self.worked.model.seat.as_ref().filter(|_| self.worked.model.course.cuts_seat())?;
        let slopes = after.slopes;
        let cosine = 1.0 / libm::sqrt(slopes.seat.mul_add(slopes.seat, 1.0));
        let face = self.case.facts.face.map_or(slopes.seat, |face| tangent(face.angle));
        let (per_outer, per_inner) = (1.0 / (slopes.seat - slopes.top), 1.0 / (slopes.throat - slopes.seat));
        let moves = |seat: f64, top: f64, throat: f64| {
            let (outer, inner) = (per_outer * (seat - top), per_inner * (throat - seat));
            let contact = if face <= slopes.seat { outer } else { inner };
            let grid = |amount: f64| on_grid(FEED * amount, Kind::Length);
            FeedMoves {
                outer_diameter: grid(2.0 * outer),
                inner_diameter: grid(2.0 * inner),
                width: grid((outer - inner) / cosine),
                sink: grid(seat - contact * (slopes.seat - face)),
            }
        };
        Some(FeedEffect {
            seat: moves(1.0, 0.0, 0.0),
            top: moves(0.0, 1.0, 0.0),
            throat: moves(0.0, 0.0, 1.0),
        })
    }
}

/// Outer diameter, inner diameter and width of a seat.
fn sizes(seat: &CutSeat, decisions: &[f64]) -> [Length; 3] {
    [
        length(2.0 * seat.outer_radius.at(decisions)),
        length(2.0 * seat.inner_radius.at(decisions)),
        length(seat.width.at(decisions)),
    ]
}

/// Does a cutter of that angle touch the seat's outer edge first? Nothing where it lies on the face, as far as
/// anyone can see.
fn first_touch(facts: &SeatFacts, degrees: f64) -> Option<bool> {
    const SAME: f64 = 0.05;
    ((degrees - facts.angle).abs() > SAME).then_some(degrees < facts.angle)
}
