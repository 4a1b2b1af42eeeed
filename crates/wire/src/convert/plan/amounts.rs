//! Amounts in sentences: in the units of the set, with decimals that suit the bench.

use headproof_head::{Phrase, PhraseValue, Target};
use headproof_quantity::{Angle, Kind, Length, Rounded, Unit};

use super::mm;
use crate::Units;

/// An amount as a value of a sentence.
pub(super) fn amount(text: String) -> PhraseValue {
    PhraseValue::Amount(text)
}

/// Writes amounts in the units of the set.
#[derive(Debug, Clone, Copy)]
pub(super) struct Amounts {
    units: Units,
}

impl Amounts {
    pub(super) const fn new(units: Units) -> Self {
        Self { units }
    }

    /// A size: mm with two decimals, inches with four.
    pub(super) fn size(self, length: Length) -> String {
        let (number, unit) = self.length(length);
        format!("{} {}", plain(number, usual(unit)), unit.code())
    }

    /// A feed or a thickness: mm with two decimals or three, inches with four.
    pub(super) fn fine(self, length: Length) -> String {
        format!("{} {}", self.fine_number(length), self.units.unit(Kind::Length).code())
    }

    /// A feed and how far it may be off: `0.12 mm (±0.03)`.
    pub(super) fn feed(self, feed: Length, tolerance: Length) -> String {
        let feed = self.fine(feed);
        if tolerance <= Length::ZERO { feed } else { format!("{feed} (±{})", self.fine_number(tolerance)) }
    }

    /// A size to stop at and how far it may be off. Both are rounded, the tolerance so that whatever lies within the printed
    /// numbers lies within the planned ones.
    pub(super) fn stop(self, aim: Target) -> Stop {
        let (size, unit) = self.length(aim.size);
        let (tolerance, _) = self.length(aim.tolerance);
        let usual = usual(unit);
        let printed = |size: f64, places: usize| format!("{} {}", plain(size, places), unit.code());
        let within = |places: usize| {
            let step = 10f64.powi(-(places as i32));
            let shown = (size / step).round() * step;
            // What doubles lose must not cost a whole step.
            let left = ((tolerance - (shown - size).abs()) / step + 1e-6).floor() * step;
            (left > step / 2.0)
                .then(|| Stop { size: printed(shown, places), tolerance: Some(plain(left, places)) })
        };
        within(usual)
            .or_else(|| within(usual + 1))
            .unwrap_or_else(|| Stop { size: printed(size, usual + 1), tolerance: None })
    }

    /// An amount of any dimension that is needed at least: rounded up.
    pub(super) fn at_least(self, amount: Rounded, kind: Kind) -> String {
        let unit = self.units.unit(kind);
        let places = usual(unit);
        let scale = 10f64.powi(places as i32);
        let number = (unit.from_base(amount.to_f64()) * scale - 1e-6).ceil() / scale;
        match unit {
            Unit::One => plain(number, places),
            Unit::Degree => format!("{}°", plain(number, places)),
            _ => format!("{} {}", plain(number, places), sign(unit)),
        }
    }

    fn length(self, length: Length) -> (f64, Unit) {
        let unit = self.units.unit(Kind::Length);
        (unit.from_base(mm(length)), unit)
    }

    fn fine_number(self, length: Length) -> String {
        let (number, unit) = self.length(length);
        if unit == Unit::Inch {
            return plain(number, usual(unit));
        }
        let text = plain(number, usual(unit) + 1);
        text.strip_suffix('0').map_or_else(|| text.clone(), str::to_owned)
    }
}

/// A size to stop at, as it is printed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Stop {
    size: String,
    /// How far it may be off, in the same unit.
    tolerance: Option<String>,
}

impl Stop {
    /// Of a size that may be off by nobody knows how much.
    pub(super) const fn at(size: String) -> Self {
        Self { size, tolerance: None }
    }

    /// `32.14 mm (±0.14)`.
    pub(super) fn amount(self) -> PhraseValue {
        amount(match self.tolerance {
            Some(tolerance) => format!("{} (±{tolerance})", self.size),
            None => self.size,
        })
    }

    /// Of a width: `1.31 mm wide (±0.06)`.
    pub(super) fn wide(self) -> Phrase {
        let size = amount(self.size);
        match self.tolerance {
            Some(tolerance) => {
                Phrase::with("plan-wide-within", "size", size).and("tolerance", amount(tolerance))
            }
            None => Phrase::with("plan-wide", "size", size),
        }
    }
}

/// Decimals with which an amount is told at the bench.
const fn usual(unit: Unit) -> usize {
    match unit {
        Unit::Inch => 4,
        Unit::Newton | Unit::PoundForce => 1,
        Unit::Microinch => 0,
        Unit::PascalCubicMetrePerSecond => 5,
        _ => 2,
    }
}

const fn sign(unit: Unit) -> &'static str {
    match unit {
        Unit::Micrometre => "µm",
        Unit::Microinch => "µin",
        Unit::PascalCubicMetrePerSecond => "Pa·m³/s",
        _ => unit.code(),
    }
}

/// An angle in degrees, on the grid of angles.
pub(super) fn degrees(angle: Angle) -> f64 {
    Rounded::from_exact(angle.exact(), Kind::Angle).map_or_else(|| angle.exact().to_f64(), Rounded::to_f64)
}

/// An angle as a cutter is called by it: `45°`, `44.5°`.
pub(super) fn angle(angle: Angle) -> String {
    direction(degrees(angle))
}

/// Degrees with as many of two decimals as count.
pub(super) fn direction(degrees: f64) -> String {
    let text = plain(degrees, 2);
    format!("{}°", text.trim_end_matches('0').trim_end_matches('.'))
}

/// A number with so many decimals and a true minus sign; never minus zero.
fn plain(number: f64, places: usize) -> String {
    let size = format!("{:.places$}", number.abs());
    let is_zero = size.chars().all(|character| matches!(character, '0' | '.'));
    if number < 0.0 && !is_zero { format!("−{size}") } else { size }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::LengthUnit;

    fn length(number: f64) -> Length {
        Length::from_f64(number, Unit::Millimetre).unwrap()
    }

    fn printed(stop: Stop) -> String {
        match stop.amount() {
            PhraseValue::Amount(text) => text,
            other => panic!("{other:?}"),
        }
    }

    fn stop(amounts: Amounts, size: f64, tolerance: f64) -> String {
        printed(amounts.stop(Target { size: length(size), tolerance: length(tolerance) }))
    }

    const MILLIMETRES: Amounts = Amounts::new(Units::BASE);
    const INCHES: Amounts = Amounts::new(Units { length: LengthUnit::Inch, ..Units::BASE });

    #[test]
    fn feeds_and_sizes_have_the_decimals_of_the_bench() {
        assert_eq!(MILLIMETRES.size(length(32.1449)), "32.14 mm");
        assert_eq!(INCHES.size(length(25.4)), "1.0000 in");
        assert_eq!(MILLIMETRES.feed(length(0.12), length(0.03)), "0.12 mm (±0.03)");
        assert_eq!(MILLIMETRES.feed(length(0.1254), length(0.0)), "0.125 mm");
        assert_eq!(INCHES.feed(length(0.127), length(0.0254)), "0.0050 in (±0.0010)");
        assert_eq!(MILLIMETRES.size(length(-0.004)), "0.00 mm");
        assert_eq!(MILLIMETRES.size(length(-0.25)), "−0.25 mm");
    }

    /// The printed stop, as far out as it is printed, is never farther out than the planned one.
    #[test]
    fn a_printed_tolerance_never_allows_more_than_the_planned_one() {
        assert_eq!(stop(MILLIMETRES, 32.14, 0.14196), "32.14 mm (±0.14)");
        assert_eq!(stop(MILLIMETRES, 1.31, 0.06), "1.31 mm (±0.06)");
        assert_eq!(stop(MILLIMETRES, 1.3149, 0.06), "1.31 mm (±0.05)");
        assert_eq!(stop(MILLIMETRES, 1.314, 0.006), "1.314 mm (±0.006)");
        assert_eq!(stop(MILLIMETRES, 1.3144, 0.0), "1.314 mm");
        for step in 0..400 {
            let (size, tolerance) = (1.3 + f64::from(step) * 0.000_37, 0.01 + f64::from(step) * 0.000_41);
            let (size, tolerance) =
                (length((size * 1e6).round() / 1e6), length((tolerance * 1e6).round() / 1e6));
            let text = printed(MILLIMETRES.stop(Target { size, tolerance }));
            let (shown, allowed) = text.split_once(" mm (±").unwrap();
            let shown: f64 = shown.parse().unwrap();
            let allowed: f64 = allowed.trim_end_matches(')').parse().unwrap();
            let farthest = (shown - mm(size)).abs() + allowed;
            assert!(farthest <= mm(tolerance) + 1e-7, "{text}: {size:?} ± {tolerance:?}");
        }
    }

    #[test]
    fn what_is_needed_at_least_is_rounded_up() {
        let amount = |number: f64, kind: Kind| Rounded::from_computed(number, kind).unwrap();
        assert_eq!(MILLIMETRES.at_least(amount(0.0512, Kind::Length), Kind::Length), "0.06 mm");
        assert_eq!(MILLIMETRES.at_least(amount(0.06, Kind::Length), Kind::Length), "0.06 mm");
        assert_eq!(INCHES.at_least(amount(0.0512, Kind::Length), Kind::Length), "0.0021 in");
        assert_eq!(INCHES.at_least(amount(0.5, Kind::Angle), Kind::Angle), "0.50°");
        assert_eq!(INCHES.at_least(amount(12.34, Kind::Force), Kind::Force), "12.4 N");
        assert_eq!(INCHES.at_least(amount(0.2, Kind::Ratio), Kind::Ratio), "0.20");
    }

    #[test]
    fn angles_are_called_as_cutters_are() {
        let angle_of = |number: f64| angle(Angle::from_f64(number, Unit::Degree).unwrap());
        assert_eq!([45.0, 44.5, 0.75, 60.0].map(angle_of), ["45°", "44.5°", "0.75°", "60°"]);
        assert_eq!(direction(120.0), "120°");
    }
}
