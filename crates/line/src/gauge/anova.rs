//! A crossed study by analysis of variance.
//!
//! Two-way layout, parts and operators both random, as in AIAG, Measurement Systems Analysis, 4th edition,
//! appendix A, and D. C. Montgomery, Design and Analysis of Experiments, chapter on random factors (both from
//! memory).

use super::crossed::CrossedStudy;
use super::sums::{finite, ratio};
use super::variation::{GaugeInterval, GaugeVariation};
use crate::special::{chi_square_within, f_upper_tail};

/// When the interaction of part and operator is counted as error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pooling {
    /// Where its p-value is above this level: 0.25 in AIAG practice (from memory), the default. An
    /// interaction without any sum of squares is pooled too; one that has a sum of squares where there is no
    /// error is not.
    Above(f64),
    /// Always.
    Always,
    /// Never.
    Never,
}

impl Default for Pooling {
    fn default() -> Self {
        Self::Above(0.25)
    }
}

/// A row of an analysis of variance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AnovaRow {
    /// Sum of squares.
    pub ss: f64,
    /// Degrees of freedom, at least 1.
    pub df: u32,
    /// Mean square.
    pub ms: f64,
    /// Its F ratio; `None` for the row of the error, and where the mean square below is nought.
    pub f: Option<f64>,
    /// The chance of an F at least as large without such an effect; `None` as for `f`.
    pub p: Option<f64>,
}

/// An analysis of variance of a crossed study.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AnovaTable {
    /// Between parts, against the interaction, or against the error where there is none.
    pub part: AnovaRow,
    /// Between operators, against the same.
    pub operator: AnovaRow,
    /// Part by operator, against the error; `None` in the pooled table.
    pub interaction: Option<AnovaRow>,
    /// Repeatability; in the pooled table with the interaction.
    pub error: AnovaRow,
    /// Sum of squares about the mean of all readings, summed for itself.
    pub total_ss: f64,
    /// Degrees of freedom of all.
    pub total_df: u32,
}

/// A component of variance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Component {
    /// What the mean squares give; may be negative.
    pub estimate: f64,
    /// What is counted: the estimate, or nought in place of a negative one.
    pub variance: f64,
}

impl Component {
    fn of(estimate: f64) -> Self {
        Self { estimate, variance: estimate.max(0.0) }
    }

    /// Was a negative estimate set to zero?
    #[must_use]
    pub fn set_to_zero(self) -> bool {
        self.estimate < 0.0
    }
}

/// A crossed study evaluated by analysis of variance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GaugeAnova {
    /// The table with interaction.
    pub with_interaction: AnovaTable,
    /// The table with the interaction in the error.
    pub pooled: AnovaTable,
    /// Do the components come from the pooled table?
    pub is_pooled: bool,
    /// Variance of repeatability.
    pub repeatability: Component,
    /// Variance between operators.
    pub operator: Component,
    /// Variance of the interaction; `None` where it was pooled.
    pub interaction: Option<Component>,
    /// Variance between parts.
    pub part: Component,
    /// The standard deviations of the components as counted.
    pub variation: GaugeVariation,
    parts: f64,
    trials: f64,
}

fn row(ss: f64, df: usize, below: Option<&AnovaRow>) -> AnovaRow {
    let ms = ss / df as f64;
    let f = below.and_then(|below| ratio(ms, below.ms));
    let p = f.zip(below).map(|(f, below)| f_upper_tail(f, df as f64, f64::from(below.df)));
    AnovaRow { ss, df: df as u32, ms, f, p }
}

impl CrossedStudy {
    /// Evaluates by analysis of variance.
    ///
    /// ```
    /// use headproof_line::{CrossedCell, CrossedReading, CrossedShape, CrossedStudy, Pooling};
    /// let shape = CrossedShape { parts: 2, operators: 2, trials: 2 };
    /// let values = [1.0, 3.0, 2.0, 4.0, 11.0, 13.0, 12.0, 14.0];
    /// let readings: Vec<_> = (0..8)
    ///     .map(|i| CrossedReading {
    ///         cell: CrossedCell { part: i / 4, operator: i / 2 % 2, trial: i % 2 },
    ///         value: values[i],
    ///     })
    ///     .collect();
    /// let study = CrossedStudy::new(shape, &readings).map_err(|faults| format!("{faults:?}"))?;
    /// let anova = study.anova(Pooling::Never);
    /// assert_eq!(anova.with_interaction.part.ss, 200.0);
    /// assert_eq!(anova.with_interaction.error.ms, 2.0);
    /// # Ok::<(), String>(())
    /// ```
    #[must_use]
    pub fn anova(&self, pooling: Pooling) -> GaugeAnova {
        let (n, k, r) = (self.shape.parts, self.shape.operators, self.shape.trials);
        let squares = self.squares();
        let table = |interaction: Option<AnovaRow>, error: AnovaRow| {
            let below = interaction.as_ref().unwrap_or(&error);
            AnovaTable {
                part: row(squares.part, n - 1, Some(below)),
                operator: row(squares.operator, k - 1, Some(below)),
                interaction,
                error,
                total_ss: squares.total,
                total_df: (n * k * r - 1) as u32,
            }
        };
        let crossed = (n - 1) * (k - 1);
        let error = row(squares.error, n * k * (r - 1), None);
        let interaction = row(squares.interaction, crossed, Some(&error));
        let with_interaction = table(Some(interaction), error);
        let pooled_error = row(squares.error + squares.interaction, n * k * (r - 1) + crossed, None);
        let pooled = table(None, pooled_error);
        let is_pooled = match pooling {
            Pooling::Always => true,
            Pooling::Never => false,
            Pooling::Above(level) => interaction.p.map_or(interaction.ss == 0.0, |p| p > level),
        };
        let used = if is_pooled { &pooled } else { &with_interaction };
        let (parts, operators, trials) = (n as f64, k as f64, r as f64);
        let below = used.interaction.unwrap_or(used.error);
        let repeatability = Component::of(used.error.ms);
        let operator = Component::of((used.operator.ms - below.ms) / (parts * trials));
        let part = Component::of((used.part.ms - below.ms) / (operators * trials));
        let interaction = used.interaction.map(|row| Component::of((row.ms - used.error.ms) / trials));
        let variances = [
            repeatability.variance,
            operator.variance,
            interaction.map_or(0.0, |component| component.variance),
            part.variance,
        ];
        let means = self.means();
        let variation = GaugeVariation::of(variances, means.base + means.all);
        GaugeAnova {
            with_interaction,
            pooled,
            is_pooled,
            repeatability,
            operator,
            interaction,
            part,
            variation,
            parts,
            trials,
        }
    }
}

impl GaugeAnova {
    /// The table the components come from.
    #[must_use]
    pub fn table(&self) -> &AnovaTable {
        if self.is_pooled { &self.pooled } else { &self.with_interaction }
    }

    /// A confidence interval for the standard deviation GRR, by the modified large sample method for sums of
    /// mean squares with positive weights (Graybill and Wang, Journal of the American Statistical Association
    /// 75, 1980; for gauge studies Burdick, Borror and Montgomery, Journal of Quality Technology 35, 2003;
    /// both from memory). It belongs to the sum of the estimates, negative ones included, so GRR itself,
    /// where one was set to zero, may stand nearer its upper end, or above. With few operators it is wide,
    /// and rightly so.
    ///
    /// `None` where `confidence` is not above 0 and at most 0.999999.
    #[must_use]
    pub fn grr_interval(&self, confidence: f64) -> Option<GaugeInterval> {
        let table = self.table();
        let (n, r) = (self.parts, self.trials);
        let weighed = match &table.interaction {
            Some(row) => vec![
                (1.0 / (n * r), &table.operator),
                ((n - 1.0) / (n * r), row),
                ((r - 1.0) / r, &table.error),
            ],
            None => vec![(1.0 / (n * r), &table.operator), (1.0 - 1.0 / (n * r), &table.error)],
        };
        interval(&weighed, confidence)
    }

    /// A confidence interval for the repeatability EV (standard deviation), from chi-square. `None` as for
    /// [`Self::grr_interval`].
    #[must_use]
    pub fn repeatability_interval(&self, confidence: f64) -> Option<GaugeInterval> {
        interval(&[(1.0, &self.table().error)], confidence)
    }
}

/// With one mean square alone this is the exact interval from chi-square.
fn interval(weighed: &[(f64, &AnovaRow)], confidence: f64) -> Option<GaugeInterval> {
    if !(confidence > 0.0 && confidence <= 0.999_999) {
        return None;
    }
    let (mut sum, mut down, mut up) = (0.0, 0.0, 0.0);
    for (weight, row) in weighed {
        let term = weight * row.ms;
        let df = f64::from(row.df);
        let (low, high) = chi_square_within(confidence, df);
        sum += term;
        down += ((1.0 - df / high) * term).powi(2);
        up += ((df / low - 1.0) * term).powi(2);
    }
    let lower = finite((sum - down.sqrt()).max(0.0).sqrt())?;
    let upper = finite((sum + up.sqrt()).sqrt())?;
    Some(GaugeInterval { lower, upper })
}
