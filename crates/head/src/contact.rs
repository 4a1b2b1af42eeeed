//! The contact band on the valve face, after marking or lapping.

use headproof_quantity::{AngleDim, LengthDim};

use crate::Reading;

/// The contact band as read round the face.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Contact {
    /// Equally spaced readings.
    pub marks: Vec<ContactMark>,
    /// Arcs without contact; an empty list says that there is none.
    pub gaps: Option<Vec<Reading<AngleDim>>>,
}

/// The band at one clock position.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContactMark {
    /// From the outer edge of the face to the band.
    pub from_edge: Reading<LengthDim>,
    /// Width of the band.
    pub width: Option<Reading<LengthDim>>,
}
