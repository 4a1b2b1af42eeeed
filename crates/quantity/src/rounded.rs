//! Amounts on the grid on which verdicts are decided.

use crate::{Exact, Kind};

/// An amount rounded once to the grid of its dimension: a whole count, so that comparing it with a
/// limit on the same grid is comparing two integers.
///
/// The grid is far finer than any gauge (a tenth of a picometre for lengths) and coarser than what
/// double arithmetic loses on the way through a formula.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rounded {
    count: i64,
    kind: Kind,
}

/// Far beyond any head, and far enough inside `i64` that a difference cannot overflow.
const MOST_STEPS: f64 = 4e18;

impl Rounded {
    /// The nearest point of the grid; `None` for what is not finite or beyond any head.
    #[must_use]
    pub fn from_computed(amount: f64, kind: Kind) -> Option<Self> {
        let scaled = amount * 10f64.powi(kind.grid_decimals() as i32);
        #[expect(clippy::cast_possible_truncation, reason = "checked to be well inside i64")]
        (scaled.abs() < MOST_STEPS).then(|| Self { count: scaled.round() as i64, kind })
    }

    /// The point of the grid nearest to an exact amount.
    #[must_use]
    pub fn from_exact(amount: Exact, kind: Kind) -> Option<Self> {
        let count = i64::try_from(amount.count(kind.grid_decimals())).ok()?;
        (count.unsigned_abs() < MOST_STEPS as u64).then_some(Self { count, kind })
    }

    /// Grid steps from `other` to this.
    #[must_use]
    pub const fn minus(self, other: Self) -> Self {
        Self { count: self.count - other.count, kind: self.kind }
    }

    /// The whole count of grid steps.
    #[must_use]
    pub const fn count(self) -> i64 {
        self.count
    }

    /// The amount in the base unit, as a number of at most 15 significant digits.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "below 10¹⁵ a whole number fits; above, digits are cut")]
    pub fn to_f64(self) -> f64 {
        let amount = self.count as f64 / 10f64.powi(self.kind.grid_decimals() as i32);
        if self.count.unsigned_abs() < 1_000_000_000_000_000 {
            return amount;
        }
        format!("{amount:.14e}").parse().unwrap_or(amount)
    }
}

impl Kind {
    /// Decimals of the grid on which amounts of this dimension are judged.
    #[must_use]
    pub const fn grid_decimals(self) -> u32 {
        match self {
            Self::Length | Self::Ratio | Self::Flow => 10,
            Self::Angle | Self::Pressure | Self::Roughness => 9,
            Self::Force | Self::Volume | Self::SpringRate => 8,
            Self::Temperature | Self::Time | Self::Frequency | Self::TemperatureDifference => 6,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Length, Unit};

    #[test]
    fn a_difference_of_doubles_meets_its_limit_on_the_grid() {
        // 7.0508 − 7.0 in doubles is 0.050799999999999734.
        let clearance = Rounded::from_computed(7.0508 - 7.0, Kind::Length).unwrap();
        let limit = Length::from_f64(0.0020, Unit::Inch).unwrap();
        assert_eq!(clearance, Rounded::from_exact(limit.exact(), Kind::Length).unwrap());
        assert_eq!(clearance.to_f64().to_bits(), 0.0508f64.to_bits());
    }

    /// The wire carries at most 15 significant digits.
    #[test]
    fn a_large_amount_is_cut_to_fifteen_digits() {
        let flow = Rounded::from_computed(499.9 * 1000.0 / 3.0, Kind::Flow).unwrap();
        assert_eq!(flow.to_f64().to_string(), "166633.333333333");
        let length = Rounded::from_computed(25_400_000.123_456_7, Kind::Length).unwrap();
        assert_eq!(length.to_f64().to_string(), "25400000.1234567");
    }

    #[test]
    fn amounts_beyond_any_head_have_no_place_on_the_grid() {
        assert_eq!(Rounded::from_computed(9e8, Kind::Length), None);
        let far = Length::from_f64(-1e6, Unit::Inch).unwrap();
        let near = Rounded::from_computed(3.9e8, Kind::Length).unwrap();
        let apart = near.minus(Rounded::from_exact(far.exact(), Kind::Length).unwrap());
        assert!(apart.count() > 0);
    }

    #[test]
    fn what_is_not_finite_has_no_place_on_the_grid() {
        assert_eq!(Rounded::from_computed(f64::NAN, Kind::Length), None);
        assert_eq!(Rounded::from_computed(f64::INFINITY, Kind::Force), None);
    }
}
