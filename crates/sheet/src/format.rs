//! Amounts as they are printed: in the units of the set, with decimals that suit the unit.

use std::borrow::Cow;

use headproof_quantity::Unit;
use headproof_texts::Say;
use headproof_wire::{Row, Units};

/// The amounts of one row, ready to print.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Figures {
    /// Sign of the unit.
    pub(crate) unit: String,
    /// The judged value.
    pub(crate) measured: Option<String>,
    /// Least amount that conforms.
    pub(crate) lower: Option<String>,
    /// Greatest amount that conforms.
    pub(crate) upper: Option<String>,
    /// Signed: + outside, − inside.
    pub(crate) deviation: Option<String>,
    /// Expanded uncertainty.
    pub(crate) uncertainty: Option<String>,
}

/// More decimals than usual are taken at most this far.
const MORE: usize = 6;
const NOTHING: f64 = 1e-12;

/// The amounts of a row, converted from base units to the units of the set.
pub(crate) fn figures(row: &Row, units: &Units, say: Say) -> Figures {
    let Some(code) = row.unit.as_deref() else { return Figures::default() };
    let Some(base) = base_unit(code) else {
        return with_decimals(row, (code, 4), &|amount| amount, say);
    };
    let unit = units.unit(base.kind());
    with_decimals(row, (sign(unit), decimals(unit)), &|amount| unit.from_base(amount), say)
}

fn with_decimals(row: &Row, (unit, usual): (&str, usize), convert: &dyn Fn(f64) -> f64, say: Say) -> Figures {
    let converted = |amount: Option<f64>| amount.map(convert);
    let (measured, lower, upper) = (converted(row.measured), converted(row.lower), converted(row.upper));
    let deviation = converted(row.deviation);
    let finer = [lower, upper].into_iter().flatten().any(|limit| !is_whole_at(limit, usual));
    let mut places = if finer { usual + 1 } else { usual };
    while places < usual + MORE && is_misleading(measured, lower, upper, deviation, places) {
        places += 1;
    }
    let shown = |amount: f64| number(amount, places, say);
    Figures {
        unit: unit.to_owned(),
        measured: measured.map(shown),
        lower: lower.map(shown),
        upper: upper.map(shown),
        deviation: deviation.map(|amount| said(signed(amount, places), say)),
        uncertainty: converted(row.expanded_uncertainty)
            .map(|u| number(u, uncertainty_places(u, places), say)),
    }
}

/// Prints amounts of one kind, given in a base unit, in the unit of the set.
#[derive(Debug, Clone)]
pub(crate) struct InUnit {
    unit: Option<Unit>,
    /// Its sign.
    pub(crate) sign: String,
    places: usize,
    say: Say,
}

impl InUnit {
    /// For amounts in the base unit of a code of the documents.
    pub(crate) fn of(code: &str, units: &Units, say: Say) -> Self {
        match base_unit(code).map(|base| units.unit(base.kind())) {
            Some(unit) => Self { unit: Some(unit), sign: sign(unit).to_owned(), places: decimals(unit), say },
            None => Self { unit: None, sign: code.to_owned(), places: 4, say },
        }
    }

    /// For lengths.
    pub(crate) fn length(units: &Units, say: Say) -> Self {
        Self::of(Unit::Millimetre.code(), units, say)
    }

    /// The language it prints in.
    pub(crate) const fn say(&self) -> Say {
        self.say
    }

    /// `0.120`.
    pub(crate) fn plain(&self, amount: f64) -> String {
        number(self.converted(amount), self.places, self.say)
    }

    /// `+0.120`.
    pub(crate) fn signed(&self, amount: f64) -> String {
        said(signed(self.converted(amount), self.places), self.say)
    }

    /// `0.120 mm`, never on two lines.
    pub(crate) fn with_unit(&self, amount: f64) -> String {
        format!("{}\u{A0}{}", self.plain(amount), self.sign).trim_end().to_owned()
    }

    /// `33.400 ± 0.140`; the amount alone where it cannot be off.
    pub(crate) fn within(&self, amount: f64, tolerance: f64) -> String {
        let (amount, tolerance) = (self.plain(amount), self.plain(tolerance));
        if tolerance == self.plain(0.0) { amount } else { format!("{amount} ± {tolerance}") }
    }

    fn converted(&self, amount: f64) -> f64 {
        self.unit.map_or(amount, |unit| unit.from_base(amount))
    }
}

/// An angle as a cutter is called by it: `45°`, `44.5°`.
pub(crate) fn degrees(angle: f64, say: Say) -> String {
    let text = plain(angle, decimals(Unit::Degree));
    let short = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    said(format!("{short}°"), say)
}

/// The unit behind a code of the evaluation, which states amounts in base units only.
pub(crate) fn base_unit(code: &str) -> Option<Unit> {
    const BASE: [Unit; 13] = [
        Unit::Millimetre,
        Unit::Degree,
        Unit::Newton,
        Unit::Millilitre,
        Unit::Kilopascal,
        Unit::One,
        Unit::Micrometre,
        Unit::PascalCubicMetrePerSecond,
        Unit::DegreeCelsius,
        Unit::Second,
        Unit::NewtonPerMillimetre,
        Unit::Hertz,
        Unit::Kelvin,
    ];
    BASE.into_iter().find(|unit| unit.code() == code)
}

/// The sign printed for a unit.
pub(crate) const fn sign(unit: Unit) -> &'static str {
    match unit {
        Unit::Degree => "°",
        Unit::One => "",
        Unit::Micrometre => "µm",
        Unit::Microinch => "µin",
        Unit::PascalCubicMetrePerSecond => "Pa·m³/s",
        Unit::DegreeCelsius => "°C",
        _ => unit.code(),
    }
}

/// Usual decimals of a unit: about a fifth of what its everyday gauge resolves.
pub(crate) const fn decimals(unit: Unit) -> usize {
    match unit {
        Unit::Millimetre => 3,
        Unit::Inch => 4,
        Unit::Newton | Unit::PoundForce | Unit::DegreeCelsius | Unit::Kelvin | Unit::Second => 1,
        Unit::Microinch | Unit::Hertz => 0,
        Unit::PascalCubicMetrePerSecond => 5,
        _ => 2,
    }
}

/// Is a number the same when rounded to so many places?
pub(crate) fn is_whole_at(number: f64, places: usize) -> bool {
    let scaled = number * 10f64.powi(places as i32);
    (scaled - scaled.round()).abs() < 1e-6
}

/// Would rounding make a value look as if it met a limit that it violates?
pub(crate) fn is_misleading(
    measured: Option<f64>,
    lower: Option<f64>,
    upper: Option<f64>,
    deviation: Option<f64>,
    places: usize,
) -> bool {
    let Some(measured) = measured else { return false };
    let same = |limit: f64| plain(measured, places) == plain(limit, places);
    let violated = |limit: Option<f64>, by: fn(f64, f64) -> f64| {
        limit.is_some_and(|limit| by(measured, limit) > NOTHING && same(limit))
    };
    violated(lower, |m, limit| limit - m)
        || violated(upper, |m, limit| m - limit)
        || deviation.is_some_and(|d| d > NOTHING && signed(d, places) == plain(0.0, places))
}

/// At least two figures that count, but not much finer than the value beside it.
fn uncertainty_places(uncertainty: f64, places: usize) -> usize {
    let mut finer = places;
    while finer < places + 2 && uncertainty > 0.0 && uncertainty * 10f64.powi(finer as i32) < 9.5 {
        finer += 1;
    }
    finer
}

/// A number with so many decimals, a decimal point and a true minus sign; never minus zero.
pub(crate) fn plain(number: f64, places: usize) -> String {
    if !number.is_finite() {
        return "–".to_owned();
    }
    let size = units(number.abs(), places)
        .map_or_else(|| format!("{:.places$}", number.abs()), |units| decimal(units, places));
    let is_zero = || size.bytes().all(|digit| matches!(digit, b'0' | b'.'));
    if number < 0.0 && !is_zero() { ["−", &size].concat() } else { size }
}

/// How many units of the last place a size has; `None` where that takes more care than a multiplication: close to a
/// half between two, and far up. There are thousands of figures on a sheet, and few like that.
fn units(size: f64, places: usize) -> Option<u32> {
    const POWERS: [f64; 7] = [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6];
    let scaled = size * POWERS.get(places)?;
    let nearest = scaled.round();
    #[expect(clippy::cast_possible_truncation, reason = "below a thousand million")]
    let units = nearest as u32;
    (scaled < 1e9 && (scaled - nearest).abs() < 0.499).then_some(units)
}

/// So many units of the last place as a decimal number.
fn decimal(units: u32, places: usize) -> String {
    // Ten digits, or as many places with one before them, and the point; written from the end.
    let mut text = [b'0'; 12];
    let (mut at, mut rest) = (text.len(), units);
    for place in 0.. {
        if place > places && rest == 0 {
            break;
        }
        if place == places && place > 0 {
            at -= 1;
            text[at] = b'.';
        }
        at -= 1;
        text[at] = b'0' + (rest % 10) as u8;
        rest /= 10;
    }
    String::from_utf8_lossy(&text[at..]).into_owned()
}

/// The same with a plus sign before what is above zero.
fn signed(number: f64, places: usize) -> String {
    let text = plain(number, places);
    let is_zero = text.chars().all(|c| matches!(c, '0' | '.'));
    if number > 0.0 && !is_zero && number.is_finite() { format!("+{text}") } else { text }
}

/// A number as it was written down, with a true minus sign.
pub(crate) fn as_written(number: f64, say: Say) -> String {
    said(number.to_string().replace('-', "−"), say)
}

/// A number with so many decimals, as it is printed.
pub(crate) fn number(number: f64, places: usize, say: Say) -> String {
    said(plain(number, places), say)
}

/// Where the decimal sign of a figure stands, or its end where it has none.
pub(crate) fn decimal_sign_in(figure: &str) -> usize {
    figure.find(['.', ',']).unwrap_or(figure.len())
}

/// A number with a decimal point, in the language of the sheet.
fn said(number: String, say: Say) -> String {
    match say.number(&number) {
        Cow::Owned(said) => said,
        Cow::Borrowed(_) => number,
    }
}

/// A probability in per cent; never rounded up to the one that was asked for, nor to certainty.
pub(crate) fn percent(probability: f64, asked: Option<f64>, say: Say) -> String {
    if probability > 0.9995 {
        return said("> 99.9 %".to_owned(), say);
    }
    if probability < 0.0005 {
        return said("< 0.1 %".to_owned(), say);
    }
    let shown = |places: usize| plain(probability * 100.0, places);
    let looks_enough = |places: usize| {
        asked.is_some_and(|asked| probability < asked && shown(places) == plain(asked * 100.0, places))
    };
    let places = (1..6).find(|places| !looks_enough(*places)).unwrap_or(6);
    said(format!("{} %", shown(places)), say)
}

#[cfg(test)]
#[path = "format_tests.rs"]
mod tests;
