//! What ports have in common.

use headproof_head::{
    Bound, Camshaft, CharacteristicId, Lifter, MeasurementSet, Objective, Outcome, Plan, PortStatus, Service,
    Stock, TargetProfile, Verdict, Work, Workshop,
};
use headproof_quantity::{Length, Quantity};
use headproof_rework::{Effort, plan};

use crate::dice::Dice;
use crate::invented::{Kind, head, limit, mm, profile, set_volume, workshop};

const KIND: Kind = Kind { cylinders: 2, per_service: 1, lifter: Lifter::Adjustable, guarded: false };

/// A sound head of two cylinders, its profile, and a shop that can cut seats and grind faces and nothing else.
pub(crate) fn sound() -> (MeasurementSet, TargetProfile, Workshop) {
    sound_with(KIND.lifter)
}

/// The same with another train.
pub(crate) fn sound_with(lifter: Lifter) -> (MeasurementSet, TargetProfile, Workshop) {
    let mut dice = Dice::sparing(3);
    let mut set = head(&mut dice, Kind { lifter, ..KIND });
    set_volume(&mut set, 1, 45.0);
    set_volume(&mut set, 2, 45.2);
    for port in &mut set.ports {
        port.assembly.stem_protrusion = port.assembly.stem_protrusion.map(|read| read.at(mm(40.0)));
        port.springs.installed_height = port.springs.installed_height.map(|read| read.at(mm(35.0)));
    }
    let shop = Workshop {
        shims: Vec::new(),
        deck: None,
        tip_limit: None,
        spares: headproof_head::Spares::default(),
        face_grinding: true,
        ..workshop(&mut dice, Objective::LeastSink)
    };
    (set, profile(KIND), shop)
}

fn planned(plan: &Plan) -> usize {
    plan.ports.iter().filter(|port| port.status == PortStatus::Planned).count()
}

fn judged(plan: &Plan, id: &str) -> Verdict {
    let proof = plan.proof.as_ref().expect("something is planned");
    let row = proof.evaluation.head.iter().find(|row| row.characteristic.as_str() == id);
    row.expect("a row of the head").verdict
}

/// Moves a reading by so many units of its own.
pub(crate) fn raise<D: headproof_quantity::Dimension>(
    reading: &mut Option<headproof_head::Reading<D>>,
    by: f64,
) {
    let value = reading.expect("measured").value();
    let by = mm(by).exact();
    *reading = reading.map(|read| read.at(Quantity::from_exact(value.exact() + by)));
}

#[test]
fn a_sound_head_is_left_alone() {
    let (set, profile, shop) = sound();
    let plan = plan(&set, &profile, &shop, Effort::default());
    assert_eq!(plan.outcome, Outcome::NothingToDo, "{plan:#?}");
    assert!(plan.steps.is_empty() && plan.proof.is_none());
}

/// 1.0 mL is allowed, 1.05 there is: the valves of the smaller chamber are sunk, and as little as will do.
#[test]
fn valves_are_sunk_to_even_out_chambers() {
    let (mut set, profile, shop) = sound();
    set_volume(&mut set, 2, 46.05);
    let plan = plan(&set, &profile, &shop, Effort::default());
    assert_eq!(plan.outcome, Outcome::Planned, "{plan:#?}");
    assert!(plan.search.joined && plan.search.proved_best);
    assert!(plan.ports.iter().all(|port| (port.status == PortStatus::Planned) <= (port.port.cylinder == 1)));
    assert_eq!(judged(&plan, "chamber-spread"), Verdict::Conforms);
    // At least what is missing, over the area of the larger valve, counting that each cut may miss.
    let area = std::f64::consts::PI * 17.3 * 17.3 * 1e-3;
    assert!(plan.totals.sink.to_f64() >= 0.05 / area && plan.totals.sink.to_f64() < 0.25);
}

#[test]
fn a_spread_that_no_sink_evens_out_is_a_conflict_of_the_head() {
    let (mut set, profile, shop) = sound();
    set_volume(&mut set, 2, 48.5);
    let plan = plan(&set, &profile, &shop, Effort::default());
    assert_eq!(plan.outcome, Outcome::NoPlan);
    let conflict = plan.conflict.expect("a conflict of the head");
    let spread = Bound::Upper(CharacteristicId::new("chamber-spread"));
    assert!(conflict.between.contains(&spread) && conflict.between.len() > 1, "{conflict:#?}");
}

/// Two ports stand 0.6 mm too high in their springs; there is one shim of 0.5 mm and one of 0.4 mm.
#[test]
fn one_shelf_serves_all_ports() {
    let (mut set, profile, mut shop) = sound();
    for port in set.ports.iter_mut().filter(|port| port.id.service == Service::Intake) {
        raise(&mut port.springs.installed_height, 0.9);
    }
    let stock = |thickness, count| Stock { thickness: mm(thickness), count };
    shop.shims = vec![stock(0.5, 1), stock(0.4, 1)];
    let both = plan(&set, &profile, &shop, Effort::default());
    assert_eq!((both.outcome, planned(&both), both.totals.shims), (Outcome::Planned, 2, 2), "{both:#?}");
    shop.shims = vec![stock(0.5, 1)];
    let one = plan(&set, &profile, &shop, Effort::default());
    assert_eq!(one.outcome, Outcome::NoPlan);
    assert!(one.conflict.expect("a conflict").between.contains(&Bound::ShimStock));
}

#[test]
fn stems_are_brought_to_stand_alike() {
    let (mut set, mut profile, mut shop) = sound();
    raise(&mut set.ports[0].assembly.stem_protrusion, 0.3);
    profile.limits.push(limit("stem-protrusion-spread", None, Some(0.2), None));
    shop.tip_limit = Some(mm(0.3));
    let plan = plan(&set, &profile, &shop, Effort::default());
    assert_eq!((plan.outcome, planned(&plan)), (Outcome::Planned, 1), "{plan:#?}");
    let tip = plan.ports[0].tip_grind.map(Length::approx).expect("a tip is ground");
    assert!((tip - 0.1).abs() < 1e-3, "{tip}");
    assert_eq!(judged(&plan, "stem-protrusion-spread"), Verdict::Conforms);
}

/// What a cut takes out of the chambers is taken into account, and one cut serves all.
#[test]
fn a_warped_deck_is_cut_once() {
    let (mut set, profile, mut shop) = sound();
    let middle = set.deck.heights[1].z;
    set.deck.heights[1].z = middle.at(mm(0.2));
    shop.deck = Some(headproof_head::DeckWork {
        most: mm(0.4),
        flatness_left: mm(0.01),
        roughness_left: headproof_quantity::Roughness::from_exact(mm(0.6).exact()),
        open_chamber_area: Some(3600.0),
    });
    let cut = plan(&set, &profile, &shop, Effort::default());
    let depth = cut.deck.expect("a cut").depth.approx();
    assert!((depth - 0.2).abs() < 1e-6, "{depth}");
    assert_eq!(judged(&cut, "deck-flatness"), Verdict::Conforms);
    let chamber = cut.proof.expect("proved").predicted.chambers[0].volume.value().approx();
    assert!((chamber - (45.0 - 0.72)).abs() < 1e-6, "{chamber}");

    set.layout.camshaft = Camshaft::Overhead;
    let waits = plan(&set, &profile, &shop, Effort::default());
    assert!(waits.deck.is_none());
    assert!(
        matches!(&waits.steps[0].work, Work::MeasureFirst(ids) if ids[0].as_str() == "cam-bore-straightness")
    );
}

/// A search that may look at nothing still says so.
#[test]
fn a_search_that_was_cut_short_says_so() {
    let (mut set, profile, mut shop) = sound();
    set_volume(&mut set, 2, 46.05);
    let stock = |thickness| Stock { thickness: mm(thickness), count: 3 };
    shop.shims = [0.1, 0.15, 0.2].map(stock).to_vec();
    let short = plan(&set, &profile, &shop, Effort { nodes: 1 });
    let full = plan(&set, &profile, &shop, Effort::default());
    assert!(full.search.proved_best && !full.search.limit_hit);
    match short.search.objective {
        Some(price) => assert!(price >= full.search.objective.expect("a plan") - 1e-9),
        None => assert_eq!(short.outcome, Outcome::NoPlan),
    }
    assert!(short.search.limit_hit || short.search.proved_best);
}

/// A shelf with sixty kinds of everything and a head of sixty-four valves: an answer all the same, and no claim
/// that is not proved.
#[test]
fn a_full_shelf_and_a_long_head_get_an_answer() {
    let mut dice = Dice::new(11);
    let kind = Kind { cylinders: 16, per_service: 2, lifter: Lifter::BucketWithShim, guarded: true };
    let set = head(&mut dice, kind);
    let shop = workshop(&mut dice, Objective::LeastCost);
    let stock = |n: u32| Stock { thickness: mm(0.05 * f64::from(n + 1)), count: 3 };
    let many = |n: usize| format!("kind {n}");
    let mut spares = workshop(&mut Dice::new(5), Objective::LeastCost).spares;
    let (insert, valve, spring) =
        (spares.inserts[0].clone(), spares.valves[0].clone(), spares.springs[0].clone());
    for n in 1..60 {
        let mut insert = insert.clone();
        insert.part.id = many(n);
        spares.inserts.push(insert);
        let mut valve = valve.clone();
        valve.part.id = many(n);
        spares.valves.push(valve);
        let mut spring = spring.clone();
        spring.part.id = many(n);
        spares.springs.push(spring);
    }
    let shop = Workshop { shims: (0..60).map(stock).collect(), spares, ..shop };
    let plan = plan(&set, &profile(kind), &shop, Effort::default());
    assert_eq!(plan.ports.len(), 64);
    assert!(plan.search.limit_hit || plan.search.proved_best);
}
