//! Flatness against published and constructed sets, and what must not change it.
//!
//! Values about the least-squares plane are computed with numpy.linalg.lstsq 2.4.6.

use headproof_metrology::{Flatness, flatness_least_squares, flatness_minimum_zone};
use headproof_quantity::{Exact, Length, Unit};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

type Points = Vec<(Length, Length, Length)>;

/// Places in millimetres, heights in whole micrometres.
fn deck(points: &[(i64, i64, i64)]) -> Points {
    let length = |count, decimals| Length::from_exact(Exact::from_count(count, decimals));
    points.iter().map(|p| (length(p.0, 0), length(p.1, 0), length(p.2, 3))).collect()
}

fn grid(columns: &[i64], rows: &[(i64, &[i64])]) -> Points {
    let points = |row: &(i64, &[i64])| {
        let y = row.0;
        columns.iter().zip(row.1).map(move |(x, z)| (*x, y, *z)).collect::<Vec<_>>()
    };
    deck(&rows.iter().flat_map(points).collect::<Vec<_>>())
}

#[track_caller]
fn check(points: &Points, micrometres: f64, about_least_squares: f64) -> Flatness {
    let plane = flatness_least_squares(points).expect("a plane");
    assert!((plane.value.get() * 1000.0 - about_least_squares).abs() < 1e-7, "{plane:?}");
    let flatness = flatness_minimum_zone(points).expect("a zone");
    assert!((flatness.value.get() * 1000.0 - micrometres).abs() < 1e-7, "{flatness:?}");
    let up: f64 = flatness.sensitivity.iter().map(|(_, partial)| partial.max(0.0)).sum();
    let down: f64 = flatness.sensitivity.iter().map(|(_, partial)| partial.min(0.0)).sum();
    assert!((up - 1.0).abs() < 1e-6 && (down + 1.0).abs() < 1e-6, "{flatness:?}");
    flatness
}

/// Constructed set; width confirmed by exact rational enumeration (many planes share it).
#[test]
fn a_dome_over_a_square_grid_measures_its_height() {
    let rows: [(i64, &[i64]); 3] = [(0, &[0, 3, 1]), (100, &[2, 12, 4]), (200, &[1, 2, 0])];
    check(&grid(&[0, 100, 200], &rows), 12.0, 12.166_666_67);
}

/// Constructed set; answer confirmed by exact rational enumeration.
#[test]
fn two_high_and_two_low_corners_that_cross_decide_a_twisted_deck() {
    let points = deck(&[
        (0, 0, 10),
        (200, 0, -8),
        (0, 100, -6),
        (200, 100, 12),
        (100, 50, 1),
        (100, 0, 2),
        (100, 100, 0),
        (0, 50, 3),
        (200, 50, -1),
    ]);
    let flatness = check(&points, 18.0, 19.333_333_33);
    assert_eq!((flatness.high, flatness.low), (vec![0, 3], vec![1, 2]));
    assert!(flatness.slopes[0].abs() < 1e-15 && (flatness.slopes[1] - 0.02e-3).abs() < 1e-15);
}

/// Constructed set; width confirmed by exact rational enumeration (many planes share it).
#[test]
fn a_bowed_grid_has_the_enumerated_width() {
    let rows: [(i64, &[i64]); 3] =
        [(0, &[0, 6, 11, 9, 2]), (75, &[4, 15, 23, 17, 5]), (150, &[-3, 5, 12, 8, 1])];
    check(&grid(&[0, 100, 200, 300, 400], &rows), 23.5, 24.033_333_33);
}

/// Constructed set; answer 52060/2013 µm confirmed by exact rational enumeration.
#[test]
fn one_high_point_over_a_triangle_of_low_ones_decides() {
    let points = deck(&[
        (10, 10, 5),
        (140, 8, -5),
        (280, 12, 14),
        (410, 10, 22),
        (5, 80, -13),
        (120, 75, 8),
        (215, 84, 6),
        (330, 78, 25),
        (415, 85, 2),
        (12, 150, -8),
        (205, 152, -2),
        (408, 148, 18),
    ]);
    let flatness = check(&points, 52060.0 / 2013.0, 27.341_767_03);
    assert_eq!((flatness.high, flatness.low), (vec![7], vec![1, 4, 8]));
    assert!((flatness.slopes[0] - 0.037_092_233_8e-3).abs() < 1e-13);
    assert!((flatness.slopes[1] + 0.041_563_172_7e-3).abs() < 1e-13);
}

/// Nine of the places of a surface plate survey by J. C. Moody, "How to calibrate surface plates in the
/// plant" (The Tool Engineer, 1955; title and year from memory): places in inches, heights in 10⁻⁵ in as
/// reduced from the published readings and rounded. Width 63/4 confirmed by exact rational enumeration.
#[test]
fn the_nine_points_of_a_published_surface_plate() {
    let heights = [[6.0, 15.0, 3.0], [2.0, 14.0, 0.0], [3.0, 18.0, 6.0]];
    let inch = |amount| Length::from_f64(amount, Unit::Inch).expect("a length");
    let mut points = Points::new();
    for (row, y) in heights.iter().zip([0.0, 20.0, 40.0]) {
        for (height, x) in row.iter().zip([0.0, 32.0, 64.0]) {
            points.push((inch(x), inch(y), inch(height / 1e5)));
        }
    }
    check(&points, 63.0 / 4.0 * 0.254, 17.166_666_67 * 0.254);
}

/// Two thousand points of a dome: the deck's corners and its crown.
#[test]
fn a_scanned_deck_of_many_points_is_measured_too() {
    let points: Vec<_> = (0..2000i64)
        .map(|k| {
            let (x, y) = (k % 50 - 25, k / 50 - 20);
            (x * 8, y * 4, 4000 - x * x * 2 - y * y * 3)
        })
        .collect();
    let flatness = flatness_minimum_zone(&deck(&points)).expect("a zone");
    assert!(flatness.value.get() > 2.0 && flatness.value.get() < 2.5, "{flatness:?}");
}

/// Partials by central differences, on a set whose zone is unique (the 3-1 triangle above, shortened).
#[test]
fn sensitivities_are_the_central_differences() {
    let base = [(10, 10, 5), (140, 8, -5), (5, 80, -13), (330, 78, 25), (415, 85, 2), (205, 152, -2)];
    let flatness = flatness_minimum_zone(&deck(&base)).expect("a zone");
    for index in 0..base.len() {
        let moved = |nanometres: i64| {
            let mut points = deck(&base);
            points[index].2 = Length::from_exact(Exact::from_count(base[index].2 * 1000 + nanometres, 6));
            flatness_minimum_zone(&points).expect("a zone").value.get()
        };
        let difference = (moved(100) - moved(-100)) / 200e-6;
        let stated =
            flatness.sensitivity.iter().find(|(i, _)| *i == index).map_or(0.0, |(_, partial)| *partial);
        assert!((difference - stated).abs() < 1e-6, "{index}: {difference} {stated}");
    }
}

/// The width before it is taken square to the planes, which a tilt leaves as it is.
fn vertical(points: &[(Length, Length, Length)]) -> f64 {
    let flatness = flatness_minimum_zone(points).expect("a zone");
    let [a, b] = flatness.slopes;
    flatness.value.get() * (1.0 + a * a + b * b).sqrt()
}

fn plausible_deck() -> impl Strategy<Value = Vec<(i64, i64, i64)>> {
    let corners = [(0, 0, 0), (400, 0, 0), (0, 150, 0)];
    prop::collection::vec((0i64..=400, 0i64..=150, -60i64..=60), 1..40).prop_map(move |mut points| {
        points.extend(corners);
        points
    })
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 96,
        rng_seed: RngSeed::Fixed(1101),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn a_tilt_and_a_lift_change_nothing(points in plausible_deck(), a in -9i64..=9, b in -9i64..=9, c in -500i64..=500) {
        let tilted: Vec<_> = points.iter().map(|p| (p.0, p.1, p.2 + a * p.0 + b * p.1 + c)).collect();
        prop_assert!((vertical(&deck(&points)) - vertical(&deck(&tilted))).abs() < 1e-11);
    }

    #[test]
    fn the_order_of_points_changes_nothing(points in plausible_deck(), turn in 0usize..40) {
        let mut turned = points.clone();
        turned.rotate_left(turn % points.len());
        turned.reverse();
        prop_assert!((vertical(&deck(&points)) - vertical(&deck(&turned))).abs() < 1e-13);
    }

    #[test]
    fn heights_times_a_number_give_a_width_times_that_number(points in plausible_deck(), factor in 2i64..=50) {
        let scaled: Vec<_> = points.iter().map(|p| (p.0, p.1, -p.2 * factor)).collect();
        let (once, times) = (vertical(&deck(&points)), vertical(&deck(&scaled)));
        prop_assert!((once * factor as f64 - times).abs() < 1e-12);
    }

    #[test]
    fn places_times_a_number_change_nothing(points in plausible_deck(), factor in 2i64..=50) {
        let scaled: Vec<_> = points.iter().map(|p| (p.0 * factor, p.1 * factor, p.2)).collect();
        prop_assert!((vertical(&deck(&points)) - vertical(&deck(&scaled))).abs() < 1e-12);
    }

    #[test]
    fn a_repeated_point_changes_nothing(points in plausible_deck(), which in 0usize..40) {
        let mut repeated = points.clone();
        repeated.push(points[which % points.len()]);
        prop_assert!((vertical(&deck(&points)) - vertical(&deck(&repeated))).abs() < 1e-13);
    }

    #[test]
    fn no_point_lies_outside_and_the_deciding_ones_touch(points in plausible_deck()) {
        let flatness = flatness_minimum_zone(&deck(&points)).expect("a zone");
        let [a, b] = flatness.slopes;
        let above = |p: &(i64, i64, i64)| p.2 as f64 / 1000.0 - a * p.0 as f64 - b * p.1 as f64;
        let top = points.iter().map(above).fold(f64::MIN, f64::max);
        let bottom = points.iter().map(above).fold(f64::MAX, f64::min);
        prop_assert!((top - bottom - vertical(&deck(&points))).abs() < 1e-12);
        prop_assert!(flatness.high.iter().all(|k| (above(&points[*k]) - top).abs() < 1e-12));
        prop_assert!(flatness.low.iter().all(|k| (above(&points[*k]) - bottom).abs() < 1e-12));
    }
}
