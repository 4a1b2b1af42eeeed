//! Readings for drawings: of many sizes, shapes and gaps, all invented.

use headproof_wire::{Deck, LengthUnit, Port, Seat, Service, Valve};
use serde_json::{Value, json};

use crate::common::Documents;

/// Which readings a head has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Given {
    /// All of them.
    All,
    /// Now this, now that is missing.
    Some,
}

/// A sequence of numbers that looks random and is always the same.
struct Dice(u64);

impl Dice {
    /// Between two numbers.
    fn between(&mut self, from: f64, to: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        from + (to - from) * ((self.0 >> 33) as f64 / f64::from(u32::MAX >> 1))
    }

    fn below(&mut self, count: usize) -> usize {
        (self.between(0.0, count as f64) as usize).min(count - 1)
    }
}

/// Lengths and forces in the units of the set.
#[derive(Clone, Copy)]
struct Scale {
    length: f64,
    places: i32,
    force: f64,
}

impl Scale {
    fn length(&self, mm: f64) -> f64 {
        let power = 10f64.powi(self.places);
        (mm / self.length * power).round() / power
    }

    fn force(&self, newtons: f64) -> f64 {
        (newtons / self.force * 10.0).round() / 10.0
    }
}

/// Gives every port of a head readings to draw, and its deck a grid of heights.
pub(crate) fn add_readings(documents: &mut Documents, given: Given) {
    let inches = documents.set.units.length == LengthUnit::Inch;
    let scale = if inches {
        Scale { length: 25.4, places: 5, force: 4.448_221_615_260_5 }
    } else {
        Scale { length: 1.0, places: 3, force: 1.0 }
    };
    for (n, port) in documents.set.ports.iter_mut().enumerate() {
        fill(port, n, scale, given);
    }
    let (columns, rows) = if documents.set.ports.len() > 4 { (12, 5) } else { (4, 3) };
    let deck = documents.set.deck.get_or_insert_default();
    let points: Vec<Value> = (0..columns * rows)
        .map(|n| {
            let (x, y) = (f64::from(n % columns), f64::from(n / columns));
            let z = 0.06 - 0.002 * (x - 5.0).powi(2) + 0.004 * y;
            json!({"x": scale.length(36.0 * x), "y": scale.length(34.0 * y), "z": scale.length(z)})
        })
        .collect();
    let with_heights: Deck = serde_json::from_value(json!({"heights": {"points": points}}))
        .expect("the specimen is a valid document");
    deck.heights = with_heights.heights;
}

fn fill(port: &mut Port, n: usize, scale: Scale, given: Given) {
    let mut dice = Dice(n as u64 * 7919 + 17);
    let keep: Vec<bool> = (0..14).map(|_| given == Given::All || dice.below(4) > 0).collect();
    let maybe = |n: usize, value: Value| if keep[n] { value } else { Value::Null };
    let cosine = 0.5_f64.sqrt();
    let width = if port.service == Service::Intake { dice.between(0.7, 2.0) } else { dice.between(1.0, 3.2) };
    let outer = dice.between(18.0, 46.0);
    let overhang = dice.between(0.1, 1.4);
    let head = outer + 2.0 * overhang * cosine;
    let length = |mm: f64| json!(scale.length(mm));
    let widths: Vec<Value> = (0..8).map(|_| length(width + dice.between(-0.04, 0.04))).collect();
    let counts = [4, 5, 8, 8, 12, 36];
    let seat_readings: Vec<Value> =
        turn(&mut dice, counts[n % counts.len()]).into_iter().map(length).collect();
    let face_readings: Vec<Value> = turn(&mut dice, 8).into_iter().map(length).collect();
    let direction = ["square", "radial", "axial"][n % 3];
    let seat = json!({
        "seat_angle": maybe(0, json!(45.0 + (n % 5) as f64 * 0.11)),
        "top_angle": maybe(1, json!(29.5 + (n % 4) as f64 * 0.3)),
        "throat_angle": maybe(2, json!(59.5 + (n % 4) as f64 * 0.5)),
        "outer_diameter": maybe(3, length(outer)),
        "inner_diameter": maybe(4, length(outer - 2.0 * width * cosine)),
        "widths": if keep[5] { json!(widths) } else { json!([]) },
        "runout": maybe(6, json!({"direction": direction, "readings": seat_readings})),
    });
    let valve = json!({
        "head_diameter": maybe(7, length(head)),
        "margin": maybe(8, length(dice.between(0.2, 3.0))),
        "face_angle": maybe(9, json!(44.4 + (n % 5) as f64 * 0.1)),
        "face_inner_diameter": maybe(10, length(head - 2.0 * (overhang + width + 0.4) * cosine)),
        "face_runout": maybe(11, json!({"direction": "square", "readings": face_readings})),
    });
    let positions = [3, 4, 8, 8, 12, 36][n % 6];
    let marks: Vec<Value> = (0..positions)
        .map(|_| {
            let from_edge = length(overhang + dice.between(-0.05, 0.05));
            json!({"from_edge": from_edge, "width": length(width + dice.between(-0.06, 0.06))})
        })
        .collect();
    let gaps = [json!([]), json!([12.5]), json!([8.0, 21.0])][n % 3].clone();
    let contact = json!({"marks": if keep[12] { json!(marks) } else { json!([]) }, "gaps": gaps});
    let height = dice.between(30.0, 45.0);
    let loads = |stiffness: f64| -> Vec<Value> {
        let load = |below: f64| json!({"height": length(height - below), "load": scale.force(240.0 + stiffness * below)});
        [0.0, 4.5, 8.4].map(load).to_vec()
    };
    let springs = match n % 3 {
        0 => json!([{"loads": loads(31.0)}]),
        1 => json!([{"loads": loads(31.0)}, {"seat_step": length(1.6), "loads": loads(12.0)}]),
        _ => json!([{"loads": loads(80.0)[..2].to_vec()}]),
    };
    let pack = json!({
        "installed_height": maybe(13, length(height - 0.1)),
        "lift": length(dice.between(6.0, 9.0)),
        "springs": springs,
    });
    let mut read = json!({
        "cylinder": port.cylinder, "service": port.service, "index": port.index,
        "seat": seat, "valve": valve, "contact": contact, "spring_pack": pack,
    });
    for block in ["seat", "valve", "spring_pack"] {
        if let Some(fields) = read[block].as_object_mut() {
            fields.retain(|_, field| !field.is_null());
        }
    }
    let read: Port = serde_json::from_value(read).expect("the specimen is a valid document");
    let insert = port.seat.take().and_then(|seat| seat.insert);
    port.seat = read.seat.map(|seat| Seat { insert, ..seat });
    let old = port.valve.take().unwrap_or_default();
    port.valve = read.valve.map(|valve| Valve { tag: old.tag, tip: old.tip, ..valve });
    (port.contact, port.spring_pack) = (read.contact, read.spring_pack);
}

/// Dial readings of a circle off its centre, somewhat oval.
fn turn(dice: &mut Dice, count: usize) -> Vec<f64> {
    let (off, towards) = (dice.between(0.0, 0.04), dice.between(0.0, 360.0));
    (0..count)
        .map(|n| {
            let angle = (360.0 * n as f64 / count as f64 - towards).to_radians();
            off * libm::cos(angle) + 0.004 * libm::cos(2.0 * angle) + dice.between(-0.002, 0.002)
        })
        .collect()
}
