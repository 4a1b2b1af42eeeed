//! How far a series of readings is spread.

use headproof_quantity::{Computed, Dimension, Quantity};

use crate::{MetrologyError, SeriesSum};

/// The greatest reading less the least: uniformity of a width, taper, ovality, chamber spread.
///
/// Units: those of the readings. Of equal readings the first counts; when all are equal the value is 0
/// and the first two readings carry the sensitivities.
///
/// # Errors
/// [`MetrologyError::NotEnough`] for fewer than two readings.
///
/// Source: definition of the range of a sample.
///
/// ```
/// use headproof_quantity::{Unit, Volume};
/// let chambers = [64.0, 64.5, 63.5].map(|v| Volume::from_f64(v, Unit::Millilitre).unwrap_or(Volume::ZERO));
/// let spread = headproof_metrology::spread(&chambers)?;
/// assert_eq!((spread.value.get(), spread.sensitivity), (1.0, vec![(1, 1.0), (2, -1.0)]));
/// # Ok::<(), headproof_metrology::MetrologyError>(())
/// ```
pub fn spread<D: Dimension>(readings: &[Quantity<D>]) -> Result<SeriesSum<D>, MetrologyError> {
    let [first, _, ..] = readings else {
        return Err(MetrologyError::NotEnough { needed: 2, given: readings.len() });
    };
    let (mut greatest, mut least) = ((0, *first), (0, *first));
    for (index, reading) in readings.iter().enumerate() {
        if *reading > greatest.1 {
            greatest = (index, *reading);
        }
        if *reading < least.1 {
            least = (index, *reading);
        }
    }
    if greatest.0 == least.0 {
        least.0 = 1;
    }
    Ok(SeriesSum {
        value: Computed::new((greatest.1 - least.1).exact().approx()),
        sensitivity: vec![(greatest.0, 1.0), (least.0, -1.0)],
    })
}

#[cfg(test)]
mod tests {
    use headproof_quantity::{Length, Unit};

    use super::*;

    fn mm(amounts: &[f64]) -> Vec<Length> {
        amounts.iter().map(|a| Length::from_f64(*a, Unit::Millimetre).expect("a length")).collect()
    }

    #[test]
    fn equal_readings_have_no_spread_but_two_that_could_make_one() {
        let spread = spread(&mm(&[1.2, 1.2, 1.2])).expect("three readings");
        assert_eq!((spread.value.get(), spread.sensitivity), (0.0, vec![(0, 1.0), (1, -1.0)]));
    }

    #[test]
    fn the_spread_of_decimals_is_exact() {
        let spread = spread(&mm(&[1.1, 1.4, 1.2])).expect("three readings");
        assert_eq!(spread.value.get().to_bits(), 0.3f64.to_bits());
    }

    #[test]
    fn one_reading_has_no_spread() {
        let error = spread(&mm(&[1.1])).expect_err("one reading");
        assert_eq!(error.to_string(), "needs at least 2 readings, 1 given");
    }
}
