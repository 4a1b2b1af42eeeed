//! Cones about the valve axis: lengths along them and the edges between them. Angles are measured from
//! the plane square to the axis.

use std::f64::consts::PI;

use headproof_quantity::{Angle, Computed, Exact, Length, LengthDim};

use crate::{MetrologyError, Sum};

/// Radians in a degree.
pub(crate) const RADIANS: f64 = PI / 180.0;

/// Cosine and sine of a cone's angle.
pub(crate) fn cosine_and_sine(angle: Angle, what: &'static str) -> Result<(f64, f64), MetrologyError> {
    let right_angle = Angle::from_exact(Exact::from_count(90, 0));
    if angle < Angle::ZERO || angle >= right_angle {
        return Err(MetrologyError::AngleOutOfRange { what, degrees: angle.exact().to_f64() });
    }
    let (sine, cosine) = libm::sincos(angle.approx() * RADIANS);
    Ok((cosine, sine))
}

/// `(wide − narrow) / (2 cos angle)`: a distance along a cone from two of its diameters.
pub(crate) fn along_cone(
    wide: Length,
    narrow: Length,
    angle: Angle,
    what: &'static str,
) -> Result<Sum<LengthDim, 3>, MetrologyError> {
    let (cosine, sine) = cosine_and_sine(angle, what)?;
    let per_diameter = 0.5 / cosine;
    let value = (wide - narrow).exact().approx() * per_diameter;
    let per_degree = value * sine / cosine * RADIANS;
    Ok(Sum { value: Computed::new(value), sensitivity: [per_diameter, -per_diameter, per_degree] })
}

/// Where the edge between two neighbouring cones of a seat lies after each was cut on along the axis:
/// `r' = r + (a_steeper − a_flatter) / (tan θ_steeper − tan θ_flatter)`.
///
/// The steeper cone is the one nearer the port. Seats of any number of angles are worked edge by edge:
/// each edge depends on its own two cones only, as long as both are still there, that is, as long as the
/// edges stay in their order. Before a cutter meets a cone's whole face (a raw corner) it removes only
/// the corner and the formula does not hold. Only the difference of the feeds counts, so that one may be
/// given relative to the other.
///
/// Units: radius and feeds in mm, angles in degrees; sensitivities to radius, steeper and flatter angle
/// (mm/°) and the feeds of the steeper and the flatter cone.
///
/// # Errors
/// [`MetrologyError::AngleOutOfRange`] unless both angles are at least 0° and below 90°,
/// [`MetrologyError::NotSteeper`] unless the first is the greater one.
///
/// Source: plane geometry.
///
/// ```
/// use headproof_metrology::edge_after_feeds;
/// use headproof_quantity::{Angle, Length, Unit};
/// let mm = |amount| Length::from_f64(amount, Unit::Millimetre);
/// let degrees = |amount| Angle::from_f64(amount, Unit::Degree);
/// // Seat cut 0.10 mm, top cut 0.15 mm, throat cut 0.12 mm.
/// let outer = edge_after_feeds(mm(16.5)?, degrees(45.0)?, degrees(30.0)?, mm(0.10)?, mm(0.15)?)?;
/// let inner = edge_after_feeds(mm(15.0)?, degrees(60.0)?, degrees(45.0)?, mm(0.12)?, mm(0.10)?)?;
/// assert!((outer.value.get() - 16.38170).abs() < 5e-6 && (inner.value.get() - 15.02732).abs() < 5e-6);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn edge_after_feeds(
    radius: Length,
    steeper: Angle,
    flatter: Angle,
    feed_of_steeper: Length,
    feed_of_flatter: Length,
) -> Result<Sum<LengthDim, 5>, MetrologyError> {
    let (steeper_cosine, _) = cosine_and_sine(steeper, "the steeper angle")?;
    let (flatter_cosine, _) = cosine_and_sine(flatter, "the flatter angle")?;
    if steeper <= flatter {
        let [steeper, flatter] = [steeper, flatter].map(|angle| angle.exact().to_f64());
        return Err(MetrologyError::NotSteeper { steeper, flatter });
    }
    // tan α − tan β = sin(α − β) / (cos α cos β), which stays sound for angles that hardly differ.
    let between = libm::sin((steeper - flatter).exact().approx() * RADIANS);
    let per_feed = steeper_cosine * flatter_cosine / between;
    let moved = (feed_of_steeper - feed_of_flatter).exact().approx() * per_feed;
    let per_tangent = -moved * per_feed * RADIANS;
    Ok(Sum {
        value: Computed::new(radius.approx() + moved),
        sensitivity: [
            1.0,
            per_tangent / (steeper_cosine * steeper_cosine),
            -per_tangent / (flatter_cosine * flatter_cosine),
            per_feed,
            -per_feed,
        ],
    })
}

#[cfg(test)]
mod tests {
    use headproof_quantity::Unit;

    use super::*;

    #[test]
    fn cones_without_an_edge_are_refused() {
        let degrees = |amount| Angle::from_f64(amount, Unit::Degree).expect("an angle");
        let edge = |steeper, flatter| {
            edge_after_feeds(Length::ZERO, degrees(steeper), degrees(flatter), Length::ZERO, Length::ZERO)
        };
        let refused = MetrologyError::NotSteeper { steeper: 30.0, flatter: 45.0 };
        assert_eq!(edge(30.0, 45.0), Err(refused));
        assert_eq!(refused.to_string(), "the inner cone of 30° must be steeper than the outer one of 45°");
        assert!(edge(45.0, 45.0).is_err());
        assert!(edge(90.0, 45.0).is_err());
        assert!(edge(45.0, -0.1).is_err());
        assert!(edge(45.0, 0.0).is_ok());
    }
}
