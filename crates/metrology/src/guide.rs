//! Stem and guide.

use headproof_quantity::{Computed, Length, LengthDim};

use crate::{MetrologyError, Sum};

/// The stem-to-guide clearance at one place: bore less stem.
///
/// Units: mm; sensitivities in mm/mm. A negative clearance is given as it is.
///
/// Source: definition (common practice).
///
/// ```
/// use headproof_quantity::{Length, Unit};
/// let (bore, stem) = (Length::from_f64(0.3745, Unit::Inch)?, Length::from_f64(0.3715, Unit::Inch)?);
/// assert_eq!(headproof_metrology::clearance(bore, stem).value.get(), 0.0762);
/// # Ok::<(), headproof_quantity::UnitError>(())
/// ```
#[must_use]
pub fn clearance(bore: Length, stem: Length) -> Sum<LengthDim, 2> {
    Sum { value: Computed::new((bore - stem).exact().approx()), sensitivity: [1.0, -1.0] }
}

/// The stem-to-guide clearance from the total side-to-side travel `t` of the stem at a distance `x`
/// outside a guide of engaged length `L`: `c = t / (1 + 2x/L)`.
///
/// The stem pivots about the middle of the guide until it touches at both ends; a bell-mouthed guide
/// reads high.
///
/// Units: mm; sensitivities in mm/mm to travel, distance and engaged length.
///
/// # Errors
/// [`MetrologyError::NotPositive`] for the engaged length, [`MetrologyError::Negative`] for the
/// distance or the travel.
///
/// Source: plane geometry.
///
/// ```
/// use headproof_quantity::{Length, Unit};
/// let mm = |amount| Length::from_f64(amount, Unit::Millimetre);
/// let clearance = headproof_metrology::clearance_from_rocking(mm(0.15)?, mm(20.0)?, mm(40.0)?)?;
/// assert!((clearance.value.get() - 0.075).abs() < 1e-16);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn clearance_from_rocking(
    travel: Length,
    distance_outside: Length,
    engaged_length: Length,
) -> Result<Sum<LengthDim, 3>, MetrologyError> {
    let (t, x, length) = (travel.approx(), distance_outside.approx(), engaged_length.approx());
    if length <= 0.0 {
        return Err(MetrologyError::NotPositive {
            what: "the engaged length",
            given: engaged_length.exact().to_f64(),
        });
    }
    for (what, given) in
        [("the rocking travel", travel), ("the distance outside the guide", distance_outside)]
    {
        if given < Length::ZERO {
            return Err(MetrologyError::Negative { what, given: given.exact().to_f64() });
        }
    }
    let reach = length + 2.0 * x;
    let per_travel = length / reach;
    Ok(Sum {
        value: Computed::new(t * per_travel),
        sensitivity: [per_travel, -2.0 * t * per_travel / reach, 2.0 * t * x / (reach * reach)],
    })
}

#[cfg(test)]
mod tests {
    use headproof_quantity::Unit;

    use super::*;

    #[test]
    fn impossible_distances_are_refused() {
        let mm = |amount| Length::from_f64(amount, Unit::Millimetre).expect("a length");
        let error = clearance_from_rocking(mm(0.1), mm(10.0), mm(0.0)).expect_err("no guide");
        assert_eq!(error.to_string(), "the engaged length must be more than zero, is 0");
        assert!(clearance_from_rocking(mm(0.1), mm(-10.0), mm(40.0)).is_err());
        assert!(clearance_from_rocking(mm(-0.1), mm(10.0), mm(40.0)).is_err());
    }
}
