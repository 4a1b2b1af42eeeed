//! The exchange method in whole numbers, for point sets whose rounding defeats it in doubles (three
//! places of a basis within micrometres of one line, or of each other).
//!
//! Places are taken to 2⁻²⁵ and heights to 2⁻⁴⁰ of their scaled size: places to 8 nm on a deck of half
//! a metre, which moves a width by less than 8 nm times the slopes (places round a seat: by less than
//! 3·10⁻⁸ of its eccentricity). From there on nothing is rounded,
//! every product stays below 2¹²⁰, and with Bland's rule the exchange always ends at the least zone.

use super::basis::{Basis, Zone};
use super::cloud::Cloud;

const PLACE_STEPS: f64 = (1u64 << 25) as f64;
/// What a pass over the points costs, in passes in doubles.
const PASSES: usize = 16;
const HEIGHT_STEPS: f64 = (1u64 << 40) as f64;

/// Points in whole steps.
struct Whole<const M: usize> {
    rows: Vec<[i128; M]>,
    heights: Vec<i128>,
}

/// What a basis spans; everything but the sides is multiplied by the (positive) determinant.
struct WholeZone<const M: usize> {
    determinant: i128,
    plane: [i128; M],
    inverse: [[i128; M]; M],
}

/// The inverse of a matrix times its determinant, made positive, and that determinant; by
/// fraction-free elimination, in which every division leaves nothing. `None` when it is singular.
fn inverse<const M: usize>(mut a: [[i128; M]; M]) -> Option<([[i128; M]; M], i128)> {
    let mut b = [[0; M]; M];
    (0..M).for_each(|k| b[k][k] = 1);
    let mut previous = 1;
    for column in 0..M {
        let pivot_row = (column..M).find(|row| a[*row][column] != 0)?;
        a.swap(column, pivot_row);
        b.swap(column, pivot_row);
        let pivot = a[column][column];
        for row in (0..M).filter(|row| *row != column) {
            let factor = a[row][column];
            for k in 0..M {
                a[row][k] = (pivot * a[row][k] - factor * a[column][k]) / previous;
                b[row][k] = (pivot * b[row][k] - factor * b[column][k]) / previous;
            }
        }
        previous = pivot;
    }
    let sign = previous.signum();
    Some((b.map(|row| row.map(|value| sign * value)), sign * previous))
}

impl<const M: usize> Whole<M> {
    fn new(cloud: &Cloud<'_, M>) -> Self {
        let steps = |row: &[f64; M]| {
            let mut whole = [0; M];
            (0..M - 2).for_each(|k| whole[k] = (row[k] * PLACE_STEPS).round() as i128);
            whole[M - 2] = 1;
            whole
        };
        Self {
            rows: cloud.rows.iter().map(steps).collect(),
            heights: cloud.heights.iter().map(|height| (height * HEIGHT_STEPS).round() as i128).collect(),
        }
    }

    fn row(&self, point: usize, side: i128) -> [i128; M] {
        let mut row = self.rows[point];
        row[M - 1] = side;
        row
    }

    fn zone(&self, points: &[usize; M], sides: &[i128; M]) -> Option<WholeZone<M>> {
        let rows = std::array::from_fn(|k| self.row(points[k], sides[k]));
        let (inverse, determinant) = inverse(rows)?;
        let plane = inverse.map(|row| (0..M).map(|k| row[k] * self.heights[points[k]]).sum());
        Some(WholeZone { determinant, plane, inverse })
    }

    /// Heights above the middle plane, times the determinant.
    fn residuals<'a>(&'a self, zone: &'a WholeZone<M>) -> impl Iterator<Item = i128> + 'a {
        let level = |row: &[i128; M]| -> i128 { (0..M - 1).map(|k| row[k] * zone.plane[k]).sum() };
        self.rows.iter().zip(&self.heights).map(move |(row, height)| height * zone.determinant - level(row))
    }

    /// See [`Basis::first`].
    fn first(&self, spanning: &[usize]) -> Option<([usize; M], [i128; M])> {
        let mut points = [(0..self.rows.len()).find(|point| !spanning.contains(point))?; M];
        points[..M - 1].copy_from_slice(spanning);
        let mut sides = [0; M];
        sides[M - 1] = 1;
        let through = self.zone(&points, &sides)?;
        let mut furthest = 0;
        for (point, residual) in self.residuals(&through).enumerate() {
            if !spanning.contains(&point) && residual.abs() > furthest {
                (points[M - 1], furthest) = (point, residual.abs());
            }
        }
        let zone = self.zone(&points, &sides)?;
        let upright = if zone.plane[M - 1] < 0 { -1 } else { 1 };
        Some((points, zone.inverse[M - 1].map(|partial| if partial < 0 { -upright } else { upright })))
    }

    /// A point outside the zone and its side: the furthest, or the first when `tied`.
    fn entering(&self, zone: &WholeZone<M>, tied: bool) -> Option<(usize, i128)> {
        let mut reach = zone.plane[M - 1];
        let mut found = None;
        for (point, residual) in self.residuals(zone).enumerate() {
            if residual.abs() > reach {
                found = Some((point, residual.signum()));
                if tied {
                    break;
                }
                reach = residual.abs();
            }
        }
        found
    }
}

/// The least zone; `None` only when the places do not span what `spanning` says they do.
pub(super) fn exchange<const M: usize>(cloud: &Cloud<'_, M>, spanning: &[usize]) -> Option<Zone<M>> {
    let whole = Whole::new(cloud);
    let (mut points, mut sides) = whole.first(spanning)?;
    let mut tied = false;
    let mut passes = 0;
    loop {
        passes += PASSES;
        let zone = whole.zone(&points, &sides)?;
        let Some((point, side)) = whole.entering(&zone, tied) else {
            return Some(Zone { passes, ..in_doubles(&zone, points, sides) });
        };
        let row = whole.row(point, side);
        let order = |k: usize| 2 * points[k] + usize::from(sides[k] < 0);
        // (position, multiplier, loss) with the least multiplier over loss, the lowest order of equals.
        let candidates = (0..M).filter_map(|k| {
            let share: i128 = (0..M).map(|c| row[c] * zone.inverse[c][k]).sum();
            let loss = sides[k] * side * share;
            (loss > 0).then_some((k, sides[k] * zone.inverse[M - 1][k], loss))
        });
        let (leaving, multiplier, _) =
            candidates.min_by(|a, b| (a.1 * b.2).cmp(&(b.1 * a.2)).then(order(a.0).cmp(&order(b.0))))?;
        tied = multiplier == 0;
        points[leaving] = point;
        sides[leaving] = side;
    }
}

fn in_doubles<const M: usize>(zone: &WholeZone<M>, points: [usize; M], sides: [i128; M]) -> Zone<M> {
    let part = |value: i128| value as f64 / zone.determinant as f64;
    let mut plane = zone.plane.map(|value| part(value) / HEIGHT_STEPS);
    plane[..M - 2].iter_mut().for_each(|slope| *slope *= PLACE_STEPS);
    Zone {
        basis: Basis { points, sides: sides.map(|side| side as f64) },
        plane,
        partials: zone.inverse[M - 1].map(part),
        passes: PASSES,
    }
}
