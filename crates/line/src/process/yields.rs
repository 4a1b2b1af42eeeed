//! How many heads go through at once, and how well that share is known.

use crate::special::normal_quantile;

/// What became of the heads of a line. Parts of several workers merge in any order to the same counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Hash)]
pub struct Outcomes {
    /// All heads judged.
    pub heads: u64,
    /// Those accepted.
    pub accepted: u64,
    /// Those sent to rework.
    pub reworked: u64,
    /// Those rejected.
    pub rejected: u64,
    /// Those with something required that was not measured or not proven.
    pub incomplete: u64,
    /// Evaluations signed off.
    pub signed: u64,
    /// Those of them signed off with a concession.
    pub with_concession: u64,
}

/// A share and its confidence interval, all from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Proportion {
    /// How many.
    pub count: u64,
    /// Of how many.
    pub of: u64,
    /// The share.
    pub share: f64,
    /// The lower end of the interval.
    pub lower: f64,
    /// The upper end of the interval.
    pub upper: f64,
}

/// The share `count` of `of` with the two-sided score interval of the given confidence (0.95 for 95 %). `None`
/// where `of` is 0, `count` is more, or the confidence is not between 0 and 1.
///
/// Source: Wilson 1927, Journal of the American Statistical Association 22 (from memory).
///
/// ```
/// // statsmodels 0.15.0: proportion_confint(8, 10, method="wilson").
/// let share = headproof_line::wilson(8, 10, 0.95);
/// assert!(share.is_some_and(|share| (share.lower - 0.4901624715).abs() < 1e-9));
/// ```
#[must_use]
pub fn wilson(count: u64, of: u64, confidence: f64) -> Option<Proportion> {
    if of == 0 || count > of || !(confidence > 0.0 && confidence < 1.0) {
        return None;
    }
    let (n, share) = (of as f64, count as f64 / of as f64);
    let z = -normal_quantile(0.5 * (1.0 - confidence));
    let rest = (of - count) as f64 / n;
    let scale = 1.0 + z * z / n;
    let middle = (share + z * z / (2.0 * n)) / scale;
    let half = z / scale * (share * rest / n + z * z / (4.0 * n * n)).sqrt();
    // At none and at all the interval ends there exactly; rounding must not take it beyond.
    let lower = if count == 0 { 0.0 } else { (middle - half).clamp(0.0, share) };
    let upper = if count == of { 1.0 } else { (middle + half).clamp(share, 1.0) };
    Some(Proportion { count, of, share, lower, upper })
}

impl Outcomes {
    /// Takes in the counts of another part. A count stays at its largest number instead of running over.
    pub fn merge(&mut self, other: &Self) {
        let pairs = [
            (&mut self.heads, other.heads),
            (&mut self.accepted, other.accepted),
            (&mut self.reworked, other.reworked),
            (&mut self.rejected, other.rejected),
            (&mut self.incomplete, other.incomplete),
            (&mut self.signed, other.signed),
            (&mut self.with_concession, other.with_concession),
        ];
        for (count, more) in pairs {
            *count = count.saturating_add(more);
        }
    }

    /// The share of heads accepted: of first evaluations the first-pass yield. An incomplete one has not passed.
    /// `None` without heads, or as [`wilson`] says.
    #[must_use]
    pub fn acceptance(&self, confidence: f64) -> Option<Proportion> {
        wilson(self.accepted, self.heads, confidence)
    }

    /// The share of sign-offs that needed a concession. `None` where nothing is signed.
    #[must_use]
    pub fn concession_rate(&self, confidence: f64) -> Option<Proportion> {
        wilson(self.with_concession, self.signed, confidence)
    }
}
