//! What a study on a reference says.

use headproof_line::{
    ReferenceCapability, ReferenceResult, ReferenceRules, ReferenceUncertainty, SignificanceOfBias,
};

use super::{interval, on_the_wire};
use crate::gauge_study::{
    GaugeBiasOutcome, GaugeBiasTest, GaugeCapability, GaugeOutcome, GaugeReferenceUncertainty,
    ReferenceGaugeResult,
};

/// What the uncertainty of a study on a reference is made of.
pub(super) const COVERS: &str = "one reading of such a reference by who read it: repeatability or resolution, bias, reference; \
     not other operators, parts and temperature";

pub(super) fn result(of: &ReferenceResult, rules: &ReferenceRules, value: f64) -> ReferenceGaugeResult {
    let ReferenceRules { share, multiple, .. } = rules;
    ReferenceGaugeResult {
        method: format!(
            "study on a reference, Cg = {share} T / {multiple} s (definitions: ISO 22514-7, VDA 5)"
        ),
        reference_value: value,
        n: u32::try_from(of.n).unwrap_or(u32::MAX),
        few: of.few,
        mean: on_the_wire(of.mean),
        bias: on_the_wire(of.bias),
        bias_interval: interval(of.bias_interval),
        bias_test: bias_test(of.significance),
        s: on_the_wire(of.s),
        s_interval: interval(of.s_interval),
        tolerance: rules.tolerance,
        resolution: rules.resolution,
        share: rules.share,
        multiple: rules.multiple,
        wanted: rules.wanted,
        capability: of.capability.map(capability),
        smallest_tolerance_cg: on_the_wire(of.smallest_tolerance_cg),
        smallest_tolerance_cgk: on_the_wire(of.smallest_tolerance_cgk),
        smallest_tolerance_resolution: of.smallest_tolerance_resolution.map(on_the_wire),
        uncertainty: uncertainty(of.uncertainty),
    }
}

fn bias_test(of: SignificanceOfBias) -> GaugeBiasTest {
    let without_scatter = |outcome| GaugeBiasTest { outcome, t: None, p: None };
    match of {
        SignificanceOfBias::Tested { t, p, significant } => GaugeBiasTest {
            outcome: if significant {
                GaugeBiasOutcome::Significant
            } else {
                GaugeBiasOutcome::NotSignificant
            },
            t: Some(on_the_wire(t)),
            p: Some(on_the_wire(p)),
        },
        SignificanceOfBias::None => without_scatter(GaugeBiasOutcome::NoBias),
        SignificanceOfBias::WithoutScatter => without_scatter(GaugeBiasOutcome::NoScatter),
    }
}

fn capability(of: ReferenceCapability) -> GaugeCapability {
    GaugeCapability {
        cg: of.cg.map(on_the_wire),
        cgk: of.cgk.map(on_the_wire),
        cg_sufficient: of.cg_sufficient,
        cgk_sufficient: of.cgk_sufficient,
        resolution_percent: of.resolution_percent.map(on_the_wire),
        resolution_sufficient: of.resolution_sufficient,
    }
}

fn uncertainty(of: ReferenceUncertainty) -> GaugeReferenceUncertainty {
    GaugeReferenceUncertainty {
        repeatability: on_the_wire(of.repeatability),
        resolution: of.resolution.map(on_the_wire),
        bias: on_the_wire(of.bias),
        reference: on_the_wire(of.reference),
        combined: on_the_wire(of.combined),
    }
}

/// What to make of it, by the indices and the resolution.
pub(super) fn outcome(of: &ReferenceResult, rules: &ReferenceRules) -> (GaugeOutcome, String) {
    let Some(found) = &of.capability else {
        let says = "Without both limits there is no tolerance to hold the gauge against.";
        return (GaugeOutcome::Undecided, says.to_owned());
    };
    let index = |index: Option<f64>| index.map_or("without bound".to_owned(), |index| format!("{index:.2}"));
    let is_fine = found.resolution_sufficient != Some(false);
    let is_good = found.cg_sufficient && found.cgk_sufficient && is_fine;
    let (outcome, word) = if is_good { (GaugeOutcome::Good, "good") } else { (GaugeOutcome::Unfit, "unfit") };
    let resolution = if is_fine { "" } else { ", the resolution is more than 5 % of the tolerance" };
    let (cg, cgk) = (index(found.cg), index(found.cgk));
    (outcome, format!("Cg is {cg} and Cgk {cgk}, {} is wanted{resolution}: {word}.", rules.wanted))
}
