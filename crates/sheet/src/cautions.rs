//! The cautions that apply to this head, and no others.

use headproof_wire::{
    Camshaft, CrackTest, Insert, InsertFit, InsertMaterial, Layout, Material, Port, Reading, Stage, Valve,
};

use crate::SheetInput;
use crate::flow::{Flow, LEFT};
use crate::text::{Style, wrap};

/// A caution: the messages of what it is about and of its text, and whether it applies.
struct Caution {
    about: &'static str,
    text: &'static str,
    applies: fn(&SheetInput<'_>) -> bool,
}

/// What these limits are worth.
pub(crate) const LIMITS: &str = "caution-limits";
/// Springs store energy.
pub(crate) const SPRINGS: &str = "caution-springs";
/// Contact is proved before it is lapped.
pub(crate) const LAPPING: &str = "caution-lapping";
/// Tests under pressure.
pub(crate) const AIR: &str = "caution-air";
/// What a leak test proves.
pub(crate) const HELD: &str = "caution-held";
/// Air that cools.
pub(crate) const WARMTH: &str = "caution-warmth";
/// Valves may meet pistons.
pub(crate) const TURNING_OVER: &str = "caution-turning-over";
/// What comes with an old head.
pub(crate) const SOOT: &str = "caution-soot";
/// Heads are heavy.
pub(crate) const LIFTING: &str = "caution-lifting";

const CAUTIONS: &[Caution] = &[
    Caution { about: "caution-about-limits", text: LIMITS, applies: |_| true },
    Caution {
        about: "caution-about-springs",
        text: SPRINGS,
        applies: |input| any_port(input, |port| port.spring_pack.is_some()),
    },
    Caution { about: "caution-about-eyes", text: "caution-eyes", applies: seats_need_work },
    Caution {
        about: "caution-about-lapping",
        text: LAPPING,
        applies: |input| seats_need_work(input) || any_port(input, |port| port.contact.is_some()),
    },
    Caution {
        about: "caution-about-treated-valves",
        text: "caution-treated-valves",
        applies: |input| any_valve(input, |valve| valve.coated || valve.nitrided || valve.titanium),
    },
    Caution {
        about: "caution-about-sodium",
        text: "caution-sodium",
        applies: |input| any_valve(input, |valve| valve.sodium_filled),
    },
    Caution {
        about: "caution-about-beryllium",
        text: "caution-beryllium",
        applies: |input| any_insert(input, |insert| insert.material == Some(InsertMaterial::BerylliumCopper)),
    },
    Caution {
        about: "caution-about-changing-inserts",
        text: "caution-changing-inserts",
        applies: |input| any_insert(input, |insert| insert.fit == Some(InsertFit::Loose)),
    },
    Caution { about: "caution-about-air", text: AIR, applies: has_pressure_test },
    Caution {
        about: "caution-about-held",
        text: HELD,
        applies: |input| any_port(input, |port| port.leak.is_some()) || held_cold(input),
    },
    Caution {
        about: "caution-about-warmth",
        text: WARMTH,
        applies: |input| {
            any_port(input, |port| {
                let decay = port.leak.as_ref().and_then(|leak| leak.decay.as_ref());
                decay.is_some_and(|test| test.end_temperature.is_none())
            })
        },
    },
    Caution {
        about: "caution-about-cracks",
        text: "caution-crack",
        applies: |input| crack_test(input).is_some_and(|test| test.crack_found),
    },
    Caution {
        about: "caution-about-cracks",
        text: "caution-no-crack",
        applies: |input| crack_test(input).is_some_and(|test| !test.crack_found),
    },
    Caution {
        about: "caution-about-aluminium",
        text: "caution-aluminium",
        applies: |input| {
            let head = &input.set.head;
            head.material == Material::Aluminium && (head.overheated || head.welded)
        },
    },
    Caution {
        about: "caution-about-warped-deck",
        text: "caution-warped-deck",
        applies: |input| input.set.layout.camshaft == Camshaft::Overhead && deck_is_out(input),
    },
    Caution {
        about: "caution-about-turning-over",
        text: TURNING_OVER,
        applies: |input| input.set.layout.camshaft == Camshaft::Overhead,
    },
    Caution {
        about: "caution-about-soot",
        text: SOOT,
        applies: |input| input.set.job.stage == Stage::AsReceived,
    },
    Caution {
        about: "caution-about-lifting",
        text: LIFTING,
        applies: |input| is_heavy(&input.set.layout, input.set.head.material),
    },
];

fn any_port(input: &SheetInput<'_>, is: impl Fn(&Port) -> bool) -> bool {
    input.set.ports.iter().any(is)
}

fn any_valve(input: &SheetInput<'_>, is: impl Fn(&Valve) -> bool) -> bool {
    any_port(input, |port| port.valve.as_ref().is_some_and(&is))
}

fn any_insert(input: &SheetInput<'_>, is: impl Fn(&Insert) -> bool) -> bool {
    any_port(input, |port| port.seat.as_ref().and_then(|seat| seat.insert.as_ref()).is_some_and(&is))
}

fn crack_test<'a>(input: &SheetInput<'a>) -> Option<&'a CrackTest> {
    input.set.tests.as_ref()?.crack.as_ref()
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
    let say = input.say();
    // Only cautions on cracks name it.
    let method = crack_test(input).map_or("", |test| test.method.as_str());
    let applying = CAUTIONS.iter().filter(|caution| (caution.applies)(input));
    let said =
        |caution: &Caution| (say.text(caution.about), say.with(caution.text, &[("method", method.into())]));
    applying.map(said).collect()
}

/// Room for what a caution is about.
const ABOUT: f32 = 36.0;

/// Draws them.
pub(crate) fn draw(flow: &mut Flow, input: &SheetInput<'_>) {
    draw_list(flow, &applying(input));
}

/// Draws cautions: what each is about, and its text.
pub(crate) fn draw_list(flow: &mut Flow, cautions: &[(&'static str, String)]) {
    flow.heading(flow.say().text("cautions"), 12.0);
    draw_items(flow, cautions);
}

/// Draws the same below a heading of another's.
pub(crate) fn draw_items(flow: &mut Flow, cautions: &[(&'static str, String)]) {
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
