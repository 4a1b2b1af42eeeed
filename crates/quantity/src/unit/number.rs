//! Amounts as numbers of a unit, with no more digits than a document may hold.

use super::Unit;
use crate::Exact;

/// Significant digits that double, canonical JSON and exact decimal agree on.
const MOST_DIGITS: i32 = 15;
/// Decimals that [`Exact::from_f64`] reads.
const MOST_DECIMALS: i32 = 15;
/// Decimals of [`Exact`].
const ALL_DECIMALS: u32 = 28;

impl Unit {
    /// An exact amount in the base unit as a number of this unit: the inverse of [`Unit::to_base`]. Divided
    /// exactly and rounded once, to 15 significant digits and at most 15 decimals, halves away from zero. A
    /// number that was converted by `to_base` comes back as the very same double.
    ///
    /// ```
    /// use headproof_quantity::Unit;
    /// let amount = Unit::PoundForce.to_base(81.3)?;
    /// assert_eq!(Unit::PoundForce.number_of(amount), 81.3);
    /// assert_eq!(Unit::Inch.number_of(Unit::Millimetre.to_base(1.0)?), 0.039_370_078_740_157);
    /// # Ok::<(), headproof_quantity::ExactError>(())
    /// ```
    #[must_use]
    pub fn number_of(self, amount: Exact) -> f64 {
        let (mantissa, factor_decimals) = self.factor();
        let (times, times_decimals) = if self.is_per_inch() { (254_u8, 1) } else { (1, 0) };
        let (mantissa, times) = (mantissa.unsigned_abs(), u128::from(times));
        // Divided first, so that no product can overflow.
        let count = amount.count(ALL_DECIMALS).unsigned_abs();
        let rest = count % mantissa * times;
        let (whole, rest) = (count / mantissa * times + rest / mantissa, rest % mantissa);
        // Factors have at most 13 decimals: 15 decimals or more are left here.
        let decimals = (ALL_DECIMALS + times_decimals) as i32 - factor_decimals as i32;
        let digits = whole.checked_ilog10().map_or(0, |last| last as i32 + 1);
        let surplus = (digits - MOST_DIGITS).max(decimals - MOST_DECIMALS);
        let rounded = match u32::try_from(surplus) {
            Ok(surplus @ 1..) => (whole + 10u128.pow(surplus) / 2) / 10u128.pow(surplus),
            _ => whole + u128::from(2 * rest >= mantissa),
        };
        // A whole number of at most 15 digits over a power of ten that a double holds exactly: the division
        // gives the double nearest to that decimal.
        #[expect(clippy::cast_precision_loss, reason = "at most 10¹⁵")]
        let size = rounded as f64 / 10f64.powi(decimals - surplus.max(0));
        if amount.is_negative() { -size } else { size }
    }

    /// An amount in the base unit that was worked out, as a number of this unit within 15 significant digits
    /// and 15 decimals. What is smaller than half the last decimal becomes 0.
    ///
    /// ```
    /// use headproof_quantity::Unit;
    /// assert_eq!(Unit::Inch.number_near(0.1 + 0.2), 0.011_811_023_622_047);
    /// assert_eq!(Unit::Second.number_near(0.1 + 0.2), 0.3);
    /// ```
    #[must_use]
    pub fn number_near(self, amount: f64) -> f64 {
        let number = self.from_base(amount);
        let text = if number.abs() < 1.0 { format!("{number:.15}") } else { format!("{number:.14e}") };
        text.parse().unwrap_or(number)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every unit that a document may be written in, and two that constants are given in.
    const UNITS: [Unit; 10] = [
        Unit::Millimetre,
        Unit::Inch,
        Unit::Newton,
        Unit::PoundForce,
        Unit::Kilopascal,
        Unit::InchOfMercury,
        Unit::Micrometre,
        Unit::Microinch,
        Unit::Gigapascal,
        Unit::PoundForcePerInch,
    ];

    /// Worked out in Python's decimal module from the factors of NIST SP 811 (2008), Appendix B.8.
    #[test]
    fn an_exact_amount_is_divided_and_rounded_once() {
        for (unit, base, expected) in [
            (Unit::Inch, 7.965, 0.313_582_677_165_354),
            (Unit::Inch, 0.001, 0.000_039_370_078_740),
            (Unit::PoundForce, 250.0, 56.202_235_774_927_6),
            (Unit::InchOfMercury, 250.0, 73.824_958_252_525_2),
            (Unit::Microinch, 0.8, 31.496_062_992_126),
            (Unit::Gigapascal, 81_500.0, 0.0815),
            (Unit::PoundForcePerInch, 45.0, 256.956_621_962_969),
            (Unit::Inch, -25.4, -1.0),
            (Unit::Inch, 0.0, 0.0),
        ] {
            let exact = Exact::from_f64(base).unwrap();
            assert_eq!(unit.number_of(exact).to_bits(), f64::to_bits(expected), "{base} in {unit:?}");
            assert!(
                (unit.number_near(base) - expected).abs() <= expected.abs() * 5e-15,
                "{base} in {unit:?}"
            );
        }
    }

    /// Numbers of 1 to 15 digits at every place of the point that a reading may have.
    #[test]
    fn what_was_written_comes_back_as_the_same_number() {
        let mut digits = 1_u64;
        for round in 0..4000_u32 {
            // A linear congruential generator (Knuth, MMIX constants, from memory): any spread-out digits do.
            digits = digits.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            let count = (digits >> 8) % 10_u64.pow(1 + round % 15);
            let number: f64 = format!("{count}e-{}", round % 16).parse().unwrap();
            for unit in UNITS.into_iter().filter(|_| number <= 1e6) {
                let Ok(exact) = unit.to_base(number) else { continue };
                assert_eq!(unit.number_of(exact).to_bits(), number.to_bits(), "{number} in {unit:?}");
                assert!((unit.number_near(exact.approx()) - number).abs() <= number * 5e-15 + 1e-15);
                if count > 0 {
                    let back = unit.number_of(-exact);
                    assert_eq!(back.to_bits(), (-number).to_bits(), "-{number} in {unit:?}");
                }
            }
        }
    }

    /// What a document may hold: [`Exact::from_f64`] refuses any other number.
    #[test]
    fn whatever_the_amount_the_number_can_be_read_again() {
        for count in [1, 3, 127, 254, 1_000_001, 123_456_789_012_345, 999_999_999_999_999_999] {
            for decimals in [12, 15, 20, 28] {
                let exact = Exact::from_count(count, decimals);
                for unit in UNITS {
                    let number = unit.number_of(exact);
                    if number > Exact::MAX_READING {
                        continue;
                    }
                    let read = unit.to_base(number).unwrap_or_else(|error| panic!("{number}: {error}"));
                    let apart = (read.to_f64() - exact.to_f64()).abs();
                    let last_decimal = unit.to_base(1e-15).unwrap().to_f64();
                    assert!(apart <= exact.to_f64() * 5.1e-15 + last_decimal * 0.51, "{exact} in {unit:?}");
                    assert!(unit.to_base(unit.number_near(exact.to_f64())).is_ok(), "{exact} in {unit:?}");
                }
            }
        }
    }

    #[test]
    fn halves_go_away_from_zero_and_a_carry_keeps_its_place() {
        let half = Exact::from_count(5, 16);
        assert_eq!(Unit::Millimetre.number_of(half).to_bits(), 1e-15_f64.to_bits());
        assert_eq!(Unit::Millimetre.number_of(-half).to_bits(), (-1e-15_f64).to_bits());
        let nearly = Exact::from_count(9_999_999_999_999_999, 15);
        assert_eq!(Unit::Millimetre.number_of(nearly).to_bits(), 10f64.to_bits());
        // 2.5 · 10⁻¹⁵ lbf lie halfway between these two counts of 10⁻²⁸ N.
        let [below, above] = [111_205_540_381_512, 111_205_540_381_513].map(|n| Exact::from_count(n, 28));
        assert_eq!(Unit::PoundForce.number_of(below).to_bits(), 2e-15_f64.to_bits());
        assert_eq!(Unit::PoundForce.number_of(above).to_bits(), 3e-15_f64.to_bits());
    }
}
