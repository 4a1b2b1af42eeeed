//! Computed amounts, made quantities again.

use headproof_quantity::{Dimension, Exact, Kind, Length, Quantity, Rounded};

/// Less than this is no work at all, in mm: far below what any bench can do.
pub(crate) const NOTHING: f64 = 5e-5;

/// An amount in its base unit, on a grid far below any gauge.
pub(crate) fn quantity<D: Dimension>(amount: f64) -> Quantity<D> {
    const DECIMALS: u32 = 9;
    #[expect(clippy::cast_possible_truncation, reason = "amounts of a head, bounded when they were read")]
    Quantity::from_exact(Exact::from_count((amount * 1e9).round() as i64, DECIMALS))
}

/// A length on the same grid.
pub(crate) fn length(millimetres: f64) -> Length {
    quantity(millimetres)
}

/// An amount on the grid of answers; nothing that is not a number comes this far.
pub(crate) fn on_grid(amount: f64, kind: Kind) -> Rounded {
    Rounded::from_computed(amount, kind)
        .unwrap_or_else(|| Rounded::from_exact(Exact::ZERO, kind).expect("nothing lies on every grid"))
}
