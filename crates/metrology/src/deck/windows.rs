//! Flatness in the worst of all windows of a size.

mod axis;
mod search;

use headproof_quantity::{Computed, Length, LengthDim};

use self::search::Search;
use super::LEAST_POINTS;
use crate::MetrologyError;
use crate::check::positive;

/// Looks at a point before a search is given up: less than about a second of work. Five thousand points
/// on a grid under windows of a quarter of the deck take at most a quarter of this.
const MOST_STEPS: usize = 200_000_000;

/// The flatness of the worst window.
#[derive(Debug, Clone, PartialEq)]
pub struct LocalFlatness {
    /// The minimum zone of the points in the window, square to its planes.
    pub value: Computed<LengthDim>,
    /// The window's lower left corner, x and y. Where several windows are equally bad, one of them.
    pub window: [Length; 2],
    /// Indices of the points in the window, ascending.
    pub points: Vec<usize>,
    /// Index of each deciding point and the partial of the value to its height z, in mm/mm, as in
    /// [`Flatness`](crate::Flatness).
    pub sensitivity: Vec<(usize, f64)>,
}

/// The worst minimum-zone flatness of the points in any rectangle of `length` along x and `width` along
/// y, its edges included, wherever it is placed.
///
/// A window with fewer than four points, or with all its points at one place, says nothing and counts as
/// flat. The worst window is the one with the widest zone along z; its value is then taken square to its
/// own planes as in [`flatness_minimum_zone`](crate::flatness_minimum_zone). A window at least as large
/// as the deck gives the flatness of the deck.
///
/// No placement is left out, though there are endless many: a window moved right and up until its left
/// and lower edges stand at points loses none, and a zone never becomes narrower by more points. The
/// windows that remain are searched by branch and bound: the points of many windows together have a
/// zone no narrower than any of them, and exactly as wide as the worst when the points that decide it
/// fit into one window.
///
/// Units: mm; sensitivities in mm/mm.
///
/// # Errors
/// [`MetrologyError::NotPositive`] for a side of the window, [`MetrologyError::NotEnough`] for fewer than
/// four points, [`MetrologyError::NoWindow`] when no window says anything, and
/// [`MetrologyError::TooMany`] for points so many and so scattered that the search would take longer than
/// about a second.
///
/// Source: ISO 1101 (flatness per unit area), from memory; linear programming duality.
///
/// ```
/// use headproof_quantity::{Length, Unit};
/// // Two rows along a deck with a step of 0.04 mm between x = 200 and 300. Three points over 200 mm about
/// // the step force half of it; two over 100 mm lie on a slope.
/// let mm = |amount| Length::from_f64(amount, Unit::Millimetre);
/// let points = (0..12)
///     .map(|k| {
///         let x = f64::from(k % 6) * 100.0;
///         Ok((mm(x)?, mm(f64::from(k / 6) * 80.0)?, mm(if x > 250.0 { 0.04 } else { 0.0 })?))
///     })
///     .collect::<Result<Vec<_>, headproof_quantity::UnitError>>()?;
/// let worst = headproof_metrology::flatness_in_windows(&points, mm(200.0)?, mm(80.0)?)?;
/// assert!((worst.value.get() - 0.02).abs() < 1e-8);
/// let worst = headproof_metrology::flatness_in_windows(&points, mm(100.0)?, mm(80.0)?)?;
/// assert!(worst.value.get() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn flatness_in_windows(
    points: &[(Length, Length, Length)],
    length: Length,
    width: Length,
) -> Result<LocalFlatness, MetrologyError> {
    positive("the length of the window", length)?;
    positive("the width of the window", width)?;
    if points.len() < LEAST_POINTS {
        return Err(MetrologyError::NotEnough { needed: LEAST_POINTS, given: points.len() });
    }
    let shown = |side: Length| side.exact().to_f64();
    let (window, least) = Search::new(points, length, width, MOST_STEPS)
        .worst()?
        .ok_or(MetrologyError::NoWindow { length: shown(length), width: shown(width) })?;
    let mut sensitivity = least.sensitivity();
    sensitivity.sort_unstable_by_key(|(point, _)| *point);
    Ok(LocalFlatness { value: least.value(), window: window.corner, points: window.points, sensitivity })
}

#[cfg(test)]
mod tests;
