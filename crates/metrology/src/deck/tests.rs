//! Flatness of small sets against exact enumeration.

use headproof_quantity::Exact;

use super::*;
use crate::zone::tests::{Source, Whole, by_enumeration};

/// Points with x and y in whole millimetres and z in whole nanometres.
fn lengths(points: &[Whole]) -> Vec<(Length, Length, Length)> {
    let length = |count, decimals| Length::from_exact(Exact::from_count(count, decimals));
    points.iter().map(|p| (length(p[0], 0), length(p[1], 0), length(p[2], 6))).collect()
}

#[track_caller]
fn check(points: &[Whole], expected_nanometres: f64) {
    let flatness = flatness_minimum_zone(&lengths(points)).expect("a zone");
    let [a, b] = flatness.slopes;
    let vertical = flatness.value.get() * (1.0 + a * a + b * b).sqrt() * 1e6;
    let range = points.iter().map(|p| p[2].abs()).max().unwrap_or(0) as f64;
    let close = (vertical - expected_nanometres).abs() <= 1e-11 * (1.0 + range);
    assert!(close, "{vertical} {expected_nanometres} {points:?}");
}

#[test]
fn random_small_sets_full_of_ties_agree_with_exact_enumeration() {
    let mut source = Source(2026);
    let mut compared = 0;
    for round in 0..6000 {
        let count = 4 + source.below(6) as usize;
        let (side, height) = [(2, 2), (3, 3), (3, 1000), (5, 4), (400, 50)][round % 5];
        let points: Vec<Whole> =
            (0..count).map(|_| [source.below(side), source.below(side), source.below(height)]).collect();
        if let Some(expected) = by_enumeration(&points) {
            check(&points, expected);
            compared += 1;
        }
    }
    assert!(compared > 5000, "{compared}");
}

#[test]
fn repeats_of_a_place_count_with_both_heights() {
    check(&[[0, 0, 0], [100, 0, 0], [0, 100, 0], [0, 0, 7], [0, 0, 7]], 7.0);
    check(&[[0, 0, 5]; 3].into_iter().chain([[10, 0, 5], [0, 10, 5]]).collect::<Vec<_>>(), 0.0);
}

#[test]
fn points_in_one_plane_are_flat() {
    let tilted: Vec<Whole> =
        (0..60).map(|k| [k % 12 * 33, k / 12 * 35, 7 * (k % 12) - 11 * (k / 12)]).collect();
    check(&tilted, 0.0);
    check(&[[0, 0, 3], [1, 0, 3], [0, 1, 3], [1, 1, 3]], 0.0);
}

#[test]
fn places_on_a_line_give_the_zone_of_a_line() {
    // Three collinear points force |z₀ − 2 z₁ + z₂| / 2.
    check(&[[0, 0, 0], [100, 100, 50], [200, 200, 0], [200, 200, 0]], 50.0);
    let sloped = [[0, 0, 0], [30, 40, 1000], [60, 80, 2000], [90, 120, 3100]];
    let flatness = flatness_minimum_zone(&lengths(&sloped)).expect("a line");
    // Middle line from (0, 0) to (150 mm, 3100 nm); the third point lies 66.67 nm below it.
    assert!((flatness.value.get() - 200.0 / 3.0 * 1e-6).abs() < 1e-12);
    assert_eq!((flatness.high, flatness.low), (vec![0, 3], vec![2]));
    let along = flatness.slopes[0] * 0.6 + flatness.slopes[1] * 0.8;
    assert!((along - 3100e-6 / 150.0).abs() < 1e-12);
}

#[test]
fn too_few_points_or_places_are_refused() {
    let three = lengths(&[[0, 0, 0], [1, 0, 0], [0, 1, 0]]);
    let few = MetrologyError::NotEnough { needed: 4, given: 3 };
    assert_eq!(flatness_minimum_zone(&three), Err(few));
    assert_eq!(flatness_minimum_zone(&lengths(&[[5, 5, 0]; 6])), Err(MetrologyError::AllSamePlace));
}
