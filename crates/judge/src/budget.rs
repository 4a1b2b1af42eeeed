//! The uncertainty budget of one derived value.

use headproof_head::Reading;
use headproof_quantity::Dimension;

/// Sums up `(c · u)²` over the readings a value depends on.
///
/// Readings are taken as independent. Source: JCGM 100:2008, 5.1.2 (clause number from memory).
#[derive(Debug, Clone, Copy)]
pub(crate) struct Budget {
    squares: f64,
    known: bool,
}

impl Budget {
    pub(crate) const fn new() -> Self {
        Self { squares: 0.0, known: true }
    }

    /// One reading with the value's sensitivity to it. A reading of unknown uncertainty makes that of
    /// the value unknown too, unless the value does not depend on it.
    pub(crate) fn add(&mut self, sensitivity: f64, uncertainty: Option<f64>) {
        match uncertainty {
            Some(u) => self.squares += (sensitivity * u) * (sensitivity * u),
            None => self.known &= sensitivity == 0.0,
        }
    }

    /// The same, straight from a reading.
    pub(crate) fn reading<D: Dimension>(&mut self, sensitivity: f64, reading: &Reading<D>) {
        self.add(sensitivity, reading.uncertainty().map(|u| u.get()));
    }

    /// The combined standard uncertainty, when every contribution is known and finite.
    pub(crate) fn total(self) -> Option<f64> {
        self.known.then(|| libm::sqrt(self.squares)).filter(|u| u.is_finite())
    }
}
