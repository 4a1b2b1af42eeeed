//! What a sum gives back.

use headproof_quantity::Computed;

/// A value from a fixed number of inputs, with its partial derivative to each.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sum<D, const N: usize> {
    /// The unrounded value.
    pub value: Computed<D>,
    /// Partial derivatives in the order of the inputs, in base units (for instance mm per degree).
    pub sensitivity: [f64; N],
}

/// A value from a series of readings, with its partial derivatives to those that decide it.
#[derive(Debug, Clone, PartialEq)]
pub struct SeriesSum<D> {
    /// The unrounded value.
    pub value: Computed<D>,
    /// Index into the readings and partial derivative in base units; readings not listed have none.
    pub sensitivity: Vec<(usize, f64)>,
}
