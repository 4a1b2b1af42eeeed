//! What one series says when all heads are in.

use crate::{
    CapabilityMethod, CapabilityReport, Chart, ChartError, ChartKind, Limits, NoCapability, Normality,
    RuleSet, Series, SeriesKey, Signal, Subgroup, Within, capability, chart, signals,
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
        let of_values = chart.as_ref().ok().filter(|chart| self.is_of_values(chart.kind));
        let within = of_values.and_then(|chart| {
            Some(Within { s: chart.within.sigma, degrees: chart.within.degrees.filter(|&d| d >= 1.0)? })
        });
        let limits =
            Limits { lower: key.lower.map(|count| count as f64), upper: key.upper.map(|count| count as f64) };
        let capability = capability(&self.values, within, limits, asked.confidence, asked.method);
        // Capability has tested them already, where there is one.
        let tested = capability.as_ref().ok().map(|report| report.normality);
        Study {
            normality: tested.unwrap_or_else(|| Normality::of(&self.values)),
            capability,
            signals: chart.as_ref().map(|chart| signals(chart, asked.rules)).unwrap_or_default(),
            chart,
        }
    }

    /// The chart of its groups: of this kind or, without one, of that which suits their sizes. As single values the means
    /// of the groups are drawn: for work whose heads differ by more than the ports of one do, where limits from within
    /// heads would be too narrow.
    ///
    /// # Errors
    /// [`ChartError`] as [`chart`] has it.
    pub fn chart(&self, kind: Option<ChartKind>) -> Result<Chart, ChartError> {
        let kind = kind.unwrap_or_else(|| self.suiting());
        if self.is_of_values(kind) {
            return chart(kind, &self.groups, None);
        }
        let means: Option<Vec<Subgroup>> = self.groups.iter().map(Subgroup::as_mean).collect();
        chart(kind, &means.ok_or(ChartError::Empty)?, None)
    }

    /// Are its values what such a chart draws, or their means?
    fn is_of_values(&self, kind: ChartKind) -> bool {
        kind != ChartKind::IndividualsMovingRange || self.groups.iter().all(|group| group.n == 1)
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
