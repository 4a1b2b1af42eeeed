//! The sums behind a cylinder head's measurements: pure functions from readings to results.
//!
//! Every sum gives its value unrounded ([`headproof_quantity::Computed`]) together with its
//! sensitivity to each reading (the partial derivative, in base units), so that a caller can propagate
//! uncertainty with [`combined`]. Nothing here knows a limit, a profile or a document. Trigonometry,
//! roots and the error function come from one portable implementation (crate `libm`), so that the same
//! readings give the same bytes on every machine.
//!
//! ```
//! use headproof_metrology::{combined, width_from_diameters};
//! use headproof_quantity::{Angle, Length, Unit};
//! let outer = Length::from_f64(33.0, Unit::Millimetre)?;
//! let inner = Length::from_f64(30.0, Unit::Millimetre)?;
//! let angle = Angle::from_f64(45.0, Unit::Degree)?;
//! let width = width_from_diameters(outer, inner, angle)?;
//! let u = combined(width.sensitivity.into_iter().zip([0.01, 0.01, 0.1]));
//! assert!((width.value.get() - 2.12132).abs() < 1e-5 && (u - 0.01066).abs() < 1e-5);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod chamber;
mod check;
mod combine;
mod cone;
mod conformity;
mod contact;
mod deck;
mod error;
mod fit;
mod guide;
mod insert;
mod leak;
mod seat;
mod spread;
mod spring;
mod sum;
mod thermal;
mod turn;
mod zone;

pub use chamber::{CompressionInputs, compression_ratio, swept_volume};
pub use combine::{Combination, combined};
pub use cone::edge_after_feeds;
pub use conformity::{conformance_probability, guard_band_multiplier, normal_cdf, normal_quantile};
pub use contact::{
    Bound, ContactEdge, ContactLine, band_offset, band_offset_from_diameters, contact_line,
    inner_edge_clearance, inner_edge_clearance_from_diameters,
};
pub use deck::{
    Flatness, LeastSquaresFlatness, LocalFlatness, flatness_in_windows, flatness_least_squares,
    flatness_minimum_zone,
};
pub use error::MetrologyError;
pub use guide::{clearance, clearance_from_rocking, tilt};
pub use insert::{contact_pressure, interference, press_force, remaining_interference, slip_in_temperature};
pub use leak::{decay_flow, decay_flow_at_temperatures, drift_pressure};
pub use seat::{DialDirection, interference_angle, overhang_from_diameters, width_from_diameters};
pub use spread::spread;
pub use spring::{
    LoadSum, RateSum, coil_bind_margin, load_at, natural_frequency, rate, shear_stress, solid_length,
    theory_rate,
};
pub use sum::{SeriesSum, Sum};
pub use thermal::{RingMaterial, growth};
pub use turn::{Harmonics, Turn};
