//! Flatness of a deck: the minimum zone.

mod basis;
mod cloud;
mod exchange;
mod whole;

use headproof_quantity::{Computed, Length, LengthDim};

use self::basis::{Basis, ROUNDING, Zone};
use self::cloud::{Cloud, Points, Prepared};
use crate::MetrologyError;

/// Three points always lie in a plane: they say nothing about flatness.
const LEAST_POINTS: usize = 4;

/// The minimum zone of a set of points.
#[derive(Debug, Clone, PartialEq)]
pub struct Flatness {
    /// The distance between the two planes, square to them.
    pub value: Computed<LengthDim>,
    /// Slopes of the planes along x and y, in mm/mm. Where several zones are equally narrow these are
    /// those of one of them.
    pub slopes: [f64; 2],
    /// Indices of the points on the upper plane that decide the width, ascending.
    pub high: Vec<usize>,
    /// Indices of the points on the lower plane that decide the width, ascending.
    pub low: Vec<usize>,
    /// Index of each deciding point and the partial of the value to its height z, in mm/mm. The planes'
    /// own turning, smaller by about slope × flatness / deck length, is left out; so are the partials to
    /// x and y, which are those to z times a slope.
    pub sensitivity: Vec<(usize, f64)>,
}

/// The flatness of points (x, y, z): the least distance between two parallel planes that hold them all.
///
/// Points may come in any order and number, on a grid or not, with repeats. When all places lie on one
/// line in x and y the result is the minimum zone of a straight line in that direction.
///
/// The planes are those with the least *vertical* distance W (a linear program, solved to its exact
/// optimum by exchanging support points and proved by its multipliers, in whole numbers where rounding
/// stands in the way of the proof); the value is that distance taken square to them,
/// `W / √(1 + a² + b²)`. The zone that is narrowest square to itself can be smaller only by the change
/// of that root between the two planes: less than half the square of the slopes, 5·10⁻⁹ of the value at
/// 0.1 mm per metre. Points should be levelled to a slope of that kind.
///
/// Units: mm; slopes and sensitivities in mm/mm.
///
/// # Errors
/// [`MetrologyError::NotEnough`] for fewer than four points, [`MetrologyError::AllSamePlace`] when all
/// have the same x and y.
///
/// Source: ISO 1101 (flatness tolerance zone) and ISO 12781-1 (minimum zone), from memory; linear
/// programming duality.
///
/// ```
/// use headproof_quantity::{Length, Unit};
/// // Four corners and the middle of a deck, the middle 0.1 mm high.
/// let deck = [(0.0, 0.0, 0.0), (400.0, 0.0, 0.02), (0.0, 150.0, 0.0), (400.0, 150.0, 0.02), (200.0, 75.0, 0.11)];
/// let mm = |amount| Length::from_f64(amount, Unit::Millimetre);
/// let points = deck.iter().map(|p| Ok((mm(p.0)?, mm(p.1)?, mm(p.2)?))).collect::<Result<Vec<_>, headproof_quantity::UnitError>>()?;
/// let flatness = headproof_metrology::flatness_minimum_zone(&points)?;
/// assert!((flatness.value.get() - 0.1).abs() < 1e-9);
/// assert_eq!(flatness.high, [4]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn flatness_minimum_zone(points: &[(Length, Length, Length)]) -> Result<Flatness, MetrologyError> {
    if points.len() < LEAST_POINTS {
        return Err(MetrologyError::NotEnough { needed: LEAST_POINTS, given: points.len() });
    }
    let prepared = Prepared::new(points)?;
    let steepness = prepared.height_scale / prepared.place_scale;
    match &prepared.points {
        Points::Plane(cloud, spanning) => {
            let zone = least_zone(cloud, spanning)?;
            let slopes = [zone.plane[0] * steepness, zone.plane[1] * steepness];
            Ok(flatness(&zone, slopes, prepared.height_scale))
        }
        Points::Line(cloud, spanning, direction) => {
            let zone = least_zone(cloud, spanning)?;
            let slope = zone.plane[0] * steepness;
            Ok(flatness(&zone, [slope * direction[0], slope * direction[1]], prepared.height_scale))
        }
    }
}

/// The least zone of prepared points: in doubles where that is proved, else in whole numbers.
fn least_zone<const M: usize>(cloud: &Cloud<M>, spanning: &[usize]) -> Result<Zone<M>, MetrologyError> {
    Basis::first(cloud, spanning)
        .and_then(|first| exchange::exchange(cloud, first))
        .filter(|zone| zone.is_proved_least(cloud))
        .or_else(|| whole::exchange(cloud, spanning))
        .ok_or(MetrologyError::AllSamePlace)
}

/// A zone in millimetres.
fn flatness<const M: usize>(zone: &Zone<M>, slopes: [f64; 2], height_scale: f64) -> Flatness {
    let square_to_planes = 1.0 / libm::sqrt(1.0 + slopes[0] * slopes[0] + slopes[1] * slopes[1]);
    let vertical = 2.0 * zone.half_width().max(0.0) * height_scale;
    let (mut high, mut low, mut sensitivity) = (Vec::new(), Vec::new(), Vec::new());
    let mut order: [usize; M] = std::array::from_fn(|k| k);
    order.sort_unstable_by_key(|k| zone.basis.points[*k]);
    for k in order {
        if zone.multiplier(k) > ROUNDING {
            let point = zone.basis.points[k];
            if zone.basis.sides[k] > 0.0 {
                high.push(point)
            } else {
                low.push(point)
            }
            sensitivity.push((point, 2.0 * zone.partials[k] * square_to_planes));
        }
    }
    Flatness { value: Computed::new(vertical * square_to_planes), slopes, high, low, sensitivity }
}

#[cfg(test)]
mod tests;
