//! The uncertainty of one reading.

use std::marker::PhantomData;

use crate::Dimension;

/// A standard uncertainty (one standard deviation), in the base unit of `D`.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct StandardUncertainty<D>(f64, PhantomData<D>);

/// A stated uncertainty that makes no sense.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum UncertaintyError {
    /// Less than zero or not a number.
    #[error("an expanded uncertainty must be zero or more")]
    Negative,
    /// A coverage factor below 1 narrows nothing, and one above 10 covers more than anyone can know.
    #[error("a coverage factor must be 1 to 10")]
    Coverage,
}

impl<D: Dimension> StandardUncertainty<D> {
    /// `u = U / k`.
    ///
    /// Units: `expanded` in the base unit of `D`; `coverage` is a pure number.
    /// Source: JCGM 100:2008, 2.3.5 and 2.3.6 (clause numbers from memory).
    ///
    /// # Errors
    /// [`UncertaintyError`] when `expanded` is negative or not finite, or `coverage` is not 1 to 10.
    ///
    /// ```
    /// use headproof_quantity::{LengthDim, StandardUncertainty};
    /// let u = StandardUncertainty::<LengthDim>::from_expanded(0.004, 2.0).unwrap();
    /// assert!((u.get() - 0.002).abs() < 1e-18);
    /// ```
    pub fn from_expanded(expanded: f64, coverage: f64) -> Result<Self, UncertaintyError> {
        if !expanded.is_finite() || expanded < 0.0 {
            return Err(UncertaintyError::Negative);
        }
        if !(1.0..=10.0).contains(&coverage) {
            return Err(UncertaintyError::Coverage);
        }
        Ok(Self(expanded / coverage, PhantomData))
    }

    /// Half of a full range within which every value is equally likely, divided by √3.
    ///
    /// Source: JCGM 100:2008, 4.3.7 (clause number from memory).
    #[must_use]
    pub fn from_half_width(half_width: f64) -> Self {
        Self(half_width.abs() / 3f64.sqrt(), PhantomData)
    }

    /// With the scatter of the mean of `n` repeats (standard deviation `s` each) added in quadrature.
    ///
    /// Source: JCGM 100:2008, 4.2.3 (s²/n) and 5.1.2 (clause numbers from memory).
    #[must_use]
    pub fn with_scatter(self, s: f64, n: usize) -> Self {
        #[expect(clippy::cast_precision_loss, reason = "a handful of repeats")]
        let mean = s * s / n.max(1) as f64;
        Self((self.0 * self.0 + mean).sqrt(), PhantomData)
    }

    /// One standard deviation in the base unit.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }
}
