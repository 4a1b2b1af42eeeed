//! Where the valve's face first touches the seat, and where the contact band lies on the face.

mod band;

use headproof_quantity::{Angle, Computed, Length, LengthDim};

use crate::cone::{RADIANS, along_cone, cosine_and_sine};
use crate::{MetrologyError, Sum};

pub use band::{
    band_offset, band_offset_from_diameters, inner_edge_clearance, inner_edge_clearance_from_diameters,
};

/// The edge that touches first when a valve sits down, before wear or pressure widens the contact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ContactEdge {
    /// The seat's outer edge: the face is flatter and reaches beyond it.
    SeatOuter,
    /// The seat's inner edge: the face is steeper and reaches beyond it.
    SeatInner,
    /// The face's outer edge: the face is flatter and ends on the seat.
    FaceOuter,
    /// The face's inner edge: the face is steeper and begins on the seat.
    FaceInner,
    /// Both have the same angle.
    Everywhere,
}

/// Whose edge bounds the length that seat and face have in common.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Bound {
    /// The seat's, also where both edges have the same diameter.
    Seat,
    /// The face's.
    Face,
}

/// First contact of face and seat, and the gap at the other end of their common length.
///
/// Sensitivities of both gaps: to the seat angle and the face angle (mm/°), then to the outer and the
/// inner diameter that bound the common length (mm/mm): see [`ContactLine::outer`] and
/// [`ContactLine::inner`] for whose diameters these are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContactLine {
    /// The edge that touches first.
    pub edge: ContactEdge,
    /// Whose outer diameter bounds the common length.
    pub outer: Bound,
    /// Whose inner diameter bounds the common length.
    pub inner: Bound,
    /// From the seat at the other end to the face, square to the face: `w sin |Δ|`.
    pub gap_square_to_face: Sum<LengthDim, 4>,
    /// From the seat at the other end to the face, square to the seat: `w tan |Δ|`.
    pub gap_square_to_seat: Sum<LengthDim, 4>,
}

/// The edge at which a face first touches a seat, and the gap it leaves at the other end.
///
/// The interference angle Δ is seat angle less face angle. A face flatter than the seat (Δ > 0) touches
/// at the outer end of what the two have in common, a steeper one at the inner end: at the seat's edge,
/// or at the face's own where the face ends inside the seat. `w` is the length along the seat between the
/// two common diameters; the gap is that from the seat to the (straight) face at the end away from the
/// contact. Without the face's diameters the face is taken to reach beyond the seat on both sides.
///
/// Units: degrees and mm. With equal angles the gaps are zero and have no derivative to the angles; the
/// one towards a flatter face stands in.
///
/// # Errors
/// [`MetrologyError::AngleOutOfRange`] unless both angles are at least 0° and below 90°,
/// [`MetrologyError::NotPositive`] when seat and face have no length in common.
///
/// Source: plane geometry.
///
/// ```
/// use headproof_metrology::{ContactEdge, contact_line};
/// use headproof_quantity::{Angle, Length, Unit};
/// let mm = |amount| Length::from_f64(amount, Unit::Millimetre);
/// let (seat, face) = (Angle::from_f64(60.0, Unit::Degree)?, Angle::from_f64(30.0, Unit::Degree)?);
/// // 2 mm along the seat: w sin 30° and w tan 30°.
/// let line = contact_line(seat, face, mm(33.0)?, mm(31.0)?, None, None)?;
/// assert_eq!(line.edge, ContactEdge::SeatOuter);
/// assert!((line.gap_square_to_face.value.get() - 1.0).abs() < 1e-14);
/// assert!((line.gap_square_to_seat.value.get() - 2.0 / 3f64.sqrt()).abs() < 1e-14);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn contact_line(
    seat_angle: Angle,
    face_angle: Angle,
    seat_outer: Length,
    seat_inner: Length,
    face_outer: Option<Length>,
    face_inner: Option<Length>,
) -> Result<ContactLine, MetrologyError> {
    let (cosine, sine) = cosine_and_sine(seat_angle, "the seat angle")?;
    cosine_and_sine(face_angle, "the face angle")?;
    let (outer_diameter, outer) = match face_outer {
        Some(face) if face < seat_outer => (face, Bound::Face),
        _ => (seat_outer, Bound::Seat),
    };
    let (inner_diameter, inner) = match face_inner {
        Some(face) if face > seat_inner => (face, Bound::Face),
        _ => (seat_inner, Bound::Seat),
    };
    if outer_diameter <= inner_diameter {
        let given = (outer_diameter - inner_diameter).exact().to_f64();
        return Err(MetrologyError::NotPositive { what: "the ring that seat and face share", given });
    }
    let common = along_cone(outer_diameter, inner_diameter, seat_angle, "the seat angle")?;
    let edge = match (face_angle.cmp(&seat_angle), outer, inner) {
        (std::cmp::Ordering::Equal, _, _) => ContactEdge::Everywhere,
        (std::cmp::Ordering::Less, Bound::Seat, _) => ContactEdge::SeatOuter,
        (std::cmp::Ordering::Less, Bound::Face, _) => ContactEdge::FaceOuter,
        (std::cmp::Ordering::Greater, _, Bound::Seat) => ContactEdge::SeatInner,
        (std::cmp::Ordering::Greater, _, Bound::Face) => ContactEdge::FaceInner,
    };
    let flatter = if face_angle > seat_angle { -1.0 } else { 1.0 };
    let opening = flatter * (seat_angle - face_angle).exact().approx() * RADIANS;
    let (opening_sine, opening_cosine) = libm::sincos(opening);
    let tangent = opening_sine / opening_cosine;
    let gap = |per_length: f64, per_opening: f64| {
        let width = common.value.get();
        let by_opening = width * per_opening * flatter * RADIANS;
        let by_width = width * sine / cosine * RADIANS * per_length;
        let [per_outer, per_inner, _] = common.sensitivity;
        Sum {
            value: Computed::new(width * per_length),
            sensitivity: [by_opening + by_width, -by_opening, per_outer * per_length, per_inner * per_length],
        }
    };
    Ok(ContactLine {
        edge,
        outer,
        inner,
        gap_square_to_face: gap(opening_sine, opening_cosine),
        gap_square_to_seat: gap(tangent, 1.0 / (opening_cosine * opening_cosine)),
    })
}

#[cfg(test)]
mod tests {
    use headproof_quantity::Unit;

    use super::*;

    fn mm(amount: f64) -> Length {
        Length::from_f64(amount, Unit::Millimetre).expect("a length")
    }

    fn degrees(amount: f64) -> Angle {
        Angle::from_f64(amount, Unit::Degree).expect("an angle")
    }

    #[test]
    fn seat_and_face_that_do_not_meet_are_refused() {
        let line = |outer, inner| {
            contact_line(degrees(46.0), degrees(45.0), mm(33.0), mm(30.0), outer, inner).map(|line| line.edge)
        };
        assert_eq!(line(Some(mm(34.0)), Some(mm(29.0))), Ok(ContactEdge::SeatOuter));
        let refused = MetrologyError::NotPositive { what: "the ring that seat and face share", given: -1.0 };
        assert_eq!(line(Some(mm(29.0)), None), Err(refused));
        assert!(line(None, Some(mm(33.0))).is_err());
        assert!(contact_line(degrees(46.0), degrees(90.0), mm(33.0), mm(30.0), None, None).is_err());
    }

    #[test]
    fn equal_angles_touch_everywhere_and_keep_their_uncertainty() {
        let line =
            contact_line(degrees(45.0), degrees(45.0), mm(33.0), mm(30.0), None, None).expect("a line");
        assert_eq!(line.edge, ContactEdge::Everywhere);
        let gap = line.gap_square_to_face;
        assert!(gap.value.get().abs() < 1e-300);
        assert!(gap.sensitivity[0] > 0.0 && (gap.sensitivity[0] + gap.sensitivity[1]).abs() < 1e-15);
    }
}
