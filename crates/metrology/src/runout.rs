//! Runout and eccentricity from dial readings at equal angles.

use std::f64::consts::PI;

use headproof_quantity::{AngleDim, Computed, Length, LengthDim};

use crate::{MetrologyError, SeriesSum, spread};

/// Fewer readings cannot tell eccentricity from anything else.
const LEAST_READINGS: usize = 4;
/// An amplitude below this part of the readings' range is rounding.
const ROUNDING: f64 = 1e-14;

/// The first harmonic of a turn of readings.
struct FirstHarmonic {
    amplitude: f64,
    /// Cosine and sine of the phase; phase 0 when there is no amplitude.
    phase: (f64, f64),
}

/// The angle of reading `index` of `count`, as (sine, cosine).
fn station(index: usize, count: usize) -> (f64, f64) {
    libm::sincos(2.0 * PI * index as f64 / count as f64)
}

fn first_harmonic(readings: &[Length], range: f64) -> FirstHarmonic {
    let count = readings.len();
    let (mut a, mut b) = (0.0, 0.0);
    for (index, reading) in readings.iter().enumerate() {
        // Differences from the first reading are exact, and a constant has no first harmonic.
        let height = (*reading - readings[0]).exact().approx();
        let (sine, cosine) = station(index, count);
        a += height * cosine;
        b += height * sine;
    }
    let (a, b) = (2.0 * a / count as f64, 2.0 * b / count as f64);
    let amplitude = libm::hypot(a, b);
    if amplitude <= ROUNDING * range {
        return FirstHarmonic { amplitude: 0.0, phase: (1.0, 0.0) };
    }
    FirstHarmonic { amplitude, phase: (a / amplitude, b / amplitude) }
}

impl FirstHarmonic {
    /// Partials of `multiple` × amplitude. Without amplitude there is no derivative; the one along phase
    /// 0 stands in, which has the same root sum of squares as any other.
    fn amplitude_sensitivity(&self, count: usize, multiple: f64) -> Vec<(usize, f64)> {
        let weight = 2.0 * multiple / count as f64;
        let partial = |index| {
            let (sine, cosine) = station(index, count);
            (index, weight * (cosine * self.phase.0 + sine * self.phase.1))
        };
        (0..count).map(partial).collect()
    }

    fn phase_in_degrees(&self, count: usize) -> Option<SeriesSum<AngleDim>> {
        if self.amplitude <= 0.0 {
            return None;
        }
        let degrees = 180.0 / PI;
        let weight = 2.0 * degrees / (count as f64 * self.amplitude);
        let partial = |index| {
            let (sine, cosine) = station(index, count);
            (index, weight * (sine * self.phase.0 - cosine * self.phase.1))
        };
        let phase = libm::atan2(self.phase.1, self.phase.0) * degrees;
        Some(SeriesSum { value: Computed::new(phase), sensitivity: (0..count).map(partial).collect() })
    }
}

/// Range of the readings, refused when they are too few.
fn range(readings: &[Length]) -> Result<SeriesSum<LengthDim>, MetrologyError> {
    if readings.len() < LEAST_READINGS {
        return Err(MetrologyError::NotEnough { needed: LEAST_READINGS, given: readings.len() });
    }
    spread(readings)
}

/// How far and which way a seat or face is off its axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Eccentricity {
    /// Amplitude of the first harmonic; eccentricity alone gives a runout of twice this.
    pub amplitude: SeriesSum<LengthDim>,
    /// Direction from the first reading in the sense of reading, −180° to 180°; `None` when there is no
    /// amplitude beyond rounding.
    pub phase: Option<SeriesSum<AngleDim>>,
}

/// The eccentricity that dial readings at equal angles over one turn show.
///
/// Units: mm and degrees; sensitivities in mm/mm and °/mm.
///
/// # Errors
/// [`MetrologyError::NotEnough`] for fewer than four readings.
///
/// Source: the first Fourier coefficients, which for equal angles are the least-squares fit.
///
/// ```
/// use headproof_quantity::{Length, Unit};
/// let dial = [10.0, 13.0, 14.0, 12.0, 8.0, 4.0, 0.0, -1.0, 1.0, 3.0, 5.0, 8.0]
///     .map(|reading| Length::from_f64(reading, Unit::Millimetre).unwrap_or(Length::ZERO));
/// let off = headproof_metrology::eccentricity(&dial)?;
/// assert!((off.amplitude.value.get() - 6.89531463).abs() < 1e-8);
/// assert!(off.phase.is_some_and(|phase| (phase.value.get() - 42.323612).abs() < 1e-6));
/// # Ok::<(), headproof_metrology::MetrologyError>(())
/// ```
pub fn eccentricity(readings: &[Length]) -> Result<Eccentricity, MetrologyError> {
    let harmonic = first_harmonic(readings, range(readings)?.value.get());
    let count = readings.len();
    Ok(Eccentricity {
        amplitude: SeriesSum {
            value: Computed::new(harmonic.amplitude),
            sensitivity: harmonic.amplitude_sensitivity(count, 1.0),
        },
        phase: harmonic.phase_in_degrees(count),
    })
}

/// The total indicator reading over one turn, from dial readings at equal angles: the greater of
/// greatest less least reading and twice the eccentricity.
///
/// Readings at a few places seldom meet the highest and lowest ones, so that their range is a lower
/// bound: on pure eccentricity up to 29 % low with 4 readings and 8 % with 8. The fitted eccentricity
/// makes that good; for lobes and chatter the result stays a lower bound.
///
/// Units: mm; sensitivities in mm/mm of whichever of the two decides.
///
/// # Errors
/// [`MetrologyError::NotEnough`] for fewer than four readings.
///
/// Source: plane geometry; least-squares first harmonic.
///
/// ```
/// use headproof_quantity::{Length, Unit};
/// let dial = [0.02, -0.02, -0.02, 0.02].map(|r| Length::from_f64(r, Unit::Millimetre).unwrap_or(Length::ZERO));
/// let runout = headproof_metrology::runout(&dial)?;
/// assert!((runout.value.get() - 0.04 * 2f64.sqrt()).abs() < 1e-15);
/// # Ok::<(), headproof_metrology::MetrologyError>(())
/// ```
pub fn runout(readings: &[Length]) -> Result<SeriesSum<LengthDim>, MetrologyError> {
    let range = range(readings)?;
    let harmonic = first_harmonic(readings, range.value.get());
    let fitted = 2.0 * harmonic.amplitude;
    if fitted <= range.value.get() {
        return Ok(range);
    }
    let sensitivity = harmonic.amplitude_sensitivity(readings.len(), 2.0);
    Ok(SeriesSum { value: Computed::new(fitted), sensitivity })
}

#[cfg(test)]
mod tests {
    use headproof_quantity::Unit;

    use super::*;

    fn mm(amounts: impl IntoIterator<Item = f64>) -> Vec<Length> {
        let length = |amount: f64| {
            Length::from_f64((amount * 1e12).round() / 1e12, Unit::Millimetre).expect("a length")
        };
        amounts.into_iter().map(length).collect()
    }

    fn pure_eccentricity(count: usize, phase_degrees: f64) -> Vec<Length> {
        mm((0..count).map(|j| libm::cos(2.0 * PI * j as f64 / count as f64 - phase_degrees.to_radians())))
    }

    #[test]
    fn pure_eccentricity_reads_twice_its_amplitude_wherever_the_readings_fall() {
        for count in [4, 5, 8, 24] {
            for phase in [0.0, 22.5, 30.0, 45.0, -100.0] {
                let runout = runout(&pure_eccentricity(count, phase)).expect("enough readings");
                assert!((runout.value.get() - 2.0).abs() < 1e-11, "{count} {phase}");
            }
        }
    }

    /// cos 45° and cos 22.5°: the worst the range alone can do.
    #[test]
    fn the_range_alone_is_as_low_as_the_doc_says() {
        for (count, phase, low) in [(4, 45.0, 0.29), (8, 22.5, 0.08)] {
            let range = spread(&pure_eccentricity(count, phase)).expect("enough readings").value.get();
            let lost: f64 = 1.0 - range / 2.0;
            assert!(lost < low + 0.005 && lost > low - 0.005, "{lost}");
        }
    }

    #[test]
    fn a_round_and_centred_seat_has_no_phase() {
        let off = eccentricity(&mm([0.3; 8])).expect("eight readings");
        assert!(off.amplitude.value.get() <= 0.0);
        assert_eq!(off.phase, None);
        let ovality = eccentricity(&mm([0.1, -0.1, 0.1, -0.1])).expect("four readings");
        assert_eq!(ovality.phase, None);
        let squares: f64 = off.amplitude.sensitivity.iter().map(|(_, partial)| partial * partial).sum();
        assert!((squares - 2.0 / 8.0).abs() < 1e-15);
    }

    #[test]
    fn three_readings_are_too_few() {
        let refused = MetrologyError::NotEnough { needed: 4, given: 3 };
        assert_eq!(runout(&mm([1.0, 2.0, 3.0])), Err(refused));
        assert_eq!(eccentricity(&mm([1.0, 2.0, 3.0])), Err(refused));
    }
}
