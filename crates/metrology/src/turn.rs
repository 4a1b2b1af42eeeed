//! Dial readings once round: runout, eccentricity, ovality, roundness.

mod circle;
mod harmonics;
mod roundness;

use headproof_quantity::{Angle, Length, LengthDim};

use self::circle::Circle;
use self::harmonics::Harmonic;
pub use self::harmonics::Harmonics;
use crate::{MetrologyError, SeriesSum, spread};

/// Amounts that differ by less than this part of themselves differ by rounding.
const ALIKE: f64 = 1e-9;
/// Fewer readings cannot tell eccentricity from anything else.
const LEAST_READINGS: usize = 4;

/// Dial readings once round a seat, face or bore, and the angles they were taken at.
///
/// Sensitivities are those to the readings, in the order in which they were given; the angles count as
/// exact.
///
/// ```
/// use headproof_metrology::Turn;
/// use headproof_quantity::{Angle, Length, Unit};
/// let dial = [0.02, -0.02, -0.02, 0.02].map(|r| Length::from_f64(r, Unit::Millimetre).unwrap_or(Length::ZERO));
/// let angles = [45.0, 135.0, 225.0, 315.0].map(|a| Angle::from_f64(a, Unit::Degree).unwrap_or(Angle::ZERO));
/// let (equal, given) = (Turn::equal(&dial)?, Turn::at(&dial, &angles)?);
/// assert!((equal.runout().value.get() - given.runout().value.get()).abs() < 1e-15);
/// # Ok::<(), headproof_metrology::MetrologyError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Turn<'a> {
    readings: &'a [Length],
    /// Differences from the first reading: exact before they become doubles, and a constant is no part
    /// of any result.
    heights: Vec<f64>,
    circle: Circle,
}

#[expect(clippy::len_without_is_empty, reason = "a turn has four readings or more")]
impl<'a> Turn<'a> {
    /// Readings at equal angles over one whole turn, the first at 0°.
    ///
    /// # Errors
    /// [`MetrologyError::NotEnough`] for fewer than four readings.
    pub fn equal(readings: &'a [Length]) -> Result<Self, MetrologyError> {
        enough(readings)?;
        Ok(Self::new(readings, Circle::equal(readings.len())))
    }

    /// Readings at given angles: from any zero, in any order and sense, turns added or not, with repeats.
    ///
    /// # Errors
    /// [`MetrologyError::NotEnough`] for fewer than four readings,
    /// [`MetrologyError::CountsDiffer`] unless there is one angle for each, and
    /// [`MetrologyError::AnglesTooClose`] when the angles are fewer than three places, or so close
    /// together that the eccentricity in one direction would be ten times as uncertain as from as many
    /// readings at equal angles. (Readings along an arc need about a quarter of a turn.)
    pub fn at(readings: &'a [Length], angles: &[Angle]) -> Result<Self, MetrologyError> {
        enough(readings)?;
        if angles.len() != readings.len() {
            return Err(MetrologyError::CountsDiffer { readings: readings.len(), angles: angles.len() });
        }
        let circle = Circle::at(angles).ok_or(MetrologyError::AnglesTooClose)?;
        Ok(Self::new(readings, circle))
    }

    fn new(readings: &'a [Length], circle: Circle) -> Self {
        let height = |reading: &Length| (*reading - readings[0]).exact().approx();
        Self { readings, heights: readings.iter().map(height).collect(), circle }
    }

    /// The number of readings.
    #[must_use]
    pub const fn len(&self) -> usize {
        self.readings.len()
    }

    /// Greatest less least reading.
    fn range(&self) -> SeriesSum<LengthDim> {
        spread(self.readings).expect("a turn has four readings or more")
    }

    /// The total indicator reading: the greater of greatest less least reading and twice the
    /// eccentricity.
    ///
    /// Readings at a few places seldom meet the highest and lowest ones, so that their range is a lower
    /// bound: on pure eccentricity up to 29 % low with 4 readings and 8 % with 8. The fitted
    /// eccentricity (of mean and first harmonic alone) makes that good; for lobes and chatter the result
    /// stays a lower bound.
    ///
    /// Units: mm; sensitivities in mm/mm of whichever of the two decides.
    ///
    /// Source: plane geometry; least-squares first harmonic.
    ///
    /// ```
    /// use headproof_quantity::{Length, Unit};
    /// let dial = [0.02, -0.02, -0.02, 0.02].map(|r| Length::from_f64(r, Unit::Millimetre).unwrap_or(Length::ZERO));
    /// let runout = headproof_metrology::Turn::equal(&dial)?.runout();
    /// assert!((runout.value.get() - 0.04 * 2f64.sqrt()).abs() < 1e-15);
    /// # Ok::<(), headproof_metrology::MetrologyError>(())
    /// ```
    #[must_use]
    pub fn runout(&self) -> SeriesSum<LengthDim> {
        let range = self.range();
        let fit = &self.circle.first;
        let fitted = fit.coefficients(self.circle.rows(), &self.heights);
        let eccentricity = Harmonic::new(1, fit, &fitted, range.value.get());
        // Where the two agree the range decides: it is the more uncertain one, and rounding is no judge.
        if 2.0 * eccentricity.amplitude <= range.value.get() * (1.0 + ALIKE) {
            return range;
        }
        eccentricity.size(fit, self.circle.rows(), 2.0)
    }
}

fn enough(readings: &[Length]) -> Result<(), MetrologyError> {
    if readings.len() < LEAST_READINGS {
        return Err(MetrologyError::NotEnough { needed: LEAST_READINGS, given: readings.len() });
    }
    Ok(())
}
