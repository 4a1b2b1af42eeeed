//! One thing at a time, on heads that are sound otherwise.

use headproof_head::{
    Blade, Bound, Camshaft, CharacteristicId, CrackTest, Cutter, DeckWork, Lifter, Outcome, Plan, PortStatus,
    Work,
};
use headproof_quantity::{Angle, Roughness, Unit};
use headproof_rework::{Effort, plan};

use crate::invented::{limit, mm};
use crate::together::{raise, sound, sound_with};

fn status(plan: &Plan) -> Vec<PortStatus> {
    plan.ports.iter().map(|port| port.status).collect()
}

fn degrees(angle: f64) -> Angle {
    Angle::from_f64(angle, Unit::Degree).expect("an angle")
}

/// A leak test that nobody made orders no cut.
#[test]
fn a_test_not_made_comes_before_any_cut() {
    let (mut set, profile, shop) = sound();
    set.ports[1].leak.held = None;
    let plan = plan(&set, &profile, &shop, Effort::default());
    assert_eq!(plan.ports[1].status, PortStatus::MeasureFirst);
    assert_eq!(plan.ports[1].needs, [CharacteristicId::new("leak-held")]);
    assert_eq!((plan.totals.ports, plan.outcome), (0, Outcome::Staged));
}

#[test]
fn a_screw_sets_a_lash_that_is_out() {
    let (mut set, profile, shop) = sound();
    raise(&mut set.ports[2].assembly.lash, 0.25);
    let plan = plan(&set, &profile, &shop, Effort::default());
    assert_eq!(plan.ports[2].status, PortStatus::Planned, "{:#?}", plan.ports[2]);
    assert!(plan.steps.iter().any(|step| step.work == Work::SetLash));
}

#[test]
fn what_nothing_here_cures_is_no_plan() {
    let (mut set, mut profile, shop) = sound();
    profile.limits.push(limit("throat-diameter", Some(40.0), None, None));
    set.ports.truncate(4);
    let plan = plan(&set, &profile, &shop, Effort::default());
    let conflict = plan.ports[0].conflict.as_ref().expect("no plan");
    assert_eq!(conflict.between, [Bound::AsItIs(CharacteristicId::new("throat-diameter"))]);
}

/// A face of 44 under a seat of 45 with at most 1 degree between them: allowed, to the last digit.
#[test]
fn the_very_limit_is_inside() {
    let (mut set, mut profile, shop) = sound();
    profile.limits.push(limit("interference-angle", Some(0.0), Some(1.0), None));
    for port in &mut set.ports {
        port.valve.face_angle = port.valve.face_angle.map(|read| read.at(degrees(44.0)));
        port.seat.seat_angle = port.seat.seat_angle.map(|read| read.at(degrees(45.0)));
    }
    set.ports[0].leak.held = Some(false);
    let plan = plan(&set, &profile, &shop, Effort::default());
    assert_eq!(plan.ports[0].status, PortStatus::Planned, "{:#?}", plan.ports[0].conflict);
}

/// A warped head with its own camshaft waits for its cam bores, and says so.
#[test]
fn a_warped_deck_over_cam_bores_is_a_stage() {
    let (mut set, profile, mut shop) = sound();
    set.layout.camshaft = Camshaft::Overhead;
    let middle = set.deck.heights[1].z;
    set.deck.heights[1].z = middle.at(mm(0.2));
    shop.deck = Some(DeckWork {
        most: mm(0.4),
        flatness_left: mm(0.01),
        roughness_left: Roughness::from_exact(mm(0.6).exact()),
        open_chamber_area: Some(3600.0),
    });
    let plan = plan(&set, &profile, &shop, Effort::default());
    assert_eq!((plan.outcome, plan.deck), (Outcome::Staged, None));
}

/// Ground at its own angle a face sinks its valve by runout over the cosine, whatever is known of its seat.
#[test]
fn a_ground_face_sinks_its_valve() {
    let (mut set, profile, shop) = sound();
    let port = &mut set.ports[0];
    let dial = port.valve.face_runout.as_mut().expect("measured");
    let turn = [0.035, 0.024, 0.001, -0.025, -0.035, -0.026, 0.002, 0.025];
    for (reading, value) in dial.readings.iter_mut().zip(turn) {
        *reading = reading.at(mm(value));
    }
    port.valve.face_angle = port.valve.face_angle.map(|read| read.at(degrees(44.5)));
    let plan = plan(&set, &profile, &shop, Effort::default());
    let port = &plan.ports[0];
    assert_eq!(port.status, PortStatus::Planned, "{:#?}", port.conflict);
    let stock = port.face_grind.expect("ground").approx();
    let by_cosine = stock / libm::cos(44.5f64.to_radians());
    assert!(stock >= 0.07 && port.sink.to_f64() >= by_cosine - 1e-6, "{stock} {:?}", port.sink);
}

/// A test of the head that was not made is nothing that ports could be planned for.
#[test]
fn a_crack_is_beyond_any_plan() {
    let (mut set, mut profile, shop) = sound();
    profile.limits.push(limit("crack-test", None, None, None));
    set.tests.crack = Some(CrackTest { method: "dye".into(), crack_found: true, note: None });
    let plan = plan(&set, &profile, &shop, Effort::default());
    assert_eq!(plan.outcome, Outcome::NothingToDo);
    assert_eq!(plan.beyond.len(), 1);
}

/// Without a top cutter seat and throat cutters have to do; without a seat cutter of that seat nothing is cut.
#[test]
fn only_cutters_that_are_there_are_used() {
    let (mut set, profile, mut shop) = sound();
    set.ports[0].leak.held = Some(false);
    let cutter = |angle: f64| Cutter { id: format!("{angle}"), blade: Blade::Single(degrees(angle)) };
    shop.cutters = vec![cutter(45.0), cutter(60.0)];
    let without_top = plan(&set, &profile, &shop, Effort::default());
    assert_eq!(without_top.ports[0].status, PortStatus::Planned, "{:#?}", without_top.ports[0].conflict);
    shop.cutters = vec![cutter(30.0), cutter(15.0), cutter(60.0)];
    let without_seat = plan(&set, &profile, &shop, Effort::default());
    assert_eq!(without_seat.ports[0].status, PortStatus::NoPlan);
}

/// Ports that are in order keep their shims, also those that are not in the middle.
#[test]
fn what_is_in_order_is_left_alone() {
    let (mut set, profile, mut shop) = sound_with(Lifter::BucketWithShim);
    for port in &mut set.ports {
        raise(&mut port.assembly.lash, -0.05);
    }
    shop.lash_shims = vec![headproof_head::Stock { thickness: mm(2.45), count: 1 }];
    let plan = plan(&set, &profile, &shop, Effort::default());
    assert!(status(&plan).iter().all(|status| *status == PortStatus::NothingToDo), "{:#?}", plan.ports);
}
