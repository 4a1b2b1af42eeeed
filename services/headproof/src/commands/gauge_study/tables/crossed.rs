//! Tables of a crossed study.

use std::fmt::{self, Formatter};

use headproof_wire::gauge_study::{
    CrossedGaugeResult, GaugeAnalysis, GaugeCategories, GaugeDeviations, GaugeModel, GaugeTable,
    GaugeTableRow,
};

use super::number::{percent, significant};
use super::{line, line_within};

pub(super) fn write(f: &mut Formatter<'_>, found: &CrossedGaugeResult, confidence: f64) -> fmt::Result {
    let CrossedGaugeResult { parts, operators, trials, mean, .. } = found;
    writeln!(f, "  {parts} parts, {operators} operators, {trials} trials, mean {}.", significant(*mean))?;
    let analysis = &found.analysis_of_variance;
    tables(f, analysis)?;
    let GaugeAnalysis { deviations, grr_interval, repeatability_interval, .. } = analysis;
    writeln!(f, "\nStandard deviations by analysis of variance:")?;
    shares(f, deviations)?;
    categories(f, analysis.distinct_categories)?;
    let repeatability = deviations.repeatability.standard_deviation;
    line_within(f, "EV and its interval", repeatability, *repeatability_interval, confidence)?;
    line_within(f, "GRR and its interval", deviations.grr.standard_deviation, *grr_interval, confidence)?;
    writeln!(f, "\nThe same by averages and ranges:")?;
    shares(f, &found.average_range.deviations)?;
    categories(f, found.average_range.distinct_categories)?;
    let judging = &found.judging;
    let by = match judging.repeats {
        1 => "one reading".to_owned(),
        repeats => format!("the mean of {repeats} readings"),
    };
    writeln!(f, "\nFor judging by {by}, from the analysis of variance:")?;
    line(f, "standard uncertainty", judging.standard_uncertainty)?;
    line(f, "guard band at 95 %", judging.guard_band)?;
    line(f, "smallest tolerance at 10 %", judging.tolerance_for_10_percent)?;
    line(f, "smallest tolerance at 30 %", judging.tolerance_for_30_percent)?;
    line(f, "tolerance lost to guard bands", judging.tolerance_lost_to_guard_bands)
}

/// The table with interaction, and the one without where it was used.
fn tables(f: &mut Formatter<'_>, of: &GaugeAnalysis) -> fmt::Result {
    writeln!(f, "\nAnalysis of variance:")?;
    table(f, &of.with_interaction)?;
    if of.used == GaugeModel::WithInteraction {
        return Ok(());
    }
    let p = of.with_interaction.interaction.and_then(|row| row.p);
    let p =
        p.map_or(String::new(), |p| format!(": its p of {} is above {}", significant(p), of.pooling_above));
    writeln!(f, "\nWith the interaction in the error, which is used{p}:")?;
    table(f, &of.without_interaction)
}

fn table(f: &mut Formatter<'_>, of: &GaugeTable) -> fmt::Result {
    writeln!(f, "  {:<16}{:>14}{:>7}{:>14}{:>14}{:>14}", "", "SS", "df", "MS", "F", "p")?;
    row(f, "part", &of.part)?;
    row(f, "operator", &of.operator)?;
    of.interaction.as_ref().map_or(Ok(()), |interaction| row(f, "part by operator", interaction))?;
    row(f, "error", &of.error)?;
    writeln!(f, "  {:<16}{:>14}{:>7}", "total", significant(of.total_ss), of.total_df)
}

fn row(f: &mut Formatter<'_>, name: &str, row: &GaugeTableRow) -> fmt::Result {
    let GaugeTableRow { ss, df, ms, f: ratio, p } = row;
    write!(f, "  {name:<16}{:>14}{df:>7}{:>14}", significant(*ss), significant(*ms))?;
    if let Some(ratio) = ratio {
        write!(f, "{:>14}", significant(*ratio))?;
    }
    if let Some(p) = p {
        write!(f, "{:>14}", significant(*p))?;
    }
    writeln!(f)
}

fn shares(f: &mut Formatter<'_>, of: &GaugeDeviations) -> fmt::Result {
    writeln!(f, "  {:<34}{:>12}{:>14}{:>18}", "", "", "% of total", "% of tolerance")?;
    for (name, one) in [
        ("EV   repeatability", of.repeatability),
        ("AV   reproducibility", of.reproducibility),
        ("INT  part by operator", of.interaction),
        ("GRR  the three together", of.grr),
        ("PV   parts", of.part),
        ("TV   total", of.total),
    ] {
        let (total, tolerance) = (percent(one.percent_of_total), percent(one.percent_of_tolerance));
        writeln!(f, "  {name:<34}{:>12}{total:>14}{tolerance:>18}", significant(one.standard_deviation))?;
    }
    Ok(())
}

fn categories(f: &mut Formatter<'_>, of: Option<GaugeCategories>) -> fmt::Result {
    let Some(GaugeCategories { ndc, unrounded }) = of else { return Ok(()) };
    writeln!(f, "  {:<34}{ndc:>12}  ({})", "distinct categories", significant(unrounded))
}
