//! A basis of the linear program: `M` points that touch the two faces of a zone.

use super::cloud::Cloud;

/// Rounding in scaled coordinates: what is smaller counts as nothing.
pub(super) const ROUNDING: f64 = 1e-12;

/// Points and the side each touches: +1 the upper face, −1 the lower.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Basis<const M: usize> {
    pub(super) points: [usize; M],
    pub(super) sides: [f64; M],
}

/// The zone that a basis spans.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Zone<const M: usize> {
    pub(super) basis: Basis<M>,
    /// The middle plane (slopes, level) and, last, half the width.
    pub(crate) plane: [f64; M],
    /// Partial of the half width to each basis point's height; its size is the multiplier.
    pub(super) partials: [f64; M],
    /// How often all points were looked at to find it.
    pub(crate) passes: usize,
}

/// A point that decides a zone's width.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Touching {
    pub(crate) point: usize,
    /// On the upper face, not the lower.
    pub(crate) upper: bool,
    /// Partial of the width to the point's height.
    pub(crate) partial: f64,
}

/// The inverse of a small matrix of elements of about 1, by Gauss–Jordan elimination with row pivoting;
/// `None` when it is singular but for rounding.
pub(crate) fn inverse<const M: usize>(mut a: [[f64; M]; M]) -> Option<[[f64; M]; M]> {
    let mut b = [[0.0; M]; M];
    (0..M).for_each(|k| b[k][k] = 1.0);
    for column in 0..M {
        let mut pivot = column;
        for row in column + 1..M {
            if a[row][column].abs() > a[pivot][column].abs() {
                pivot = row;
            }
        }
        if a[pivot][column].abs() < ROUNDING {
            return None;
        }
        a.swap(column, pivot);
        b.swap(column, pivot);
        let scale = 1.0 / a[column][column];
        for k in 0..M {
            a[column][k] *= scale;
            b[column][k] *= scale;
        }
        for row in 0..M {
            let factor = a[row][column];
            if row != column && factor != 0.0 {
                for k in 0..M {
                    a[row][k] -= factor * a[column][k];
                    b[row][k] -= factor * b[column][k];
                }
            }
        }
    }
    Some(b)
}

impl<const M: usize> Basis<M> {
    /// The zone whose faces pass through the basis points, and the inverse of their rows; `None` when the
    /// points do not fix one.
    pub(super) fn zone(&self, cloud: &Cloud<'_, M>) -> Option<(Zone<M>, [[f64; M]; M])> {
        let mut rows = [[0.0; M]; M];
        for (k, row) in rows.iter_mut().enumerate() {
            *row = cloud.row(self.points[k], self.sides[k]);
        }
        let inverse = inverse(rows)?;
        let mut plane = [0.0; M];
        for (value, row) in plane.iter_mut().zip(&inverse) {
            *value = (0..M).map(|k| row[k] * cloud.heights[self.points[k]]).sum();
        }
        Some((Zone { basis: *self, plane, partials: inverse[M - 1], passes: 1 }, inverse))
    }

    /// A first basis: `spanning` places and the point that lies furthest from the plane through them,
    /// each on the side that gives it a multiplier of zero or more.
    pub(super) fn first(cloud: &Cloud<'_, M>, spanning: &[usize]) -> Option<Self> {
        let mut basis = Self { points: [spanning[0]; M], sides: [0.0; M] };
        basis.points[..M - 1].copy_from_slice(spanning);
        // Any other point with a side of its own makes the rows independent; the plane does not depend
        // on which.
        let other = (0..cloud.rows.len()).find(|point| !spanning.contains(point))?;
        basis.points[M - 1] = other;
        basis.sides[M - 1] = 1.0;
        let through = basis.zone(cloud)?.0.plane;
        let mut furthest = (other, 0.0);
        for (point, residual) in cloud.residuals(&through).enumerate() {
            if !spanning.contains(&point) && residual.abs() > furthest.1 {
                furthest = (point, residual.abs());
            }
        }
        basis.points[M - 1] = furthest.0;
        let (zone, _) = basis.zone(cloud)?;
        let upright = if zone.plane[M - 1] < 0.0 { -1.0 } else { 1.0 };
        for (side, partial) in basis.sides.iter_mut().zip(zone.partials) {
            *side = if partial < 0.0 { -upright } else { upright };
        }
        Some(basis)
    }
}

impl<const M: usize> Zone<M> {
    pub(super) fn half_width(&self) -> f64 {
        self.plane[M - 1]
    }

    /// How far the faces stand apart, in the direction of the heights.
    pub(crate) fn width(&self) -> f64 {
        2.0 * self.half_width().max(0.0)
    }

    /// The points that decide the width, ascending.
    pub(crate) fn touching(&self) -> Vec<Touching> {
        let deciding = (0..M).filter(|k| self.multiplier(*k) > ROUNDING);
        let mut touching: Vec<Touching> = deciding
            .map(|k| Touching {
                point: self.basis.points[k],
                upper: self.basis.sides[k] > 0.0,
                partial: 2.0 * self.partials[k],
            })
            .collect();
        touching.sort_unstable_by_key(|touching| touching.point);
        touching
    }

    /// The multiplier of basis point `k`: zero or more in a zone that cannot be bettered.
    pub(super) fn multiplier(&self, k: usize) -> f64 {
        self.basis.sides[k] * self.partials[k]
    }

    /// How far outside a point may seem to lie by rounding alone; steep planes round more.
    pub(super) fn tolerance(&self) -> f64 {
        ROUNDING * (1.0 + self.plane.iter().map(|value| value.abs()).sum::<f64>())
    }

    /// The proof that no zone is narrower: multipliers of zero or more that sum to ½ on each side and
    /// balance about both axes (weak duality), and no point outside.
    ///
    /// Works from the points alone, without the inverse.
    pub(super) fn is_proved_least(&self, cloud: &Cloud<'_, M>) -> bool {
        let mut moments = [0.0; M];
        let mut lower_bound = 0.0;
        for k in 0..M {
            let point = self.basis.points[k];
            let row = cloud.row(point, self.basis.sides[k]);
            (0..M).for_each(|c| moments[c] += self.partials[k] * row[c]);
            lower_bound += self.partials[k] * cloud.heights[point];
        }
        moments[M - 1] -= 1.0;
        let tolerance = self.tolerance();
        let reach = cloud.residuals(&self.plane).fold(0.0f64, |reach, residual| reach.max(residual.abs()));
        (0..M).all(|k| self.multiplier(k) >= -ROUNDING)
            && moments.iter().all(|moment| moment.abs() <= ROUNDING)
            && reach - lower_bound <= tolerance
            && (lower_bound - self.half_width()).abs() <= tolerance
    }
}
