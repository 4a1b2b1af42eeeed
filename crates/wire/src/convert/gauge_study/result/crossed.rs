//! What a crossed study says.

use headproof_line::{
    AnovaRow, AnovaTable, AverageRange, Component, CrossedStudy, DistinctCategories, DivisorRule, GaugeAnova,
    GaugeLimits, GaugeVariation, Pooling, ToleranceShare,
};

use super::{interval, on_the_wire};
use crate::gauge_study::{
    CrossedGaugeResult, GaugeAnalysis, GaugeCategories, GaugeComponent, GaugeComponents, GaugeDeviation,
    GaugeDeviations, GaugeForJudging, GaugeModel, GaugeOutcome, GaugeRangeConstants, GaugeRanges, GaugeTable,
    GaugeTableRow, GaugeToleranceShare,
};

/// What the uncertainty of a crossed study is made of.
pub(super) const COVERS: &str =
    "one reading by any of the operators (GRR by analysis of variance); not bias, reference and temperature";

/// Up to this a gauge is good, in per cent (AIAG MSA, 4th edition, from memory).
const GOOD: f64 = 10.0;
/// Above this it is unfit.
const UNFIT: f64 = 30.0;

/// What was asked beside the readings.
pub(super) struct Asked {
    pub(super) limits: Option<GaugeLimits>,
    pub(super) confidence: f64,
    pub(super) pooling_above: f64,
    pub(super) repeats: u32,
}

/// No p is below 0 or above 1: at either end there is nothing to compare.
pub(super) fn pooling(above: f64) -> Pooling {
    if above <= 0.0 {
        Pooling::Always
    } else if above >= 1.0 {
        Pooling::Never
    } else {
        Pooling::Above(above)
    }
}

pub(super) fn result(study: &CrossedStudy, anova: &GaugeAnova, asked: &Asked) -> CrossedGaugeResult {
    let shape = study.shape();
    CrossedGaugeResult {
        parts: count(shape.parts),
        operators: count(shape.operators),
        trials: count(shape.trials),
        mean: on_the_wire(anova.variation.mean),
        analysis_of_variance: analysis(anova, asked),
        average_range: ranges(&study.average_range(DivisorRule::Table), asked.limits),
        judging: judging(&anova.variation, asked.repeats),
    }
}

fn count(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

fn analysis(anova: &GaugeAnova, asked: &Asked) -> GaugeAnalysis {
    GaugeAnalysis {
        method:
            "two-way analysis of variance, parts and operators random (AIAG MSA, 4th edition, appendix A)"
                .to_owned(),
        pooling_above: asked.pooling_above,
        used: if anova.is_pooled { GaugeModel::WithoutInteraction } else { GaugeModel::WithInteraction },
        with_interaction: table(&anova.with_interaction),
        without_interaction: table(&anova.pooled),
        components: GaugeComponents {
            repeatability: component(anova.repeatability),
            operator: component(anova.operator),
            interaction: anova.interaction.map(component),
            part: component(anova.part),
        },
        deviations: deviations(&anova.variation, asked.limits),
        distinct_categories: anova.variation.distinct_categories().map(categories),
        grr_interval: anova.grr_interval(asked.confidence).map(interval),
        repeatability_interval: anova.repeatability_interval(asked.confidence).map(interval),
    }
}

fn table(table: &AnovaTable) -> GaugeTable {
    GaugeTable {
        part: row(&table.part),
        operator: row(&table.operator),
        interaction: table.interaction.as_ref().map(row),
        error: row(&table.error),
        total_ss: on_the_wire(table.total_ss),
        total_df: table.total_df,
    }
}

fn row(row: &AnovaRow) -> GaugeTableRow {
    GaugeTableRow {
        ss: on_the_wire(row.ss),
        df: row.df,
        ms: on_the_wire(row.ms),
        f: row.f.map(on_the_wire),
        p: row.p.map(on_the_wire),
    }
}

fn component(component: Component) -> GaugeComponent {
    GaugeComponent {
        estimate: on_the_wire(component.estimate),
        variance: on_the_wire(component.variance),
        set_to_zero: component.set_to_zero(),
    }
}

fn categories(of: DistinctCategories) -> GaugeCategories {
    GaugeCategories { unrounded: on_the_wire(of.unrounded), ndc: of.ndc }
}

fn deviations(of: &GaugeVariation, limits: Option<GaugeLimits>) -> GaugeDeviations {
    let share = |deviation: f64| limits.and_then(|limits| of.share_of_tolerance(deviation, limits));
    let one = |deviation: f64| GaugeDeviation {
        standard_deviation: on_the_wire(deviation),
        percent_of_total: of.share_of_total(deviation).map(on_the_wire),
        percent_of_tolerance: share(deviation).map(|share| on_the_wire(share.percent())),
    };
    GaugeDeviations {
        repeatability: one(of.repeatability),
        reproducibility: one(of.reproducibility),
        interaction: one(of.interaction),
        grr: one(of.grr),
        part: one(of.part),
        total: one(of.total),
        tolerance_share: share(of.grr).map(|share| match share {
            ToleranceShare::TwoSided { .. } => GaugeToleranceShare::TwoSided,
            ToleranceShare::OneSided { .. } => GaugeToleranceShare::OneSided,
        }),
    }
}

fn ranges(of: &AverageRange, limits: Option<GaugeLimits>) -> GaugeRanges {
    GaugeRanges {
        method: "averages and ranges (AIAG MSA, 4th edition, chapter III); it knows no interaction"
            .to_owned(),
        constants: GaugeRangeConstants {
            k1: on_the_wire(of.constants.k1),
            k2: on_the_wire(of.constants.k2),
            k3: on_the_wire(of.constants.k3),
        },
        mean_range: on_the_wire(of.mean_range),
        operator_difference: on_the_wire(of.operator_difference),
        part_range: on_the_wire(of.part_range),
        reproducibility_set_to_zero: of.reproducibility_set_to_zero,
        deviations: deviations(&of.variation, limits),
        distinct_categories: of.variation.distinct_categories().map(categories),
    }
}

fn judging(of: &GaugeVariation, repeats: u32) -> GaugeForJudging {
    // There is at least one: `None` is for none.
    let found = of.judging(repeats.max(1));
    let number = |of: fn(&headproof_line::GaugeJudging) -> f64| found.as_ref().map_or(0.0, of);
    GaugeForJudging {
        repeats,
        standard_uncertainty: on_the_wire(number(|of| of.standard_uncertainty)),
        guard_band: on_the_wire(number(|of| of.guard_band)),
        tolerance_for_10_percent: on_the_wire(number(|of| of.tolerance_for_10_percent)),
        tolerance_for_30_percent: on_the_wire(number(|of| of.tolerance_for_30_percent)),
        tolerance_lost_to_guard_bands: on_the_wire(number(|of| of.tolerance_lost_to_guard_bands)),
    }
}

/// What to make of it, by GRR.
pub(super) fn outcome(of: &GaugeVariation, limits: Option<GaugeLimits>) -> (GaugeOutcome, String) {
    let of_tolerance = limits.and_then(|limits| of.percent_of_tolerance(limits));
    let of_tolerance = of_tolerance.map(|share| (share.percent(), "the tolerance"));
    let Some((percent, whole)) =
        of_tolerance.or(of.percent_of_total().map(|share| (share, "the total variation")))
    else {
        return (
            GaugeOutcome::Undecided,
            "All readings are the same: nothing can be said of the gauge.".to_owned(),
        );
    };
    let (outcome, word) = match percent {
        percent if percent <= GOOD => (GaugeOutcome::Good, "good"),
        percent if percent <= UNFIT => (GaugeOutcome::Limited, "good for some purposes only"),
        _ => (GaugeOutcome::Unfit, "unfit"),
    };
    let rule = format!("up to {GOOD} % is good, more than {UNFIT} % unfit");
    (outcome, format!("GRR is {percent:.1} % of {whole}: {word} ({rule})."))
}
