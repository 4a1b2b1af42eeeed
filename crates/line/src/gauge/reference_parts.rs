//! What a study on one reference is asked and what it answers.

use super::sums::LARGEST;

/// Why readings or rules make no study on a reference.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReferenceFault {
    /// Fewer than 10 readings, or more than 10,000.
    Count(usize),
    /// The reading at this place, from 0, is not a number or beyond 1e15.
    Reading(usize),
    /// The reference's value is not a number or beyond 1e15.
    Reference,
    /// The reference's uncertainty is negative, not a number or beyond 1e15.
    ReferenceUncertainty,
    /// The tolerance is not a positive number up to 1e15.
    Tolerance,
    /// The resolution is not a positive number up to 1e15.
    Resolution,
    /// The share of the tolerance is not 0.001 to 1.
    Share,
    /// The multiple of s is not 1 to 100.
    Multiple,
    /// The wanted index is not above 0 and at most 100.
    Wanted,
    /// The confidence is not above 0 and at most 0.999999.
    Confidence,
}

/// What a study on a reference is judged by. Definitions differ: the defaults make Cg = 0.2 T / 6 s (ISO
/// 22514-7); others take 4 s, or 0.15 T (all from memory). Say which with every index.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReferenceRules {
    /// The tolerance T, upper less lower limit, in the unit of the readings; without it there are no indices.
    pub tolerance: Option<f64>,
    /// The step of the gauge's display or scale, in the unit of the readings.
    pub resolution: Option<f64>,
    /// The share of T the gauge may scatter over; 0.2.
    pub share: f64,
    /// How many s that is held against; 6.
    pub multiple: f64,
    /// The index wanted; 1.33.
    pub wanted: f64,
    /// The confidence of intervals, and one less the level of the test of bias; 0.95.
    pub confidence: f64,
}

impl Default for ReferenceRules {
    fn default() -> Self {
        Self { tolerance: None, resolution: None, share: 0.2, multiple: 6.0, wanted: 1.33, confidence: 0.95 }
    }
}

impl ReferenceRules {
    /// Every fault of the rules themselves.
    #[must_use]
    pub fn faults(&self) -> Vec<ReferenceFault> {
        let within = |value: f64, most: f64| value > 0.0 && value <= most;
        [
            (self.tolerance.is_none_or(|value| within(value, LARGEST)), ReferenceFault::Tolerance),
            (self.resolution.is_none_or(|value| within(value, LARGEST)), ReferenceFault::Resolution),
            ((0.001..=1.0).contains(&self.share), ReferenceFault::Share),
            ((1.0..=100.0).contains(&self.multiple), ReferenceFault::Multiple),
            (within(self.wanted, 100.0), ReferenceFault::Wanted),
            (within(self.confidence, 0.999_999), ReferenceFault::Confidence),
        ]
        .into_iter()
        .filter_map(|(good, fault)| (!good).then_some(fault))
        .collect()
    }
}

/// What the test of the bias says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SignificanceOfBias {
    /// Student's t of the bias against nought.
    Tested {
        /// bias √n / s.
        t: f64,
        /// The chance of a t at least as far from nought without bias.
        p: f64,
        /// Is `p` below one less the confidence?
        significant: bool,
    },
    /// All readings are equal, and equal to the reference: no bias was seen.
    None,
    /// All readings are equal, and not to the reference: no scatter to hold the bias against. The resolution
    /// is what limits what can be said.
    WithoutScatter,
}

/// Gauge capability on a reference.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReferenceCapability {
    /// share · T / (multiple · s); `None` without scatter (no bound then).
    pub cg: Option<f64>,
    /// (share / 2 · T − |bias|) / (multiple / 2 · s); negative where the bias is beyond its share; `None`
    /// without scatter.
    pub cgk: Option<f64>,
    /// Is Cg what is wanted, which without scatter it is?
    pub cg_sufficient: bool,
    /// Is Cgk what is wanted, which without scatter it is where the bias is within its share?
    pub cgk_sufficient: bool,
    /// 100 · resolution / T (%RE); `None` without a resolution.
    pub resolution_percent: Option<f64>,
    /// Is that at most 5 % (ISO 22514-7, from memory)?
    pub resolution_sufficient: Option<bool>,
}

/// The standard uncertainty the study implies, as in ISO 22514-7 (from memory): the larger of repeatability
/// and resolution, with bias and reference, as the root of the sum of squares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReferenceUncertainty {
    /// s of the readings.
    pub repeatability: f64,
    /// Resolution / √12; `None` without a resolution.
    pub resolution: Option<f64>,
    /// |bias| / √3.
    pub bias: f64,
    /// Of the reference; nought where none was given.
    pub reference: f64,
    /// All together.
    pub combined: f64,
}
