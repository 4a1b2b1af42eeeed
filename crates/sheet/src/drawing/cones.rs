//! A seat in section through the valve axis: three cones as straight lines.
//!
//! Height is counted towards the chamber from the outer edge of the seat, radius from the valve axis, both in
//! millimetres. The metal lies under the lines, each flatter than the one before it: throat cut, seat, top
//! cut.
//!
//! Source: plane geometry.

/// A point of the section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Point {
    /// From the valve axis.
    pub(crate) radius: f64,
    /// Towards the chamber.
    pub(crate) height: f64,
}

/// The edges of a seat, and the slopes on which its metal goes on beyond them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Profile {
    /// Where throat and seat meet.
    pub(crate) inner: Point,
    /// Where seat and top meet.
    pub(crate) outer: Point,
    /// Tangent of the angle of the throat.
    pub(crate) throat: f64,
    /// Tangent of the angle of the top.
    pub(crate) top: f64,
}

impl Profile {
    /// Tangent of the angle of the seat.
    pub(crate) fn seat(&self) -> f64 {
        (self.outer.height - self.inner.height) / (self.outer.radius - self.inner.radius)
    }

    /// Height of the metal at a radius: that of its lowest line.
    pub(crate) fn metal(&self, radius: f64) -> f64 {
        [(self.inner, self.throat), (self.inner, self.seat()), (self.outer, self.top)]
            .into_iter()
            .map(|(point, slope)| point.height + (radius - point.radius) * slope)
            .fold(f64::INFINITY, f64::min)
    }
}

/// How an angle is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Known {
    /// It is that of a cutter of the plan.
    Cut,
    /// It belongs to a form blade, whose other angles the plan does not state.
    Form,
    /// It was measured.
    Measured,
    /// It was not measured; the profile aims for it.
    Nominal,
    /// Nobody said what it is.
    Guessed,
}

/// A cone about the valve axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Cone {
    /// From the plane square to the axis.
    pub(crate) degrees: f64,
    /// How that is known.
    pub(crate) known: Known,
}

/// How much flatter or steeper a cone is taken to be of which nothing is known: common practice, no source.
pub(crate) const USUAL_STEP: f64 = 15.0;

/// Tangent of an angle in degrees.
pub(crate) fn tangent(degrees: f64) -> f64 {
    libm::tan(degrees.to_radians())
}
