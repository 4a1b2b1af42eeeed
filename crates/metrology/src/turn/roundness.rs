//! Roundness: what is left of a turn of readings when the seat is put on its axis.

use headproof_quantity::{Computed, LengthDim};

use super::Turn;
use crate::zone::{Cloud, centred, least_zone, scaled};
use crate::{MetrologyError, SeriesSum};

impl Turn<'_> {
    /// The roundness deviation about the least-squares circle: greatest less least residual of the
    /// limaçon `R + a cos φ + b sin φ` that fits the readings best.
    ///
    /// The limaçon is what a circle off centre looks like to a dial when the eccentricity is small beside
    /// the radius. Its fit makes squares small, not the range: seldom, the result is greater than the
    /// range of the readings themselves.
    ///
    /// Units: mm; sensitivities in mm/mm, through the fit as well.
    ///
    /// Source: ISO 12181-1 (least squares reference circle), from memory.
    ///
    /// ```
    /// use headproof_metrology::Turn;
    /// use headproof_quantity::{Length, Unit};
    /// let dial = [10.0, 13.0, 14.0, 12.0, 8.0, 4.0, 0.0, -1.0, 1.0, 3.0, 5.0, 8.0]
    ///     .map(|reading| Length::from_f64(reading, Unit::Millimetre).unwrap_or(Length::ZERO));
    /// let roundness = Turn::equal(&dial)?.roundness_least_squares();
    /// assert!((roundness.value.get() - 2.74081062).abs() < 1e-8);
    /// # Ok::<(), headproof_metrology::MetrologyError>(())
    /// ```
    #[must_use]
    pub fn roundness_least_squares(&self) -> SeriesSum<LengthDim> {
        self.circle.first.remainder(self.circle.rows(), &self.heights).into()
    }

    /// The roundness deviation in the minimum zone: the least range that any limaçon
    /// `R + a cos φ + b sin φ` leaves of the readings. Never more than their own range or than
    /// [`Turn::roundness_least_squares`].
    ///
    /// Solved as the minimum zone of a deck is, with the places of the readings on the unit circle: an
    /// exact optimum, proved by its multipliers. Where several limaçons are equally good the
    /// sensitivities are those of one of them.
    ///
    /// Units: mm; sensitivities in mm/mm to the (at most four) readings that decide.
    ///
    /// # Errors
    /// [`MetrologyError::AnglesTooClose`] should the places not span the circle, as those of a turn do.
    ///
    /// Source: ISO 12181-1 (minimum zone reference circles), from memory; linear programming duality.
    ///
    /// ```
    /// use headproof_metrology::Turn;
    /// use headproof_quantity::{Length, Unit};
    /// let dial = [10.0, 13.0, 14.0, 12.0, 8.0, 4.0, 0.0, -1.0, 1.0, 3.0, 5.0, 8.0]
    ///     .map(|reading| Length::from_f64(reading, Unit::Millimetre).unwrap_or(Length::ZERO));
    /// let roundness = Turn::equal(&dial)?.roundness_minimum_zone()?;
    /// assert!((roundness.value.get() - 2.55513627).abs() < 1e-8);
    /// # Ok::<(), headproof_metrology::MetrologyError>(())
    /// ```
    pub fn roundness_minimum_zone(&self) -> Result<SeriesSum<LengthDim>, MetrologyError> {
        let (heights, half) = centred(self.heights.clone());
        let (heights, scale) = scaled(heights, half);
        let cloud = Cloud { rows: &self.circle.places, heights: &heights };
        let zone = least_zone(&cloud, &self.circle.spanning()).ok_or(MetrologyError::AnglesTooClose)?;
        let touching = zone.touching();
        Ok(SeriesSum {
            value: Computed::new(zone.width() * scale),
            sensitivity: touching.iter().map(|touching| (touching.point, touching.partial)).collect(),
        })
    }
}
