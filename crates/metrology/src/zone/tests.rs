//! The search against exact enumeration of all bases in whole numbers, on sets full of ties.

use super::*;

/// Places and heights in whole numbers.
pub(crate) type Whole = [i64; 3];

/// A repeatable source of whole numbers (a linear congruential generator, Knuth's multiplier).
pub(crate) struct Source(pub(crate) u64);

impl Source {
    pub(crate) fn below(&mut self, bound: i64) -> i64 {
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

/// The least zone: the most that any four points force (linear duality).
pub(crate) fn by_enumeration(points: &[Whole]) -> Option<f64> {
    combinations(points.len(), 4)
        .iter()
        .filter_map(|set| forced_by(std::array::from_fn(|k| points[set[k]])))
        .reduce(f64::max)
}

/// Points prepared as those of a deck are.
struct Plane {
    rows: Vec<[f64; 4]>,
    heights: Vec<f64>,
    spanning: [usize; 3],
    height_scale: f64,
}

impl Plane {
    /// `None` for places on a line, or so nearly that a deck takes them for one.
    fn new(points: &[Whole]) -> Option<Self> {
        let column = |k: usize| centred(points.iter().map(|point| point[k] as f64).collect());
        let ((x, half_x), (y, half_y), (z, half_z)) = (column(0), column(1), column(2));
        let half = half_x.max(half_y);
        let ((x, _), (y, _), (heights, height_scale)) = (scaled(x, half), scaled(y, half), scaled(z, half_z));
        let away = |k: usize| (x[k] - x[0], y[k] - y[0]);
        let size = |k: usize| away(k).0 * away(k).0 + away(k).1 * away(k).1;
        let furthest = |measure: &dyn Fn(usize) -> f64| {
            (0..points.len()).max_by(|a, b| measure(*a).total_cmp(&measure(*b))).unwrap_or(0)
        };
        let second = furthest(&size);
        let cross = |k: usize| (away(second).0 * away(k).1 - away(second).1 * away(k).0).abs();
        let third = furthest(&cross);
        let rows = x.iter().zip(&y).map(|(x, y)| [*x, *y, 1.0, 0.0]).collect();
        let plane = Self { rows, heights, spanning: [0, second, third], height_scale };
        (cross(third) > 1e-6 * size(second)).then_some(plane)
    }

    fn cloud(&self) -> Cloud<'_, 4> {
        Cloud { rows: &self.rows, heights: &self.heights }
    }

    fn width(&self, zone: Option<Zone<4>>) -> f64 {
        zone.expect("a zone").width() * self.height_scale
    }
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
        let plane = Plane::new(&points).expect("places that span a plane");
        let width = plane.width(whole::exchange(&plane.cloud(), &plane.spanning));
        assert!((width - expected).abs() < 1e-10 * (1.0 + height as f64), "{width} {expected} {points:?}");
        compared += 1;
    }
    assert!(compared > 1500, "{compared}");
}

/// Places that scatter by a few steps about a coarse grid: bases of nearly collinear or nearly equal
/// places. Enumeration is exact here as well.
#[test]
fn nearly_collinear_places_agree_with_exact_enumeration() {
    let mut source = Source(3);
    let mut by_whole_numbers = 0;
    for _ in 0..3000 {
        let count = 4 + source.below(6) as usize;
        let mut near = |pitch: i64| source.below(3) * pitch + source.below(4);
        let places: Vec<[i64; 2]> = (0..count).map(|_| [near(10_000_000), near(7_000_000)]).collect();
        let points: Vec<Whole> = places.iter().map(|p| [p[0], p[1], source.below(5)]).collect();
        let Some(expected) = by_enumeration(&points) else { continue };
        let Some(plane) = Plane::new(&points) else { continue };
        let proved = in_doubles(&plane.cloud(), &plane.spanning)
            .is_some_and(|zone| zone.is_proved_least(&plane.cloud()));
        by_whole_numbers += usize::from(!proved);
        let width = plane.width(least_zone(&plane.cloud(), &plane.spanning));
        assert!((width - expected).abs() < 1e-6, "{width} {expected} {points:?}");
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
        let plane = Plane::new(&points).expect("a grid spans a plane");
        let zone = in_doubles(&plane.cloud(), &plane.spanning).expect("an end");
        assert!(zone.is_proved_least(&plane.cloud()), "{points:?}");
    }
}

/// Places on a circle, heights of very few values: as on a deck, the exchange itself must end.
#[test]
fn turns_of_ties_are_proved_by_the_exchange_itself() {
    let mut source = Source(12181);
    for round in 0..600 {
        let count = 4 + source.below(if round % 10 == 0 { 700 } else { 60 });
        let height = 2 + source.below(5);
        let place = |k: i64| libm::sincos(2.0 * std::f64::consts::PI * k as f64 / count as f64);
        let rows: Vec<_> = (0..count).map(place).map(|(sine, cosine)| [cosine, sine, 1.0, 0.0]).collect();
        let heights: Vec<_> =
            (0..count).map(|_| source.below(height) as f64 / (height - 1) as f64 - 0.5).collect();
        let cloud = Cloud { rows: &rows, heights: &heights };
        let count = rows.len();
        let zone = in_doubles(&cloud, &[0, count / 3, 2 * count / 3]).expect("an end");
        assert!(zone.is_proved_least(&cloud), "{heights:?}");
    }
}

#[test]
fn a_zone_that_is_too_wide_or_too_narrow_fails_the_proof() {
    let plane = Plane::new(&[[0, 0, 0], [100, 0, 0], [0, 100, 0], [100, 100, 8], [50, 50, 20]])
        .expect("places that span a plane");
    let cloud = &plane.cloud();
    let zone = least_zone(cloud, &plane.spanning).expect("a zone");
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
