//! Seat and face geometry. Angles are measured from the plane square to the valve axis.

use headproof_quantity::{Angle, AngleDim, Computed, Length, LengthDim, RatioDim};

use crate::cone::{RADIANS, along_cone, cosine_and_sine};
use crate::{MetrologyError, Sum};

/// The width of the seat along its face: `(Do − Di) / (2 cos θ)`.
///
/// Units: mm; sensitivities to outer and inner diameter (mm/mm) and seat angle (mm/°). A negative width
/// means that the diameters are the wrong way round: it is given as it is.
///
/// # Errors
/// [`MetrologyError::AngleOutOfRange`] unless 0° ≤ θ < 90°.
///
/// Source: plane geometry.
///
/// ```
/// use headproof_quantity::{Angle, Length, Unit};
/// let (outer, inner) = (Length::from_f64(33.0, Unit::Millimetre)?, Length::from_f64(31.0, Unit::Millimetre)?);
/// let width = headproof_metrology::width_from_diameters(outer, inner, Angle::from_f64(60.0, Unit::Degree)?)?;
/// assert!((width.value.get() - 2.0).abs() < 1e-14);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn width_from_diameters(
    outer: Length,
    inner: Length,
    seat_angle: Angle,
) -> Result<Sum<LengthDim, 3>, MetrologyError> {
    along_cone(outer, inner, seat_angle, "the seat angle")
}

/// The distance along the valve's face from its outer edge to the contact band:
/// `(Dv − Dc) / (2 cos θv)`.
///
/// Units: mm; sensitivities to the face's outer diameter and the contact's outer diameter (mm/mm) and to
/// the face angle (mm/°). A negative overhang means that the contact runs off the face.
///
/// # Errors
/// [`MetrologyError::AngleOutOfRange`] unless 0° ≤ θv < 90°.
///
/// Source: plane geometry.
///
/// ```
/// use headproof_quantity::{Angle, Length, Unit};
/// let (face, contact) = (Length::from_f64(34.0, Unit::Millimetre)?, Length::from_f64(33.0, Unit::Millimetre)?);
/// let overhang = headproof_metrology::overhang_from_diameters(face, contact, Angle::from_f64(60.0, Unit::Degree)?)?;
/// assert!((overhang.value.get() - 1.0).abs() < 1e-14);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn overhang_from_diameters(
    face_outer: Length,
    contact_outer: Length,
    face_angle: Angle,
) -> Result<Sum<LengthDim, 3>, MetrologyError> {
    along_cone(face_outer, contact_outer, face_angle, "the face angle")
}

/// The interference angle: seat angle less face angle, positive when the face is flatter and the first
/// contact is at the seat's outer edge.
///
/// Units: degrees; sensitivities in °/°.
///
/// Source: definition (common practice).
///
/// ```
/// use headproof_quantity::{Angle, Unit};
/// let (seat, face) = (Angle::from_f64(46.0, Unit::Degree)?, Angle::from_f64(45.0, Unit::Degree)?);
/// assert_eq!(headproof_metrology::interference_angle(seat, face).value.get(), 1.0);
/// # Ok::<(), headproof_quantity::UnitError>(())
/// ```
#[must_use]
pub fn interference_angle(seat: Angle, face: Angle) -> Sum<AngleDim, 2> {
    Sum { value: Computed::new((seat - face).exact().approx()), sensitivity: [1.0, -1.0] }
}

/// The direction in which a dial indicator touches the seat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DialDirection {
    /// Square to the seat's face.
    Square,
    /// Square to the valve axis.
    Radial,
    /// Along the valve axis.
    Axial,
}

impl DialDirection {
    /// What a reading in this direction is multiplied by to become one square to the seat:
    /// 1, sin θ or cos θ.
    ///
    /// Units: pure number; sensitivity to the seat angle per degree.
    ///
    /// # Errors
    /// [`MetrologyError::AngleOutOfRange`] unless 0° ≤ θ < 90°.
    ///
    /// Source: plane geometry.
    ///
    /// ```
    /// use headproof_metrology::DialDirection;
    /// use headproof_quantity::{Angle, Unit};
    /// let factor = DialDirection::Radial.factor(Angle::from_f64(30.0, Unit::Degree)?)?;
    /// assert!((factor.value.get() - 0.5).abs() < 1e-15);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn factor(self, seat_angle: Angle) -> Result<Sum<RatioDim, 1>, MetrologyError> {
        let (cosine, sine) = cosine_and_sine(seat_angle, "the seat angle")?;
        let (factor, per_degree) = match self {
            Self::Square => (1.0, 0.0),
            Self::Radial => (sine, cosine * RADIANS),
            Self::Axial => (cosine, -sine * RADIANS),
        };
        Ok(Sum { value: Computed::new(factor), sensitivity: [per_degree] })
    }
}

#[cfg(test)]
mod tests {
    use headproof_quantity::Unit;

    use super::*;

    #[test]
    fn an_angle_that_no_seat_has_is_refused() {
        for degrees in [-0.001, 90.0, 135.0] {
            let angle = Angle::from_f64(degrees, Unit::Degree).expect("an angle");
            let refused = Err(MetrologyError::AngleOutOfRange { what: "the seat angle", degrees });
            assert_eq!(width_from_diameters(Length::ZERO, Length::ZERO, angle), refused);
            assert!(DialDirection::Square.factor(angle).is_err());
        }
    }
}
