//! Means and sums of squares that keep their digits when the values lie far from nought.

/// No reading may be larger: squares and their sums then stay far inside the range of an `f64`.
pub(super) const LARGEST: f64 = 1e15;

/// May this be a reading?
pub(super) fn usable(value: f64) -> bool {
    value.abs() <= LARGEST
}

/// Differences at or below this are rounding of the readings themselves and count as none.
pub(super) fn grain(values: &[f64]) -> f64 {
    4.0 * f64::EPSILON * values.iter().fold(0.0, |largest: f64, v| largest.max(v.abs()))
}

/// `difference`, or nought where it is within the rounding of the readings.
pub(super) fn clean(difference: f64, grain: f64) -> f64 {
    if difference.abs() <= grain { 0.0 } else { difference }
}

/// The mean, taken as a distance from the first value; nought of none.
pub(super) fn mean(values: impl Iterator<Item = f64> + Clone) -> f64 {
    let Some(first) = values.clone().next() else { return 0.0 };
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), v| (sum + (v - first), count + 1.0));
    first + sum / count
}

/// `value` if it is a number that may leave the crate.
pub(super) fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

/// A quotient, or none where it has no finite value.
pub(super) fn ratio(above: f64, below: f64) -> Option<f64> {
    if below == 0.0 { None } else { finite(above / below) }
}

/// The largest less the smallest; nought of none.
pub(super) fn range(values: impl Iterator<Item = f64>) -> f64 {
    let (low, high) =
        values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
    if low <= high { high - low } else { 0.0 }
}
