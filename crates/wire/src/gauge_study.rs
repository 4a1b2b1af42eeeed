//! A study of a gauge: how much of what it shows is the gauge itself. As posted and as answered.

use headproof_quantity::Unit;
use serde::{Deserialize, Serialize};
use serde_with::skip_serializing_none;
use utoipa::ToSchema;

use crate::Measures;

mod crossed;
mod reference;
mod result;

pub use crossed::{
    CrossedGaugeResult, GaugeAnalysis, GaugeCategories, GaugeComponent, GaugeComponents, GaugeDeviation,
    GaugeDeviations, GaugeForJudging, GaugeModel, GaugeRangeConstants, GaugeRanges, GaugeTable,
    GaugeTableRow,
};
pub use reference::{
    GaugeBiasOutcome, GaugeBiasTest, GaugeCapability, GaugeReferenceUncertainty, ReferenceGaugeResult,
};
pub use result::{
    GaugeForTheSet, GaugeInterval, GaugeOutcome, GaugeStudy, GaugeStudyKind, GaugeToleranceShare,
};

/// Readings of a study of a gauge: exactly one of `crossed` and `reference`. All numbers are in `unit`.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct GaugeStudyRequest {
    /// `headproof/gauge-study/1`.
    pub format: String,
    /// What the study is called.
    #[schema(min_length = 1, max_length = 200)]
    pub title: String,
    /// Name of the characteristic the gauge is studied for, where it is one of the table; `unit` has to be one of its.
    pub characteristic: Option<String>,
    /// The shop's own name of the gauge, as in its measurement sets.
    #[schema(min_length = 1, max_length = 200)]
    pub instrument: Option<String>,
    /// Unit of every number.
    pub unit: GaugeUnit,
    /// Least amount that conforms. Both limits make a tolerance.
    #[schema(minimum = -5e14, maximum = 5e14)]
    pub lower: Option<f64>,
    /// Greatest amount that conforms.
    #[schema(minimum = -5e14, maximum = 5e14)]
    pub upper: Option<f64>,
    /// Level of the confidence intervals, 0.95 when left out; the bias of a study on a reference is tested at one
    /// less this.
    #[schema(exclusive_minimum = 0, maximum = 0.999999)]
    pub confidence: Option<f64>,
    /// Several people measured several parts several times.
    pub crossed: Option<CrossedGaugeReadings>,
    /// One reference of known value was measured again and again.
    pub reference: Option<ReferenceGaugeReadings>,
}

/// A crossed study: each of 2 to 20 operators measured each of 2 to 200 parts the same number of times, 2 to 20.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CrossedGaugeReadings {
    /// Every reading, in any order.
    #[schema(min_items = 8, max_items = 80000)]
    pub readings: Vec<CrossedGaugeReading>,
    /// The interaction of part and operator is counted as error where its p is above this: 0.25 when left out (AIAG
    /// practice); 0 always, 1 never.
    #[schema(minimum = 0, maximum = 1)]
    pub pooling_above: Option<f64>,
    /// How many times one operator will read a part before the mean is judged; 1 when left out.
    #[schema(minimum = 1, maximum = 100)]
    pub repeats: Option<u16>,
}

/// One reading of a crossed study.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CrossedGaugeReading {
    /// Code of the part.
    #[schema(min_length = 1, max_length = 200)]
    pub part: String,
    /// Code of who measured it.
    #[schema(min_length = 1, max_length = 200)]
    pub operator: String,
    /// Which time, from 1. It is stated in all rows or in none; then the order of the rows tells it.
    #[schema(minimum = 1, maximum = 20)]
    pub trial: Option<u8>,
    /// What was read.
    #[schema(minimum = -1e15, maximum = 1e15)]
    pub value: f64,
}

/// A study on one reference (type 1). What makes an index differs from rule to rule: when left out, Cg is 0.2 T / 6 s
/// (ISO 22514-7, from memory), with T the upper less the lower limit.
#[skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ReferenceGaugeReadings {
    /// What the reference is.
    #[schema(minimum = -1e15, maximum = 1e15)]
    pub reference_value: f64,
    /// Standard uncertainty of that; 0 when left out.
    #[schema(minimum = 0, maximum = 1e15)]
    pub reference_uncertainty: Option<f64>,
    /// Smallest step the gauge shows.
    #[schema(exclusive_minimum = 0, maximum = 1e15)]
    pub resolution: Option<f64>,
    /// What it showed; 25 at least are customary, 50 better.
    #[schema(min_items = 10, max_items = 10000)]
    pub readings: Vec<f64>,
    /// The share of the tolerance the gauge may scatter over; 0.2 when left out.
    #[schema(minimum = 0.001, maximum = 1)]
    pub share: Option<f64>,
    /// How many standard deviations that is held against; 6 when left out.
    #[schema(minimum = 1, maximum = 100)]
    pub multiple: Option<f64>,
    /// The index that is wanted; 1.33 when left out.
    #[schema(exclusive_minimum = 0, maximum = 100)]
    pub wanted: Option<f64>,
}

/// Unit of what an instrument of a measurement set can measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub enum GaugeUnit {
    /// Millimetre.
    #[serde(rename = "mm")]
    Millimetre,
    /// Inch.
    #[serde(rename = "in")]
    Inch,
    /// Degree of angle.
    #[serde(rename = "deg")]
    Degree,
    /// Newton.
    #[serde(rename = "N")]
    Newton,
    /// Pound-force.
    #[serde(rename = "lbf")]
    PoundForce,
    /// Millilitre.
    #[serde(rename = "mL")]
    Millilitre,
    /// Kilopascal.
    #[serde(rename = "kPa")]
    Kilopascal,
    /// Inch of mercury.
    #[serde(rename = "inHg")]
    InchOfMercury,
    /// Micrometre, of roughness.
    #[serde(rename = "um")]
    Micrometre,
    /// Microinch, of roughness.
    #[serde(rename = "uin")]
    Microinch,
    /// Degree Celsius.
    #[serde(rename = "Cel")]
    DegreeCelsius,
    /// Second.
    #[serde(rename = "s")]
    Second,
}

impl GaugeUnit {
    /// All of them.
    pub(crate) const ALL: [Self; 12] = [
        Self::Millimetre,
        Self::Inch,
        Self::Degree,
        Self::Newton,
        Self::PoundForce,
        Self::Millilitre,
        Self::Kilopascal,
        Self::InchOfMercury,
        Self::Micrometre,
        Self::Microinch,
        Self::DegreeCelsius,
        Self::Second,
    ];

    /// The same as a unit of quantities.
    #[must_use]
    pub const fn unit(self) -> Unit {
        match self {
            Self::Millimetre => Unit::Millimetre,
            Self::Inch => Unit::Inch,
            Self::Degree => Unit::Degree,
            Self::Newton => Unit::Newton,
            Self::PoundForce => Unit::PoundForce,
            Self::Millilitre => Unit::Millilitre,
            Self::Kilopascal => Unit::Kilopascal,
            Self::InchOfMercury => Unit::InchOfMercury,
            Self::Micrometre => Unit::Micrometre,
            Self::Microinch => Unit::Microinch,
            Self::DegreeCelsius => Unit::DegreeCelsius,
            Self::Second => Unit::Second,
        }
    }

    /// What an instrument measures that reads in it.
    #[must_use]
    pub const fn measures(self) -> Measures {
        match self {
            Self::Millimetre | Self::Inch => Measures::Length,
            Self::Degree => Measures::Angle,
            Self::Newton | Self::PoundForce => Measures::Force,
            Self::Millilitre => Measures::Volume,
            Self::Kilopascal | Self::InchOfMercury => Measures::Pressure,
            Self::Micrometre | Self::Microinch => Measures::Roughness,
            Self::DegreeCelsius => Measures::Temperature,
            Self::Second => Measures::Time,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_unit_has_the_code_that_evaluations_state() {
        for unit in GaugeUnit::ALL {
            assert_eq!(serde_json::to_value(unit).unwrap(), unit.unit().code(), "{unit:?}");
        }
    }
}
