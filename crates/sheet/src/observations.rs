//! What was recorded and the rows do not say, in short phrases.

use headproof_quantity::Kind;
use headproof_texts::{Arg, Say};
use headproof_wire::{
    CrackTest, Decay, Deck, DialDirection, Guide, HeadTests, Insert, InsertFit, Leak, LeakSide,
    MeasurementSet, Port, PressureTest, Reading, RecessionDatum, Row, Seat, State, Valve,
};

use crate::format::sign;
use crate::identity::reading_text;
use crate::words::{insert_fit, insert_material, state, stem_seal};

/// Collects phrases beside some rows.
struct Notes<'a> {
    rows: &'a [Row],
    say: Say,
    list: Vec<String>,
}

/// Phrases on one port, beside its rows.
pub(crate) fn of_port(port: &Port, rows: &[Row], say: Say) -> Vec<String> {
    let mut notes = Notes { rows, say, list: Vec::new() };
    if let Some(valve) = &port.valve {
        notes.on_valve(valve);
    }
    if let Some(guide) = &port.guide {
        notes.on_guide(guide);
    }
    if let Some(seat) = &port.seat {
        notes.on_seat(seat);
    }
    if let Some(datum) = port.assembly.as_ref().and_then(|assembly| assembly.recession_datum) {
        notes.fixed(match datum {
            RecessionDatum::Deck => "noted-recession-from-deck",
            RecessionDatum::Chamber => "noted-recession-from-chamber",
        });
    }
    if let Some(leak) = &port.leak {
        notes.on_leak(leak);
    }
    notes.list
}

/// Phrases on the head as a whole, beside its rows.
pub(crate) fn of_head(set: &MeasurementSet, rows: &[Row], say: Say) -> Vec<String> {
    let mut notes = Notes { rows, say, list: Vec::new() };
    if let Some(deck) = &set.deck {
        notes.on_deck(deck, set);
    }
    if let Some(HeadTests { crack, pressure }) = &set.tests {
        if let Some(crack) = crack {
            notes.on_cracks(crack);
        }
        if let Some(test) = pressure {
            notes.on_pressure(test, set);
        }
    }
    notes.list
}

impl Notes<'_> {
    /// A phrase without values, by its message.
    fn fixed(&mut self, id: &'static str) {
        self.list.push(self.say.text(id).to_owned());
    }

    /// A phrase with values, by its message.
    fn filled(&mut self, id: &'static str, values: &[(&str, Arg<'_>)]) {
        self.list.push(self.say.with(id, values));
    }

    /// Does a row already say that this characteristic was found in order?
    fn is_told(&self, characteristic: &str) -> bool {
        self.rows.iter().any(|row| row.characteristic == characteristic && row.in_order == Some(true))
    }

    /// Phrases on parts that a look was taken at: all but those whose row already says that they are in order.
    fn on_states(&mut self, states: &[(&str, &'static str, Option<State>)]) {
        for (characteristic, part, found) in states {
            if let Some(found) = found.filter(|found| *found != State::Good || !self.is_told(characteristic))
            {
                let (part, found) = (self.say.text(part), state(found, self.say));
                self.filled("noted-state", &[("part", part.into()), ("state", found.into())]);
            }
        }
    }

    fn on_valve(&mut self, valve: &Valve) {
        if let Some(tag) = &valve.tag {
            self.filled("noted-valve-tag", &[("tag", tag.into())]);
        }
        self.on_states(&[
            ("valve-tip", "part-valve-tip", valve.tip),
            ("keeper-groove", "part-keeper-groove", valve.keeper_groove),
            ("valve-neck", "part-valve-neck", valve.neck),
        ]);
        let kinds = [
            (valve.coated, "noted-valve-coated"),
            (valve.nitrided, "noted-valve-nitrided"),
            (valve.titanium, "noted-valve-titanium"),
            (valve.hollow, "noted-valve-hollow"),
            (valve.sodium_filled, "noted-valve-sodium"),
        ];
        for (_, kind) in kinds.into_iter().filter(|(is, _)| *is) {
            self.fixed(kind);
        }
    }

    fn on_guide(&mut self, guide: &Guide) {
        self.on_states(&[("guide-fit", "part-guide-fit", guide.fit)]);
        if let Some(seal) = guide.stem_seal {
            self.filled("noted-stem-seal", &[("state", stem_seal(seal, self.say).into())]);
        }
    }

    fn on_seat(&mut self, seat: &Seat) {
        if let Some(Insert { fit, material, .. }) = &seat.insert {
            if let Some(fit) = fit.filter(|fit| *fit != InsertFit::Tight || !self.is_told("insert-fit")) {
                self.filled("noted-insert-fit", &[("fit", insert_fit(fit, self.say).into())]);
            }
            if let Some(material) = material {
                let material = insert_material(*material, self.say);
                self.filled("noted-insert-material", &[("material", material.into())]);
            }
        }
        if let Some(runout) = &seat.runout {
            let id = match runout.direction {
                DialDirection::Square => "noted-runout-square",
                DialDirection::Radial => "noted-runout-radial",
                DialDirection::Axial => "noted-runout-axial",
            };
            self.filled(id, &[("count", runout.readings.len().into())]);
        }
        if let Some(pit) = &seat.pit {
            self.fixed(if pit.inside_band { "noted-pit-inside" } else { "noted-pit-outside" });
        }
    }

    fn on_leak(&mut self, leak: &Leak) {
        if let Some(seep) = leak.seep.filter(|seep| *seep || !self.is_told("leak-seep")) {
            self.fixed(if seep { "noted-seep" } else { "noted-no-seep" });
        }
        if let Some(Decay { side, vacuum, spring_fitted, guide_sealed, .. }) = &leak.decay {
            let side = match side {
                LeakSide::Port => "port",
                LeakSide::Chamber => "chamber",
            };
            let values = [
                ("means", if *vacuum { "vacuum" } else { "pressure" }.into()),
                ("side", side.into()),
                ("spring", if *spring_fitted { "fitted" } else { "none" }.into()),
                ("guide", if *guide_sealed { "sealed" } else { "open" }.into()),
            ];
            self.filled("noted-leak-test", &values);
        }
    }

    fn on_deck(&mut self, deck: &Deck, set: &MeasurementSet) {
        self.on_states(&[
            ("dowels", "part-dowels", deck.dowels),
            ("bolt-threads", "part-bolt-threads", deck.bolt_threads),
            ("plugs", "part-plugs", deck.plugs),
        ]);
        if let Some(removed) = &deck.removed {
            let unit = sign(set.units.unit(Kind::Length));
            let amount = reading_text(removed, self.say);
            self.filled("noted-deck-removed", &[("amount", amount.into()), ("unit", unit.into())]);
        }
    }

    fn on_cracks(&mut self, crack: &CrackTest) {
        let id = if crack.crack_found { "noted-crack" } else { "noted-no-crack" };
        let found = self.say.with(id, &[("method", (&crack.method).into())]);
        self.list.push(match &crack.note {
            Some(note) => format!("{found} ({note})"),
            None => found,
        });
    }

    fn on_pressure(&mut self, test: &PressureTest, set: &MeasurementSet) {
        let stated = |reading: &Option<Reading>| {
            reading.as_ref().map_or_else(|| "none".to_owned(), |reading| reading_text(reading, self.say))
        };
        let values = [
            ("medium", (&test.medium).into()),
            ("held", if test.held { "yes" } else { "no" }.into()),
            ("pressure", reading_text(&test.pressure, self.say).into()),
            ("unit", sign(set.units.unit(Kind::Pressure)).into()),
            ("temperature", stated(&test.temperature).into()),
            ("seconds", stated(&test.seconds).into()),
        ];
        self.filled("noted-pressure-test", &values);
    }
}
