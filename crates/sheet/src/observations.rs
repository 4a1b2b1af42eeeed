//! What was recorded and the rows do not say, in short phrases.

use headproof_quantity::Kind;
use headproof_wire::{
    Decay, Deck, DialDirection, Guide, HeadTests, Insert, InsertFit, Leak, LeakSide, MeasurementSet, Port,
    RecessionDatum, Row, Seat, State, Valve,
};

use crate::format::sign;
use crate::identity::reading_text;
use crate::words::{insert_fit, insert_material, state, stem_seal};

/// Does a row already say that this characteristic was found in order?
fn is_told(rows: &[Row], characteristic: &str) -> bool {
    rows.iter().any(|row| row.characteristic == characteristic && row.in_order == Some(true))
}

/// Phrases on parts that a look was taken at: all but those whose row already says that they are in order.
fn on_states(rows: &[Row], states: &[(&str, &str, Option<State>)], notes: &mut Vec<String>) {
    for (characteristic, part, found) in states {
        if let Some(found) = found.filter(|found| *found != State::Good || !is_told(rows, characteristic)) {
            notes.push(format!("{part} {}", state(found, crate::english())));
        }
    }
}

/// Phrases on one port, beside its rows.
pub(crate) fn of_port(port: &Port, rows: &[Row]) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(valve) = &port.valve {
        on_valve(valve, rows, &mut notes);
    }
    if let Some(guide) = &port.guide {
        on_guide(guide, rows, &mut notes);
    }
    if let Some(seat) = &port.seat {
        on_seat(seat, rows, &mut notes);
    }
    if let Some(datum) = port.assembly.as_ref().and_then(|assembly| assembly.recession_datum) {
        notes.push(match datum {
            RecessionDatum::Deck => "recession from the deck".to_owned(),
            RecessionDatum::Chamber => "recession from the roof of the chamber".to_owned(),
        });
    }
    if let Some(leak) = &port.leak {
        on_leak(leak, rows, &mut notes);
    }
    notes
}

fn on_valve(valve: &Valve, rows: &[Row], notes: &mut Vec<String>) {
    if let Some(tag) = &valve.tag {
        notes.push(format!("valve tag {tag}"));
    }
    let states = [
        ("valve-tip", "tip", valve.tip),
        ("keeper-groove", "keeper groove", valve.keeper_groove),
        ("valve-neck", "neck", valve.neck),
    ];
    on_states(rows, &states, notes);
    let kinds = [
        (valve.coated, "coated"),
        (valve.nitrided, "nitrided"),
        (valve.titanium, "titanium"),
        (valve.hollow, "hollow stem"),
        (valve.sodium_filled, "SODIUM-FILLED stem"),
    ];
    notes.extend(kinds.iter().filter(|(is, _)| *is).map(|(_, word)| format!("valve: {word}")));
}

fn on_guide(guide: &Guide, rows: &[Row], notes: &mut Vec<String>) {
    on_states(rows, &[("guide-fit", "guide fit", guide.fit)], notes);
    notes.extend(guide.stem_seal.map(|seal| format!("stem seal: {}", stem_seal(seal, crate::english()))));
}

fn on_seat(seat: &Seat, rows: &[Row], notes: &mut Vec<String>) {
    if let Some(Insert { fit, material, .. }) = &seat.insert {
        let fit = fit.filter(|fit| *fit != InsertFit::Tight || !is_told(rows, "insert-fit"));
        notes.extend(fit.map(|fit| format!("seat insert {}", insert_fit(fit, crate::english()))));
        notes.extend(
            material.map(|material| format!("insert of {}", insert_material(material, crate::english()))),
        );
    }
    if let Some(runout) = &seat.runout {
        let direction = match runout.direction {
            DialDirection::Square => "square to the seat",
            DialDirection::Radial => "square to the axis",
            DialDirection::Axial => "along the axis",
        };
        notes.push(format!("runout dial {direction}, {} readings", runout.readings.len()));
    }
    if let Some(pit) = &seat.pit {
        notes.push(if pit.inside_band { "pit inside the band" } else { "pit outside the band" }.to_owned());
    }
}

fn on_leak(leak: &Leak, rows: &[Row], notes: &mut Vec<String>) {
    let seep = leak.seep.filter(|seep| *seep || !is_told(rows, "leak-seep"));
    notes.extend(
        seep.map(|seep| if seep { "solvent seeped past" } else { "no solvent seeped past" }.to_owned()),
    );
    if let Some(Decay { side, vacuum, spring_fitted, guide_sealed, .. }) = &leak.decay {
        let what = if *vacuum { "vacuum" } else { "pressure" };
        let place = match side {
            LeakSide::Port => "port",
            LeakSide::Chamber => "chamber",
        };
        let spring = if *spring_fitted { "spring fitted" } else { "no spring" };
        let guide = if *guide_sealed { "guide sealed" } else { "guide open" };
        notes.push(format!("leak test by {what} in the {place}, {spring}, {guide}"));
    }
}

/// Phrases on the head as a whole, beside its rows.
pub(crate) fn of_head(set: &MeasurementSet, rows: &[Row]) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(Deck { dowels, bolt_threads, plugs, removed, .. }) = &set.deck {
        let states = [
            ("dowels", "dowels", *dowels),
            ("bolt-threads", "bolt threads", *bolt_threads),
            ("plugs", "plugs", *plugs),
        ];
        on_states(rows, &states, &mut notes);
        let unit = sign(set.units.unit(Kind::Length));
        notes.extend(
            removed.as_ref().map(|removed| format!("deck cut so far {} {unit}", reading_text(removed))),
        );
    }
    if let Some(HeadTests { crack, pressure }) = &set.tests {
        if let Some(crack) = crack {
            let found = if crack.crack_found { "CRACK FOUND" } else { "no crack found" };
            let note = crack.note.as_ref().map(|note| format!(" ({note})")).unwrap_or_default();
            notes.push(format!("{found} by {}{note}", crack.method));
        }
        if let Some(test) = pressure {
            let held = if test.held { "held" } else { "DID NOT HOLD" };
            let unit = sign(set.units.unit(Kind::Pressure));
            let mut text =
                format!("pressure test with {}: {held} {} {unit}", test.medium, reading_text(&test.pressure));
            if let Some(temperature) = &test.temperature {
                text.push_str(&format!(" at {} °C", reading_text(temperature)));
            }
            if let Some(seconds) = &test.seconds {
                text.push_str(&format!(" for {} s", reading_text(seconds)));
            }
            notes.push(text);
        }
    }
    notes
}
