//! Why a sum cannot be formed.

/// A sum cannot be formed from these readings.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum MetrologyError {
    /// Take more readings.
    #[error("needs at least {needed} readings, {given} given")]
    NotEnough {
        /// The least number the sum needs.
        needed: usize,
        /// The number given.
        given: usize,
    },
    /// The readings do not differ in the place they were taken at (height of a spring, x and y on a
    /// deck), so nothing can be drawn through them.
    #[error("all readings were taken at the same place")]
    AllSamePlace,
    /// A size that must be more than zero to have a meaning.
    #[error("{what} must be more than zero, is {given}")]
    NotPositive {
        /// The name of the size.
        what: &'static str,
        /// Its amount in the base unit.
        given: f64,
    },
    /// A size that cannot be less than zero.
    #[error("{what} must not be less than zero, is {given}")]
    Negative {
        /// The name of the size.
        what: &'static str,
        /// Its amount in the base unit.
        given: f64,
    },
    /// A seat or face angle that no conical seat has.
    #[error("{what} must be at least 0° and less than 90°, is {degrees}°")]
    AngleOutOfRange {
        /// The name of the angle.
        what: &'static str,
        /// The angle given.
        degrees: f64,
    },
    /// The cone nearer the axis must be the steeper one, or the two have no edge.
    #[error("the inner cone of {steeper}° must be steeper than the outer one of {flatter}°")]
    NotSteeper {
        /// Angle of the cone on the port's side, in degrees.
        steeper: f64,
        /// Angle of the cone on the chamber's side, in degrees.
        flatter: f64,
    },
    /// A number that must be finite and more than zero to be a property of a material (expansion, modulus,
    /// density), or within 0 to 0.5 to be a Poisson's ratio.
    #[error("{given} can be no {what}")]
    NoMaterial {
        /// The name of the property.
        what: &'static str,
        /// The number given.
        given: f64,
    },
    /// Measure the spring nearer to the height that is asked for.
    #[error("{height} mm lies too far outside the measured heights {least} mm to {greatest} mm")]
    OutOfReach {
        /// The height asked for, in mm.
        height: f64,
        /// The least height measured, in mm.
        least: f64,
        /// The greatest height measured, in mm.
        greatest: f64,
    },
    /// Give one angle for each dial reading, or none.
    #[error("{readings} readings, but {angles} angles")]
    CountsDiffer {
        /// The number of readings.
        readings: usize,
        /// The number of angles.
        angles: usize,
    },
    /// Spread the dial readings further round the turn.
    #[error("the readings stand too close together to tell an eccentricity")]
    AnglesTooClose,
    /// Measure more points, or ask for larger windows.
    #[error("no window of {length} mm by {width} mm holds four points at different places")]
    NoWindow {
        /// The side along x, in mm.
        length: f64,
        /// The side along y, in mm.
        width: f64,
    },
    /// Ask for larger windows, or give fewer points.
    #[error("the worst window among {points} points was not found in {steps} steps")]
    TooMany {
        /// The number of points given.
        points: usize,
        /// The number of steps after which the search is given up.
        steps: usize,
    },
}
