//! What each part of a plan weighs, by the shop's objective.

use headproof_head::Objective;

/// Weights of the parts of a plan; the sum is what is made small.
///
/// Each step of an order is a factor of a hundred or more below the one before, so that nothing of a later
/// one outweighs a hundredth of a millimetre of an earlier one in the sizes that occur.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Weights {
    /// Per new part.
    pub(crate) part: f64,
    /// Per unit of the shop's money.
    pub(crate) money: f64,
    /// Per mm of sink of one valve.
    pub(crate) sink: f64,
    /// Per mm of feed of top and throat cuts.
    pub(crate) trim: f64,
    /// Per mm off the deck.
    pub(crate) deck: f64,
    /// Per shim.
    pub(crate) shim: f64,
    /// Per mm off a tip.
    pub(crate) tip: f64,
    /// Per mm (or degree) off the middle of a zone.
    pub(crate) middle: f64,
}

impl Weights {
    /// Price of so many new parts and so much money.
    pub(crate) fn price(&self, parts: u16, money: f64) -> f64 {
        f64::from(parts).mul_add(self.part, money * self.money)
    }

    pub(crate) const fn of(objective: Objective) -> Self {
        let least_sink = Self {
            part: 100.0,
            money: 0.0,
            sink: 1.0,
            trim: 1e-2,
            deck: 1.0,
            shim: 1e-4,
            tip: 1e-3,
            middle: 1e-4,
        };
        match objective {
            Objective::LeastSink => least_sink,
            Objective::FewestParts => Self { shim: 10.0, ..least_sink },
            Objective::LeastCost => Self {
                part: 1e-2,
                money: 1.0,
                sink: 1e-2,
                trim: 1e-4,
                deck: 1e-2,
                shim: 1e-5,
                tip: 1e-5,
                middle: 1e-6,
            },
        }
    }
}
