//! The limits of a characteristic, ready to print.

use headproof_judge::characteristic;
use headproof_quantity::{Kind, Unit};
use headproof_texts::Say;
use headproof_wire::{Limit, LimitUse, Service};

use super::WorksheetInput;
use crate::format::{decimals, is_whole_at, number, sign};

/// A number that the profile writes with more decimals than usual keeps up to so many more.
const MORE: usize = 6;

/// Lower and upper limit.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Pair {
    /// Least amount that conforms.
    pub(super) lower: Option<String>,
    /// Greatest amount that conforms.
    pub(super) upper: Option<String>,
}

/// The limits of one characteristic.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Bounds {
    /// After rework and at hand-over.
    pub(super) build: Option<Pair>,
    /// As received.
    pub(super) wear: Option<Pair>,
    /// What is aimed for.
    pub(super) nominal: Option<String>,
    /// The part of the deck that is looked at at a time.
    pub(super) window: Option<String>,
    /// Must it be measured?
    pub(super) required: bool,
}

impl Bounds {
    /// The limits of a characteristic for a service, in the units of the worksheet; none when it has none.
    pub(super) fn of(input: &WorksheetInput<'_>, id: &str, service: Option<Service>) -> Option<Self> {
        let kind = characteristic(id).map_or(Kind::Ratio, |characteristic| characteristic.kind());
        let concerns = |limit: &&Limit| {
            limit.characteristic == id && (limit.service.is_none() || limit.service == service)
        };
        let limits: Vec<&Limit> = input.profile.limits.iter().filter(concerns).collect();
        if limits.is_empty() {
            return None;
        }
        let amounts = limits.iter().flat_map(|limit| [limit.lower, limit.upper, limit.nominal]).flatten();
        let print = Printer::new(kind, input, amounts);
        let mut bounds = Self::default();
        for limit in limits {
            let pair =
                Pair { lower: limit.lower.map(|n| print.of(n)), upper: limit.upper.map(|n| print.of(n)) };
            let place = match limit.limit_use {
                LimitUse::Build => &mut bounds.build,
                LimitUse::Wear => &mut bounds.wear,
            };
            *place = Some(pair);
            bounds.required |= limit.required;
            bounds.nominal = bounds.nominal.or_else(|| limit.nominal.map(|n| print.of(n)));
            let window = limit.window.map(|window| window_text(input, window));
            bounds.window = bounds.window.or(window);
        }
        Some(bounds)
    }

    /// Lines that its figures take.
    pub(super) fn lines(&self) -> impl Iterator<Item = (Word, &Pair)> {
        let build = self.build.as_ref().map(|pair| (Word::None, pair));
        let wear = self.wear.as_ref().map(|pair| (Word::AsReceived, pair));
        build.into_iter().chain(wear).filter(|(_, pair)| **pair != Pair::default())
    }
}

/// What stands before a pair of limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Word {
    /// Nothing.
    None,
    /// That it is the limit as received.
    AsReceived,
    /// That it is what is aimed for.
    Nominal,
}

impl Word {
    /// As it stands there.
    pub(super) fn said(self, say: Say) -> &'static str {
        match self {
            Self::None => "",
            Self::AsReceived => say.text("stage-as-received"),
            Self::Nominal => say.text("blank-nominal"),
        }
    }
}

fn window_text(input: &WorksheetInput<'_>, window: headproof_wire::Window) -> String {
    let sides = [window.length, window.width];
    let print = Printer::new(Kind::Length, input, sides.into_iter());
    let [length, width] = sides.map(|side| print.of(side));
    let say = input.say();
    let values = [("length", length.into()), ("width", width.into()), ("unit", print.sign().into())];
    say.with("blank-in-any-window", &values)
}

/// Prints amounts of a profile in the units of the worksheet, all with the same decimals.
struct Printer {
    from: Unit,
    to: Unit,
    places: usize,
    say: Say,
}

impl Printer {
    /// For amounts of a kind. A number in its own unit keeps every decimal it was written with; one that is
    /// converted gets one decimal more than usual, as on the inspection sheet.
    fn new(kind: Kind, input: &WorksheetInput<'_>, amounts: impl Iterator<Item = f64>) -> Self {
        let (from, to) = (input.profile.units.unit(kind), input.units.unit(kind));
        let usual = decimals(to);
        let mut print = Self { from, to, places: usual, say: input.say() };
        let most = usual + if from == to { MORE } else { 1 };
        for amount in amounts {
            while print.places < most && !is_whole_at(print.converted(amount), print.places) {
                print.places += 1;
            }
        }
        print
    }

    fn converted(&self, number: f64) -> f64 {
        if self.from == self.to {
            return number;
        }
        // The profile was checked before: what cannot be kept exactly never comes here.
        self.from.to_base(number).map_or(f64::NAN, |exact| self.to.from_base(exact.approx()))
    }

    fn of(&self, amount: f64) -> String {
        number(self.converted(amount), self.places, self.say)
    }

    const fn sign(&self) -> &'static str {
        sign(self.to)
    }
}
