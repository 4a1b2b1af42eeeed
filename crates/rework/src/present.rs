//! One port's plan in the words of the domain.

use headproof_head::{
    Bound, Conflict, Cut, CutKind, Effect, FeedEffect, FeedMoves, NewPart, PortId, PortPlan, PortStatus,
    SeatWork, Target, Workshop,
};
use headproof_head::{CharacteristicId, Measured};
use headproof_quantity::{Angle, Exact, Kind, Length, Rounded};

use crate::affine::Affine;
use crate::case::{Case, Worked};
use crate::cones::{CutSeat, Cuts, Lines, Slopes, cut, tangent};
use crate::course::{Angled, SeatCourse, ValveCourse};
use crate::facts::SeatFacts;
use crate::heights::{LoadCurve, length};
use crate::moved::{Moved, row_of};

/// A size on the grid of lengths; nothing that is not a number comes this far.
pub(crate) fn on_grid(amount: f64, kind: Kind) -> Rounded {
    Rounded::from_computed(amount, kind)
        .unwrap_or_else(|| Rounded::from_exact(Exact::ZERO, kind).expect("nothing lies on every grid"))
}

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

/// Less than this is no work at all: far below what any bench can do.
const NOTHING: f64 = 5e-5;

/// The plan of one port.
pub(crate) fn port_plan(case: &Case<'_>, worked: &Worked<'_>, workshop: &Workshop) -> PortPlan {
    let port = case.port.id;
    let shown = Shown { case, worked, workshop };
    let tip = shown.decided(worked.model.handles.tip);
    let shims = shown.shims();
    let lash_shim = shown.lash_shim();
    let course = &worked.model.course;
    let new_parts = new_parts(worked);
    let ground = matches!(course.valve, ValveCourse::Grind(_));
    let works = course.cuts_seat()
        || ground
        || tip > NOTHING
        || !shims.is_empty()
        || lash_shim.is_some()
        || worked.model.sets_lash
        || !new_parts.is_empty();
    let plan = PortPlan {
        effects: shown.effects(),
        sink: on_grid(worked.model.sink.at(&worked.decisions), Kind::Length),
        ..idle(port, if works { PortStatus::Planned } else { PortStatus::NothingToDo })
    };
    if !works {
        return PortPlan { effects: Vec::new(), ..plan };
    }
    PortPlan {
        seat: shown.seat_work(),
        face_grind: ground.then(|| length(worked.model.face_stock * face_cosine(&shown))),
        tip_grind: (tip > NOTHING).then(|| length(tip)),
        shims,
        lash_shim,
        new_parts,
        binds: shown.binds(),
        feed_effect: shown.feed_effect(),
        ..plan
    }
}

fn face_cosine(shown: &Shown<'_, '_>) -> f64 {
    match shown.worked.model.course.valve {
        ValveCourse::Grind(angle) => crate::cones::cosine(angle),
        _ => 1.0,
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
    fn decided(&self, var: Option<usize>) -> f64 {
        var.map_or(0.0, |var| self.worked.decisions[var])
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
        let limited = model
            .values
            .iter()
            .filter_map(|(moved, value)| Some((*moved, value, self.case.zones.get(*moved)?)));
        let effect = |(moved, value, zone): (Moved, &Affine, crate::moved::Zone)| {
            let row = row_of(&self.case.rows.rows, moved.id())?;
            let kind = row.kind;
            let spread = value.spread(model.tolerance);
            let zone = zone.narrowed(spread);
            let before = match row.measured {
                Some(Measured::Amount(amount)) => Some(amount),
                _ => None,
            };
            Some(Effect {
                characteristic: moved.id(),
                kind,
                before,
                after: Rounded::from_computed(value.at(&self.worked.decisions), kind)?,
                tolerance: Rounded::from_computed(spread, kind)?,
                least: zone.least.and_then(|least| Rounded::from_computed(least, kind)),
                greatest: zone.greatest.and_then(|greatest| Rounded::from_computed(greatest, kind)),
            })
        };
        let loads = model.loads.iter().filter_map(|(moved, curve)| self.load_effect(*moved, curve));
        limited.filter_map(effect).chain(loads).collect()
    }

    /// A load follows the installed height along its curve.
    fn load_effect(&self, moved: Moved, curve: &LoadCurve) -> Option<Effect> {
        let zone = self.case.zones.get(moved)?;
        let row = row_of(&self.case.rows.rows, moved.id())?;
        let installed = self.worked.model.value(Moved::InstalledHeight)?;
        let (height, off) =
            (installed.at(&self.worked.decisions), installed.spread(self.worked.model.tolerance));
        let load = curve.at(height)?;
        let ends =
            [height - off, height + off].map(|height| curve.at(height).map_or(0.0, |end| (end - load).abs()));
        let tolerance = ends[0].max(ends[1]);
        let zone = zone.narrowed(tolerance);
        let on_grid = |amount: f64| Rounded::from_computed(amount, row.kind);
        Some(Effect {
            characteristic: moved.id(),
            kind: row.kind,
            before: match row.measured {
                Some(Measured::Amount(amount)) => Some(amount),
                _ => None,
            },
            after: on_grid(load)?,
            tolerance: on_grid(tolerance)?,
            least: zone.least.and_then(on_grid),
            greatest: zone.greatest.and_then(on_grid),
        })
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
                angle: angle(seat),
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
            angle: angle(angled.degrees),
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

fn angle(degrees: f64) -> Angle {
    const DECIMALS: u32 = 9;
    #[expect(clippy::cast_possible_truncation, reason = "an angle below a right one")]
    Angle::from_exact(Exact::from_count((degrees * 1e9).round() as i64, DECIMALS))
}
