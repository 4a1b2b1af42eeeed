//! The search against exact enumeration of all bases in whole numbers, on sets full of ties.

use headproof_quantity::Exact;

use super::*;

/// Points with x and y in whole millimetres and z in whole nanometres.
type Whole = [i64; 3];

fn lengths(points: &[Whole]) -> Vec<(Length, Length, Length)> {
    let length = |count, decimals| Length::from_exact(Exact::from_count(count, decimals));
    points.iter().map(|p| (length(p[0], 0), length(p[1], 0), length(p[2], 6))).collect()
}

/// A repeatable source of whole numbers (a linear congruential generator, Knuth's multiplier).
struct Source(u64);

impl Source {
    fn below(&mut self, bound: i64) -> i64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as i64 % bound
    }
}

fn combinations(count: usize, size: usize) -> Vec<Vec<usize>> {
    (0usize..1 << count)
        .filter(|set| set.count_ones() as usize == size)
        .map(|set| (0..count).filter(|k| set >> k & 1 == 1).collect())
        .collect()
}

/// Twice the signed area of a triangle of places.
fn area(a: Whole, b: Whole, c: Whole) -> i64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

/// The width that four points force: |Σ α z| over ½ Σ |α|, α being their one affine dependence.
fn forced_by(p: [Whole; 4]) -> Option<f64> {
    let alpha =
        [area(p[1], p[2], p[3]), -area(p[0], p[2], p[3]), area(p[0], p[1], p[3]), -area(p[0], p[1], p[2])];
    let size: i64 = alpha.iter().map(|a| a.abs()).sum();
    let force: i64 = alpha.iter().zip(p).map(|(a, p)| a * p[2]).sum();
    (size > 0).then(|| 2.0 * force.abs() as f64 / size as f64)
}

/// The least vertical zone in nanometres: the most that any four points force (linear duality).
fn by_enumeration(points: &[Whole]) -> Option<f64> {
    combinations(points.len(), 4)
        .iter()
        .filter_map(|set| forced_by(std::array::from_fn(|k| points[set[k]])))
        .reduce(f64::max)
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
fn whole_numbers_find_the_zone_of_exact_enumeration_too() {
    let mut source = Source(7);
    let mut compared = 0;
    for round in 0..2000 {
        let count = 4 + source.below(6) as usize;
        let (side, height) = [(2, 2), (3, 3), (4, 100), (400, 50)][round % 4];
        let points: Vec<Whole> =
            (0..count).map(|_| [source.below(side), source.below(side), source.below(height)]).collect();
        let Some(expected) = by_enumeration(&points) else { continue };
        let prepared = Prepared::new(&lengths(&points)).expect("places that span a plane");
        let Points::Plane(cloud, spanning) = &prepared.points else { panic!("spans a plane") };
        let zone = whole::exchange(cloud, spanning).expect("a zone");
        let width = 2.0 * zone.half_width() * prepared.height_scale * 1e6;
        assert!((width - expected).abs() < 1e-10 * (1.0 + height as f64), "{width} {expected} {points:?}");
        compared += 1;
    }
    assert!(compared > 1500, "{compared}");
}

/// Places that scatter by a few steps of 10 nm about a coarse grid: bases of nearly collinear or nearly
/// equal places. Enumeration is exact here as well.
#[test]
fn nearly_collinear_places_agree_with_exact_enumeration() {
    let mut source = Source(3);
    let mut by_whole_numbers = 0;
    for _ in 0..3000 {
        let count = 4 + source.below(6) as usize;
        let mut near = |pitch: i64| source.below(3) * pitch + source.below(4);
        let places: Vec<[i64; 2]> = (0..count).map(|_| [near(10_000_000), near(7_000_000)]).collect();
        let points: Vec<Whole> = places.iter().map(|p| [p[0], p[1], source.below(5)]).collect();
        let tens = |count| Length::from_exact(Exact::from_count(count, 5));
        let lengths: Vec<_> = points.iter().map(|p| (tens(p[0]), tens(p[1]), tens(p[2]))).collect();
        let Some(expected) = by_enumeration(&points) else { continue };
        let Ok(prepared) = Prepared::new(&lengths) else { continue };
        let Points::Plane(cloud, spanning) = &prepared.points else { continue };
        let in_doubles = Basis::first(cloud, spanning).and_then(|first| exchange::exchange(cloud, first));
        by_whole_numbers += usize::from(!in_doubles.is_some_and(|zone| zone.is_proved_least(cloud)));
        let width = 2.0 * least_zone(cloud, spanning).expect("a zone").half_width() * prepared.height_scale;
        assert!((width * 1e5 - expected).abs() < 1e-6, "{width} {expected} {points:?}");
    }
    assert!(by_whole_numbers > 0, "some of these must be beyond doubles, or the slow way is not tried");
}

/// Every regular grid of a deck, with heights of very few values: the exchange must not go round in
/// circles, nor leave the proof to the slow way.
#[test]
fn large_grids_of_ties_are_proved_by_the_exchange_itself() {
    let mut source = Source(99);
    for round in 0..600 {
        let (columns, rows) = (2 + source.below(14), 2 + source.below(7));
        let height = 1 + source.below(4);
        let points: Vec<Whole> = (0..columns * rows)
            .map(|k| {
                [k % columns * 37, k / columns * 31, source.below(height) * 1000 + k % columns * (round % 7)]
            })
            .collect();
        let prepared = Prepared::new(&lengths(&points)).expect("a grid");
        let Points::Plane(cloud, spanning) = &prepared.points else { panic!("a grid spans a plane") };
        let first = Basis::first(cloud, spanning).expect("a basis");
        let zone = exchange::exchange(cloud, first).expect("an end");
        assert!(zone.is_proved_least(cloud), "{points:?}");
    }
}

#[test]
fn a_zone_that_is_too_wide_or_too_narrow_fails_the_proof() {
    let points = [[0, 0, 0], [100, 0, 0], [0, 100, 0], [100, 100, 8], [50, 50, 20]];
    let prepared = Prepared::new(&lengths(&points)).expect("five points");
    let Points::Plane(cloud, spanning) = &prepared.points else { panic!("spans a plane") };
    let zone = least_zone(cloud, spanning).expect("a zone");
    assert!(zone.is_proved_least(cloud));
    let mut narrow = zone;
    narrow.plane[3] *= 1.0 - 1e-9;
    assert!(!narrow.is_proved_least(cloud));
    let mut shifted = zone;
    shifted.plane[2] += 1e-9;
    assert!(!shifted.is_proved_least(cloud));
    let mut unbalanced = zone;
    unbalanced.partials[0] += 1e-9;
    assert!(!unbalanced.is_proved_least(cloud));
    let mut other_side = zone;
    other_side.basis.sides = other_side.basis.sides.map(|side| -side);
    assert!(!other_side.is_proved_least(cloud));
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
