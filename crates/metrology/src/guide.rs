//! Stem and guide.

use headproof_quantity::{AngleDim, Computed, Length, LengthDim};

use crate::check::{not_negative, positive};
use crate::cone::RADIANS;
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
    let length = positive("the engaged length", engaged_length)?;
    let t = not_negative("the rocking travel", travel)?;
    let x = not_negative("the distance outside the guide", distance_outside)?;
    let reach = length + 2.0 * x;
    let per_travel = length / reach;
    Ok(Sum {
        value: Computed::new(t * per_travel),
        sensitivity: [per_travel, -2.0 * t * per_travel / reach, 2.0 * t * x / (reach * reach)],
    })
}

/// How far a stem can lean in its guide to either side of the guide's axis: `atan(c / L)`.
///
/// For clearances that are small beside the engaged length: the stem's own thickness d lets it lean less
/// by the part `d c / 2L²` of the tilt (1/1000 for 8 mm, 0.4 mm and 40 mm).
///
/// Units: mm give degrees; sensitivities to clearance and engaged length in °/mm.
///
/// # Errors
/// [`MetrologyError::NotPositive`] for the engaged length, [`MetrologyError::Negative`] for the clearance.
///
/// Source: plane geometry.
///
/// ```
/// use headproof_quantity::{Length, Unit};
/// let mm = |amount| Length::from_f64(amount, Unit::Millimetre);
/// let tilt = headproof_metrology::tilt(mm(0.06)?, mm(40.0)?)?;
/// // 1.5 mm per metre.
/// assert!((tilt.value.get() - 0.0859436).abs() < 1e-7);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn tilt(clearance: Length, engaged_length: Length) -> Result<Sum<AngleDim, 2>, MetrologyError> {
    let length = positive("the engaged length", engaged_length)?;
    let clearance = not_negative("the clearance", clearance)?;
    let per_radian = 1.0 / (RADIANS * (length * length + clearance * clearance));
    Ok(Sum {
        value: Computed::new(libm::atan2(clearance, length) / RADIANS),
        sensitivity: [length * per_radian, -clearance * per_radian],
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
        assert!(tilt(mm(0.1), mm(0.0)).is_err());
        let error = tilt(mm(-0.1), mm(40.0)).expect_err("tighter than its stem");
        assert_eq!(error.to_string(), "the clearance must not be less than zero, is -0.1");
    }
}
