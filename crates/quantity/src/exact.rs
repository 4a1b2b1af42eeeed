//! Exact decimals in fixed point.

use std::fmt;
use std::ops::{Add, Neg, Sub};

/// An exact decimal number: a whole count of 10⁻²⁸.
///
/// Twenty-eight decimals hold any number of 15 decimals times any unit factor of 13 decimals, so a
/// conversion never rounds. Sums and differences of readings are exact; products are not offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Exact(i128);

/// Why a number cannot be kept exactly.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum ExactError {
    /// NaN or an infinity.
    #[error("is not a finite number")]
    NotFinite,
    /// Shortest decimal form longer than a double carries reliably.
    #[error("has more than 15 significant digits")]
    TooManyDigits,
    /// A digit beyond the fifteenth decimal.
    #[error("is finer than 15 decimals")]
    TooFine,
    /// Larger than any reading of a head can be.
    #[error("is larger than 1000000 in the unit it is given in")]
    TooLarge,
}

const SCALE_DIGITS: u32 = 28;
/// Powers of ten, looked up rather than multiplied out for every reading.
const TEN_TO: [i128; SCALE_DIGITS as usize + 1] = {
    let mut powers = [1; SCALE_DIGITS as usize + 1];
    let mut exponent = 1;
    while exponent < powers.len() {
        powers[exponent] = powers[exponent - 1] * 10;
        exponent += 1;
    }
    powers
};
const SCALE: i128 = 10i128.pow(SCALE_DIGITS);
/// Decimals of the fast path and the power of ten that lifts them to the full scale.
const FAST_DECIMALS: f64 = 1e9;
const FAST_LIFT: i128 = 10i128.pow(SCALE_DIGITS - 9);
const MAX_DIGITS: f64 = 1e15;

impl Exact {
    /// Zero.
    pub const ZERO: Self = Self(0);
    /// The largest size of a reading, in the unit it is given in.
    pub const MAX_READING: f64 = 1e6;

    /// The decimal that a double's shortest text form shows.
    ///
    /// # Errors
    /// See [`ExactError`]; nothing is rounded to make it fit.
    pub fn from_f64(number: f64) -> Result<Self, ExactError> {
        if !number.is_finite() {
            return Err(ExactError::NotFinite);
        }
        if number.abs() > Self::MAX_READING {
            return Err(ExactError::TooLarge);
        }
        // A decimal of at most 15 digits is the only one of its kind near its double, so when the
        // rounded count of 10⁻⁹ leads back to the same double it is the number that was written.
        let count = (number * FAST_DECIMALS).round();
        #[expect(clippy::float_cmp, reason = "the very same double is what is asked for")]
        if count.abs() < MAX_DIGITS && count / FAST_DECIMALS == number {
            #[expect(clippy::cast_possible_truncation, reason = "whole and below 10¹⁵")]
            return Ok(Self(count as i128 * FAST_LIFT));
        }
        Self::from_shortest_text(number)
    }

    fn from_shortest_text(number: f64) -> Result<Self, ExactError> {
        let text = format!("{number:e}");
        let (mantissa, exponent) = text.split_once('e').unwrap_or((&text, "0"));
        let exponent: i32 = exponent.parse().map_err(|_| ExactError::NotFinite)?;
        let (whole, fraction) = mantissa.split_once('.').unwrap_or((mantissa, ""));
        let digits = format!("{whole}{fraction}");
        if digits.trim_start_matches('-').len() > 15 {
            return Err(ExactError::TooManyDigits);
        }
        let decimals = fraction.len() as i32 - exponent;
        if decimals > 15 {
            return Err(ExactError::TooFine);
        }
        let count: i128 = digits.parse().map_err(|_| ExactError::NotFinite)?;
        let lift = u32::try_from(SCALE_DIGITS as i32 - decimals).map_err(|_| ExactError::TooFine)?;
        count.checked_mul(10i128.pow(lift)).map(Self).ok_or(ExactError::TooLarge)
    }

    /// This number times `mantissa` · 10^−`decimals`, exactly.
    pub(crate) fn scaled(self, mantissa: i128, decimals: u32) -> Result<Self, ExactError> {
        if mantissa == 1 && decimals == 0 {
            return Ok(self);
        }
        // Readings have at most 15 decimals and factors at most 13: dividing first loses nothing.
        let divisor = TEN_TO[decimals as usize];
        if self.0 % divisor != 0 {
            return Err(ExactError::TooFine);
        }
        (self.0 / divisor).checked_mul(mantissa).map(Self).ok_or(ExactError::TooLarge)
    }

    /// This number divided by the 25.4 mm of an inch, rounded to 10⁻²⁸, halves away from zero.
    pub(crate) const fn per_inch(self) -> Self {
        let tenfold = self.0 * 10;
        let half = if tenfold < 0 { -127 } else { 127 };
        Self((tenfold + half) / 254)
    }

    /// A whole count of 10^−`decimals` (at most 28 decimals).
    #[must_use]
    pub const fn from_count(count: i64, decimals: u32) -> Self {
        Self(count as i128 * TEN_TO[(SCALE_DIGITS - decimals) as usize])
    }

    /// The nearest whole count of 10^−`decimals`, halves away from zero.
    #[must_use]
    pub const fn count(self, decimals: u32) -> i128 {
        let step = TEN_TO[(SCALE_DIGITS - decimals) as usize];
        let half = if self.0 < 0 { -step / 2 } else { step / 2 };
        (self.0 + half) / step
    }

    /// The double nearest to this number.
    #[must_use]
    pub fn to_f64(self) -> f64 {
        let (count, rest) = (self.0 / FAST_LIFT, self.0 % FAST_LIFT);
        if rest == 0 && count.unsigned_abs() < 1 << 53 {
            #[expect(clippy::cast_precision_loss, reason = "below 2⁵³")]
            return count as f64 / FAST_DECIMALS;
        }
        self.to_string().parse().unwrap_or(f64::NAN)
    }

    /// A double within two units in the last place: quick, for sums that are rounded later.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "stated in the doc")]
    pub const fn approx(self) -> f64 {
        self.0 as f64 / SCALE as f64
    }

    /// The mean of several numbers, rounded to 10⁻²⁸; `None` when there are none.
    #[must_use]
    pub fn mean(numbers: &[Self]) -> Option<Self> {
        let count = i128::try_from(numbers.len()).ok().filter(|n| *n > 0)?;
        Some(Self(numbers.iter().map(|n| n.0).sum::<i128>() / count))
    }

    /// The distance from zero.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// Below zero?
    #[must_use]
    pub const fn is_negative(self) -> bool {
        self.0 < 0
    }
}

impl Add for Exact {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Exact {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Exact {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl fmt::Display for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let size = self.0.unsigned_abs();
        let (whole, rest) = (size / SCALE.unsigned_abs(), size % SCALE.unsigned_abs());
        let decimals = format!("{rest:028}");
        let decimals = decimals.trim_end_matches('0');
        if decimals.is_empty() { write!(f, "{sign}{whole}") } else { write!(f, "{sign}{whole}.{decimals}") }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(number: f64, text: &str) {
        let exact = Exact::from_f64(number).unwrap();
        assert_eq!(exact.to_string(), text);
        assert_eq!(exact.to_f64().to_bits(), number.to_bits());
        assert!((exact.approx() - number).abs() <= number.abs() * 5e-16);
    }

    #[test]
    fn a_double_becomes_the_decimal_it_shows() {
        check(0.05, "0.05");
        check(-0.125, "-0.125");
        check(7.0508, "7.0508");
        check(355.85772922084, "355.85772922084");
        check(0.000_000_123_456_789, "0.000000123456789");
        check(999_999.999_999_999, "999999.999999999");
        check(0.0, "0");
        check(1e-15, "0.000000000000001");
    }

    #[test]
    fn what_does_not_fit_is_refused_not_rounded() {
        assert_eq!(Exact::from_f64(f64::NAN), Err(ExactError::NotFinite));
        assert_eq!(Exact::from_f64(f64::INFINITY), Err(ExactError::NotFinite));
        assert_eq!(Exact::from_f64(1.000_000_1e6), Err(ExactError::TooLarge));
        assert_eq!(Exact::from_f64(0.1 + 0.2), Err(ExactError::TooManyDigits));
        assert_eq!(Exact::from_f64(1e-16), Err(ExactError::TooFine));
    }

    #[test]
    fn counting_rounds_half_away_from_zero() {
        let number = Exact::from_f64(0.25).unwrap();
        assert_eq!(number.count(1), 3);
        assert_eq!((-number).count(1), -3);
        assert_eq!(Exact::from_count(3, 1).to_string(), "0.3");
    }

    #[test]
    fn a_mean_is_exact_where_it_can_be() {
        let numbers = [0.1, 0.2, 0.3].map(|n| Exact::from_f64(n).unwrap());
        assert_eq!(Exact::mean(&numbers), Exact::from_f64(0.2).ok());
        assert_eq!(Exact::mean(&[]), None);
    }
}
