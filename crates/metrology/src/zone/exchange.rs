//! The exchange method: one point in, one point out, until no point lies outside the zone.
//!
//! This is the simplex method on the dual of the Chebyshev plane. The point furthest outside enters;
//! when an exchange did not widen the zone (ties), entering and leaving follow the lowest index until it
//! widens again, so that no basis can return (Bland's rule).

use super::basis::{Basis, ROUNDING, Zone};
use super::cloud::Cloud;

/// More exchanges than this mean that rounding leads in circles.
const MOST_EXCHANGES: usize = 500;

/// The zone where the exchange ends; `None` when it does not end.
pub(super) fn exchange<const M: usize>(cloud: &Cloud<'_, M>, first: Basis<M>) -> Option<Zone<M>> {
    let mut basis = first;
    let mut tied = false;
    for exchanges in 0..MOST_EXCHANGES {
        let (zone, inverse) = basis.zone(cloud)?;
        let Some((point, side)) = entering(cloud, &zone, tied) else {
            return Some(Zone { passes: exchanges + 1, ..zone });
        };
        let (leaving, step) = leaving(&zone, &inverse, &cloud.row(point, side), tied);
        tied = step <= ROUNDING;
        basis.points[leaving] = point;
        basis.sides[leaving] = side;
    }
    None
}

/// A point outside the zone and the side it is on: the furthest, or the first when `tied`.
fn entering<const M: usize>(cloud: &Cloud<'_, M>, zone: &Zone<M>, tied: bool) -> Option<(usize, f64)> {
    let mut reach = zone.half_width() + zone.tolerance();
    let mut found = None;
    for (point, residual) in cloud.residuals(&zone.plane).enumerate() {
        if residual.abs() > reach {
            found = Some((point, if residual < 0.0 { -1.0 } else { 1.0 }));
            if tied {
                break;
            }
            reach = residual.abs();
        }
    }
    found
}

/// The basis position that leaves, and how much multiplier the entering point gains.
fn leaving<const M: usize>(
    zone: &Zone<M>,
    inverse: &[[f64; M]; M],
    row: &[f64; M],
    tied: bool,
) -> (usize, f64) {
    // The position in the order of all (point, side) pairs, for ties.
    let order = |k: usize| 2 * zone.basis.points[k] + usize::from(zone.basis.sides[k] < 0.0);
    let mut best: Option<(usize, f64, f64)> = None;
    for k in 0..M {
        let share: f64 = row.iter().zip(inverse).map(|(part, line)| part * line[k]).sum();
        let loss = zone.basis.sides[k] * row[M - 1] * share;
        // The losses sum to 1: at least one is large.
        if loss <= ROUNDING {
            continue;
        }
        let step = zone.multiplier(k).max(0.0) / loss;
        let better = best.is_none_or(|(held, least, held_loss)| {
            if (step - least).abs() * loss.max(held_loss) <= ROUNDING {
                if tied { order(k) < order(held) } else { loss > held_loss }
            } else {
                step < least
            }
        });
        if better {
            best = Some((k, step, loss));
        }
    }
    best.map_or((0, 0.0), |(k, step, _)| (k, step))
}
