//! What one series says when all heads are in.

use crate::{
    CapabilityMethod, CapabilityReport, Chart, ChartError, ChartKind, Limits, NoCapability, Normality,
    RuleSet, Series, SeriesKey, Signal, Within, capability, chart, signals,
};

/// The largest groups of which ranges are drawn; of larger ones, and of groups of several sizes, standard deviations.
const LARGEST_RANGE: u16 = 8;

/// How a series is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Asked {
    /// Level of confidence of intervals and tests, between 0 and 1.
    pub confidence: f64,
    /// Run rules of the charts.
    pub rules: RuleSet,
    /// Kind of chart; the one that suits the sizes of the groups where none is named.
    pub chart: Option<ChartKind>,
    /// How capability is found; as the tests of normality tell where none is named.
    pub method: Option<CapabilityMethod>,
}

/// What is made of a series besides its moments.
#[derive(Debug, Clone, PartialEq)]
pub struct Study {
    /// Whether the values could be normal.
    pub normality: Normality,
    /// Capability, or why there is none.
    pub capability: Result<CapabilityReport, NoCapability>,
    /// The chart, or why there is none.
    pub chart: Result<Chart, ChartError>,
    /// Broken run rules.
    pub signals: Vec<Signal>,
}

impl Series {
    /// Studies the series of a key.
    #[must_use]
    pub fn study(&self, key: &SeriesKey, asked: Asked) -> Study {
        let chart = self.chart(asked.chart);
        let within = chart.as_ref().ok().and_then(|chart| {
            Some(Within { s: chart.within.sigma, degrees: chart.within.degrees.filter(|&d| d >= 1.0)? })
        });
        let limits =
            Limits { lower: key.lower.map(|count| count as f64), upper: key.upper.map(|count| count as f64) };
        Study {
            normality: Normality::of(&self.values),
            capability: capability(&self.values, within, limits, asked.confidence, asked.method),
            signals: chart.as_ref().map(|chart| signals(chart, asked.rules)).unwrap_or_default(),
            chart,
        }
    }

    /// The chart of its groups: of this kind or, without one, of that which suits their sizes.
    ///
    /// # Errors
    /// [`ChartError`] as [`chart`] has it.
    pub fn chart(&self, kind: Option<ChartKind>) -> Result<Chart, ChartError> {
        chart(kind.unwrap_or_else(|| self.suiting()), &self.groups, None)
    }

    /// The kind of chart for the sizes of its groups: single values; ranges of small groups of one size; else standard
    /// deviations.
    fn suiting(&self) -> ChartKind {
        let first = self.groups.first().map_or(1, |group| group.n);
        let same = self.groups.iter().all(|group| group.n == first);
        match first {
            1 if same => ChartKind::IndividualsMovingRange,
            2..=LARGEST_RANGE if same => ChartKind::MeanRange,
            _ => ChartKind::MeanDeviation,
        }
    }
}
