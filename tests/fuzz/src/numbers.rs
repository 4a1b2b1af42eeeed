//! Numbers worth trying.

use crate::dice::Dice;

/// Bounds of the formats that numbers pass through, and of the angles and counts that documents hold.
const ODD: [&str; 48] = [
    "0",
    "-0",
    "0.0",
    "-0.0",
    "-1",
    "1",
    "2",
    "3",
    "4",
    "16",
    "17",
    "0.5",
    "0.95",
    "1.0000000000000000",
    "90",
    "89.9999999999999",
    "90.0000000000001",
    "180",
    "360",
    "361",
    "-360",
    "255",
    "256",
    "65536",
    "4294967296",
    "9007199254740993",
    "9.3e18",
    "1.8e19",
    "1.7e38",
    "1.8e38",
    "1e15",
    "1e16",
    "4e8",
    "3.99999999999999e8",
    "1e-10",
    "4.9e-11",
    "1e-15",
    "1e-16",
    "123456789012345",
    "0.123456789012345",
    "1234567890123456",
    "0.1234567890123456",
    "1e308",
    "-1e308",
    "1e-308",
    "5e-324",
    "1e-400",
    "1e400",
];

/// Amounts as a document may hold them.
const LIKELY: [&str; 16] = [
    "0", "0.001", "0.005", "0.02", "0.05", "0.3", "1", "1.5", "7.98", "8.02", "30", "36.5", "45", "101.3",
    "250", "0.95",
];

/// An amount.
pub(crate) fn likely(dice: &mut Dice) -> String {
    dice.pick(&LIKELY).copied().unwrap_or_default().to_owned()
}

/// Another number in place of one, mostly one that may be there as well.
pub(crate) fn other(old: &str, dice: &mut Dice) -> String {
    let number: f64 = old.parse().unwrap_or(0.0);
    match dice.below(8) {
        0 => odd(old, dice),
        1 => likely(dice),
        2 | 3 => scaled(number, factor(dice)),
        4 | 5 => stepped(number, dice),
        6 => of_digits(1 + dice.below(15), dice),
        _ => format!("{:.*}", dice.below(7), number.clamp(-1e6, 1e6)),
    }
}

/// A number that few documents hold, in place of one.
pub(crate) fn odd(old: &str, dice: &mut Dice) -> String {
    match dice.below(4) {
        0 => old.strip_prefix('-').map_or_else(|| format!("-{old}"), str::to_owned),
        1 => format!("{}e{}", old.split(['e', 'E']).next().unwrap_or(old), exponent(dice)),
        2 => of_digits(1 + dice.below(20), dice),
        _ => dice.pick(&ODD).copied().unwrap_or_default().to_owned(),
    }
}

/// What an amount is multiplied by when it is written in another unit, or a digit slips.
pub(crate) fn factor(dice: &mut Dice) -> f64 {
    let factors =
        [10.0, 0.1, 1000.0, 0.001, 25.4, 1.0 / 25.4, 4.448_22, 3.386_39, 2.0, 0.5, 0.999, 1.001, -1.0];
    dice.pick(&factors).copied().unwrap_or(1.0)
}

/// A product, with as many digits as a number may have.
pub(crate) fn scaled(number: f64, factor: f64) -> String {
    let product = number * factor;
    if product.is_finite() { rounded(product, 15) } else { "1e308".to_owned() }
}

fn rounded(number: f64, digits: usize) -> String {
    let text = format!("{number:.*e}", digits - 1);
    text.parse::<f64>().map_or(text, |number| number.to_string())
}

/// A little more or less, in one of its first fifteen digits.
fn stepped(number: f64, dice: &mut Dice) -> String {
    let step = 10f64.powi(-i32::try_from(dice.below(15)).unwrap_or(0));
    let sign = if dice.once_in(2) { 1.0 } else { -1.0 };
    let by = if number == 0.0 { step } else { number * step };
    scaled(number + sign * by, 1.0)
}

fn of_digits(count: usize, dice: &mut Dice) -> String {
    let point = dice.below(count + 1);
    let mut text = String::new();
    for place in 0..count {
        if place == point {
            text.push_str(if place == 0 { "0." } else { "." });
        }
        let digit = if place == 0 && point > 1 { 1 + dice.below(9) } else { dice.below(10) };
        text.push_str(&digit.to_string());
    }
    text
}

fn exponent(dice: &mut Dice) -> i64 {
    let most = dice.pick(&[3, 3, 3, 12, 20, 330]).copied().unwrap_or(3);
    i64::try_from(dice.below(2 * most + 1)).unwrap_or(0) - i64::try_from(most).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whatever_comes_in_place_of_a_number_is_one() {
        let is_number = |text: &str| serde_json::from_str::<&serde_json::value::RawValue>(text).is_ok();
        let mut dice = Dice::new(1);
        for old in ODD.iter().chain(&LIKELY).cycle().take(20_000) {
            for new in [other(old, &mut dice), odd(old, &mut dice)] {
                assert!(is_number(&new), "{old} became {new}");
            }
        }
    }
}
