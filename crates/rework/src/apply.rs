//! A plan applied to the set it was made from: what would be measured if everything went as planned.

use headproof_head::{
    Assembly, ContactMark, Dial, DialDirection, InsertFit, Leak, LoadPoint, MeasurementSet, Port, Reading,
    SpareSpring, SpareValve, Spring, SpringPack, State, Workshop,
};
use headproof_quantity::{Dimension, Length, LengthDim, Quantity};

use crate::case::{Case, Worked};
use crate::course::{SeatCourse, ValveCourse};
use crate::deck::{self, less};
use crate::grid::{length, quantity};
use crate::head_rules::disc;
use crate::moved::Moved;

/// The set after the work on these ports, and the deck cut by `deck` where that is more than nothing.
pub(crate) fn applied(
    set: &MeasurementSet,
    workshop: &Workshop,
    cases: &[Case<'_>],
    chosen: &[Worked<'_>],
    deck: f64,
) -> MeasurementSet {
    let mut after = set.clone();
    for (case, worked) in cases.iter().zip(chosen) {
        if let Some(port) = after.ports.iter_mut().find(|port| port.id == case.port.id) {
            Applied { worked, workshop, ordinal: 2 * port.ordinal }.to(port);
        }
    }
    for chamber in &mut after.chambers {
        let of_cylinder =
            cases.iter().zip(chosen).filter(|(case, _)| case.port.id.cylinder == chamber.cylinder);
        let added: f64 =
            of_cylinder.map(|(case, worked)| disc(case) * worked.model.sink.at(&worked.decisions)).sum();
        let area = workshop.deck.and_then(|deck| deck.open_chamber_area).unwrap_or(0.0);
        chamber.volume = less(&chamber.volume, (area * deck - added) * 1e-3);
    }
    if let Some(work) = workshop.deck.filter(|_| deck > 0.0) {
        deck::cut(&mut after, &work, deck);
    }
    after
}

/// One port's plan on its way into the set.
struct Applied<'p, 'a> {
    worked: &'p Worked<'a>,
    workshop: &'p Workshop,
    /// Tells its fresh cuts from those of other ports.
    ordinal: usize,
}

/// Puts a reading, where there is one, at another value.
fn put<D: Dimension>(reading: &mut Option<Reading<D>>, value: Option<Quantity<D>>) {
    if let (Some(reading), Some(value)) = (reading.as_mut(), value) {
        *reading = reading.at(value);
    }
}

impl Applied<'_, '_> {
    fn amount(&self, moved: Moved) -> Option<f64> {
        self.worked.model.value(moved).map(|value| value.at(&self.worked.decisions))
    }

    fn size(&self, moved: Moved) -> Option<Length> {
        self.amount(moved).map(length)
    }

    fn decided(&self, var: Option<usize>) -> f64 {
        var.and_then(|var| self.worked.decisions.get(var)).copied().unwrap_or(0.0)
    }

    fn to(&self, port: &mut Port) {
        let course = self.worked.model.course;
        if course.cuts_seat() {
            self.seat(port);
        }
        match course.valve {
            ValveCourse::Keep => {}
            ValveCourse::Grind(angle) => {
                put(&mut port.valve.face_angle, Some(quantity(angle)));
                put(&mut port.valve.margin, self.size(Moved::Margin));
                self.fresh_dial(port.valve.face_runout.as_mut(), angle, 1);
            }
            ValveCourse::New(spare) => self.new_valve(port, spare),
        }
        if course.cuts_seat() || course.valve != ValveCourse::Keep {
            self.contact(port);
        }
        self.tip(port);
        self.springs(&mut port.springs, course.springs);
        self.assembly(&mut port.assembly);
    }

    fn seat(&self, port: &mut Port) {
        let course = self.worked.model.course;
        let seat = &mut port.seat;
        put(&mut seat.outer_diameter, self.size(Moved::OuterDiameter));
        put(&mut seat.inner_diameter, self.size(Moved::InnerDiameter));
        if let Some(width) = self.size(Moved::SeatWidth) {
            for reading in &mut seat.widths {
                *reading = reading.at(width);
            }
        }
        let (angle, top, throat) = match course.seat {
            SeatCourse::Leave => return,
            SeatCourse::Hand { seat, top, throat, with_top, with_throat } => {
                (seat.degrees, with_top.then_some(top.degrees), with_throat.then_some(throat.degrees))
            }
            SeatCourse::Form { top, seat, throat, .. } => (seat, Some(top), Some(throat)),
        };
        put(&mut seat.seat_angle, Some(quantity(angle)));
        put(&mut seat.top_angle, top.map(quantity));
        put(&mut seat.throat_angle, throat.map(quantity));
        self.fresh_dial(seat.runout.as_mut(), angle, 0);
        if let Some(pit) = &mut seat.pit {
            pit.depth = pit.depth.at(Length::ZERO);
            pit.inside_band = false;
        }
        if let (Some(insert), Some(spare)) = (&mut seat.insert, course.insert) {
            insert.fit = insert.fit.map(|_| InsertFit::Tight);
            put(&mut insert.diameter, spare.diameter);
        }
    }

    /// Dial readings of a fresh cut: off centre by what such a cut is left with.
    fn fresh_dial(&self, dial: Option<&mut Dial>, angle: f64, which: usize) {
        // Whole turns times the golden section never fall together: no two ports look copied.
        const APART: f64 = 137.507_764;
        let Some(dial) = dial else { return };
        #[expect(clippy::cast_precision_loss, reason = "a head has at most eighty ports")]
        let toward = APART * (self.ordinal + which) as f64;
        let square = match dial.direction {
            DialDirection::Square => 1.0,
            DialDirection::Radial => libm::sin(angle.to_radians()),
            DialDirection::Axial => libm::cos(angle.to_radians()),
        };
        let eccentric = 0.5 * self.workshop.runout_left.approx() / square;
        let count = dial.readings.len();
        for (index, reading) in dial.readings.iter_mut().enumerate() {
            #[expect(clippy::cast_precision_loss, reason = "a few readings round a seat")]
            let equal = 360.0 * index as f64 / count as f64;
            let at = dial
                .angles
                .as_ref()
                .and_then(|angles| angles.get(index))
                .map_or(equal, |angle| angle.approx());
            *reading = reading.at(length(eccentric * libm::cos((at - toward).to_radians())));
        }
    }

    fn new_valve(&self, port: &mut Port, spare: &SpareValve) {
        let valve = &mut port.valve;
        valve.tag = None;
        put(&mut valve.head_diameter, Some(spare.head_diameter));
        put(&mut valve.margin, Some(spare.margin));
        put(&mut valve.face_angle, Some(spare.face_angle));
        put(&mut valve.face_inner_diameter, spare.face_inner_diameter);
        put(&mut valve.overall_length, spare.overall_length);
        put(&mut valve.stretch, Some(Length::ZERO));
        let stem = &mut valve.stem;
        for reading in [&mut stem.top, &mut stem.middle, &mut stem.bottom, &mut stem.unworn] {
            put(reading, spare.stem_diameter);
        }
        for state in [&mut valve.tip, &mut valve.keeper_groove, &mut valve.neck] {
            *state = state.map(|_| State::Good);
        }
        self.fresh_dial(valve.face_runout.as_mut(), spare.face_angle.approx(), 1);
    }

    /// The band as it should come out; gaps and leaks can only be found.
    fn contact(&self, port: &mut Port) {
        let course = self.worked.model.course;
        if course.cuts_seat() || matches!(course.valve, ValveCourse::New(_)) {
            let (from_edge, width) = (self.size(Moved::Overhang), self.size(Moved::ContactWidth));
            for mark in &mut port.contact.marks {
                *mark = fresh_mark(mark, from_edge, width);
            }
        }
        port.contact.gaps = None;
        port.leak = Leak::default();
    }

    fn tip(&self, port: &mut Port) {
        let ground = self.decided(self.worked.model.handles.tip);
        if ground > 0.0 {
            port.valve.tip = port.valve.tip.map(|_| State::Good);
            port.valve.overall_length = port.valve.overall_length.as_ref().map(|long| less(long, ground));
        }
    }

    fn springs(&self, pack: &mut SpringPack, spare: Option<&SpareSpring>) {
        put(&mut pack.installed_height, self.size(Moved::InstalledHeight));
        let rise = self.worked.model.rise.at(&self.worked.decisions);
        pack.retainer_travel = pack.retainer_travel.as_ref().map(|gap| less(gap, -rise));
        let stack = self.worked.model.shim_stack(&self.workshop.shims).at(&self.worked.decisions);
        pack.shims = pack.shims.as_ref().map(|shims| less(shims, -stack));
        if let Some(spare) = spare {
            pack.springs = vec![fresh_spring(pack.springs.first(), spare)];
        }
    }

    fn assembly(&self, assembly: &mut Assembly) {
        put(&mut assembly.recession, self.size(Moved::Recession));
        put(&mut assembly.stem_protrusion, self.size(Moved::Protrusion));
        put(&mut assembly.lash, self.size(Moved::Lash));
        put(&mut assembly.lash_shim, self.size(Moved::LashShim));
        put(&mut assembly.tip_to_retainer, self.size(Moved::TipToRetainer));
        put(&mut assembly.valve_to_piston, self.size(Moved::ValveToPiston));
    }
}

fn fresh_mark(mark: &ContactMark, from_edge: Option<Length>, width: Option<Length>) -> ContactMark {
    ContactMark {
        from_edge: from_edge.map_or(mark.from_edge, |from_edge| mark.from_edge.at(from_edge)),
        width: mark.width.map(|read| width.map_or(read, |width| read.at(width))),
    }
}

/// A new spring, known as well as the old one was measured.
fn fresh_spring(old: Option<&Spring>, spare: &SpareSpring) -> Spring {
    let known = |old: Option<Reading<LengthDim>>, size: Option<Length>| {
        size.map(|size| old.map_or(Reading::once(size, None, None), |old| old.at(size)))
    };
    let like = old.and_then(|old| old.loads.first());
    let point = |(height, load): &(Length, headproof_quantity::Force)| match like {
        Some(like) => LoadPoint { height: like.height.at(*height), load: like.load.at(*load) },
        None => {
            LoadPoint { height: Reading::once(*height, None, None), load: Reading::once(*load, None, None) }
        }
    };
    Spring {
        seat_step: None,
        free_length: known(old.and_then(|old| old.free_length), spare.free_length),
        loads: spare.loads.iter().map(point).collect(),
        solid_height: known(old.and_then(|old| old.solid_height), spare.solid_height),
        squareness: old.and_then(|old| old.squareness).map(|read| read.at(Length::ZERO)),
        winding: None,
    }
}
