//! Seat, face and contact of one port's model.

use headproof_head::{Bound, CharacteristicId, State};
use headproof_quantity::Length;

use super::{Builder, MOST_FEED};
use crate::affine::Affine;
use crate::cones::{CutSeat, Cuts, Slopes, cosine, cut, tangent, uncut};
use crate::course::{SeatCourse, ValveCourse};
use crate::cure::{Cure, cure};
use crate::facts::{FaceFacts, SeatFacts};
use crate::moved::{HAIR, Moved};

/// The face after the work.
#[derive(Debug, Clone, Copy)]
struct NewFace {
    facts: FaceFacts,
    /// Taken off the margin, along the axis.
    stock: f64,
    fresh: bool,
}

impl Builder<'_, '_> {
    pub(super) fn seat(&mut self) {
        let face = self.face();
        let Some(seat) = self.ground.facts.seat else {
            // Ground at its own angle, a face sinks its valve by what it loses.
            self.model.sink = Affine::constant(self.model.face_stock);
            self.model.rise = self.model.sink.clone();
            return;
        };
        let after = self.cuts(&seat);
        if let Some(face) = face {
            self.settle_valve(&seat, &after, &face);
            self.keep_on_the_face(&after, &face);
            self.contact(&after, &face);
        } else {
            // How large the valve is does not matter to how it settles, as long as it reaches over the seat.
            let angle = self.ground.facts.face_angle.unwrap_or(seat.angle);
            let (outer_radius, runout) = (seat.outer_radius, 0.0);
            let facts =
                FaceFacts { outer_radius, inner_radius: None, angle, margin: None, length: None, runout };
            self.settle_valve(&seat, &after, &NewFace { facts, stock: 0.0, fresh: false });
        }
        self.seat_limits(&after);
        self.model.seat = Some(after);
    }

    /// Nothing in this course brings back what is wrong: not what is cut, ground or replaced, nor what follows
    /// from it.
    pub(super) fn what_stays_wrong(&mut self) {
        for id in self.ground.needs.bad.iter().copied().filter(|id| !self.is_cured(*id)).collect::<Vec<_>>() {
            self.impossible(Bound::AsItIs(id));
        }
    }

    fn is_cured(&self, id: CharacteristicId) -> bool {
        let course = &self.model.course;
        let (keeps_valve, fresh_valve) =
            (course.valve == ValveCourse::Keep, matches!(course.valve, ValveCourse::New(_)));
        let follows = self.model.values.iter().map(|(moved, _)| *moved);
        let mut follows = follows.chain(self.model.loads.iter().map(|(moved, _)| *moved));
        let cured = match cure(id) {
            Some(Cure::Seat | Cure::Proof) => course.cuts_seat(),
            Some(Cure::Face) => !keeps_valve,
            Some(Cure::Insert) => course.insert.is_some(),
            Some(Cure::Valve) => fresh_valve,
            Some(Cure::Tip) => {
                fresh_valve
                    || (self.model.handles.tip.is_some() && self.ground.port.valve.tip != Some(State::Bad))
            }
            Some(Cure::Springs) => course.springs.is_some(),
            Some(Cure::Guide | Cure::Assembly) | None => false,
        };
        cured || follows.any(|moved| moved.id() == id)
    }

    /// The face that the valve has afterwards.
    fn face(&mut self) -> Option<NewFace> {
        let old = self.ground.facts.face;
        let fresh_runout = self.ground.workshop.runout_left.approx();
        let face = match self.model.course.valve {
            ValveCourse::Keep => old.map(|facts| NewFace { facts, stock: 0.0, fresh: false }),
            ValveCourse::Grind(angle) => old.map(|facts| {
                // A steeper face takes nothing at its outer edge and most at its inner one; so that it is whole
                // there, the edge gives way by that much. A flatter one is the other way round.
                let steeper = (tangent(angle) - tangent(facts.angle)).max(0.0);
                let inner = facts.inner_radius.or(self.ground.facts.seat.map(|seat| seat.inner_radius));
                let turned = inner.map_or(0.0, |inner| (facts.outer_radius - inner) * steeper);
                let stock = facts.runout / cosine(angle) + turned;
                NewFace { facts: FaceFacts { angle, ..facts }, stock, fresh: true }
            }),
            ValveCourse::New(spare) => {
                let inner = spare.face_inner_diameter.map(|diameter| 0.5 * diameter.approx());
                let facts = FaceFacts {
                    outer_radius: 0.5 * spare.head_diameter.approx(),
                    inner_radius: inner.or(old.and_then(|old| old.inner_radius)),
                    angle: spare.face_angle.approx(),
                    margin: Some(spare.margin.approx()),
                    length: spare.overall_length.map(Length::approx),
                    runout: fresh_runout,
                };
                Some(NewFace { facts, stock: 0.0, fresh: true })
            }
        };
        if let Some(face) = face {
            self.model.face_stock = face.stock;
            if let Some(margin) = face.facts.margin {
                self.becomes(Moved::Margin, Affine::constant(margin - face.stock));
            }
            self.becomes(Moved::HeadDiameter, Affine::constant(2.0 * face.facts.outer_radius));
            if face.fresh {
                self.becomes(Moved::FaceRunout, Affine::constant(fresh_runout));
                self.becomes(Moved::FaceAngle, Affine::constant(face.facts.angle));
            }
        }
        face
    }

    /// The seat that the course leaves.
    fn cuts(&mut self, facts: &SeatFacts) -> CutSeat {
        let raised = self.model.course.insert.map(|insert| insert.raises_seat.approx());
        let light_turns = self.ground.workshop.light_turns.approx();
        let trim = if raised.is_some() { 0.0 } else { self.weights.trim };
        let least = if raised.is_some() { -MOST_FEED } else { 0.0 };
        let cuts = match self.model.course.seat {
            SeatCourse::Leave => return uncut(facts),
            SeatCourse::Hand { seat, top, throat, with_top, with_throat } => Cuts {
                slopes: Slopes::of(top.degrees, seat.degrees, throat.degrees),
                seat_angle: seat.degrees,
                seat: self.decide(0.0, MOST_FEED, 0.0),
                top: with_top.then(|| self.decide(least, MOST_FEED, trim)),
                throat: with_throat.then(|| self.decide(least, MOST_FEED, trim)),
                form: false,
                raised,
                light_turns,
            },
            SeatCourse::Form { top, seat, throat, .. } => Cuts {
                slopes: Slopes::of(top, seat, throat),
                seat_angle: seat,
                seat: self.decide(0.0, MOST_FEED, 0.0),
                top: None,
                throat: None,
                form: true,
                raised,
                light_turns: 0.0,
            },
        };
        let after = cut(facts, &cuts);
        for clean_up in &after.clean_up {
            self.at_most_nothing(clean_up, Bound::CleanUp);
        }
        self.corrections(&after, &cuts);
        let kept_insert = raised.is_none() && self.ground.port.seat.insert.is_some();
        if let Some(stock) = self.ground.workshop.insert_stock.filter(|_| kept_insert) {
            let feed = Affine::var(cuts.seat).missed_by([1.0, 0.0, 0.0]);
            self.at_most(&feed, stock.approx(), Bound::InsertStock);
        }
        self.becomes(Moved::SeatAngle, Affine::constant(cuts.seat_angle));
        self.angles_of_the_other_cuts();
        self.becomes(Moved::SeatRunout, Affine::constant(self.ground.workshop.runout_left.approx()));
        after
    }

    fn angles_of_the_other_cuts(&mut self) {
        let (top, throat) = match self.model.course.seat {
            SeatCourse::Leave => (None, None),
            SeatCourse::Hand { top, throat, with_top, with_throat, .. } => {
                (with_top.then_some(top.degrees), with_throat.then_some(throat.degrees))
            }
            SeatCourse::Form { top, throat, .. } => (Some(top), Some(throat)),
        };
        // A cone that no cutter touches stays what it was.
        for (moved, angle) in [(Moved::TopAngle, top), (Moved::ThroatAngle, throat)] {
            match angle {
                Some(angle) => self.becomes(moved, Affine::constant(angle)),
                None if self.ground.needs.bad.contains(&moved.id()) => {
                    // A cut seat would count as its cure.
                    self.impossible(Bound::AsItIs(moved.id()));
                }
                None => {}
            }
        }
    }

    /// A cut that stops by sight can only correct what is still there: it has to be deep enough for the worst
    /// that the cuts before it may have left.
    fn corrections(&mut self, after: &CutSeat, cuts: &Cuts) {
        let by_hand = if cuts.form { 0.0 } else { self.model.tolerance };
        if let Some(depth) = &after.top_depth {
            self.at_least(depth, by_hand, Bound::Correction);
        }
        if let Some(depth) = &after.throat_depth {
            let of_outer: f64 = after.outer_radius.errors.iter().map(|error| error.abs()).sum();
            let steepness = cuts.slopes.throat - cuts.slopes.seat;
            self.at_least(depth, by_hand * steepness.mul_add(of_outer, 1.0), Bound::Correction);
        }
    }

    /// Where the valve comes to rest, before and after.
    fn settle_valve(&mut self, old_seat: &SeatFacts, after: &CutSeat, face: &NewFace) {
        let old = self.ground.facts.face.unwrap_or(face.facts);
        let old_slopes = tangent(old_seat.angle);
        let (ro, ri) = (old_seat.outer_radius, old_seat.inner_radius);
        let old_contact = if tangent(old.angle) <= old_slopes {
            ro.min(old.outer_radius)
        } else {
            ri.max(old.inner_radius.unwrap_or(0.0))
        };
        let old_rest = (old_contact - ro) * old_slopes - old.height_at(old_contact);

        let new = &face.facts;
        let slope = tangent(new.angle);
        let at_outer = slope <= after.slopes.seat;
        let cut = self.model.course.cuts_seat();
        let contact = match (at_outer, cut) {
            (true, true) => after.outer_radius.clone(),
            (false, true) => after.inner_radius.clone(),
            (true, false) => Affine::constant(ro.min(new.outer_radius)),
            (false, false) => Affine::constant(ri.max(new.inner_radius.unwrap_or(0.0))),
        };
        let rest = after
            .seat
            .clone()
            .plus(&contact.times(after.slopes.seat - slope))
            .plus_constant(new.outer_radius * slope - face.stock);
        let settled = Affine::constant(old_rest).minus(&rest);
        self.model.sink = settled.clone();
        self.model.rise = settled;
        if matches!(self.model.course.valve, ValveCourse::New(_)) {
            let longer_margin = old.margin.zip(new.margin).map(|(old, new)| new - old);
            let longer = old.length.zip(new.length).map(|(old, new)| new - old);
            self.model.length_taken_for_granted = longer_margin.is_none() || longer.is_none();
            if let Some(margin) = longer_margin {
                self.model.sink.constant -= margin;
                if let Some(longer) = longer {
                    self.model.rise.constant += longer - margin;
                }
            }
        }
    }

    fn keep_on_the_face(&mut self, after: &CutSeat, face: &NewFace) {
        if !self.model.course.cuts_seat() {
            return;
        }
        self.at_most(&after.outer_radius, face.facts.outer_radius, Bound::FaceEdge);
        if let Some(inner) = face.facts.inner_radius {
            self.at_least(&after.inner_radius, inner, Bound::FaceEdge);
        }
    }

    /// The band on the face.
    fn contact(&mut self, after: &CutSeat, face: &NewFace) {
        let fresh_valve = matches!(self.model.course.valve, ValveCourse::New(_));
        let new = &face.facts;
        if !self.model.course.cuts_seat() && !fresh_valve {
            if face.fresh {
                self.becomes(Moved::Interference, Affine::constant(self.seat_angle() - new.angle));
            }
            return;
        }
        let along = 1.0 / cosine(new.angle);
        let from_edge = Affine::constant(new.outer_radius).minus(&after.outer_radius).times(along);
        // The band is read along the face, which need not have the seat's angle.
        let band = after.outer_radius.clone().minus(&after.inner_radius).times(along);
        if let Some(inner) = new.inner_radius {
            let face_width = (new.outer_radius - inner) * along;
            let half = band.clone().times(0.5);
            self.becomes(
                Moved::ContactOffset,
                from_edge.clone().plus(&half).plus_constant(-0.5 * face_width),
            );
            let by_marks = !self.ground.port.contact.marks.is_empty();
            let left = if by_marks {
                Affine::constant(face_width).minus(&from_edge).minus(&band)
            } else {
                after.inner_radius.clone().plus_constant(-inner).times(along)
            };
            if by_marks {
                // A band that reaches over the inner edge of the face would be no reading of this valve.
                self.at_least(&left, HAIR, Bound::FaceEdge);
            }
            self.becomes(Moved::InnerEdge, left);
        }
        self.becomes(Moved::Overhang, from_edge);
        self.becomes(Moved::ContactWidth, band);
        let apart = self.seat_angle() - new.angle;
        self.becomes(Moved::EdgeGap, after.width.clone().times(libm::sin(apart.abs().to_radians())));
        self.becomes(Moved::Interference, Affine::constant(apart));
    }

    /// The seat's angle afterwards.
    fn seat_angle(&self) -> f64 {
        match self.model.course.seat {
            SeatCourse::Leave => self.ground.facts.seat.map_or(0.0, |seat| seat.angle),
            SeatCourse::Hand { seat, .. } => seat.degrees,
            SeatCourse::Form { seat, .. } => seat,
        }
    }

    fn seat_limits(&mut self, after: &CutSeat) {
        if !self.model.course.cuts_seat() {
            return;
        }
        self.becomes(Moved::SeatWidth, after.width.clone());
        self.becomes(Moved::OuterDiameter, after.outer_radius.clone().times(2.0));
        self.becomes(Moved::InnerDiameter, after.inner_radius.clone().times(2.0));
        self.at_least(&after.width, 0.0, Bound::Correction);
        // Where the throat was not measured, the old seat tells how far in there is metal to stand on; a cut that
        // only follows the old seat cannot miss it by much, one on new metal could be anywhere.
        let fresh = self.model.course.insert.is_some();
        let old_edge = self.ground.facts.seat.map(|seat| seat.inner_radius).filter(|_| fresh);
        if let Some(throat) = self.ground.facts.throat_radius.or(old_edge) {
            self.at_least(&after.inner_radius, throat, Bound::Throat);
        }
        let insert = self.model.course.insert.map(|spare| spare.diameter);
        let insert_radius = match insert {
            Some(Some(diameter)) => Some(0.5 * diameter.approx()),
            _ => self.ground.facts.insert_radius,
        };
        if let Some(radius) = insert_radius {
            self.at_most(&after.outer_radius, radius, Bound::InsertEdge);
        }
    }
}
