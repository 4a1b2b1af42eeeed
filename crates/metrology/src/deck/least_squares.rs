//! Flatness about the least-squares plane.

use headproof_quantity::{Computed, Length, LengthDim};

use super::prepared::{Columns, Points, Prepared};
use super::square_to_planes;
use crate::MetrologyError;
use crate::fit::{Fit, Remainder};

/// The flatness of a set of points about their least-squares plane.
#[derive(Debug, Clone, PartialEq)]
pub struct LeastSquaresFlatness {
    /// Greatest less least residual, square to the plane.
    pub value: Computed<LengthDim>,
    /// Slopes of the plane along x and y, in mm/mm.
    pub slopes: [f64; 2],
    /// Index of each point and the partial of the value to its height z, in mm/mm, through the fit as
    /// well. The plane's own turning, smaller by about slope × flatness / deck length, is left out.
    pub sensitivity: Vec<(usize, f64)>,
}

/// The flatness of points (x, y, z) about the plane with the least sum of squares of heights above it:
/// greatest less least residual in z, taken square to the plane.
///
/// Never less than [`flatness_minimum_zone`](crate::flatness_minimum_zone) but for the slopes' part in
/// it, and often quoted because it is what many instruments show. When all places lie on one line in x
/// and y the result is the straightness about the least-squares line in that direction.
///
/// Units: mm; slopes and sensitivities in mm/mm.
///
/// # Errors
/// [`MetrologyError::NotEnough`] for fewer than four points, [`MetrologyError::AllSamePlace`] when all
/// have the same x and y.
///
/// Source: ISO 12781-1 (least squares reference plane), from memory; here with residuals along z.
///
/// ```
/// use headproof_quantity::{Length, Unit};
/// // A dome: 0, 3, 1 / 2, 12, 4 / 1, 2, 0 µm on a grid of 100 mm.
/// let heights = [0.0, 3.0, 1.0, 2.0, 12.0, 4.0, 1.0, 2.0, 0.0];
/// let mm = |amount| Length::from_f64(amount, Unit::Millimetre);
/// let points = (0..9)
///     .map(|k| Ok((mm(f64::from(k % 3) * 100.0)?, mm(f64::from(k / 3) * 100.0)?, mm(heights[k as usize] / 1000.0)?)))
///     .collect::<Result<Vec<_>, headproof_quantity::UnitError>>()?;
/// let flatness = headproof_metrology::flatness_least_squares(&points)?;
/// assert!((flatness.value.get() - 0.01216667).abs() < 1e-8);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn flatness_least_squares(
    points: &[(Length, Length, Length)],
) -> Result<LeastSquaresFlatness, MetrologyError> {
    let prepared = Prepared::new(Points::new(points))?;
    let Columns { along, across, direction } = prepared.columns();
    let (along, squares_along) = without(along, &[]);
    let lean = dot(&across, &along) / squares_along;
    let (across, squares_across) = without(across, &[(&along, squares_along)]);
    // On a line there is nothing across, and any sum of squares gives a slope of nothing.
    let squares_across = if squares_across > 0.0 { squares_across } else { 1.0 };
    let rows = along.iter().zip(&across).map(|(a, b)| [1.0, *a, *b]);
    let fit = Fit::orthogonal([points.len() as f64, squares_along, squares_across]);
    let fitted = fit.coefficients(rows.clone(), &prepared.heights);
    // What the across column, which leans on the along column, takes over is no slope along.
    let (slope_along, slope_across) = (fitted[1] - lean * fitted[2], fitted[2]);
    let [ux, uy] = direction;
    let slopes = [slope_along * ux - slope_across * uy, slope_along * uy + slope_across * ux];
    Ok(flatness(&prepared, prepared.unscaled_slopes(slopes), fit.remainder(rows, &prepared.heights)))
}

/// Residuals in millimetres, square to the plane.
fn flatness(prepared: &Prepared, slopes: [f64; 2], remainder: Remainder) -> LeastSquaresFlatness {
    let factor = square_to_planes(slopes);
    let mut sensitivity = remainder.sensitivity;
    sensitivity.iter_mut().for_each(|(_, partial)| *partial *= factor);
    let value = Computed::new(remainder.range * prepared.height_scale * factor);
    LeastSquaresFlatness { value, slopes, sensitivity }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// A column made orthogonal to a constant and to other such columns (given with their sums of squares),
/// and its own sum of squares. Once more takes away what rounding left of a column that is small beside
/// the others, as across a row of bolts.
fn without(mut column: Vec<f64>, others: &[(&[f64], f64)]) -> (Vec<f64>, f64) {
    for _ in 0..2 {
        let mean = column.iter().sum::<f64>() / column.len() as f64;
        column.iter_mut().for_each(|element| *element -= mean);
        for (other, squares) in others {
            let lean = dot(&column, other) / squares;
            column.iter_mut().zip(*other).for_each(|(element, other)| *element -= lean * other);
        }
    }
    let squares = dot(&column, &column);
    (column, squares)
}
