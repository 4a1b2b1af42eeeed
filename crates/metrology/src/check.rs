//! What a sum asks of its inputs before it begins.

use headproof_quantity::{Dimension, Quantity};

use crate::MetrologyError;

/// The amount in the base unit, which must be more than zero.
pub(crate) fn positive<D: Dimension>(
    what: &'static str,
    quantity: Quantity<D>,
) -> Result<f64, MetrologyError> {
    if quantity <= Quantity::ZERO {
        return Err(MetrologyError::NotPositive { what, given: quantity.exact().to_f64() });
    }
    Ok(quantity.approx())
}

/// The amount in the base unit, which must not be less than zero.
pub(crate) fn not_negative<D: Dimension>(
    what: &'static str,
    quantity: Quantity<D>,
) -> Result<f64, MetrologyError> {
    if quantity < Quantity::ZERO {
        return Err(MetrologyError::Negative { what, given: quantity.exact().to_f64() });
    }
    Ok(quantity.approx())
}

/// A property of a material that must be finite and more than zero.
pub(crate) fn material(what: &'static str, given: f64) -> Result<f64, MetrologyError> {
    if given.is_finite() && given > 0.0 { Ok(given) } else { Err(MetrologyError::NoMaterial { what, given }) }
}
