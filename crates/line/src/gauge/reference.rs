//! A study on one reference of known value (type 1): bias, repeatability, Cg and Cgk.
//!
//! ISO 22514-7 (Statistical methods in process management, Capability of measurement processes) and VDA
//! volume 5, both from memory; their factors differ, so they are the caller's.

use super::reference_parts::{
    ReferenceCapability, ReferenceFault, ReferenceRules, ReferenceUncertainty, SignificanceOfBias,
};
use super::sums::{LARGEST, clean, finite, grain, mean, ratio, usable};
use super::variation::GaugeInterval;
use crate::special::{chi_square_within, t_two_sided, t_within};

/// Readings of one reference.
#[derive(Debug, Clone, PartialEq)]
pub struct ReferenceStudy {
    value: f64,
    uncertainty: f64,
    readings: Vec<f64>,
}

/// What a study on a reference gives. In the unit of the readings where nothing else is said.
#[derive(Debug, Clone, PartialEq)]
pub struct ReferenceResult {
    /// Readings.
    pub n: usize,
    /// Fewer than 25 readings: evaluated, and the result is weaker than is customary (50, at least 25).
    pub few: bool,
    /// Mean of the readings.
    pub mean: f64,
    /// Mean less reference.
    pub bias: f64,
    /// Confidence interval of the bias, from Student's t.
    pub bias_interval: GaugeInterval,
    /// Is the bias more than scatter?
    pub significance: SignificanceOfBias,
    /// Standard deviation of the readings (n − 1).
    pub s: f64,
    /// Confidence interval of the standard deviation, from chi-square.
    pub s_interval: GaugeInterval,
    /// The indices; `None` without a tolerance.
    pub capability: Option<ReferenceCapability>,
    /// The smallest tolerance at which Cg is what is wanted.
    pub smallest_tolerance_cg: f64,
    /// The smallest tolerance at which Cgk is what is wanted.
    pub smallest_tolerance_cgk: f64,
    /// The smallest tolerance of which the resolution is at most 5 %; `None` without a resolution.
    pub smallest_tolerance_resolution: Option<f64>,
    /// The standard uncertainty implied.
    pub uncertainty: ReferenceUncertainty,
}

impl ReferenceStudy {
    /// Takes the reference's value, its standard uncertainty (0 where unknown) and 10 to 10,000 readings.
    ///
    /// # Errors
    /// All faults at once: of the reference, then of the number of readings, then of readings in their order.
    pub fn new(value: f64, uncertainty: f64, readings: &[f64]) -> Result<Self, Vec<ReferenceFault>> {
        let mut faults = Vec::new();
        if !usable(value) {
            faults.push(ReferenceFault::Reference);
        }
        if !(0.0..=LARGEST).contains(&uncertainty) {
            faults.push(ReferenceFault::ReferenceUncertainty);
        }
        if !(10..=10_000).contains(&readings.len()) {
            faults.push(ReferenceFault::Count(readings.len()));
        }
        let unusable = readings.iter().enumerate().filter(|(_, reading)| !usable(**reading));
        faults.extend(unusable.map(|(index, _)| ReferenceFault::Reading(index)));
        if faults.is_empty() {
            Ok(Self { value, uncertainty, readings: readings.to_vec() })
        } else {
            Err(faults)
        }
    }

    /// Evaluates.
    ///
    /// # Errors
    /// All faults of the rules at once.
    pub fn evaluate(&self, rules: &ReferenceRules) -> Result<ReferenceResult, Vec<ReferenceFault>> {
        let faults = rules.faults();
        if !faults.is_empty() {
            return Err(faults);
        }
        let n = self.readings.len();
        let (count, df) = (n as f64, (n - 1) as f64);
        let grain = grain(&self.readings).max(grain(&[self.value]));
        // As distances from the reference; the mean of them is the bias, with all its digits.
        let bias = clean(mean(self.readings.iter().map(|reading| reading - self.value)), grain);
        let squares: f64 =
            self.readings.iter().map(|reading| clean((reading - self.value) - bias, grain).powi(2)).sum();
        let s = (squares / df).sqrt();
        let standard_error = s / count.sqrt();
        let significance = match ratio(bias, standard_error) {
            Some(t) => {
                let p = t_two_sided(t, df);
                SignificanceOfBias::Tested { t, p, significant: p < 1.0 - rules.confidence }
            }
            None if bias == 0.0 => SignificanceOfBias::None,
            None => SignificanceOfBias::WithoutScatter,
        };
        let reach = t_within(rules.confidence, df) * standard_error;
        let (low, high) = chi_square_within(rules.confidence, df);
        let half_share = rules.share / 2.0;
        let half_multiple = rules.multiple / 2.0;
        Ok(ReferenceResult {
            n,
            few: n < 25,
            mean: self.value + bias,
            bias,
            bias_interval: GaugeInterval { lower: bias - reach, upper: bias + reach },
            significance,
            s,
            s_interval: GaugeInterval { lower: (squares / high).sqrt(), upper: (squares / low).sqrt() },
            capability: rules.tolerance.map(|tolerance| capability(rules, tolerance, bias, s)),
            smallest_tolerance_cg: rules.wanted * half_multiple * s / half_share,
            smallest_tolerance_cgk: (rules.wanted * half_multiple * s + bias.abs()) / half_share,
            smallest_tolerance_resolution: rules.resolution.map(|resolution| 20.0 * resolution),
            uncertainty: self.uncertainty_of(rules, bias, s),
        })
    }

    fn uncertainty_of(&self, rules: &ReferenceRules, bias: f64, s: f64) -> ReferenceUncertainty {
        let resolution = rules.resolution.map(|step| step / 12_f64.sqrt());
        let of_bias = bias.abs() / 3_f64.sqrt();
        let of_reading = resolution.map_or(s, |resolution| resolution.max(s));
        let combined = (of_reading.powi(2) + of_bias.powi(2) + self.uncertainty.powi(2)).sqrt();
        ReferenceUncertainty {
            repeatability: s,
            resolution,
            bias: of_bias,
            reference: self.uncertainty,
            combined,
        }
    }
}

fn capability(rules: &ReferenceRules, tolerance: f64, bias: f64, s: f64) -> ReferenceCapability {
    let scatter = rules.multiple / 2.0 * s;
    let room = rules.share / 2.0 * tolerance;
    let resolution_percent = rules.resolution.and_then(|resolution| finite(100.0 * (resolution / tolerance)));
    ReferenceCapability {
        cg: ratio(room, scatter),
        cgk: ratio(room - bias.abs(), scatter),
        cg_sufficient: room >= rules.wanted * scatter,
        cgk_sufficient: room - bias.abs() >= rules.wanted * scatter,
        resolution_percent,
        resolution_sufficient: rules.resolution.map(|resolution| 20.0 * resolution <= tolerance),
    }
}
