//! Tip, springs, lash and deck of one port's model.

use headproof_head::{Bound, CharacteristicId, Lifter};

use super::{Builder, DeckRange, TIP_CLEAN};
use crate::affine::Affine;
use crate::course::ValveCourse;
use crate::facts::{SpringFacts, nominal};
use crate::heights::LoadCurve;
use crate::moved::Moved;

/// Thicker than any lash shim.
const THICKEST_LASH_SHIM: f64 = 20.0;

impl Builder<'_, '_> {
    pub(super) fn assembly(&mut self, deck: DeckRange) {
        let facts = self.ground.facts;
        let (sink, rise) = (self.model.sink.clone(), self.model.rise.clone());
        let deck = self.deck(deck);
        self.sink_price(&sink);
        if let Some(recession) = facts.recession {
            let moved = sink.clone().plus_constant(recession);
            let moved = if facts.recession_from_deck { moved.minus(&deck) } else { moved };
            self.becomes(Moved::Recession, moved);
        }
        if let Some(to_piston) = facts.valve_to_piston {
            self.becomes(Moved::ValveToPiston, sink.plus_constant(to_piston).minus(&deck));
        }
        let tip = self.tip();
        if let Some(protrusion) = facts.protrusion {
            self.becomes(Moved::Protrusion, rise.clone().plus_constant(protrusion).minus(&tip));
        }
        if let Some(gap) = facts.tip_to_retainer {
            self.becomes(Moved::TipToRetainer, Affine::constant(gap).minus(&tip));
        }
        self.lash(rise.clone().minus(&tip));
        self.springs(&rise);
    }

    /// What comes off the deck, as this port sees it.
    fn deck(&mut self, deck: DeckRange) -> Affine {
        if deck.most <= 0.0 {
            return Affine::default();
        }
        #[expect(clippy::cast_precision_loss, reason = "a head has at most eighty ports")]
        let ports = deck.ports.max(1) as f64;
        let var = self.decide(deck.least, deck.most, self.weights.deck / ports);
        self.model.handles.deck = Some(var);
        let costs = &self.ground.workshop.costs;
        let setting_up = costs.deck_cut * costs.per_minute * self.weights.money / ports;
        if deck.least > 0.0 {
            self.model.price += setting_up;
            return Affine::var(var);
        }
        // Not at all, or deep enough to leave a clean face.
        let (cut, is_cut) = (Affine::var(var), Affine::var(self.count(1, setting_up)));
        self.at_most_nothing(&cut.clone().minus(&is_cut.clone().times(deck.most)), None);
        self.at_most_nothing(&is_cut.times(deck.clean).minus(&cut), None);
        cut
    }

    /// A valve that ends up higher than before costs nothing; what it sinks does.
    fn sink_price(&mut self, sink: &Affine) {
        if self.model.course.new_parts() == 0 {
            // Cutting and grinding only ever sink a valve.
            for (var, coefficient) in &sink.terms {
                self.model.decisions[*var].price += self.weights.sink * coefficient;
            }
            self.model.price += self.weights.sink * sink.constant;
        } else {
            let sunk = self.decide(0.0, super::MOST_FEED, self.weights.sink);
            let short = sink.clone().missed_by([0.0; 3]).minus(&Affine::var(sunk));
            self.at_most_nothing(&short, None);
        }
    }

    fn tip(&mut self) -> Affine {
        let needs = self.ground.needs;
        let fresh = matches!(self.model.course.valve, ValveCourse::New(_));
        let limit = self.ground.workshop.tip_limit.filter(|_| !self.ground.port.valve.sodium_filled);
        let limit = limit.map(headproof_quantity::Length::approx).filter(|_| !fresh);
        let needed = needs.tip && !fresh;
        let Some(limit) = limit else {
            if needed {
                self.impossible(Bound::TipLimit);
            }
            return Affine::default();
        };
        let var = self.decide(0.0, super::MOST_FEED, self.weights.tip);
        self.model.handles.tip = Some(var);
        let tip = Affine::var(var);
        self.at_most(&tip, limit, Bound::TipLimit);
        let costs = &self.ground.workshop.costs;
        let price = costs.tip_grind * costs.per_minute * self.weights.money;
        if price > 0.0 {
            // Ground or not: the time does not depend on how much.
            let ground = Affine::var(self.count(1, price)).times(-super::MOST_FEED);
            self.at_most_nothing(&tip.clone().plus(&ground), None);
        }
        if needed {
            self.at_least(&tip, TIP_CLEAN, Bound::AsItIs(CharacteristicId::new("valve-tip")));
        }
        tip
    }

    /// Lash falls as the stem rises. A screw sets it again; a bucket gets another shim: one that brings the lash
    /// inside its limits, or back to what it was where it has none.
    fn lash(&mut self, raised: Affine) {
        let facts = self.ground.facts;
        let limited = self.zones.get(Moved::Lash).is_some();
        if self.ground.lifter == Lifter::Adjustable
            && limited
            && self.ground.needs.bad.contains(&Moved::Lash.id())
        {
            // Its screw sets it.
            let middle =
                self.zones.get(Moved::Lash).and_then(|zone| zone.middle().or(zone.least).or(zone.greatest));
            self.model.sets_lash = true;
            self.becomes(Moved::Lash, Affine::constant(middle.unwrap_or_default()));
        }
        let Some(lash) = facts.lash.filter(|_| self.ground.lifter == Lifter::BucketWithShim) else { return };
        let Some(old) = facts.lash_shim else {
            self.becomes(Moved::Lash, Affine::constant(lash).minus(&raised));
            return;
        };
        let of_stock = !self.ground.workshop.lash_shims.is_empty();
        let shim = if !limited && !of_stock {
            Affine::constant(old).minus(&raised)
        } else if !of_stock {
            let var = self.decide(0.0, THICKEST_LASH_SHIM, 0.0);
            self.model.handles.lash_shim = Some(var);
            self.near(&Affine::var(var), old, 0.1 * self.weights.middle);
            Affine::var(var)
        } else {
            self.one_of_the_stock(old)
        };
        let becomes = Affine::constant(lash + old).minus(&raised).minus(&shim);
        if !limited && of_stock {
            self.near(&becomes, lash, self.weights.middle);
        }
        // The shim is chosen when everything else is done and measured: it makes good what the cuts missed.
        self.becomes(Moved::Lash, becomes.missed_by([0.0; 3]));
        self.becomes(Moved::LashShim, shim);
    }

    /// As near to a size as the decisions allow.
    fn near(&mut self, value: &Affine, size: f64, price: f64) {
        let away = Affine::var(self.decide(0.0, super::MOST_FEED, price));
        for sign in [1.0, -1.0] {
            let off = value.clone().missed_by([0.0; 3]).plus_constant(-size).times(sign);
            self.at_most_nothing(&off.minus(&away), None);
        }
    }

    /// Exactly one lash shim of the stock, or the one that is there.
    fn one_of_the_stock(&mut self, old: f64) -> Affine {
        let workshop = self.ground.workshop;
        let mut shim = Affine::constant(old);
        let mut chosen = Affine::constant(-1.0);
        for stock in &workshop.lash_shims {
            let var = self.count(1.min(stock.count), 0.0);
            self.model.handles.lash_shims.push(var);
            shim = shim.plus(&Affine::var(var).times(stock.thickness.exact().to_f64() - old));
            chosen = chosen.plus(&Affine::var(var));
        }
        self.at_most_nothing(&chosen, None);
        shim
    }

    fn springs(&mut self, rise: &Affine) {
        let facts = self.ground.facts;
        if let (Some(gap), Some(lift)) = (facts.retainer_gap, facts.lift) {
            self.becomes(Moved::RetainerMargin, rise.clone().plus_constant(gap - lift));
        }
        let Some(height) = facts.installed else { return };
        let stack = self.shims();
        let installed = rise.clone().plus_constant(height).minus(&stack);
        self.becomes(Moved::InstalledHeight, installed.clone());
        let aimed = nominal(self.ground.profile, Moved::InstalledHeight, self.ground.port, self.ground.stage);
        if let Some(aimed) = aimed {
            self.becomes(Moved::ShimsNeeded, installed.clone().plus_constant(-aimed));
        }
        self.no_tighter_than_it_was(&installed, height, aimed);
        let springs = self.springs_of_the_course();
        self.loads(&springs, &installed, aimed);
        self.coil_bind(&springs, &installed);
    }

    /// Shims restore a height, nothing else: where no limit says how low it may go, they take it no lower than what
    /// it is aimed at or was. A new part may, which then takes no shims.
    fn no_tighter_than_it_was(&mut self, installed: &Affine, height: f64, aimed: Option<f64>) {
        let limited = self.zones.get(Moved::InstalledHeight).is_some_and(|zone| zone.least.is_some());
        let shims = self.model.handles.shims.clone();
        if limited || shims.is_empty() {
            return;
        }
        let least = aimed.map_or(height, |aimed| aimed.min(height));
        let installed = installed.clone().missed_by([0.0; 3]);
        let bound = Bound::AsItIs(Moved::InstalledHeight.id());
        if self.model.course.new_parts() == 0 {
            self.at_least(&installed, least, bound);
            return;
        }
        let any = Affine::var(self.count(1, 0.0));
        let all = shims.iter().fold(Affine::default(), |sum, var| sum.plus(&Affine::var(*var)));
        let most = f64::from(self.ground.workshop.shims_per_spring);
        self.at_most_nothing(&all.minus(&any.clone().times(most)), None);
        let unless_none = any.times(-super::MOST_FEED).plus_constant(super::MOST_FEED);
        self.at_least(&installed.plus(&unless_none), least, bound);
    }

    fn shims(&mut self) -> Affine {
        let workshop = self.ground.workshop;
        let minutes = workshop.costs.shim * workshop.costs.per_minute * self.weights.money;
        for stock in &workshop.shims {
            let most = stock.count.min(u16::from(workshop.shims_per_spring));
            let var = self.count(most, self.weights.shim + minutes);
            self.model.handles.shims.push(var);
        }
        let all =
            self.model.handles.shims.iter().fold(Affine::default(), |sum, var| sum.plus(&Affine::var(*var)));
        if !all.terms.is_empty() {
            self.at_most(&all, f64::from(workshop.shims_per_spring), Bound::ShimStock);
        }
        self.model.shim_stack(&workshop.shims)
    }

    fn springs_of_the_course(&self) -> Vec<SpringFacts> {
        match self.model.course.springs {
            None => self.ground.facts.springs.clone(),
            Some(spare) => vec![SpringFacts {
                step: 0.0,
                points: spare.loads.clone(),
                solid: spare.solid_height.map(headproof_quantity::Length::approx),
            }],
        }
    }

    fn loads(&mut self, springs: &[SpringFacts], installed: &Affine, aimed: Option<f64>) {
        let lift = self.ground.facts.lift;
        for (moved, shift) in [(Moved::SeatLoad, Some(0.0)), (Moved::OpenLoad, lift)] {
            let Some((zone, shift)) = self.zones.get(moved).zip(shift) else { continue };
            let id = moved.id();
            if zone.too_coarse {
                self.impossible(Bound::TooCoarse(id));
            }
            let Some(curve) = LoadCurve::new(springs, shift) else {
                self.impossible(Bound::SpringReadings);
                continue;
            };
            let (low, high) = curve.reach();
            self.at_least(installed, low, Bound::SpringReadings);
            self.at_most(installed, high, Bound::SpringReadings);
            let (least, greatest) = curve.heights(&zone);
            for (height, below) in [(least, true), (greatest, false)] {
                match height {
                    Some(height) if !height.is_finite() => {
                        self.impossible(if below { Bound::Upper(id) } else { Bound::Lower(id) });
                    }
                    Some(height) if below => self.at_least(installed, height, Bound::Upper(id)),
                    Some(height) => self.at_most(installed, height, Bound::Lower(id)),
                    None => {}
                }
            }
            // A spring that is weak at the height it is made for is replaced, not shimmed until it is not.
            let is_bad = self.ground.needs.bad.contains(&id);
            let weak = |aimed: f64| curve.at(aimed).zip(zone.least).is_some_and(|(load, least)| load < least);
            if is_bad && moved == Moved::SeatLoad && aimed.is_some_and(weak) {
                self.impossible(Bound::Lower(id));
            }
            self.model.loads.push((moved, curve));
        }
    }

    fn coil_bind(&mut self, springs: &[SpringFacts], installed: &Affine) {
        let Some(lift) = self.ground.facts.lift else { return };
        let solids = springs.iter().filter_map(|spring| Some(spring.solid? + spring.step));
        if let Some(tallest) = solids.reduce(f64::max) {
            self.becomes(Moved::CoilBind, installed.clone().plus_constant(-lift - tallest));
        }
    }
}
