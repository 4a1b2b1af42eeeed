//! The courses of action for one port: what is cut, with which cutters, and which parts are new.

use headproof_head::{
    Blade, Cutter, Lifter, Port, Service, SpareInsert, SpareSpring, SpareValve, Stage, TargetProfile, Valve,
    Workshop,
};

use crate::cure::Needs;
use crate::facts::{Facts, nominal};
use crate::moved::Moved;

/// A cutter angle and the shop's name of the cutter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Angled<'a> {
    pub(crate) degrees: f64,
    pub(crate) cutter: Option<&'a str>,
}

/// What is done to the seat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum SeatCourse<'a> {
    Leave,
    /// Cutters of one angle each; top and throat only where they are wanted.
    Hand {
        seat: Angled<'a>,
        top: Angled<'a>,
        throat: Angled<'a>,
        with_top: bool,
        with_throat: bool,
    },
    /// A form blade.
    Form {
        cutter: &'a str,
        top: f64,
        seat: f64,
        throat: f64,
        tolerance: f64,
    },
}

/// What is done about the valve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum ValveCourse<'a> {
    Keep,
    /// Ground to that angle.
    Grind(f64),
    New(&'a SpareValve),
}

/// One course of action.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Course<'a> {
    pub(crate) seat: SeatCourse<'a>,
    pub(crate) insert: Option<&'a SpareInsert>,
    pub(crate) valve: ValveCourse<'a>,
    pub(crate) springs: Option<&'a SpareSpring>,
}

impl Course<'_> {
    /// Seat, face and parts stay as they are.
    pub(crate) const LEAVE: Self =
        Course { seat: SeatCourse::Leave, insert: None, valve: ValveCourse::Keep, springs: None };

    pub(crate) fn new_parts(&self) -> u16 {
        u16::from(self.insert.is_some())
            + u16::from(matches!(self.valve, ValveCourse::New(_)))
            + u16::from(self.springs.is_some())
    }

    pub(crate) fn cuts_seat(&self) -> bool {
        self.seat != SeatCourse::Leave
    }

    /// Minutes and money that do not depend on how far anything is cut.
    pub(crate) fn fixed_cost(&self, workshop: &Workshop) -> (f64, f64) {
        let costs = &workshop.costs;
        let seat = match self.seat {
            SeatCourse::Leave => 0.0,
            SeatCourse::Hand { with_top, with_throat, .. } => {
                let top = if with_top { costs.top_cut } else { 0.0 };
                costs.seat_cut + top + if with_throat { costs.throat_cut } else { 0.0 }
            }
            SeatCourse::Form { .. } => costs.form_cut,
        };
        let face = if matches!(self.valve, ValveCourse::Grind(_)) { costs.face_grind } else { 0.0 };
        let valve = match self.valve {
            ValveCourse::New(spare) => Some(&spare.part),
            _ => None,
        };
        let parts = [self.insert.map(|spare| &spare.part), valve, self.springs.map(|spare| &spare.part)];
        let parts = parts.into_iter().flatten();
        let (minutes, prices) =
            parts.fold((0.0, 0.0), |sum, part| (sum.0 + part.minutes, sum.1 + part.price));
        let minutes = minutes + seat + face;
        (minutes, minutes.mul_add(costs.per_minute, prices))
    }
}

/// Courses of one port, fewest new parts first.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Courses<'a> {
    pub(crate) list: Vec<Course<'a>>,
    /// Where there were too many: how many new parts those have at least that were left out.
    pub(crate) left_out: Option<u16>,
}

/// More courses of one port than anyone would think through: shelves with a hundred kinds of valves.
const MOST_COURSES: usize = 1000;

/// What courses are drawn from.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ground<'a, 'c> {
    pub(crate) port: &'a Port,
    pub(crate) profile: &'a TargetProfile,
    pub(crate) stage: Stage,
    pub(crate) workshop: &'a Workshop,
    pub(crate) facts: &'c Facts,
    pub(crate) needs: &'c Needs,
    pub(crate) lifter: Lifter,
}

/// Faces that are ground only where the engine maker allows it, which nobody here can know.
pub(crate) const fn face_is_treated(valve: &Valve) -> bool {
    valve.coated || valve.nitrided || valve.titanium
}

impl<'a> Ground<'a, '_> {
    /// Every course worth a thought.
    pub(crate) fn courses(&self) -> Courses<'a> {
        const MOST_PARTS: u16 = 3;
        let service = self.port.id.service;
        let (seats, inserts, valves) = (self.seats(), self.inserts(service), self.valves(service));
        let springs = optional(&self.workshop.spares.springs, |spare| spare.part.fits(service));
        let mut list = Vec::new();
        for parts in 0..=MOST_PARTS {
            let kinds = inserts.iter().flat_map(|insert| valves.iter().map(move |valve| (*insert, *valve)));
            let kinds = kinds
                .flat_map(|(insert, valve)| springs.iter().map(move |springs| (insert, valve, *springs)));
            for (insert, valve, springs) in kinds {
                let course = Course { seat: SeatCourse::Leave, insert, valve, springs };
                if course.new_parts() != parts {
                    continue;
                }
                if list.len() + seats.len() > MOST_COURSES {
                    return Courses { list, left_out: Some(parts) };
                }
                let fitting = seats.iter().filter(|seat| insert.is_none() || cuts_everything(seat));
                list.extend(fitting.map(|seat| Course { seat: *seat, ..course }));
            }
        }
        Courses { list, left_out: None }
    }

    /// What that many new parts cost at least, fitted: in money.
    pub(crate) fn least_money(&self, parts: u16) -> f64 {
        let spares = &self.workshop.spares;
        let all = spares.inserts.iter().map(|spare| &spare.part);
        let all = all.chain(spares.valves.iter().map(|spare| &spare.part));
        let all = all.chain(spares.springs.iter().map(|spare| &spare.part));
        let least = all.map(|part| part.cost(&self.workshop.costs)).fold(f64::INFINITY, f64::min);
        if parts == 0 { 0.0 } else { f64::from(parts) * least }
    }

    /// Only a seat that has an insert can have a new one.
    fn inserts(&self, service: Service) -> Vec<Option<&'a SpareInsert>> {
        let has_insert = self.port.seat.insert.is_some();
        optional(&self.workshop.spares.inserts, move |spare| has_insert && spare.part.fits(service))
    }

    fn valves(&self, service: Service) -> Vec<ValveCourse<'a>> {
        let mut valves = vec![ValveCourse::Keep];
        let can_grind = self.workshop.face_grinding && !face_is_treated(&self.port.valve);
        if let Some(face) = self.facts.face.filter(|_| can_grind && self.face_may_be_ground()) {
            // How a valve settles at another angle depends on its seat.
            let aimed = nominal(self.profile, Moved::FaceAngle, self.port, self.stage);
            let aimed = aimed.filter(|_| self.facts.seat.is_some());
            valves.push(ValveCourse::Grind(aimed.unwrap_or(face.angle)));
        }
        if self.facts.seat.is_some() {
            let fitting = self.workshop.spares.valves.iter().filter(|spare| spare.part.fits(service));
            valves.extend(fitting.map(ValveCourse::New));
        }
        valves
    }

    /// Is there anything that grinding a face could be good for? It runs out, or its angle does not go with that
    /// of the seat, as it is or as it may be cut.
    fn face_may_be_ground(&self) -> bool {
        let angles = [Moved::FaceAngle, Moved::Interference, Moved::EdgeGap].map(Moved::id);
        self.needs.face || self.needs.seat || self.needs.bad.iter().any(|id| angles.contains(id))
    }

    fn seats(&self) -> Vec<SeatCourse<'a>> {
        const NEAR_ENOUGH: f64 = 2.0;
        let mut seats = vec![SeatCourse::Leave];
        let Some(facts) = self.facts.seat else { return seats };
        let aimed = self.aimed(Moved::SeatAngle, facts.angle);
        // Further off, a cutter makes another seat of it.
        let same_seat = |angle: f64| (angle - aimed).abs() <= NEAR_ENOUGH;
        if let Some(seat) = self.nearest(aimed, same_seat) {
            let there = |degrees| Angled { degrees, cutter: None };
            let (top, throat) = (self.top_cutter(seat), self.throat_cutter(seat));
            for (with_top, with_throat) in [(false, false), (true, false), (false, true), (true, true)] {
                let top = if with_top { top } else { Some(there(facts.top_angle)) };
                let throat = if with_throat { throat } else { Some(there(facts.throat_angle)) };
                let Some((top, throat)) = top.zip(throat) else { continue };
                if top.degrees < seat.degrees && seat.degrees < throat.degrees {
                    seats.push(SeatCourse::Hand { seat, top, throat, with_top, with_throat });
                }
            }
        }
        let forms = self.workshop.cutters.iter().filter_map(|cutter| match cutter.blade {
            Blade::Form { top, seat, throat, tolerance } if same_seat(seat.exact().to_f64()) => {
                Some(SeatCourse::Form {
                    cutter: &cutter.id,
                    top: top.exact().to_f64(),
                    seat: seat.exact().to_f64(),
                    throat: throat.exact().to_f64(),
                    tolerance: tolerance.exact().to_f64(),
                })
            }
            Blade::Single(_) | Blade::Form { .. } => None,
        });
        seats.extend(forms);
        seats
    }

    fn top_cutter(&self, seat: Angled<'_>) -> Option<Angled<'a>> {
        self.nearest(self.aimed(Moved::TopAngle, self.facts.seat?.top_angle), |angle| angle < seat.degrees)
    }

    fn throat_cutter(&self, seat: Angled<'_>) -> Option<Angled<'a>> {
        self.nearest(self.aimed(Moved::ThroatAngle, self.facts.seat?.throat_angle), |angle| {
            angle > seat.degrees
        })
    }

    fn aimed(&self, moved: Moved, as_it_is: f64) -> f64 {
        nominal(self.profile, moved, self.port, self.stage).unwrap_or(as_it_is)
    }

    fn nearest(&self, aimed: f64, allowed: impl Fn(f64) -> bool) -> Option<Angled<'a>> {
        if self.workshop.cutters.is_empty() {
            return allowed(aimed).then_some(Angled { degrees: aimed, cutter: None });
        }
        let single = |cutter: &'a Cutter| match cutter.blade {
            Blade::Single(angle) => {
                Some(Angled { degrees: angle.exact().to_f64(), cutter: Some(&cutter.id) })
            }
            Blade::Form { .. } => None,
        };
        let off = |angled: &Angled<'_>| (angled.degrees - aimed).abs();
        let singles = self.workshop.cutters.iter().filter_map(single);
        singles.filter(|angled| allowed(angled.degrees)).min_by(|a, b| off(a).total_cmp(&off(b)))
    }
}

/// On a raw insert every cone has to be cut.
const fn cuts_everything(seat: &SeatCourse<'_>) -> bool {
    matches!(seat, SeatCourse::Hand { with_top: true, with_throat: true, .. } | SeatCourse::Form { .. })
}

fn optional<T>(spares: &[T], fits: impl Fn(&T) -> bool) -> Vec<Option<&T>> {
    std::iter::once(None).chain(spares.iter().filter(|spare| fits(spare)).map(Some)).collect()
}
