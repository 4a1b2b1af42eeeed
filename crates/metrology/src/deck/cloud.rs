//! Points prepared for the search: centred, scaled by powers of two, one row each.

use headproof_quantity::Length;

use crate::MetrologyError;

/// Points whose lateral spread is below this part of their length lie on a line: no two places on a
/// deck are told apart by less than half a micrometre in half a metre.
const LINE: f64 = 1e-6;

/// Points as rows of the linear program of a plane (`M` = 4: x, y, 1, side) or of a line (`M` = 3:
/// distance along it, 1, side). The side, +1 for the upper face and −1 for the lower, is set per use.
pub(super) struct Cloud<const M: usize> {
    pub(super) rows: Vec<[f64; M]>,
    pub(super) heights: Vec<f64>,
}

/// Points of any deck.
pub(super) enum Points {
    /// Places that span a plane, and three of them that do so well.
    Plane(Cloud<4>, [usize; 3]),
    /// Places on a line, its outermost two, and its direction in x and y.
    Line(Cloud<3>, [usize; 2], [f64; 2]),
}

/// Prepared points and the factors that undo the scaling.
pub(super) struct Prepared {
    pub(super) points: Points,
    /// Millimetres of height per scaled height.
    pub(super) height_scale: f64,
    /// Millimetres of place per scaled place.
    pub(super) place_scale: f64,
}

/// One coordinate about the middle of its range, from exact differences.
fn centred(readings: impl Iterator<Item = Length> + Clone, origin: Length) -> (Vec<f64>, f64) {
    let mut amounts: Vec<f64> = readings.map(|reading| (reading - origin).exact().approx()).collect();
    let (least, greatest) =
        amounts.iter().fold((0.0f64, 0.0f64), |(least, greatest), a| (least.min(*a), greatest.max(*a)));
    let middle = 0.5 * (least + greatest);
    amounts.iter_mut().for_each(|amount| *amount -= middle);
    (amounts, greatest - middle)
}

/// The power of two next above `size` (1 for nothing): scaling by it rounds no digit away.
fn power_of_two(size: f64) -> f64 {
    if size > 0.0 { libm::scalbn(1.0, libm::frexp(size).1) } else { 1.0 }
}

/// The index of the greatest measure, the first of equal ones.
fn furthest(measures: impl Iterator<Item = f64>) -> (usize, f64) {
    let first = (0, f64::NEG_INFINITY);
    measures.enumerate().fold(first, |best, (index, m)| if m > best.1 { (index, m) } else { best })
}

impl Prepared {
    /// Centre and scale the points, and see whether they span a plane or a line.
    pub(super) fn new(points: &[(Length, Length, Length)]) -> Result<Self, MetrologyError> {
        let &[origin, ..] = points else {
            return Err(MetrologyError::NotEnough { needed: super::LEAST_POINTS, given: 0 });
        };
        let (mut x, half_x) = centred(points.iter().map(|p| p.0), origin.0);
        let (mut y, half_y) = centred(points.iter().map(|p| p.1), origin.1);
        let (mut heights, half_z) = centred(points.iter().map(|p| p.2), origin.2);
        let (place_scale, height_scale) = (power_of_two(half_x.max(half_y)), power_of_two(half_z));
        x.iter_mut().chain(&mut y).for_each(|place| *place /= place_scale);
        heights.iter_mut().for_each(|height| *height /= height_scale);

        let square = |a: f64| a * a;
        let places = || x.iter().zip(&y);
        let (first, _) = furthest(places().map(|(x, y)| square(*x) + square(*y)));
        let away = |x: f64, y: f64, from: usize, fx: &[f64], fy: &[f64]| (x - fx[from], y - fy[from]);
        let distance = |(dx, dy): (f64, f64)| square(dx) + square(dy);
        let (second, length) = furthest(places().map(|(a, b)| distance(away(*a, *b, first, &x, &y))));
        if length <= 0.0 {
            return Err(MetrologyError::AllSamePlace);
        }
        let (ux, uy) = away(x[second], y[second], first, &x, &y);
        let (third, cross) = furthest(places().map(|(a, b)| {
            let (dx, dy) = away(*a, *b, first, &x, &y);
            (ux * dy - uy * dx).abs()
        }));
        let points = if cross > LINE * length {
            let rows = places().map(|(x, y)| [*x, *y, 1.0, 0.0]).collect();
            Points::Plane(Cloud { rows, heights }, [first, second, third])
        } else {
            let norm = libm::sqrt(length);
            let direction = [ux / norm, uy / norm];
            let along = |x: f64, y: f64| x * direction[0] + y * direction[1];
            let rows = places().map(|(x, y)| [along(*x, *y), 1.0, 0.0]).collect();
            Points::Line(Cloud { rows, heights }, [first, second], direction)
        };
        Ok(Self { points, height_scale, place_scale })
    }
}

impl<const M: usize> Cloud<M> {
    /// The row of a point on a side.
    pub(super) fn row(&self, point: usize, side: f64) -> [f64; M] {
        let mut row = self.rows[point];
        row[M - 1] = side;
        row
    }

    /// Height of each point above the middle plane, whose last number (the half width) is not used.
    pub(super) fn residuals<'a>(&'a self, plane: &'a [f64; M]) -> impl Iterator<Item = f64> + 'a {
        let level = |row: &[f64; M]| -> f64 { (0..M - 1).map(|k| row[k] * plane[k]).sum() };
        self.rows.iter().zip(&self.heights).map(move |(row, height)| height - level(row))
    }
}
