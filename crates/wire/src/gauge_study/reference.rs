//! What a study on a reference answers.

use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use super::GaugeInterval;

/// What a study on a reference says.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ReferenceGaugeResult {
    /// The name of the method, with what makes an index.
    pub method: String,
    /// What the reference is.
    pub reference_value: f64,
    /// Readings.
    pub n: u32,
    /// Fewer than 25 readings: the result is weaker than is customary.
    pub few: bool,
    /// Mean of the readings.
    pub mean: f64,
    /// Mean less reference.
    pub bias: f64,
    /// Interval of the bias (Student's t).
    pub bias_interval: GaugeInterval,
    /// Is the bias more than scatter?
    pub bias_test: GaugeBiasTest,
    /// Standard deviation of the readings, from n − 1.
    pub s: f64,
    /// Its interval (chi-square).
    pub s_interval: GaugeInterval,
    /// Upper less lower limit, where there are both.
    pub tolerance: Option<f64>,
    /// Smallest step the gauge shows.
    pub resolution: Option<f64>,
    /// The share of the tolerance the gauge may scatter over.
    pub share: f64,
    /// How many standard deviations that is held against.
    pub multiple: f64,
    /// The index that is wanted.
    pub wanted: f64,
    /// The indices; left out without a tolerance.
    pub capability: Option<GaugeCapability>,
    /// The smallest tolerance at which Cg is what is wanted.
    pub smallest_tolerance_cg: f64,
    /// The smallest tolerance at which Cgk is what is wanted.
    pub smallest_tolerance_cgk: f64,
    /// The smallest tolerance of which the resolution is at most 5 %.
    pub smallest_tolerance_resolution: Option<f64>,
    /// The standard uncertainty that follows.
    pub uncertainty: GaugeReferenceUncertainty,
}

/// The test of the bias.
#[skip_serializing_none]
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GaugeBiasTest {
    /// What it says.
    pub outcome: GaugeBiasOutcome,
    /// Student's t of the bias against nought; left out without scatter.
    pub t: Option<f64>,
    /// The chance of a t at least as far from nought without bias.
    pub p: Option<f64>,
}

/// What the test of a bias says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum GaugeBiasOutcome {
    /// It is more than scatter.
    Significant,
    /// It may be scatter.
    NotSignificant,
    /// All readings are what the reference is.
    NoBias,
    /// All readings are the same, and not what the reference is: there is no scatter to hold the bias against.
    NoScatter,
}

/// Indices of a gauge on a reference.
#[skip_serializing_none]
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GaugeCapability {
    /// share · T / (multiple · s); left out without scatter, where it has no bound.
    pub cg: Option<f64>,
    /// (share / 2 · T − |bias|) / (multiple / 2 · s); left out as `cg`.
    pub cgk: Option<f64>,
    /// Is Cg what is wanted, which without scatter it is?
    pub cg_sufficient: bool,
    /// Is Cgk what is wanted, which without scatter it is where the bias is within its share?
    pub cgk_sufficient: bool,
    /// Resolution as per cent of T.
    pub resolution_percent: Option<f64>,
    /// Is that at most 5 %?
    pub resolution_sufficient: Option<bool>,
}

/// What a standard uncertainty is made of: the larger of repeatability and resolution, with bias and reference, as the root of
/// the sum of squares.
#[skip_serializing_none]
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GaugeReferenceUncertainty {
    /// s of the readings.
    pub repeatability: f64,
    /// Resolution / √12.
    pub resolution: Option<f64>,
    /// |bias| / √3.
    pub bias: f64,
    /// Of the reference.
    pub reference: f64,
    /// All together.
    pub combined: f64,
}
