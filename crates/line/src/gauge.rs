//! How much of a scatter is the gauge? Crossed studies and studies on one reference.
//!
//! Values are `f64` in whatever unit the caller measures in; results are in the same unit, variances in its
//! square. A reading may be as large as 1e15, and differences below four steps of an `f64` at the largest
//! reading count as none: that is rounding of the readings, not scatter.

mod anova;
mod crossed;
mod ranges;
mod reference;
mod reference_parts;
mod sums;
mod variation;

pub use anova::{AnovaRow, AnovaTable, Component, GaugeAnova, Pooling};
pub use crossed::{CrossedCell, CrossedFactor, CrossedFault, CrossedReading, CrossedShape, CrossedStudy};
pub use ranges::{AverageRange, DivisorRule, RangeConstants, range_divisor};
pub use reference::{ReferenceResult, ReferenceStudy};
pub use reference_parts::{
    ReferenceCapability, ReferenceFault, ReferenceRules, ReferenceUncertainty, SignificanceOfBias,
};
pub use variation::{
    DistinctCategories, GaugeInterval, GaugeJudging, GaugeLimits, GaugeVariation, ToleranceShare,
};
