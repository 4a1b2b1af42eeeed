//! What a turn of readings is made of: eccentricity, ovality and the rest.

use headproof_quantity::{AngleDim, Computed, LengthDim};

use super::Turn;
use super::circle::block;
use crate::SeriesSum;
use crate::cone::RADIANS;
use crate::fit::Fit;

/// An amplitude below this part of the readings' range is rounding.
const ROUNDING: f64 = 1e-12;

/// The parts of a turn of readings.
///
/// Directions are angles on the scale of the readings' own angles (from the first reading, in the sense
/// of reading, where those are equal).
#[derive(Debug, Clone, PartialEq)]
pub struct Harmonics {
    /// Amplitude of the first harmonic: how far the seat or face is off its axis. Alone it gives a
    /// runout of twice this.
    pub eccentricity: SeriesSum<LengthDim>,
    /// Where the first harmonic is highest, −180° to 180°; `None` when it has no amplitude beyond
    /// rounding.
    pub direction: Option<SeriesSum<AngleDim>>,
    /// Greatest less least of the second harmonic, which is twice its amplitude; `None` when the angles
    /// do not tell it: fewer than five readings, or one direction of it ten times as uncertain as from as
    /// many readings at equal angles.
    pub ovality: Option<SeriesSum<LengthDim>>,
    /// Where the second harmonic is highest, 0° to less than 180°, and again half a turn on; `None`
    /// without amplitude or ovality.
    pub ovality_direction: Option<SeriesSum<AngleDim>>,
    /// Greatest less least of what the mean and the harmonics above leave of the readings: lobes and
    /// chatter, as far as the readings caught them.
    pub remainder: SeriesSum<LengthDim>,
}

/// A harmonic of a turn of readings.
pub(super) struct Harmonic {
    order: usize,
    pub(super) amplitude: f64,
    /// Cosine and sine of the phase.
    phase: (f64, f64),
}

impl Harmonic {
    /// Harmonic `order` of a fit to readings of a range.
    ///
    /// Without amplitude there is no derivative: that in the direction which the places tell least well
    /// stands in (at equal angles all are told equally well).
    pub(super) fn new<const K: usize>(order: usize, fit: &Fit<K>, fitted: &[f64; K], range: f64) -> Self {
        let (a, b) = (fitted[2 * order - 1], fitted[2 * order]);
        let amplitude = libm::hypot(a, b);
        if amplitude <= ROUNDING * range {
            let (p, r, q) = block(fit, order);
            let (sine, cosine) = libm::sincos(0.5 * libm::atan2(2.0 * q, p - r));
            return Self { order, amplitude: 0.0, phase: (cosine, sine) };
        }
        Self { order, amplitude, phase: (a / amplitude, b / amplitude) }
    }

    /// `multiple` times the amplitude.
    pub(super) fn size<const K: usize>(
        &self,
        fit: &Fit<K>,
        rows: impl Iterator<Item = [f64; K]>,
        multiple: f64,
    ) -> SeriesSum<LengthDim> {
        let factors = self.factors(multiple * self.phase.0, multiple * self.phase.1);
        SeriesSum {
            value: Computed::new(multiple * self.amplitude),
            sensitivity: fit.partials(rows, &factors).collect(),
        }
    }

    /// Where it is highest, in degrees, nearest to 0° of the places where it is.
    fn direction<const K: usize>(
        &self,
        fit: &Fit<K>,
        rows: impl Iterator<Item = [f64; K]>,
    ) -> Option<SeriesSum<AngleDim>> {
        if self.amplitude <= 0.0 {
            return None;
        }
        let degrees = 1.0 / (RADIANS * self.order as f64);
        let turned = degrees / self.amplitude;
        let factors = self.factors(-turned * self.phase.1, turned * self.phase.0);
        Some(SeriesSum {
            value: Computed::new(libm::atan2(self.phase.1, self.phase.0) * degrees),
            sensitivity: fit.partials(rows, &factors).collect(),
        })
    }

    /// Factors of the coefficients of a fit: those of this harmonic's cosine and sine, no others.
    fn factors<const K: usize>(&self, cosine: f64, sine: f64) -> [f64; K] {
        let mut factors = [0.0; K];
        (factors[2 * self.order - 1], factors[2 * self.order]) = (cosine, sine);
        factors
    }
}

/// A direction of an ovality from 0° to less than 180°.
fn within_half_turn(mut direction: SeriesSum<AngleDim>) -> SeriesSum<AngleDim> {
    let degrees = direction.value.get();
    let turned = if degrees < 0.0 { degrees + 180.0 } else { degrees };
    // A direction just below 0° may round to 180°.
    direction.value = Computed::new(if turned < 180.0 { turned } else { 0.0 });
    direction
}

impl Turn<'_> {
    /// The eccentricity, the ovality and what they leave, fitted together.
    ///
    /// At equal angles these are the Fourier sums, and the eccentricity is that of [`Turn::runout`]. At
    /// other angles an ovality looks partly like eccentricity; fitted together the two are told apart.
    ///
    /// Units: mm and degrees; sensitivities in mm/mm and °/mm.
    ///
    /// Source: harmonic analysis by least squares; for equal angles the first Fourier coefficients.
    ///
    /// ```
    /// use headproof_metrology::Turn;
    /// use headproof_quantity::{Length, Unit};
    /// let dial = [10.0, 13.0, 14.0, 12.0, 8.0, 4.0, 0.0, -1.0, 1.0, 3.0, 5.0, 8.0]
    ///     .map(|reading| Length::from_f64(reading, Unit::Millimetre).unwrap_or(Length::ZERO));
    /// let parts = Turn::equal(&dial)?.harmonics();
    /// assert!((parts.eccentricity.value.get() - 6.89531463).abs() < 1e-8);
    /// assert!(parts.direction.is_some_and(|direction| (direction.value.get() - 42.323612).abs() < 1e-6));
    /// assert!(parts.ovality.is_some_and(|ovality| (ovality.value.get() - 2.40370086).abs() < 1e-8));
    /// # Ok::<(), headproof_metrology::MetrologyError>(())
    /// ```
    #[must_use]
    pub fn harmonics(&self) -> Harmonics {
        match &self.circle.second {
            Some(fit) => self.parts(fit),
            None => self.parts(&self.circle.first),
        }
    }

    fn parts<const K: usize>(&self, fit: &Fit<K>) -> Harmonics {
        let rows = || self.circle.rows::<K>();
        let fitted = fit.coefficients(rows(), &self.heights);
        let range = self.range().value.get();
        let first = Harmonic::new(1, fit, &fitted, range);
        let second = (K == 5).then(|| Harmonic::new(2, fit, &fitted, range));
        Harmonics {
            eccentricity: first.size(fit, rows(), 1.0),
            direction: first.direction(fit, rows()),
            ovality: second.as_ref().map(|second| second.size(fit, rows(), 2.0)),
            ovality_direction: second.and_then(|second| second.direction(fit, rows())).map(within_half_turn),
            remainder: fit.remainder(rows(), &self.heights).into(),
        }
    }
}
