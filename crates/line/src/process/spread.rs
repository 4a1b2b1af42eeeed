//! The standard deviation within groups, and how well it is known.

use super::constants::{c4, d2, d3};
use super::degrees::{equivalent, neighbours};
use super::{Reference, Subgroup};

/// What a standard deviation within groups was estimated from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SigmaEstimator {
    /// The mean range over d2.
    MeanRange,
    /// The standard deviations over c4, weighted by how well each is known. For groups of one size that is the
    /// mean standard deviation over c4.
    MeanDeviation,
    /// The mean moving range of two over d2.
    MeanMovingRange,
    /// Nothing here: it was given, from a reference period.
    Reference,
}

/// The standard deviation within groups.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WithinGroups {
    /// The standard deviation of single values, in counts of the grid step.
    pub sigma: f64,
    /// What it was estimated from.
    pub estimator: SigmaEstimator,
    /// The degrees of freedom of a standard deviation that scatters as much; none for a given one.
    pub degrees: Option<f64>,
}

impl From<&Reference> for WithinGroups {
    fn from(reference: &Reference) -> Self {
        Self { sigma: reference.sigma, estimator: SigmaEstimator::Reference, degrees: None }
    }
}

/// From the mean range of groups that all have the size `n`.
pub(super) fn from_ranges(groups: &[Subgroup], n: u16) -> Option<WithinGroups> {
    let (d2, d3) = (d2(n)?, d3(n)?);
    let count = groups.len() as f64;
    // Whole numbers first: the same sum in any order.
    let sum: i128 = groups.iter().map(|group| i128::from(group.max) - i128::from(group.min)).sum();
    let variation = d3 / d2;
    (!groups.is_empty()).then(|| WithinGroups {
        sigma: sum as f64 / count / d2,
        estimator: SigmaEstimator::MeanRange,
        degrees: equivalent(variation * variation / count),
    })
}

/// From the standard deviations of the groups that have one: `Σ f s/c4 / Σ f` with `f = c4²/(1 − c4²)`, which is the
/// linear unbiased estimate of least variance.
///
/// Source: Burr 1969, as the SAS/QC documentation of the SHEWHART procedure (SMETHOD=MVLUE) gives it.
pub(super) fn from_deviations(groups: &[Subgroup]) -> Option<WithinGroups> {
    let (mut weighted, mut weights) = (0.0, 0.0);
    for group in groups {
        if let (Some(s), Some(c4)) = (group.deviation(), c4(group.n)) {
            let weight = c4 * c4 / (1.0 - c4 * c4);
            weighted += weight * s / c4;
            weights += weight;
        }
    }
    (weights > 0.0).then(|| WithinGroups {
        sigma: weighted / weights,
        estimator: SigmaEstimator::MeanDeviation,
        degrees: equivalent(1.0 / weights),
    })
}

/// From the mean moving range of single values; `ranges` are of neighbours in the line.
pub(super) fn from_moving_ranges(ranges: &[u64]) -> Option<WithinGroups> {
    let (d2, d3) = (d2(2)?, d3(2)?);
    let count = ranges.len() as f64;
    let sum: u128 = ranges.iter().map(|&range| u128::from(range)).sum();
    // Neighbouring moving ranges share a value, so they say less than as many ranges of their own.
    let variance = (d3 * d3 + 2.0 * (count - 1.0) / count * neighbours()) / count;
    (!ranges.is_empty()).then(|| WithinGroups {
        sigma: sum as f64 / count / d2,
        estimator: SigmaEstimator::MeanMovingRange,
        degrees: equivalent(variance / (d2 * d2)),
    })
}
