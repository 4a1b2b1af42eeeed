//! Flatness of a deck: the minimum zone, the least-squares plane, and the worst of all windows.

mod least_squares;
mod prepared;
mod windows;

use headproof_quantity::{Computed, Length, LengthDim};

pub use self::least_squares::{LeastSquaresFlatness, flatness_least_squares};
use self::prepared::{Least, Points, Prepared};
pub use self::windows::{LocalFlatness, flatness_in_windows};
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
    let least = Prepared::new(Points::new(points))?.least()?;
    let on = |upper: bool| {
        let touching = least.touching.iter().filter(move |touching| touching.upper == upper);
        touching.map(|touching| touching.point).collect()
    };
    Ok(Flatness {
        value: least.value(),
        slopes: least.slopes,
        high: on(true),
        low: on(false),
        sensitivity: least.sensitivity(),
    })
}

/// What turns a distance along z into one square to planes of these slopes.
fn square_to_planes(slopes: [f64; 2]) -> f64 {
    1.0 / libm::sqrt(1.0 + slopes[0] * slopes[0] + slopes[1] * slopes[1])
}

impl Least {
    /// The distance between the planes, square to them.
    fn value(&self) -> Computed<LengthDim> {
        Computed::new(self.along_z * square_to_planes(self.slopes))
    }

    fn sensitivity(&self) -> Vec<(usize, f64)> {
        let factor = square_to_planes(self.slopes);
        self.touching.iter().map(|touching| (touching.point, touching.partial * factor)).collect()
    }
}

#[cfg(test)]
mod tests;
