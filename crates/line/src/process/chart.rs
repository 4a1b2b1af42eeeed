//! Control charts: a chart of location and a chart of spread, with limits for each point.

use std::fmt;

use super::constants::{c4, d2, d3};
use super::spread::{from_deviations, from_moving_ranges, from_ranges};
use super::subgroup::mean;
use super::{Subgroup, Track, WithinGroups};

/// The largest group whose range still says enough of its scatter.
const LARGEST_RANGE: u16 = 10;

/// The limits of a chart of fewer groups are not known well yet. Common practice, no source.
pub const ENOUGH_GROUPS: u16 = 20;

/// What is drawn of each group.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ChartKind {
    /// Means and ranges; groups of one size, 2 to 10.
    MeanRange,
    /// Means and standard deviations; groups of any size, with limits of their own. A group of one value has a
    /// mean, but no point on the chart of spread.
    MeanDeviation,
    /// Single values and the moving ranges of two neighbours.
    IndividualsMovingRange,
}

/// Fixed limits from a reference period, in counts of the grid step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reference {
    /// The centre line of the chart of location.
    pub centre: f64,
    /// The standard deviation of single values within groups.
    pub sigma: f64,
}

/// One point and its limits, in counts of the grid step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// The place of the group in the line, from 0; of a moving range that of the later value.
    pub place: usize,
    /// The order of the group; of a moving range that of the later value.
    pub order: i64,
    /// The head.
    pub id: u32,
    /// The number of values in the group.
    pub n: u16,
    /// What is drawn.
    pub value: f64,
    /// The centre line here.
    pub centre: f64,
    /// The lower control limit: three standard errors below the centre line, on the chart of spread not below zero.
    pub lower: f64,
    /// The upper control limit: three standard errors above the centre line.
    pub upper: f64,
}

/// A chart of location and a chart of spread, points in the order of the line.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart {
    /// What is drawn.
    pub kind: ChartKind,
    /// The centre line of the chart of location.
    pub centre: f64,
    /// The standard deviation within groups the limits are made of.
    pub within: WithinGroups,
    /// Means or single values.
    pub location: Vec<Point>,
    /// Ranges, standard deviations or moving ranges.
    pub spread: Vec<Point>,
}

impl Chart {
    /// The points of one of the two charts.
    #[must_use]
    pub fn points(&self, track: Track) -> &[Point] {
        match track {
            Track::Location => &self.location,
            Track::Spread => &self.spread,
        }
    }

    /// The chart's centre and standard deviation, to judge a later period by.
    #[must_use]
    pub fn reference(&self) -> Reference {
        Reference { centre: self.centre, sigma: self.within.sigma }
    }
}

/// Why there is no chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChartError {
    /// There is no group.
    Empty,
    /// The kind of chart is not for groups of this size, or the sizes differ and it wants one.
    Size {
        /// The first size that does not fit.
        n: u16,
    },
    /// No group says anything of the scatter, and no reference is given.
    NoScatter,
    /// The sums of a group cannot belong to whole numbers from its least to its greatest, or are too large.
    Unsound {
        /// The order of the group.
        order: i64,
        /// The head.
        id: u32,
    },
    /// The reference is not finite, beyond 10³⁰, or its standard deviation is below zero.
    Reference,
}

impl fmt::Display for ChartError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str("there is no group"),
            Self::Size { n } => write!(f, "the chart is not for groups of {n} among these"),
            Self::NoScatter => f.write_str("no group says anything of the scatter"),
            Self::Unsound { order, id } => write!(f, "the sums of group {order}, {id} do not fit its values"),
            Self::Reference => f.write_str("the reference is no centre and standard deviation"),
        }
    }
}

impl std::error::Error for ChartError {}

/// The chart of these groups, given in any order; the same groups give the same chart to the last bit.
///
/// Limits are three standard errors from the centre line, which is the mean of all values. Where nothing scatters
/// within groups the limits fall on the centre line, and every point off it is beyond them.
///
/// Units: counts of the grid step.
///
/// # Errors
/// [`ChartError`]; groups are looked at in the order of the line.
///
/// Source: ISO 7870-2, ASTM E2587, NIST/SEMATECH e-Handbook 6.3.2 (from memory).
///
/// ```
/// use headproof_line::{ChartKind, Subgroup, chart};
/// // The flow rates of NIST/SEMATECH e-Handbook 6.3.2.2, in tenths: the mean is 50.81.
/// let groups: Vec<Subgroup> = [496, 476, 499, 513, 478, 512, 526, 524, 536, 521]
///     .iter()
///     .zip(1..)
///     .filter_map(|(&value, order)| Subgroup::of(order, 0, &[value]))
///     .collect();
/// let chart = chart(ChartKind::IndividualsMovingRange, &groups, None)?;
/// assert!((chart.centre - 508.1).abs() < 1e-9);
/// # Ok::<(), headproof_line::ChartError>(())
/// ```
pub fn chart(
    kind: ChartKind,
    groups: &[Subgroup],
    reference: Option<&Reference>,
) -> Result<Chart, ChartError> {
    if reference.is_some_and(|given| !given.holds()) {
        return Err(ChartError::Reference);
    }
    let mut groups = groups.to_vec();
    groups.sort_unstable();
    let size = groups.first().ok_or(ChartError::Empty)?.n;
    for group in &groups {
        if !group.holds() {
            return Err(ChartError::Unsound { order: group.order, id: group.id });
        }
        let fits = match kind {
            ChartKind::MeanRange => group.n == size && (2..=LARGEST_RANGE).contains(&size),
            ChartKind::MeanDeviation => true,
            ChartKind::IndividualsMovingRange => group.n == 1,
        };
        if !fits {
            return Err(ChartError::Size { n: group.n });
        }
    }
    let moving: Vec<u64> = groups.windows(2).map(|pair| pair[1].min.abs_diff(pair[0].min)).collect();
    let within = match reference {
        Some(given) => Some(given.into()),
        None => match kind {
            ChartKind::MeanRange => from_ranges(&groups, size),
            ChartKind::MeanDeviation => from_deviations(&groups),
            ChartKind::IndividualsMovingRange => from_moving_ranges(&moving),
        },
    };
    let within = within.ok_or(ChartError::NoScatter)?;
    let centre = match reference {
        Some(given) => given.centre,
        None => centre_of(&groups).ok_or(ChartError::Empty)?,
    };
    let placed = || groups.iter().enumerate();
    let spread = match kind {
        ChartKind::MeanRange => placed()
            .filter_map(|(at, group)| range(at, group, group.n, group.range(), within.sigma))
            .collect(),
        ChartKind::MeanDeviation => {
            placed().filter_map(|(at, group)| deviation(at, group, within.sigma)).collect()
        }
        ChartKind::IndividualsMovingRange => placed()
            .skip(1)
            .zip(&moving)
            .filter_map(|((at, group), &moved)| range(at, group, 2, moved as f64, within.sigma))
            .collect(),
    };
    let location = placed().filter_map(|(at, group)| location(at, group, centre, within.sigma)).collect();
    Ok(Chart { kind, centre, within, location, spread })
}

impl Reference {
    /// Whether limits can be made of it.
    fn holds(&self) -> bool {
        const LARGEST: f64 = 1e30;
        self.centre.abs() <= LARGEST && (0.0..=LARGEST).contains(&self.sigma)
    }
}

/// The mean of all values. Sums of 16 bits of values of 64 bits cannot reach 127 bits before there are 2⁴⁸ groups.
fn centre_of(groups: &[Subgroup]) -> Option<f64> {
    let sum = groups.iter().try_fold(0_i128, |sum, group| sum.checked_add(group.sum))?;
    mean(sum, groups.iter().map(|group| i128::from(group.n)).sum())
}

/// The point of a mean.
fn location(place: usize, group: &Subgroup, centre: f64, sigma: f64) -> Option<Point> {
    let (value, error) = (group.mean()?, 3.0 * sigma / f64::from(group.n).sqrt());
    let (lower, upper) = (centre - error, centre + error);
    Some(Point { place, order: group.order, id: group.id, n: group.n, value, centre, lower, upper })
}

/// The point of a range of `n` values.
fn range(place: usize, group: &Subgroup, n: u16, value: f64, sigma: f64) -> Option<Point> {
    Some(spread(place, group, value, sigma * d2(n)?, 3.0 * sigma * d3(n)?))
}

/// The point of a standard deviation; none for a single value.
fn deviation(place: usize, group: &Subgroup, sigma: f64) -> Option<Point> {
    let (c4, value) = (c4(group.n)?, group.deviation()?);
    Some(spread(place, group, value, sigma * c4, 3.0 * sigma * (1.0 - c4 * c4).sqrt()))
}

/// A point of the chart of spread.
fn spread(place: usize, group: &Subgroup, value: f64, centre: f64, error: f64) -> Point {
    let (lower, upper) = ((centre - error).max(0.0), centre + error);
    Point { place, order: group.order, id: group.id, n: group.n, value, centre, lower, upper }
}
