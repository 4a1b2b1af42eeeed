//! From amounts to places on a figure, with round ticks.

use headproof_texts::Say;

use crate::format::number;

/// An axis; places on it run from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Axis {
    from: f64,
    to: f64,
    /// Between two ticks.
    step: f64,
    /// Decimals of their labels.
    places: usize,
}

impl Axis {
    /// Over some amounts, with at most so many steps between its ticks and some air at both ends; none where an amount
    /// is no number.
    pub(super) fn over(amounts: impl IntoIterator<Item = f64>, most: usize, air: f64) -> Option<Self> {
        let all = |range: Option<(f64, f64)>, amount: f64| match range {
            None => Some((amount, amount)),
            Some((least, greatest)) => Some((least.min(amount), greatest.max(amount))),
        };
        let mut sound = true;
        let (least, greatest) =
            amounts.into_iter().inspect(|amount| sound &= amount.is_finite()).fold(None, all)?;
        // Where all are the same, or nearly so beside their size, there is still a scale to stand on.
        let least_room = (least.abs().max(greatest.abs()) * 1e-9).max(1e-9);
        let room = if greatest - least > least_room {
            (greatest - least) * air
        } else {
            (least.abs() * 0.05).max(0.5e-2)
        };
        let (from, to) = (least - room, greatest + room);
        sound.then(|| Self::between(from, to, most))
    }

    /// From an amount to a greater one.
    pub(super) fn between(from: f64, to: f64, most: usize) -> Self {
        let step = round_step((to - from) / most.max(1) as f64);
        let places = (0..12).find(|places| step * 10f64.powi(*places) > 0.99).unwrap_or(12) as usize;
        Self { from, to, step, places }
    }

    /// Where an amount stands.
    pub(super) fn place(&self, amount: f64) -> f32 {
        (((amount - self.from) / (self.to - self.from)) as f32).clamp(0.0, 1.0)
    }

    /// Its ticks, with their labels.
    pub(super) fn ticks(&self, say: Say) -> Vec<(f32, String)> {
        let first = (self.from / self.step - 1e-6).ceil();
        let count = ((self.to / self.step + 1e-6).floor() - first).clamp(0.0, 40.0) as usize;
        let amounts = (0..=count).map(|n| (first + n as f64) * self.step);
        amounts.map(|amount| (self.place(amount), number(amount, self.places, say))).collect()
    }
}

/// The least of 1, 2, 5 times a power of ten that is not below an amount.
fn round_step(amount: f64) -> f64 {
    let power = (-12..=12).rev().map(|power| 10f64.powi(power)).find(|power| *power <= amount);
    let power = power.unwrap_or(1e-12);
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|times| times * power)
        .find(|step| *step >= amount * (1.0 - 1e-9))
        .unwrap_or(amount)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn labels(axis: Axis) -> Vec<String> {
        axis.ticks(crate::english()).into_iter().map(|(_, label)| label).collect()
    }

    #[test]
    fn ticks_are_round() {
        assert_eq!(labels(Axis::between(1.183, 1.322, 5)), ["1.20", "1.25", "1.30"]);
        assert_eq!(labels(Axis::between(0.0, 100.0, 5)), ["0", "20", "40", "60", "80", "100"]);
        assert_eq!(labels(Axis::between(-0.3, 0.3, 4)), ["−0.2", "0.0", "0.2"]);
        assert_eq!(labels(Axis::between(9_901.0, 10_000.0, 5)), ["9920", "9940", "9960", "9980", "10000"]);
    }

    #[test]
    fn the_same_amount_twice_has_an_axis_and_no_number_has_none() {
        for amount in [0.0, 1.2, -4e6, 1e-7] {
            let axis = Axis::over([amount, amount], 4, 0.06).unwrap();
            assert!((axis.place(amount) - 0.5).abs() < 1e-3, "{axis:?}");
            assert!(!labels(axis).is_empty(), "{axis:?}");
        }
        assert_eq!(Axis::over([1.0, f64::NAN], 4, 0.06), None);
        assert_eq!(Axis::over([], 4, 0.06), None);
    }

    #[test]
    fn amounts_beyond_the_ends_stand_on_them() {
        let axis = Axis::between(1.0, 2.0, 5);
        for (amount, place) in [(0.0, 0.0), (1.0, 0.0), (1.5, 0.5), (9.0, 1.0)] {
            assert!((axis.place(amount) - place).abs() < 1e-6, "{amount}");
        }
    }
}
