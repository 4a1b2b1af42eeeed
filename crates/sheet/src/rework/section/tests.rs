use headproof_wire::{PlanCut, PlanTarget};

use super::*;

/// An intake seat of 45° with 30° and 60°, edges at 16.5 mm and 15.0 mm.
const OLD: (f64, f64) = (16.5, 15.0);
/// Its edges after feeds of 0.10 mm (seat), 0.15 mm (top) and 0.12 mm (throat), in exact arithmetic; plane
/// geometry.
const NEW: (f64, f64) = (16.381_698_729_810_8, 15.027_320_508_075_7);

fn cut(kind: &'static str, angle: f64, feed: f64) -> PlanCut {
    PlanCut {
        cut: kind.into(),
        cutter: None,
        angle,
        feed: Some(feed),
        tolerance: 0.03,
        outer_diameter: 0.0,
        inner_diameter: 0.0,
        width: 0.0,
        touches_first: None,
    }
}

fn work(cuts: Vec<PlanCut>, (outer, inner): (f64, f64), degrees: f64) -> SeatWork {
    let target = |size: f64| PlanTarget { size, tolerance: 0.05 };
    SeatWork {
        cuts,
        outer_diameter: target(2.0 * outer),
        inner_diameter: target(2.0 * inner),
        width: target((outer - inner) / libm::cos(degrees.to_radians())),
    }
}

fn three_cuts() -> Vec<PlanCut> {
    vec![
        cut("seat", 45.0, 0.09),
        cut("top", 30.0, 0.15),
        cut("throat", 60.0, 0.12),
        cut("light-turns", 45.0, 0.01),
    ]
}

fn measured(top: f64, seat: f64, throat: f64) -> Angles {
    let angle = |degrees| Some((degrees, Known::Measured));
    Angles { top: angle(top), seat: angle(seat), throat: angle(throat) }
}

fn sizes((outer, inner): (f64, f64)) -> Option<Sizes> {
    Some(Sizes { outer: Some(2.0 * outer), inner: Some(2.0 * inner), width: None })
}

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-9, "{found} is not {expected}");
}

#[test]
fn the_seat_before_follows_from_the_feeds_where_it_was_not_measured() {
    let section = Section::new(&work(three_cuts(), NEW, 45.0), &Angles::default(), None, false).unwrap();
    let before = section.before.unwrap();
    near(before.outer.radius, OLD.0);
    near(before.inner.radius, OLD.1);
    // The old outer edge lies the top cutter's feed above its line, the old inner edge likewise.
    near(before.outer.height, (OLD.0 - NEW.0) * section.after.top + 0.15);
    let throat = section.after.inner.height + (OLD.1 - NEW.1) * section.after.throat;
    near(before.inner.height, throat + 0.12);
}

#[test]
fn measured_sizes_and_feeds_give_the_same_seat_before() {
    let work = work(three_cuts(), NEW, 45.0);
    let from_feeds = Section::new(&work, &Angles::default(), None, false).unwrap().before.unwrap();
    let from_sizes = Section::new(&work, &measured(30.0, 45.0, 60.0), sizes(OLD), false).unwrap();
    let from_sizes = from_sizes.before.unwrap();
    for (one, other) in [(from_feeds.outer, from_sizes.outer), (from_feeds.inner, from_sizes.inner)] {
        near(one.radius, other.radius);
        near(one.height, other.height);
    }
}

/// A cutter takes metal away: nowhere is there more of it afterwards.
#[test]
fn no_cut_adds_metal() {
    let only_seat = |degrees: f64, touches: &'static str, feed: f64| {
        let [top, slope, throat] = [30.0, 45.0, 60.0].map(tangent);
        let steep = tangent(degrees);
        let drop = (OLD.0 - OLD.1) * slope;
        // The cutter's line through the edge it touches first, lowered by its feed, over the old outer edge.
        let line = if touches == "inner-edge" { -drop + (OLD.0 - OLD.1) * steep } else { 0.0 } - feed;
        let outer = OLD.0 + line / (top - steep);
        let inner = OLD.1 + (line + drop - (OLD.0 - OLD.1) * steep) / (throat - steep);
        let mut cut = cut("seat", degrees, feed);
        cut.touches_first = Some(touches.into());
        (work(vec![cut], (outer, inner), degrees), measured(30.0, 45.0, 60.0), sizes(OLD))
    };
    let cases = [
        (work(three_cuts(), NEW, 45.0), measured(30.0, 45.0, 60.0), sizes(OLD)),
        (work(vec![cut("form", 45.0, 0.2)], OLD, 45.0), measured(30.0, 45.0, 60.0), sizes(OLD)),
        only_seat(45.5, "inner-edge", 0.1),
        only_seat(44.5, "outer-edge", 0.1),
    ];
    for (work, angles, sizes) in cases {
        let section = Section::new(&work, &angles, sizes, false).unwrap();
        let before = section.before.unwrap();
        for step in 0..=400 {
            let radius = 14.0 + f64::from(step) * 0.01;
            let (old, new) = (before.metal(radius), section.after.metal(radius));
            assert!(new <= old + 1e-9, "{new} over {old} at {radius}: {section:?}");
        }
    }
}

#[test]
fn a_cone_that_is_not_cut_keeps_its_angle_and_says_how_that_is_known() {
    let seat = || work(vec![cut("seat", 45.0, 0.1)], (16.7, 15.1), 45.0);
    let angles = Angles { top: Some((31.0, Known::Nominal)), ..Angles::default() };
    let section = Section::new(&seat(), &angles, None, false).unwrap();
    assert_eq!(section.top, Cone { degrees: 31.0, known: Known::Nominal });
    assert_eq!(section.throat, Cone { degrees: 60.0, known: Known::Guessed });
    assert!(section.before.is_none(), "neither sizes nor feeds tell where the old edges were");
    let form = work(vec![cut("form", 45.0, 0.1)], OLD, 45.0);
    assert_eq!(Section::new(&form, &angles, None, false).unwrap().top.known, Known::Form);
}

#[test]
fn new_metal_has_no_seat_before() {
    let section = Section::new(&work(three_cuts(), NEW, 45.0), &Angles::default(), sizes(OLD), true).unwrap();
    assert!(section.before.is_none());
}

#[test]
fn sizes_that_make_no_seat_are_not_drawn() {
    let none = |work: &SeatWork, angles: &Angles| Section::new(work, angles, None, false).is_none();
    for (outer, inner, width) in [
        (15.0, 16.0, 1.4),
        (15.0, 15.0, 1.4),
        (16.0, 15.0, 0.0),
        (16.0, 15.0, 0.9),
        (f64::NAN, 15.0, 1.4),
        (16.0, -1.0, 1.4),
    ] {
        let mut work = work(three_cuts(), (outer, inner), 45.0);
        work.width.size = width;
        assert!(none(&work, &Angles::default()), "{outer} {inner} {width}");
    }
    let steep_top = Angles { top: Some((50.0, Known::Measured)), ..Angles::default() };
    assert!(none(&work(vec![cut("seat", 45.0, 0.1)], (16.7, 15.1), 45.0), &steep_top));
}
