//! Amounts of one characteristic, with as many figures as say something.

use headproof_texts::Say;
use headproof_wire::statistics::{CapabilityIndex, CharacteristicStatistics, Share};

use crate::format::{base_unit, decimals, is_misleading, is_whole_at, number, plain, sign};

/// More decimals than usual are taken at most this far.
const MORE: usize = 4;
/// An index this great says no more than that it is great.
const GREAT: f64 = 99_999.5;

/// Prints amounts of one characteristic in its unit.
#[derive(Debug, Clone)]
pub(super) struct Amounts {
    /// Sign of the unit.
    pub(super) unit: String,
    /// Decimals of values and limits, of the mean and of the standard deviation.
    value: usize,
    mean: usize,
    s: usize,
    say: Say,
}

impl Amounts {
    /// Values get the decimals that are usual for their unit, more where they scatter by less than these show or where
    /// fewer would hide that a limit is violated; the mean gets one more, the standard deviation three figures.
    pub(super) fn of(of: &CharacteristicStatistics, say: Say) -> Self {
        let unit = base_unit(&of.unit);
        let usual = unit.map_or(MORE, decimals);
        let most = usual + MORE;
        let three = of.s.and_then(three_figures).map(|places| places.min(most + 1));
        let finer = [of.lower, of.upper].into_iter().flatten().any(|limit| !is_whole_at(limit, usual));
        let mut value = if finer { usual + 1 } else { usual };
        value = value.max(three.map_or(0, |three| three.saturating_sub(1))).min(most);
        let misleads = |places| {
            [of.min, of.max].into_iter().any(|one| is_misleading(one, of.lower, of.upper, None, places))
        };
        while value < most && misleads(value) {
            value += 1;
        }
        Self {
            unit: unit.map_or_else(|| of.unit.clone(), |unit| sign(unit).to_owned()),
            value,
            mean: three.map_or(value, |three| (three + 1).min(value + 1)),
            s: three.unwrap_or(value),
            say,
        }
    }

    /// A value or a limit.
    pub(super) fn value(&self, amount: f64) -> String {
        number(amount, self.value, self.say)
    }

    /// A mean.
    pub(super) fn mean(&self, amount: f64) -> String {
        number(amount, self.mean, self.say)
    }

    /// A standard deviation.
    pub(super) fn s(&self, amount: f64) -> String {
        number(amount, self.s, self.say)
    }

    /// A printed amount with the unit, never on two lines.
    pub(super) fn with_unit(&self, printed: &str) -> String {
        format!("{printed}\u{A0}{}", self.unit).trim_end().to_owned()
    }
}

/// How many decimals show three figures of an amount; none of nothing.
fn three_figures(amount: f64) -> Option<usize> {
    (amount > 0.0 && amount.is_finite())
        .then(|| (0..12).find(|places| amount * 10f64.powi(*places) >= 99.5).unwrap_or(12) as usize)
}

/// An amount with three figures, whatever its size: a slope, a standard error.
pub(super) fn small(amount: f64, say: Say) -> String {
    number(amount, three_figures(amount.abs()).unwrap_or(0), say)
}

/// An index of capability with its limits of confidence, as `1.12 (0.98–1.27)`.
pub(super) fn index(index: &CapabilityIndex, say: Say) -> String {
    let value = bare_index(index.value, say);
    match (index.lower, index.upper) {
        (Some(lower), Some(upper)) => format!("{value} ({})", span(lower, upper, |end| bare_index(end, say))),
        (Some(lower), None) => format!("{value} (≥ {})", bare_index(lower, say)),
        (None, Some(upper)) => format!("{value} (≤ {})", bare_index(upper, say)),
        (None, None) => value,
    }
    .replace(' ', "\u{A0}")
}

/// An index without them.
pub(super) fn bare_index(index: f64, say: Say) -> String {
    match index.abs() {
        size if size >= GREAT && index.is_finite() => {
            if index > 0.0 {
                "> 99999".to_owned()
            } else {
                "< −99999".to_owned()
            }
        }
        size if size >= 999.5 => number(index, 0, say),
        size if size >= 99.95 => number(index, 1, say),
        _ => number(index, 2, say),
    }
}

/// From one end to another: a dash reads badly beside a minus sign.
fn span(lower: f64, upper: f64, print: impl Fn(f64) -> String) -> String {
    let (lower, upper) = (print(lower), print(upper));
    let dash =
        if lower.starts_with(['−', '<']) || upper.starts_with(['−', '>']) { " … " } else { "–" };
    format!("{lower}{dash}{upper}")
}

/// A share with its interval, as `75.0 % (66.5–82.0 %)`.
pub(super) fn share(share: &Share, say: Say) -> String {
    let one = |part: f64| number(part * 100.0, 1, say);
    format!("{} % ({}–{} %)", one(share.share), one(share.lower), one(share.upper)).replace(' ', "\u{A0}")
}

/// A probability of a test: `p = 0.031`, `p < 0.001`.
pub(super) fn p_value(p: f64, say: Say) -> String {
    let text = if p < 0.0005 {
        format!("p < {}", number(0.001, 3, say))
    } else {
        format!("p = {}", number(p, 3, say))
    };
    text.replace(' ', "\u{A0}")
}

/// A level in per cent without the noise of binary digits: `95 %`.
pub(super) fn level(level: f64, say: Say) -> String {
    let text = plain(level * 100.0, 3);
    let short = text.trim_end_matches('0').trim_end_matches('.');
    format!("{}\u{A0}%", say.number(short))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_small_amount_has_three_figures() {
        let places = [0.0123, 1.0, 123.0, 0.000_999_9, 0.0].map(three_figures);
        assert_eq!(places, [Some(4), Some(2), Some(0), Some(5), None]);
    }

    #[test]
    fn an_index_is_short_however_great_it_is() {
        let say = crate::english();
        let of = |value, limits: Option<(f64, f64)>| CapabilityIndex {
            value,
            lower: limits.map(|limits| limits.0),
            upper: limits.map(|limits| limits.1),
            interval: None,
        };
        let printed = |one| index(&one, say);
        assert_eq!(printed(of(1.1234, Some((0.98, 1.27)))), "1.12\u{A0}(0.98–1.27)");
        assert_eq!(printed(of(-0.1, Some((-0.3, 0.05)))), "−0.10\u{A0}(−0.30\u{A0}…\u{A0}0.05)");
        assert_eq!(printed(of(123.44, None)), "123.4");
        assert_eq!(printed(of(1e9, None)), ">\u{A0}99999");
        assert_eq!(printed(of(-1e9, None)), "<\u{A0}−99999");
    }

    #[test]
    fn levels_and_probabilities_are_clean() {
        let say = crate::english();
        assert_eq!([0.95, 0.999, 0.9].map(|one| level(one, say)), ["95\u{A0}%", "99.9\u{A0}%", "90\u{A0}%"]);
        assert_eq!(p_value(0.0312, say), "p\u{A0}=\u{A0}0.031");
        assert_eq!(p_value(1e-9, say), "p\u{A0}<\u{A0}0.001");
    }
}
