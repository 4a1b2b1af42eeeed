//! The worst window against all placements of a window, tried one by one.

use headproof_metrology::{MetrologyError, flatness_in_windows, flatness_minimum_zone};
use headproof_quantity::{Exact, Length, Unit};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

type Points = Vec<(Length, Length, Length)>;

/// Places in whole steps of 100 mm, heights in whole micrometres.
fn deck(points: &[(i64, i64, i64)]) -> Points {
    points.iter().map(|p| (steps(p.0), steps(p.1), Length::from_exact(Exact::from_count(p.2, 3)))).collect()
}

fn steps(count: i64) -> Length {
    Length::from_exact(Exact::from_count(count * 100, 0))
}

fn mm(amount: f64) -> Length {
    Length::from_f64(amount, Unit::Millimetre).expect("a length")
}

/// The width of a set along z; nothing for a set that says nothing.
fn along_z(points: &[(Length, Length, Length)]) -> Option<f64> {
    let flatness = flatness_minimum_zone(points).ok()?;
    let [a, b] = flatness.slopes;
    Some(flatness.value.get() * (1.0 + a * a + b * b).sqrt())
}

/// The greatest width in any window with its corner on a grid of half steps: as all places and sides are
/// whole steps, no other placement holds another set.
fn over_all_placements(points: &[(i64, i64, i64)], length: i64, width: i64) -> Option<f64> {
    let mut worst: Option<f64> = None;
    let mut seen = Vec::new();
    for corner in 0..34 * 34 {
        let (x, y) = (corner % 34 - 16, corner / 34 - 16);
        let within = |at: i64, from: i64, side: i64| 2 * at >= from && 2 * at <= from + 2 * side;
        let inside = |p: &(i64, i64, i64)| within(p.0, x, length) && within(p.1, y, width);
        let set: Vec<_> = points.iter().copied().filter(inside).collect();
        if seen.contains(&set) {
            continue;
        }
        if let Some(width) = along_z(&deck(&set)) {
            worst = Some(worst.map_or(width, |worst| worst.max(width)));
        }
        seen.push(set);
    }
    worst
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: if std::env::var("HEADPROOF_COUNTS").is_ok_and(|counts| counts == "long") { 500 } else { 40 },
        rng_seed: RngSeed::Fixed(1101),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn no_placement_is_worse(
        points in prop::collection::vec((0i64..8, 0i64..6, -20i64..=20), 4..24),
        length in 1i64..8,
        width in 1i64..6,
    ) {
        let found = flatness_in_windows(&deck(&points), steps(length), steps(width));
        let Some(worst) = over_all_placements(&points, length, width) else {
            let refused = MetrologyError::NoWindow { length: length as f64 * 100.0, width: width as f64 * 100.0 };
            prop_assert_eq!(found, Err(refused));
            return Ok(());
        };
        let found = found.expect("a window");
        let members: Vec<_> = found.points.iter().map(|point| points[*point]).collect();
        let width_of_members = along_z(&deck(&members)).expect("a window that says something");
        prop_assert!((width_of_members - worst).abs() < 1e-12, "{} {}", width_of_members, worst);
        prop_assert!((found.value.get() - worst).abs() < 1e-5 * (1e-6 + worst), "{} {}", found.value.get(), worst);
        // The points are those that the stated window holds, and the deciding ones are among them.
        let [x, y] = found.window;
        let within = |at: Length, from: Length, side: Length| {
            at >= from && (at - from).exact() <= side.exact()
        };
        let all = deck(&points);
        let inside = |p: &(Length, Length, Length)| {
            within(p.0, x, steps(length)) && within(p.1, y, steps(width))
        };
        let held: Vec<_> = (0..all.len()).filter(|k| inside(&all[*k])).collect();
        prop_assert_eq!(&found.points, &held);
        prop_assert!(found.sensitivity.iter().all(|(point, _)| held.contains(point)));
    }
}

/// A bump of 0.03 mm on a level deck: constructed. Between two level points on either side of it the
/// three force the whole bump, |z₀ − 2 z₁ + z₂| / 2 along their line, whatever else the window holds.
#[test]
fn a_bump_is_worst_where_a_window_holds_it_between_level_points() {
    let points: Vec<_> = (0..60).map(|k| (k % 12, k / 12, if k == 2 * 12 + 7 { 30 } else { 0 })).collect();
    for (length, width, held) in [(2, 2, 9), (2, 1, 6), (4, 3, 20)] {
        let worst = flatness_in_windows(&deck(&points), steps(length), steps(width)).expect("a window");
        assert!((worst.value.get() - 0.03).abs() < 1e-9, "{worst:?}");
        assert_eq!(worst.points.len(), held);
        assert!(worst.points.contains(&(2 * 12 + 7)));
    }
    // At the corner of four points: half the bump.
    let worst = flatness_in_windows(&deck(&points), steps(1), steps(1)).expect("a window");
    assert!((worst.value.get() - 0.015).abs() < 1e-9, "{worst:?}");
}

/// The edge is inside: 150 mm of window hold points 150 mm apart, 149.999 mm do not.
#[test]
fn points_on_both_edges_are_inside() {
    let points: Points = [(0.1, 0.0, 0.0), (150.1, 0.0, 0.01), (0.1, 150.0, 0.01), (150.1, 150.0, 0.0)]
        .map(|(x, y, z)| (mm(x), mm(y), mm(z)))
        .to_vec();
    let worst = |length, width| flatness_in_windows(&points, mm(length), mm(width));
    assert!((worst(150.0, 150.0).expect("all four").value.get() - 0.01).abs() < 1e-9);
    let refused = MetrologyError::NoWindow { length: 149.999, width: 150.0 };
    assert_eq!(worst(149.999, 150.0), Err(refused));
    assert_eq!(
        refused.to_string(),
        "no window of 149.999 mm by 150 mm holds four points at different places"
    );
}

/// Two points at one place force a width of 7 µm, but their window of two points says nothing; the
/// window of the four others does.
#[test]
fn a_window_of_few_points_counts_as_flat() {
    let points = deck(&[(0, 0, 0), (0, 0, 7), (5, 5, 0), (6, 5, 2), (5, 6, 2), (6, 6, 0)]);
    let worst = flatness_in_windows(&points, steps(1), steps(1)).expect("a window");
    assert!((worst.value.get() - 0.002).abs() < 1e-12, "{worst:?}");
    assert_eq!(worst.points, [2, 3, 4, 5]);
}

/// Four readings at one place say how the probe repeats, not how flat the deck is.
#[test]
fn a_window_of_one_place_counts_as_flat() {
    let mut points = vec![(0, 0, 0), (0, 0, 9), (0, 0, 3), (0, 0, 4)];
    let refused = MetrologyError::NoWindow { length: 100.0, width: 100.0 };
    points.push((3, 0, 0));
    assert_eq!(flatness_in_windows(&deck(&points), steps(1), steps(1)), Err(refused));
    points.extend([(4, 0, 0), (3, 1, 1), (4, 1, 0)]);
    let worst = flatness_in_windows(&deck(&points), steps(1), steps(1)).expect("a window");
    assert_eq!(worst.points, [4, 5, 6, 7]);
}

#[test]
fn a_window_along_a_row_of_bolts_measures_its_straightness() {
    let row: Vec<_> = (0..9).map(|k| (k, 0, if k == 6 { 8 } else { 0 })).collect();
    let worst = flatness_in_windows(&deck(&row), steps(4), mm(0.001)).expect("a window");
    assert!((worst.value.get() - 0.008).abs() < 1e-9, "{worst:?}");
}

#[test]
fn windows_without_size_and_decks_without_points_are_refused() {
    let points = deck(&[(0, 0, 0), (1, 0, 0), (0, 1, 0), (1, 1, 1)]);
    let error = flatness_in_windows(&points, mm(0.0), mm(10.0)).expect_err("no length");
    assert_eq!(error.to_string(), "the length of the window must be more than zero, is 0");
    let error = flatness_in_windows(&points, mm(10.0), mm(-1.0)).expect_err("no width");
    assert_eq!(error.to_string(), "the width of the window must be more than zero, is -1");
    let few = MetrologyError::NotEnough { needed: 4, given: 3 };
    assert_eq!(flatness_in_windows(&points[..3], mm(10.0), mm(10.0)), Err(few));
}
