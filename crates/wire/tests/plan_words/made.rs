//! The plan that holds every word the domain knows; no real one does.
//!
//! The amounts are invented; they fit together only where a test says so.

use std::collections::BTreeSet;

use headproof_head::{
    self as head, Assumption, Bound, CharacteristicId, Conflict, Cut, CutKind, DeckCut, Effect, FeedEffect,
    FeedMoves, NewPart, Objective, Outcome, Plan, PortId, PortPlan, PortStatus, Proof, Search, SeatWork,
    Service, Step, StepCaution, Subject, Target, Totals, Way, Work,
};
use headproof_quantity::{Angle, Kind, Length, Rounded, Unit};
use headproof_wire::{At, MeasurementSet, TargetProfile, examples, measurement_set, read, target_profile};

pub(crate) fn mm(number: f64) -> Length {
    Length::from_f64(number, Unit::Millimetre).expect("a length")
}

pub(crate) fn deg(number: f64) -> Angle {
    Angle::from_f64(number, Unit::Degree).expect("an angle")
}

pub(crate) fn rounded(number: f64, kind: Kind) -> Rounded {
    Rounded::from_computed(number, kind).expect("an amount")
}

pub(crate) fn id(name: &str) -> CharacteristicId {
    headproof_judge::characteristic(name).unwrap_or_else(|| panic!("{name}")).id
}

pub(crate) const PORT: PortId = PortId { cylinder: 1, service: Service::Intake, index: 1 };

pub(crate) fn cut(kind: CutKind, angle: f64, feed: f64) -> Cut {
    Cut {
        kind,
        cutter: None,
        angle: deg(angle),
        feed: Some(mm(feed)),
        tolerance: mm(0.03),
        leaves: [32.14, 29.96, 1.31].map(mm),
        touches_outer_edge_first: None,
    }
}

pub(crate) fn cut_seat(cut: Cut, high_side: Option<i16>) -> Work {
    Work::CutSeat { cut, high_side }
}

/// Does not compile when the domain learns a word that is not listed below.
pub(crate) fn every_bound() -> Vec<Bound> {
    let width = id("seat-width");
    let all = vec![
        Bound::Lower(width),
        Bound::Upper(id("recession")),
        Bound::TooCoarse(id("seat-runout")),
        Bound::AsItIs(id("valve-tip")),
        Bound::CleanUp,
        Bound::Correction,
        Bound::Throat,
        Bound::FaceEdge,
        Bound::InsertEdge,
        Bound::InsertStock,
        Bound::TipLimit,
        Bound::SpringReadings,
        Bound::ShimStock,
        Bound::LashShimStock,
        Bound::SpareStock,
        Bound::DeckMost,
        Bound::DeckCleanUp,
    ];
    let number = |bound: &Bound| match bound {
        Bound::Lower(_) => 0,
        Bound::Upper(_) => 1,
        Bound::TooCoarse(_) => 2,
        Bound::AsItIs(_) => 3,
        Bound::CleanUp => 4,
        Bound::Correction => 5,
        Bound::Throat => 6,
        Bound::FaceEdge => 7,
        Bound::InsertEdge => 8,
        Bound::InsertStock => 9,
        Bound::TipLimit => 10,
        Bound::SpringReadings => 11,
        Bound::ShimStock => 12,
        Bound::LashShimStock => 13,
        Bound::SpareStock => 14,
        Bound::DeckMost => 15,
        Bound::DeckCleanUp => 16,
    };
    assert!(all.iter().map(number).eq(0..17));
    all
}

pub(crate) fn every_way() -> Vec<Way> {
    let concession = |bound: Bound| Way::Concession { bound, by: rounded(0.0512, Kind::Length) };
    let mut all: Vec<Way> = every_bound().into_iter().map(concession).collect();
    all.push(Way::Concession { bound: Bound::Lower(id("seat-load")), by: rounded(12.34, Kind::Force) });
    let others = [
        Way::NewInsert,
        Way::OtherValve,
        Way::OtherSprings,
        Way::MoreShims,
        Way::BetterGauge(id("stem-to-guide-clearance")),
    ];
    let number = |way: &Way| match way {
        Way::Concession { .. } => 9,
        Way::NewInsert => 0,
        Way::OtherValve => 1,
        Way::OtherSprings => 2,
        Way::MoreShims => 3,
        Way::BetterGauge(_) => 4,
    };
    assert!(others.iter().map(number).eq(0..5));
    all.extend(others);
    all
}

pub(crate) fn every_caution() -> Vec<StepCaution> {
    let all = vec![
        StepCaution::SodiumStem,
        StepCaution::BerylliumCopper,
        StepCaution::ThinInsert,
        StepCaution::TreatedFace,
        StepCaution::StoredEnergy,
        StepCaution::EyesAndSkin,
        StepCaution::HotAndCold,
        StepCaution::AxisMoves,
        StepCaution::CamTiming,
        StepCaution::TightLash,
    ];
    let number = |caution: &StepCaution| match caution {
        StepCaution::SodiumStem => 0,
        StepCaution::BerylliumCopper => 1,
        StepCaution::ThinInsert => 2,
        StepCaution::TreatedFace => 3,
        StepCaution::StoredEnergy => 4,
        StepCaution::EyesAndSkin => 5,
        StepCaution::HotAndCold => 6,
        StepCaution::AxisMoves => 7,
        StepCaution::CamTiming => 8,
        StepCaution::TightLash => 9,
    };
    assert!(all.iter().map(number).eq(0..10));
    all
}

/// Every work with every form of it, and what it is called.
pub(crate) fn every_work() -> Vec<(Work, &'static str)> {
    let named = |mut cut: Cut, cutter: &str| {
        cut.cutter = Some(cutter.to_owned());
        cut
    };
    let touching = |mut cut: Cut, outer: bool| {
        cut.touches_outer_edge_first = Some(outer);
        cut
    };
    let raw = |mut cut: Cut| {
        cut.feed = None;
        cut
    };
    let tag = |text: &str| Some(text.to_owned());
    let shims =
        |shims: &[(f64, u8)]| shims.iter().map(|(thickness, count)| (mm(*thickness), *count)).collect();
    let all = vec![
        (Work::MeasureFirst(vec![id("seat-runout"), id("pit-depth")]), "measure-first"),
        (Work::RenewGuide, "renew-guide"),
        (Work::FitInsert("I-34".to_owned()), "fit-insert"),
        (Work::CutDeck(DeckCut { depth: mm(0.085), needed: mm(0.08) }), "cut-deck"),
        (cut_seat(cut(CutKind::Seat, 45.0, 0.12), Some(1200)), "seat-cut"),
        (cut_seat(touching(named(cut(CutKind::Seat, 44.5, 0.125), "C-44"), true), Some(-50)), "seat-cut"),
        (cut_seat(raw(cut(CutKind::Seat, 45.0, 0.0)), None), "seat-cut"),
        (cut_seat(cut(CutKind::Top, 30.0, 0.15), None), "top-cut"),
        (cut_seat(touching(cut(CutKind::Throat, 60.0, 0.1), false), None), "throat-cut"),
        (cut_seat(named(cut(CutKind::Form, 45.0, 0.12), "F-1"), Some(0)), "form-cut"),
        (cut_seat(cut(CutKind::LightTurns, 45.0, 0.01), None), "light-turns"),
        (cut_seat(raw(named(cut(CutKind::LightTurns, 45.0, 0.0), "C-45")), None), "light-turns"),
        (Work::GrindFace { stock: mm(0.05), margin: Some(mm(1.214)) }, "grind-face"),
        (Work::GrindFace { stock: mm(0.05), margin: None }, "grind-face"),
        (Work::GrindTip { stock: mm(0.1), protrusion: Some(mm(48.2)) }, "grind-tip"),
        (Work::GrindTip { stock: mm(0.1), protrusion: Some(mm(-0.001)) }, "grind-tip"),
        (Work::GrindTip { stock: mm(0.1), protrusion: None }, "grind-tip"),
        (Work::FitValve { tag: tag("1I1"), spare: None }, "fit-valve"),
        (Work::FitValve { tag: None, spare: None }, "fit-valve"),
        (Work::FitValve { tag: tag("1I1"), spare: tag("V-33") }, "fit-valve"),
        (Work::FitValve { tag: None, spare: tag("V-33") }, "fit-valve"),
        (Work::CheckMarking { from_edge: Some(mm(0.82)), width: mm(1.31) }, "check-marking"),
        (Work::CheckMarking { from_edge: None, width: mm(1.31) }, "check-marking"),
        (Work::TestForLeaks, "leak-test"),
        (
            Work::FitSprings { spare: None, shims: shims(&[(0.25, 1)]), installed_height: Some(mm(35.02)) },
            "fit-springs",
        ),
        (
            Work::FitSprings {
                spare: tag("P-2"),
                shims: shims(&[(0.25, 2), (0.5, 1)]),
                installed_height: None,
            },
            "fit-springs",
        ),
        (
            Work::FitSprings { spare: None, shims: Vec::new(), installed_height: Some(mm(35.0)) },
            "fit-springs",
        ),
        (Work::FitSprings { spare: tag("P-2"), shims: Vec::new(), installed_height: None }, "fit-springs"),
        (Work::FitLashShim { thickness: mm(2.825), lash: Some(mm(0.25)) }, "fit-lash-shim"),
        (Work::FitLashShim { thickness: mm(2.8), lash: None }, "fit-lash-shim"),
        (Work::SetLash, "set-lash"),
        (Work::MeasureAgain(vec![id("seat-width"), id("leak-held")]), "measure-again"),
        (Work::MeasureAgain(Vec::new()), "measure-again"),
    ];
    let number = |work: &Work| match work {
        Work::MeasureFirst(_) => 0,
        Work::RenewGuide => 1,
        Work::FitInsert(_) => 2,
        Work::CutDeck(_) => 3,
        Work::CutSeat { .. } => 4,
        Work::GrindFace { .. } => 5,
        Work::GrindTip { .. } => 6,
        Work::FitValve { .. } => 7,
        Work::CheckMarking { .. } => 8,
        Work::TestForLeaks => 9,
        Work::FitSprings { .. } => 10,
        Work::FitLashShim { .. } => 11,
        Work::SetLash => 12,
        Work::MeasureAgain(_) => 13,
    };
    let seen: BTreeSet<usize> = all.iter().map(|(work, _)| number(work)).collect();
    assert!(seen.into_iter().eq(0..14));
    all
}

pub(crate) fn documents() -> (head::MeasurementSet, head::TargetProfile) {
    let (set, profile) = examples::HEADS[0];
    let set: MeasurementSet = read(set.text.as_bytes()).expect("a demo set");
    let profile: TargetProfile = read(profile.text.as_bytes()).expect("a demo profile");
    (
        measurement_set(&set, &At::Root).expect("a set without faults"),
        target_profile(&profile, &At::Root).expect("a profile without faults"),
    )
}

pub(crate) fn port_plan() -> PortPlan {
    let target = |size: f64, tolerance: f64| Target { size: mm(size), tolerance: mm(tolerance) };
    let cuts = every_work().into_iter().filter_map(|(work, _)| match work {
        Work::CutSeat { cut, .. } => Some(cut),
        _ => None,
    });
    let length = |number: f64| rounded(number, Kind::Length);
    let moves = FeedMoves {
        outer_diameter: length(0.473_205),
        inner_diameter: length(-0.273_205),
        width: length(0.527_802),
        sink: length(0.1),
    };
    let parts = ["I-34", "V-33", "P-2"].map(str::to_owned);
    let [insert, valve, spring] = parts;
    PortPlan {
        port: PORT,
        status: PortStatus::Planned,
        seat: Some(SeatWork {
            cuts: cuts.collect(),
            outer_diameter: target(32.14, 0.141_96),
            inner_diameter: target(29.96, 0.08),
            width: target(1.31, 0.06),
        }),
        face_grind: Some(mm(0.05)),
        tip_grind: Some(mm(0.1)),
        shims: vec![(mm(0.25), 1)],
        lash_shim: Some(mm(2.825)),
        new_parts: vec![NewPart::Insert(insert), NewPart::Valve(valve), NewPart::Spring(spring)],
        sink: length(-0.02),
        effects: vec![
            Effect {
                characteristic: id("seat-width"),
                kind: Kind::Length,
                before: Some(length(1.91538)),
                after: length(1.31),
                tolerance: length(0.06),
                least: Some(length(1.08)),
                greatest: Some(length(1.52)),
            },
            Effect {
                characteristic: id("seat-load"),
                kind: Kind::Force,
                before: None,
                after: rounded(241.5, Kind::Force),
                tolerance: rounded(1.2, Kind::Force),
                least: Some(rounded(230.0, Kind::Force)),
                greatest: None,
            },
        ],
        binds: every_bound(),
        conflict: Some(Conflict {
            between: every_bound(),
            apart: vec![every_bound()],
            freed_by: every_way(),
        }),
        needs: vec![id("seat-runout")],
        feed_effect: Some(FeedEffect { seat: moves, top: moves, throat: moves }),
    }
}

/// The whole plan.
pub(crate) fn plan(set: &head::MeasurementSet, profile: &head::TargetProfile) -> Plan {
    let work = every_work().into_iter().map(|(work, _)| work);
    let step = |work: Work| Step { subject: Subject::Port(PORT), work, cautions: every_caution() };
    let of_status = |(index, status): (u8, PortStatus)| PortPlan {
        port: PortId { index, ..PORT },
        status,
        seat: None,
        conflict: None,
        ..port_plan()
    };
    let statuses =
        [PortStatus::NothingToDo, PortStatus::GuideFirst, PortStatus::MeasureFirst, PortStatus::NoPlan];
    let mut ports = vec![port_plan()];
    ports.extend((2..).zip(statuses).map(of_status));
    Plan {
        objective: Objective::LeastSink,
        outcome: Outcome::Planned,
        ports,
        deck: Some(DeckCut { depth: mm(0.085), needed: mm(0.08) }),
        conflict: Some(Conflict {
            between: every_bound(),
            apart: vec![every_bound()],
            freed_by: every_way(),
        }),
        beyond: vec![(Subject::Head, id("crack-test")), (Subject::Port(PORT), id("valve-neck"))],
        steps: work.map(step).collect(),
        totals: Totals {
            ports: 3,
            sink: rounded(0.36, Kind::Length),
            new_parts: 3,
            shims: 1,
            minutes: 57.333_333_333_333_3,
            cost: 0.1 + 0.2,
        },
        search: Search {
            proved_best: true,
            objective: Some(0.1 + 0.2),
            gap: Some(0.0),
            nodes: 1234,
            limit_hit: false,
            joined: true,
        },
        assumptions: vec![
            Assumption::CuttersAtNominalAngles,
            Assumption::NominalAngles,
            Assumption::UsualAngles,
            Assumption::DiametersFromContact,
            Assumption::SameLength,
        ],
        proof: Some(Box::new(Proof {
            predicted: set.clone(),
            evaluation: headproof_judge::evaluate(set, profile),
            unpredictable: vec![id("leak-held"), id("contact-gap")],
        })),
    }
}
