//! Capability, or the word for why there is none.

use headproof_line::{self as line, CapabilityReport, NoCapability, NoWithin};

use super::{DIGITS, Scale, digits};
use crate::statistics::{Capability, CapabilityIndex, IntervalMethod, Percentiles};

pub(super) fn of(
    found: &Result<CapabilityReport, NoCapability>,
    scale: Scale,
) -> (Option<Capability>, Option<&'static str>) {
    match found {
        Ok(report) => (Some(document(report, scale)), None),
        Err(reason) => (None, Some(why_not(*reason))),
    }
}

const fn why_not(reason: NoCapability) -> &'static str {
    match reason {
        NoCapability::NoLimits => "no-limits",
        NoCapability::LimitsCrossed => "limits-crossed",
        NoCapability::TooFew { .. } => "too-few",
        NoCapability::NoSpread => "no-spread",
        NoCapability::NotPositive => "not-positive",
        NoCapability::LimitOutOfRange | NoCapability::LevelOutOfRange | NoCapability::NotASpread => {
            "out-of-range"
        }
    }
}

fn document(report: &CapabilityReport, scale: Scale) -> Capability {
    let within = report.within.as_ref().ok();
    let no_cpk = report.within.as_ref().err().map(|reason| match reason {
        NoWithin::NotGiven => "not-given",
        NoWithin::NotNormal => "not-normal",
        NoWithin::ByPercentiles => "by-percentiles",
        NoWithin::NotASpread => "no-spread",
    });
    Capability {
        method: report.method.into(),
        cp: within.and_then(|within| within.both).map(index),
        cpl: within.and_then(|within| within.lower).map(index),
        cpu: within.and_then(|within| within.upper).map(index),
        cpk: within.map(|within| index(within.least)),
        no_cpk: no_cpk.map(str::to_owned),
        pp: report.overall.both.map(index),
        ppl: report.overall.lower.map(index),
        ppu: report.overall.upper.map(index),
        ppk: index(report.overall.least),
        percentiles: report.percentiles.map(|percentiles| Percentiles {
            low: scale.amount(percentiles.low),
            median: scale.amount(percentiles.median),
            high: scale.amount(percentiles.high),
        }),
        thin_tails: report.thin_tails.is_some(),
    }
}

fn index(index: line::Index) -> CapabilityIndex {
    let number = |number| digits(number, DIGITS);
    CapabilityIndex {
        value: number(index.value),
        lower: index.interval.map(|interval| number(interval.low)),
        upper: index.interval.map(|interval| number(interval.high)),
        interval: index.interval.map(|interval| match interval.method {
            line::IntervalMethod::ChiSquare => IntervalMethod::ChiSquare,
            line::IntervalMethod::NoncentralT => IntervalMethod::NoncentralT,
            line::IntervalMethod::Bissell => IntervalMethod::Bissell,
        }),
    }
}
