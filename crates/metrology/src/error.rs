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
}
