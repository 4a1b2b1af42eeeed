//! The cautions that apply to this head, and no others.

use headproof_wire::{Camshaft, InsertFit, InsertMaterial, Layout, Material, Port, Reading, Stage, Valve};

use crate::SheetInput;
use crate::flow::{Flow, LEFT};
use crate::text::{Style, wrap};

/// A caution: what it is about, and its text when it applies.
struct Caution {
    about: &'static str,
    text: fn(&SheetInput<'_>) -> Option<String>,
}

/// A fixed text when a condition holds.
fn when(applies: bool, text: &str) -> Option<String> {
    applies.then(|| text.to_owned())
}

/// What these limits are worth.
pub(crate) const LIMITS: &str = "This sheet knows only the limits of the profile named above. The engine maker's manual and the \
     law of the place go before it. Heads of aircraft, of classed ships and of emission-certified \
     engines are work for licensed people with approved data.";
/// Springs store energy.
pub(crate) const SPRINGS: &str = "A compressed spring throws retainer and keepers like shot. Use a compressor that grips, and stay \
     out of its line.";
/// Contact is proved before it is lapped.
pub(crate) const LAPPING: &str = "Prove the contact with marking compound first. If you lap, wash off every trace afterwards: what \
     is left grinds guides and rings away. Lapping also takes away an interference angle.";
/// Tests under pressure.
pub(crate) const AIR: &str = "For tests under pressure let the pressure rise slowly, keep clear of plugs and plates, and bleed \
     it off before anything is loosened.";
/// What a leak test proves.
pub(crate) const HELD: &str = "Held means held as stated, on a cold head: it is no proof for a hot engine. Some cracks open only \
     with heat.";
/// Air that cools.
pub(crate) const WARMTH: &str = "A closed volume of air loses about a third of a kilopascal (0.1 inHg) for each kelvin it cools, \
     more under pressure, and that looks like a leak. Let the air settle; note its temperature.";
/// Valves may meet pistons.
pub(crate) const TURNING_OVER: &str = "Valves may meet pistons when the timing is wrong. After fitting turn the engine two full turns by \
     hand before the starter touches it.";
/// What comes with an old head.
pub(crate) const SOOT: &str = "Old gaskets may hold asbestos, deposits lead or manganese. No wire wheel, no blowing off: soak, \
     scrape wet, wear a mask. No solvent near a hot head.";
/// Heads are heavy.
pub(crate) const LIFTING: &str = "A head of this kind is heavy. Lift it with help or a hoist, and lay it so that no valve stands on \
     the bench.";

const CAUTIONS: &[Caution] = &[
    Caution { about: "These limits", text: |_| when(true, LIMITS) },
    Caution {
        about: "Valve springs",
        text: |input| when(any_port(input, |port| port.spring_pack.is_some()), SPRINGS),
    },
    Caution {
        about: "Eyes and hands",
        text: |input| {
            when(
                seats_need_work(input),
                "Seats of this head have to be cut or ground. Wear eye protection for cutting, grinding and \
                 blowing out. Carbide edges cut skin even when the cutter stands still.",
            )
        },
    },
    Caution {
        about: "Lapping compound",
        text: |input| when(seats_need_work(input) || any_port(input, |port| port.contact.is_some()), LAPPING),
    },
    Caution {
        about: "Treated valves",
        text: |input| {
            when(
                any_valve(input, |valve| valve.coated || valve.nitrided || valve.titanium),
                "Coated, nitrided or titanium valves are among these. Do not grind or lap them unless their maker \
                 allows it: the hard layer is thinner than one pass.",
            )
        },
    },
    Caution {
        about: "Sodium in stems",
        text: |input| {
            when(
                any_valve(input, |valve| valve.sodium_filled),
                "Valves with sodium in the stem are among these. Never cut, weld, drill or break them; sodium \
                 burns and bursts with water. Scrap them through a specialist.",
            )
        },
    },
    Caution {
        about: "Beryllium copper",
        text: |input| {
            when(
                any_port(input, |port| insert_material(port) == Some(InsertMaterial::BerylliumCopper)),
                "Seat inserts of beryllium copper are fitted. Do not grind them dry: the dust is poisonous to \
                 breathe. Cut them, keep them wet, and collect the swarf.",
            )
        },
    },
    Caution {
        about: "Changing inserts",
        text: |input| {
            when(
                any_port(input, |port| {
                    port.seat.as_ref().and_then(|seat| seat.insert.as_ref()).and_then(|insert| insert.fit)
                        == Some(InsertFit::Loose)
                }),
                "A loose insert has to be replaced. Dry ice and liquid nitrogen burn by cold and drive out the air \
                 of a closed room; a heated head burns and fumes. Gloves, face shield, open doors.",
            )
        },
    },
    Caution { about: "Compressed air", text: |input| when(has_pressure_test(input), AIR) },
    Caution {
        about: "Leak tests",
        text: |input| when(any_port(input, |port| port.leak.is_some()) || held_cold(input), HELD),
    },
    Caution {
        about: "Leaks and warmth",
        text: |input| {
            when(
                any_port(input, |port| {
                    let decay = port.leak.as_ref().and_then(|leak| leak.decay.as_ref());
                    decay.is_some_and(|test| test.end_temperature.is_none())
                }),
                WARMTH,
            )
        },
    },
    Caution {
        about: "Cracks",
        text: |input| {
            let crack = input.set.tests.as_ref()?.crack.as_ref()?;
            Some(if crack.crack_found {
                format!(
                    "A crack was found by {}. Do not machine further before its repair is settled.",
                    crack.method
                )
            } else {
                format!("No crack found by {}: that method, on that day, and no more.", crack.method)
            })
        },
    },
    Caution {
        about: "Aluminium",
        text: |input| {
            let head = &input.set.head;
            when(
                head.material == Material::Aluminium && (head.overheated || head.welded),
                "This head was overheated or welded. Aluminium goes soft by that and seats come loose: check its \
                 hardness and its straightness before money is spent on it.",
            )
        },
    },
    Caution {
        about: "Warped deck",
        text: |input| {
            when(
                input.set.layout.camshaft == Camshaft::Overhead && deck_is_out(input),
                "The deck is out of flat on a head that carries its camshaft. Measure the cam bores before any deck \
                 cut: a flat deck over a bent cam line seizes.",
            )
        },
    },
    Caution {
        about: "Turning over",
        text: |input| when(input.set.layout.camshaft == Camshaft::Overhead, TURNING_OVER),
    },
    Caution {
        about: "Old gaskets and soot",
        text: |input| when(input.set.job.stage == Stage::AsReceived, SOOT),
    },
    Caution {
        about: "Lifting",
        text: |input| when(is_heavy(&input.set.layout, input.set.head.material), LIFTING),
    },
];

fn any_port(input: &SheetInput<'_>, is: impl Fn(&Port) -> bool) -> bool {
    input.set.ports.iter().any(is)
}

fn any_valve(input: &SheetInput<'_>, is: impl Fn(&Valve) -> bool) -> bool {
    any_port(input, |port| port.valve.as_ref().is_some_and(&is))
}

fn insert_material(port: &Port) -> Option<InsertMaterial> {
    port.seat.as_ref()?.insert.as_ref()?.material
}

/// Is something out that a cutter or grinder puts right?
fn seats_need_work(input: &SheetInput<'_>) -> bool {
    const OF_SEAT_AND_FACE: [&str; 12] = [
        "seat-angle",
        "top-cut-angle",
        "throat-cut-angle",
        "seat-width",
        "seat-width-uniformity",
        "seat-runout",
        "pit-depth",
        "overhang",
        "contact-width",
        "interference-angle",
        "face-angle",
        "face-runout",
    ];
    input.evaluation.ports.iter().flat_map(|port| &port.rows).any(|row| {
        row.verdict == "does-not-conform" && OF_SEAT_AND_FACE.contains(&row.characteristic.as_ref())
    })
}

fn deck_is_out(input: &SheetInput<'_>) -> bool {
    let out = |row: &headproof_wire::Row| {
        row.verdict == "does-not-conform"
            && ["deck-flatness", "deck-feeler"].iter().any(|start| row.characteristic.starts_with(start))
    };
    input.evaluation.head.iter().any(out)
}

fn has_pressure_test(input: &SheetInput<'_>) -> bool {
    let by_pressure = |port: &Port| {
        port.leak.as_ref().and_then(|leak| leak.decay.as_ref()).is_some_and(|decay| !decay.vacuum)
    };
    any_port(input, by_pressure) || input.set.tests.as_ref().is_some_and(|tests| tests.pressure.is_some())
}

/// Was the jacket tested below the temperature of a running engine, or at an unknown one?
fn held_cold(input: &SheetInput<'_>) -> bool {
    const WARM: f64 = 60.0;
    let Some(test) = input.set.tests.as_ref().and_then(|tests| tests.pressure.as_ref()) else { return false };
    let warm = |reading: &Reading| match reading {
        Reading::Plain(degrees) => *degrees >= WARM,
        Reading::Detailed(detail) => detail.value.is_some_and(|degrees| degrees >= WARM),
    };
    !test.temperature.as_ref().is_some_and(warm)
}

fn is_heavy(layout: &Layout, material: Material) -> bool {
    match material {
        Material::CastIron => layout.cylinders >= 2,
        Material::Aluminium => layout.cylinders >= 4,
    }
}

/// The cautions that apply, in their fixed order.
fn applying(input: &SheetInput<'_>) -> Vec<(&'static str, String)> {
    CAUTIONS.iter().filter_map(|caution| (caution.text)(input).map(|text| (caution.about, text))).collect()
}

/// Draws them.
pub(crate) fn draw(flow: &mut Flow, input: &SheetInput<'_>) {
    draw_list(flow, &applying(input));
}

/// Draws cautions: what each is about, and its text.
pub(crate) fn draw_list(flow: &mut Flow, cautions: &[(&'static str, String)]) {
    const ABOUT: f32 = 36.0;
    flow.heading("Cautions for this head", 12.0);
    let width = flow.measure() - ABOUT;
    for (about, text) in cautions {
        let style = Style::BODY;
        flow.ensure(wrap(style, width, text).len() as f32 * style.leading());
        let at = (LEFT, flow.y + style.ascent());
        let strong = Style::STRONG;
        flow.canvas().structure.begin_item();
        flow.canvas().text(strong.face, strong.size, strong.ink, at, about);
        flow.canvas().structure.begin_body();
        flow.paragraph(style, LEFT + ABOUT, width, text);
        flow.canvas().structure.end_item();
        flow.y += 1.0;
    }
}
