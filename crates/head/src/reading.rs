//! One measured quantity with what is known of its quality.

use headproof_quantity::{Dimension, Exact, Quantity, StandardUncertainty};

use crate::InstrumentIndex;

/// A measured quantity: its value (the mean of repeats), its standard uncertainty when one is known,
/// and the instrument that made it when one is named.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading<D> {
    value: Quantity<D>,
    of_the_gauge: Option<StandardUncertainty<D>>,
    uncertainty: Option<StandardUncertainty<D>>,
    instrument: Option<InstrumentIndex>,
}

/// A reading without a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum ReadingError {
    /// An empty list of repeats.
    #[error("a reading needs at least one value")]
    Empty,
}

impl<D: Dimension> Reading<D> {
    /// A reading taken once.
    #[must_use]
    pub const fn once(
        value: Quantity<D>,
        uncertainty: Option<StandardUncertainty<D>>,
        instrument: Option<InstrumentIndex>,
    ) -> Self {
        Self { value, of_the_gauge: uncertainty, uncertainty, instrument }
    }

    /// The mean of repeats. Their scatter adds s²/n to the squared uncertainty of the instrument;
    /// without an instrument uncertainty there is still none, because repeats do not show a bias.
    ///
    /// Source: JCGM 100:2008, 4.2.3 (clause number from memory).
    ///
    /// # Errors
    /// [`ReadingError::Empty`] when there is no value.
    pub fn of_repeats(
        values: &[Quantity<D>],
        uncertainty: Option<StandardUncertainty<D>>,
        instrument: Option<InstrumentIndex>,
    ) -> Result<Self, ReadingError> {
        let exact: Vec<Exact> = values.iter().map(|value| value.exact()).collect();
        let mean = Exact::mean(&exact).ok_or(ReadingError::Empty)?;
        let n = values.len();
        let of_the_gauge = uncertainty;
        let uncertainty = uncertainty.map(|u| {
            if n < 2 {
                return u;
            }
            #[expect(clippy::cast_precision_loss, reason = "a handful of repeats")]
            let freedom = (n - 1) as f64;
            let squares: f64 = exact.iter().map(|value| (*value - mean).approx().powi(2)).sum();
            u.with_scatter((squares / freedom).sqrt(), n)
        });
        Ok(Self { value: Quantity::from_exact(mean), of_the_gauge, uncertainty, instrument })
    }

    /// The same gauge, as well as it was read, at another value.
    #[must_use]
    pub const fn at(self, value: Quantity<D>) -> Self {
        Self { value, ..self }
    }

    /// The value: the mean where there are repeats.
    #[must_use]
    pub const fn value(&self) -> Quantity<D> {
        self.value
    }

    /// One standard deviation, where an instrument or the reading itself stated an uncertainty.
    #[must_use]
    pub const fn uncertainty(&self) -> Option<StandardUncertainty<D>> {
        self.uncertainty
    }

    /// The part of it that the gauge brings to every reading, without the scatter of repeats: only this
    /// part can go together with that of other readings.
    #[must_use]
    pub const fn uncertainty_of_the_gauge(&self) -> Option<StandardUncertainty<D>> {
        self.of_the_gauge
    }

    /// The instrument that made it.
    #[must_use]
    pub const fn instrument(&self) -> Option<InstrumentIndex> {
        self.instrument
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use headproof_quantity::{Length, LengthDim, Unit};

    fn mm(number: f64) -> Length {
        Length::from_f64(number, Unit::Millimetre).unwrap()
    }

    #[test]
    fn repeats_give_their_mean_and_widen_the_uncertainty_by_their_scatter() {
        let u = StandardUncertainty::<LengthDim>::from_expanded(0.002, 2.0).ok();
        let reading = Reading::of_repeats(&[mm(7.001), mm(7.003), mm(7.005)], u, None).unwrap();
        assert_eq!(reading.value(), mm(7.003));
        // s = 0.002, s²/3 = 1.3333e-6, u² = 1e-6: √2.3333e-6 = 1.527525e-3
        let got = reading.uncertainty().unwrap().get();
        assert!((got - 1.527_525e-3).abs() < 1e-9, "{got}");
    }

    #[test]
    fn no_repeats_is_an_error_and_repeats_alone_prove_no_uncertainty() {
        assert_eq!(Reading::<LengthDim>::of_repeats(&[], None, None), Err(ReadingError::Empty));
        let reading = Reading::of_repeats(&[mm(1.0), mm(1.1)], None, None).unwrap();
        assert_eq!(reading.uncertainty(), None);
    }
}
