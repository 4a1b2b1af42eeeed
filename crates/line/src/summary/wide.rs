//! Whole numbers of 512 bits: differences of products of sums, formed without rounding.

use std::cmp::Ordering;

/// Words of 64 bits of a magnitude, the least first. A product of four sums of 127 bits fits.
const WORDS: usize = 8;

/// A whole number with its sign, wide enough for every product the sums of this module need.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Wide {
    negative: bool,
    words: [u64; WORDS],
}

impl Wide {
    /// The number itself.
    pub(super) const fn new(number: i128) -> Self {
        let magnitude = number.unsigned_abs();
        let mut words = [0; WORDS];
        words[0] = low(magnitude);
        words[1] = low(magnitude >> 64);
        Self { negative: number < 0, words }
    }

    /// The product. The magnitudes multiplied here have at most 512 bits together, so nothing is lost.
    pub(super) fn times(self, other: Self) -> Self {
        let mut words = [0u64; WORDS];
        for (i, a) in self.words.iter().enumerate() {
            let mut carry = 0u128;
            for (j, b) in other.words.iter().enumerate().take(WORDS - i) {
                let sum = u128::from(*a) * u128::from(*b) + u128::from(words[i + j]) + carry;
                words[i + j] = low(sum);
                carry = sum >> 64;
            }
        }
        Self { negative: self.negative != other.negative, words }
    }

    /// The difference.
    pub(super) fn minus(self, other: Self) -> Self {
        if self.negative != other.negative {
            return Self { negative: self.negative, words: added(&self.words, &other.words) };
        }
        match compared(&self.words, &other.words) {
            Ordering::Less => Self { negative: !self.negative, words: subtracted(&other.words, &self.words) },
            _ => Self { negative: self.negative, words: subtracted(&self.words, &other.words) },
        }
    }

    /// Whether it is 0.
    pub(super) fn is_zero(self) -> bool {
        self.words.iter().all(|w| *w == 0)
    }

    /// The nearest `f64`, or one beside it: off by less than 2⁻⁵² of itself.
    pub(super) fn to_f64(self) -> f64 {
        let top = self.words.iter().rposition(|w| *w != 0).unwrap_or(0);
        let below = |k: usize| top.checked_sub(k).map_or(0, |i| self.words[i]);
        // Shifted up so that the first 128 bits hold all digits a double can have.
        let shift = below(0).leading_zeros() % 64;
        let mut head = u128::from(below(0)) << 64 | u128::from(below(1));
        if shift > 0 {
            head = head << shift | u128::from(below(2) >> (64 - shift));
        }
        let exponent = i32::try_from(top * 64).unwrap_or(0) - 64 - i32::try_from(shift).unwrap_or(0);
        let magnitude = libm::ldexp(head as f64, exponent);
        if self.negative { -magnitude } else { magnitude }
    }
}

/// The lowest 64 bits.
const fn low(number: u128) -> u64 {
    (number & u64::MAX as u128) as u64
}

fn added(a: &[u64; WORDS], b: &[u64; WORDS]) -> [u64; WORDS] {
    let mut carry = false;
    std::array::from_fn(|i| {
        let (sum, first) = a[i].overflowing_add(b[i]);
        let (sum, second) = sum.overflowing_add(u64::from(carry));
        carry = first || second;
        sum
    })
}

fn subtracted(a: &[u64; WORDS], b: &[u64; WORDS]) -> [u64; WORDS] {
    let mut borrow = false;
    std::array::from_fn(|i| {
        let (difference, first) = a[i].overflowing_sub(b[i]);
        let (difference, second) = difference.overflowing_sub(u64::from(borrow));
        borrow = first || second;
        difference
    })
}

fn compared(a: &[u64; WORDS], b: &[u64; WORDS]) -> Ordering {
    a.iter().rev().cmp(b.iter().rev())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn products_and_differences_agree_with_128_bits_where_those_suffice() {
        let numbers = [0i128, 1, -1, 7, -12, 1 << 62, -(1 << 62), 3_037_000_499, i128::from(u64::MAX) >> 2];
        for a in numbers {
            for b in numbers {
                // Adding 0 makes −0 to 0.
                let bits = |number: f64| (number + 0.0).to_bits();
                assert_eq!(
                    bits(Wide::new(a).times(Wide::new(b)).to_f64()),
                    bits((a * b) as f64),
                    "{a} * {b}"
                );
                assert_eq!(
                    bits(Wide::new(a).minus(Wide::new(b)).to_f64()),
                    bits((a - b) as f64),
                    "{a} - {b}"
                );
            }
        }
    }

    /// (m² + 1)² − m⁴ = 2m² + 1 with m = 2¹²⁰.
    #[test]
    fn a_small_difference_of_products_of_480_bits_is_exact() {
        let m = Wide::new(1 << 120);
        let square = m.times(m);
        let more = square.minus(Wide::new(-1));
        let difference = more.times(more).minus(square.times(square));
        assert_eq!(difference, Wide::new(2).times(square).minus(Wide::new(-1)));
        assert_eq!(difference.to_f64().to_bits(), 2f64.powi(241).to_bits());
    }
}
