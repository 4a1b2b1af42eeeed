//! The table of a study on a reference.

use std::fmt::{self, Formatter};

use headproof_wire::gauge_study::{GaugeBiasOutcome, ReferenceGaugeResult};

use super::number::significant;
use super::{line, line_within};

pub(super) fn write(f: &mut Formatter<'_>, found: &ReferenceGaugeResult, confidence: f64) -> fmt::Result {
    let few = if found.few { ", fewer than is customary" } else { "" };
    writeln!(f, "  {} readings{few}; {}.\n", found.n, found.method)?;
    line(f, "reference", found.reference_value)?;
    line(f, "mean", found.mean)?;
    line_within(f, "bias", found.bias, Some(found.bias_interval), confidence)?;
    line_within(f, "s", found.s, Some(found.s_interval), confidence)?;
    let test = &found.bias_test;
    let says = match test.outcome {
        GaugeBiasOutcome::Significant => "more than scatter",
        GaugeBiasOutcome::NotSignificant => "may be scatter",
        GaugeBiasOutcome::NoBias => "none was seen",
        GaugeBiasOutcome::NoScatter => "no scatter to hold it against",
    };
    match (test.t, test.p) {
        (Some(t), Some(p)) => {
            writeln!(f, "  the bias: {says} (t {}, p {})", significant(t), significant(p))?;
        }
        _ => writeln!(f, "  the bias: {says}")?,
    }
    if let Some(capability) = &found.capability {
        index(f, "Cg", capability.cg, capability.cg_sufficient)?;
        index(f, "Cgk", capability.cgk, capability.cgk_sufficient)?;
        if let Some(percent) = capability.resolution_percent {
            line(f, "resolution, % of tolerance", percent)?;
        }
    }
    line(f, "smallest tolerance by Cg", found.smallest_tolerance_cg)?;
    line(f, "smallest tolerance by Cgk", found.smallest_tolerance_cgk)?;
    if let Some(tolerance) = found.smallest_tolerance_resolution {
        line(f, "smallest tolerance by resolution", tolerance)?;
    }
    let of = &found.uncertainty;
    writeln!(f, "\nStandard uncertainty:")?;
    line(f, "repeatability", of.repeatability)?;
    if let Some(resolution) = of.resolution {
        line(f, "resolution (the larger counts)", resolution)?;
    }
    line(f, "bias", of.bias)?;
    line(f, "reference", of.reference)?;
    line(f, "all together", of.combined)
}

fn index(f: &mut Formatter<'_>, name: &str, index: Option<f64>, is_sufficient: bool) -> fmt::Result {
    let says = if is_sufficient { "as wanted" } else { "less than wanted" };
    let index = index.map_or("no bound".to_owned(), significant);
    writeln!(f, "  {name:<34}{index:>12}  {says}")
}
