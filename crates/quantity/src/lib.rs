//! Exact quantities of a cylinder-head measurement: lengths, angles, forces, volumes, pressures.
//!
//! A number that a person wrote down is kept as the decimal it was, converted to one base unit per
//! dimension by an exact factor, so that a reading in inches and a limit in millimetres can be
//! compared without any binary rounding. A [`Quantity`] (a size), a [`Difference`] (how far two sizes
//! are apart) and a [`Computed`] amount (what a formula gave, not yet rounded) are different types.
//!
//! ```
//! use headproof_quantity::{Length, Unit};
//! let reading = Length::from_f64(0.0020, Unit::Inch).unwrap();
//! let limit = Length::from_f64(0.0508, Unit::Millimetre).unwrap();
//! assert_eq!(reading, limit);
//! ```

mod dimension;
mod exact;
mod quantity;
mod rounded;
mod uncertainty;
mod unit;

pub use dimension::{
    AngleDim, Dimension, FlowDim, ForceDim, FrequencyDim, Kind, LengthDim, PressureDim, RatioDim,
    RoughnessDim, SpringRateDim, TemperatureDifferenceDim, TemperatureDim, TimeDim, VolumeDim,
};
pub use exact::{Exact, ExactError};
pub use quantity::{
    Angle, Computed, Difference, Flow, Force, Length, Pressure, Quantity, Ratio, Roughness, Temperature,
    Time, Volume,
};
pub use rounded::Rounded;
pub use uncertainty::{StandardUncertainty, UncertaintyError};
pub use unit::{Unit, UnitError};
