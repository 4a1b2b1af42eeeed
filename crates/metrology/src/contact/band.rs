//! Where the contact band lies on the valve's face.

use headproof_quantity::{Angle, Computed, Length, LengthDim};

use crate::cone::along_cone;
use crate::{MetrologyError, Sum};

const FACE_ANGLE: &str = "the face angle";

/// The face left between the contact band and the face's inner edge:
/// `(Dv − Di) / (2 cos θv) − from_edge − width`.
///
/// Units: diameters, distance of the band from the face's outer edge and width of the band in mm, angle
/// in degrees; sensitivities in the order of the inputs (mm/mm, third mm/°). A negative clearance means
/// that the band runs off the face: it is given as it is.
///
/// # Errors
/// [`MetrologyError::AngleOutOfRange`] unless 0° ≤ θv < 90°.
///
/// Source: plane geometry.
///
/// ```
/// use headproof_quantity::{Angle, Length, Unit};
/// let mm = |amount| Length::from_f64(amount, Unit::Millimetre);
/// let angle = Angle::from_f64(60.0, Unit::Degree)?;
/// // A face of 3 mm, of which 0.8 mm and 1.5 mm are taken.
/// let left = headproof_metrology::inner_edge_clearance(mm(34.0)?, mm(31.0)?, angle, mm(0.8)?, mm(1.5)?)?;
/// assert!((left.value.get() - 0.7).abs() < 1e-14);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn inner_edge_clearance(
    face_outer: Length,
    face_inner: Length,
    face_angle: Angle,
    from_edge: Length,
    width: Length,
) -> Result<Sum<LengthDim, 5>, MetrologyError> {
    let face = along_cone(face_outer, face_inner, face_angle, FACE_ANGLE)?;
    let taken = (from_edge.exact() + width.exact()).approx();
    let [outer, inner, angle] = face.sensitivity;
    Ok(Sum { value: Computed::new(face.value.get() - taken), sensitivity: [outer, inner, angle, -1.0, -1.0] })
}

/// The face left between the contact band and the face's inner edge, from two diameters:
/// `(Dc − Di) / (2 cos θv)`.
///
/// Units: the contact's inner and the face's inner diameter in mm, angle in degrees; sensitivities in the
/// order of the inputs (mm/mm, third mm/°). A negative clearance means that the band runs off the face.
///
/// # Errors
/// [`MetrologyError::AngleOutOfRange`] unless 0° ≤ θv < 90°.
///
/// Source: plane geometry.
///
/// ```
/// use headproof_quantity::{Angle, Length, Unit};
/// let (contact, face) = (Length::from_f64(31.7, Unit::Millimetre)?, Length::from_f64(31.0, Unit::Millimetre)?);
/// let angle = Angle::from_f64(60.0, Unit::Degree)?;
/// let left = headproof_metrology::inner_edge_clearance_from_diameters(contact, face, angle)?;
/// assert!((left.value.get() - 0.7).abs() < 1e-14);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn inner_edge_clearance_from_diameters(
    contact_inner: Length,
    face_inner: Length,
    face_angle: Angle,
) -> Result<Sum<LengthDim, 3>, MetrologyError> {
    along_cone(contact_inner, face_inner, face_angle, FACE_ANGLE)
}

/// How far the middle of the contact band lies from the middle of the face, along the face, positive
/// towards the stem: `from_edge + width / 2 − (Dv − Di) / (4 cos θv)`.
///
/// That the band should lie near the middle is common practice, no source.
///
/// Units: diameters, distance of the band from the face's outer edge and width of the band in mm, angle
/// in degrees; sensitivities in the order of the inputs (mm/mm, third mm/°).
///
/// # Errors
/// [`MetrologyError::AngleOutOfRange`] unless 0° ≤ θv < 90°.
///
/// Source: plane geometry.
///
/// ```
/// use headproof_quantity::{Angle, Length, Unit};
/// let mm = |amount| Length::from_f64(amount, Unit::Millimetre);
/// let angle = Angle::from_f64(60.0, Unit::Degree)?;
/// // The band's middle lies 1.55 mm, the face's 1.5 mm from the outer edge.
/// let offset = headproof_metrology::band_offset(mm(34.0)?, mm(31.0)?, angle, mm(0.8)?, mm(1.5)?)?;
/// assert!((offset.value.get() - 0.05).abs() < 1e-14);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn band_offset(
    face_outer: Length,
    face_inner: Length,
    face_angle: Angle,
    from_edge: Length,
    width: Length,
) -> Result<Sum<LengthDim, 5>, MetrologyError> {
    let face = along_cone(face_outer, face_inner, face_angle, FACE_ANGLE)?;
    let [outer, inner, angle] = face.sensitivity.map(|partial| -0.5 * partial);
    Ok(Sum {
        value: Computed::new(from_edge.approx() + 0.5 * width.approx() - 0.5 * face.value.get()),
        sensitivity: [outer, inner, angle, 1.0, 0.5],
    })
}

/// How far the middle of the contact band lies from the middle of the face, along the face, positive
/// towards the stem, from diameters: `(Dv + Di − Dc,o − Dc,i) / (4 cos θv)`.
///
/// That the band should lie near the middle is common practice, no source.
///
/// Units: the face's outer and inner and the contact's outer and inner diameter in mm, angle in degrees;
/// sensitivities in the order of the inputs (mm/mm, last mm/°).
///
/// # Errors
/// [`MetrologyError::AngleOutOfRange`] unless 0° ≤ θv < 90°.
///
/// Source: plane geometry.
///
/// ```
/// use headproof_quantity::{Angle, Length, Unit};
/// let mm = |amount| Length::from_f64(amount, Unit::Millimetre);
/// let angle = Angle::from_f64(60.0, Unit::Degree)?;
/// let offset =
///     headproof_metrology::band_offset_from_diameters(mm(34.0)?, mm(31.0)?, mm(33.2)?, mm(31.7)?, angle)?;
/// assert!((offset.value.get() - 0.05).abs() < 1e-14);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn band_offset_from_diameters(
    face_outer: Length,
    face_inner: Length,
    contact_outer: Length,
    contact_inner: Length,
    face_angle: Angle,
) -> Result<Sum<LengthDim, 5>, MetrologyError> {
    // The difference of the two middle diameters, halved.
    let outer = along_cone(face_outer, contact_outer, face_angle, FACE_ANGLE)?;
    let inner = along_cone(face_inner, contact_inner, face_angle, FACE_ANGLE)?;
    let half = |index: usize, sum: &Sum<LengthDim, 3>| 0.5 * sum.sensitivity[index];
    Ok(Sum {
        value: Computed::new(0.5 * (outer.value.get() + inner.value.get())),
        sensitivity: [
            half(0, &outer),
            half(0, &inner),
            half(1, &outer),
            half(1, &inner),
            half(2, &outer) + half(2, &inner),
        ],
    })
}
