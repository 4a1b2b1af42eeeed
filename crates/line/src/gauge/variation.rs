//! What a crossed study says of a gauge, whichever way it was evaluated.

use super::sums::{finite, ratio, usable};

/// Standard deviations of a gauge study, in the unit of the readings. Terms as in AIAG, Measurement Systems
/// Analysis, 4th edition, chapter III (from memory).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GaugeVariation {
    /// Equipment variation (EV): one operator, one part, again.
    pub repeatability: f64,
    /// Appraiser variation (AV): between operators.
    pub reproducibility: f64,
    /// Part by operator (INT): operators who differ on some parts; nought where it was pooled or is not
    /// estimated.
    pub interaction: f64,
    /// Gauge repeatability and reproducibility (GRR): the three above together.
    pub grr: f64,
    /// Part variation (PV).
    pub part: f64,
    /// Total variation (TV): GRR and PV together.
    pub total: f64,
    /// The mean of all readings.
    pub mean: f64,
}

/// Number of distinct categories.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DistinctCategories {
    /// 1.41 PV / GRR.
    pub unrounded: f64,
    /// The whole number of it, cut off; at most `u32::MAX`.
    pub ndc: u32,
}

/// The limits a characteristic is judged by: always at least one, and lower below upper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GaugeLimits {
    lower: Option<f64>,
    upper: Option<f64>,
}

impl GaugeLimits {
    /// `None` if there is no limit, one is not finite, or lower is not below upper.
    #[must_use]
    pub fn new(lower: Option<f64>, upper: Option<f64>) -> Option<Self> {
        let known = lower.or(upper).is_some();
        let finite = lower.into_iter().chain(upper).all(usable);
        let apart = lower.zip(upper).is_none_or(|(lower, upper)| lower < upper);
        (known && finite && apart).then_some(Self { lower, upper })
    }
}

/// GRR's share of a tolerance, and by which definition.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ToleranceShare {
    /// 100 · 6 GRR / (upper − lower).
    TwoSided {
        /// Per cent.
        percent: f64,
    },
    /// One limit only: 100 · 3 GRR / |limit − mean of the study|. The parts of the study have to be typical
    /// of the process for this to mean anything.
    OneSided {
        /// Per cent.
        percent: f64,
    },
}

impl ToleranceShare {
    /// Per cent of the tolerance, by either definition.
    #[must_use]
    pub fn percent(self) -> f64 {
        match self {
            Self::TwoSided { percent } | Self::OneSided { percent } => percent,
        }
    }
}

/// A confidence interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GaugeInterval {
    /// Lower end.
    pub lower: f64,
    /// Upper end.
    pub upper: f64,
}

/// What a gauge study means for judging with that gauge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GaugeJudging {
    /// How many times one operator reads each part before the mean is judged.
    pub repeats: u32,
    /// Standard uncertainty of that mean: √(EV²/repeats + AV² + INT²); of one reading it is GRR. Without what
    /// a crossed study cannot see: bias of the gauge, its reference, temperature.
    pub standard_uncertainty: f64,
    /// 1.645 standard uncertainties: what a limit is drawn in by so that at most one part in twenty lying on
    /// the limit is accepted (ISO 14253-1, from memory).
    pub guard_band: f64,
    /// The smallest two-sided tolerance of which six standard uncertainties are at most 10 %: a gauge to
    /// judge by (AIAG MSA 4th edition, from memory).
    pub tolerance_for_10_percent: f64,
    /// The smallest of which they are at most 30 %: below it, not a gauge for this (AIAG MSA 4th edition,
    /// from memory).
    pub tolerance_for_30_percent: f64,
    /// The smallest two-sided tolerance that guard bands leave anything of: twice the guard band.
    pub tolerance_lost_to_guard_bands: f64,
}

/// The 95 % point of the standard normal distribution.
const ONE_SIDED_95: f64 = 1.644_853_626_951_472_2;

impl GaugeVariation {
    pub(super) fn of(variances: [f64; 4], mean: f64) -> Self {
        let [ev, av, interaction, pv] = variances;
        let grr = ev + av + interaction;
        Self {
            repeatability: ev.sqrt(),
            reproducibility: av.sqrt(),
            interaction: interaction.sqrt(),
            grr: grr.sqrt(),
            part: pv.sqrt(),
            total: (grr + pv).sqrt(),
            mean,
        }
    }

    /// 100 GRR / TV (%GRR of total variation). `None` where nothing varies.
    #[must_use]
    pub fn percent_of_total(&self) -> Option<f64> {
        self.share_of_total(self.grr)
    }

    /// Any of the standard deviations as per cent of the total variation. The percentages of the parts do not
    /// add up to 100; their squares do. `None` where nothing varies.
    #[must_use]
    pub fn share_of_total(&self, deviation: f64) -> Option<f64> {
        ratio(100.0 * deviation, self.total)
    }

    /// GRR as per cent of the tolerance. `None` with one limit that the mean of the study does not keep.
    #[must_use]
    pub fn percent_of_tolerance(&self, limits: GaugeLimits) -> Option<ToleranceShare> {
        self.share_of_tolerance(self.grr, limits)
    }

    /// Any of the standard deviations as per cent of the tolerance, as GRR is held against it.
    #[must_use]
    pub fn share_of_tolerance(&self, deviation: f64, limits: GaugeLimits) -> Option<ToleranceShare> {
        if let (Some(lower), Some(upper)) = (limits.lower, limits.upper) {
            let percent = ratio(600.0 * deviation, upper - lower)?;
            return Some(ToleranceShare::TwoSided { percent });
        }
        let room = match (limits.lower, limits.upper) {
            (Some(lower), _) => self.mean - lower,
            (_, Some(upper)) => upper - self.mean,
            (None, None) => return None,
        };
        if room <= 0.0 {
            return None;
        }
        Some(ToleranceShare::OneSided { percent: ratio(300.0 * deviation, room)? })
    }

    /// How many groups of parts the gauge can tell apart, 1.41 PV / GRR cut off (AIAG MSA 4th edition, from
    /// memory: 5 or more are wanted). `None` where GRR is nought: there is no end to it then.
    #[must_use]
    pub fn distinct_categories(&self) -> Option<DistinctCategories> {
        let unrounded = ratio(1.41 * self.part, self.grr)?;
        Some(DistinctCategories { unrounded, ndc: unrounded.trunc() as u32 })
    }

    /// What it means for judging by the mean of `repeats` readings of one operator. `None` for no repeats.
    #[must_use]
    pub fn judging(&self, repeats: u32) -> Option<GaugeJudging> {
        if repeats == 0 {
            return None;
        }
        let variance = self.repeatability.powi(2) / f64::from(repeats)
            + self.reproducibility.powi(2)
            + self.interaction.powi(2);
        let u = if repeats == 1 { self.grr } else { finite(variance.sqrt())? };
        Some(GaugeJudging {
            repeats,
            standard_uncertainty: u,
            guard_band: ONE_SIDED_95 * u,
            tolerance_for_10_percent: 60.0 * u,
            tolerance_for_30_percent: 20.0 * u,
            tolerance_lost_to_guard_bands: 2.0 * ONE_SIDED_95 * u,
        })
    }
}
