//! What is read of a port and of the head, in the order of the bench, and which characteristics need it. The words
//! of the tables are names of messages.

use headproof_judge::{Scope, characteristic};
use headproof_quantity::Kind;
use headproof_texts::Say;
use headproof_wire::{Service, Units};

use crate::format::sign;

use super::entry::{Entry, Field};
use super::wanted::Wanted;

/// Positions round a seat or face, as the hands of a clock show them.
const ROUND: [&str; 8] = ["12:00", "1:30", "3:00", "4:30", "6:00", "7:30", "9:00", "10:30"];
const BORES: [&str; 6] = [
    "blank-bore-top-1",
    "blank-bore-top-2",
    "blank-bore-middle-1",
    "blank-bore-middle-2",
    "blank-bore-bottom-1",
    "blank-bore-bottom-2",
];
const STEM: [&str; 4] = ["height-top", "height-middle", "height-bottom", "blank-stem-unworn"];
const NESTED: [&str; 2] = ["blank-spring-outer", "blank-spring-inner"];
const LOADS: [&str; 8] = [
    "blank-outer-height",
    "blank-outer-load",
    "blank-outer-height",
    "blank-outer-load",
    "blank-inner-height",
    "blank-inner-load",
    "blank-inner-height",
    "blank-inner-load",
];
const PLUNGER: &str = "blank-note-plunger";

/// Something that is filled in.
struct Item {
    /// The characteristic it is a reading of, or that is worked out from the readings above it.
    id: Option<&'static str>,
    /// The message that names it, where that is not the title of the characteristic.
    name: Option<&'static str>,
    /// The message that says how it is read.
    note: Option<&'static str>,
    /// What its amounts are, where the characteristic does not say.
    kinds: &'static [Kind],
    boxes: Boxes,
    /// The characteristics it is read for, beside its own.
    of: &'static [&'static str],
}

/// How many boxes, and the messages that name them.
#[derive(Clone, Copy)]
enum Boxes {
    /// One.
    One,
    /// Two, with these words.
    Two([&'static str; 2]),
    /// With these words.
    Strip(&'static [&'static str]),
    /// With these signs, which are the same in every language.
    Marked(&'static [&'static str]),
    /// With the same word and a number, so many.
    Numbered(&'static str, u8),
}

impl Boxes {
    /// To be filled in, named in a language.
    fn field(self, say: Say) -> Field {
        let unknown = |name: String| (name, None);
        match self {
            Self::One => Field::One,
            Self::Two(words) => Field::Two(words.map(|word| say.text(word))),
            Self::Strip(words) => {
                Field::Strip(words.iter().map(|word| unknown(say.text(word).to_owned())).collect())
            }
            Self::Marked(signs) => {
                Field::Strip(signs.iter().map(|sign| unknown((*sign).to_owned())).collect())
            }
            Self::Numbered(word, count) => {
                let name = |number: u8| say.with(word, &[("number", number.into())]);
                Field::Strip((1..=count).map(|number| unknown(name(number))).collect())
            }
        }
    }
}

impl Item {
    /// A characteristic with one box.
    const fn value(id: &'static str) -> Self {
        Self { id: Some(id), name: None, note: None, kinds: &[], boxes: Boxes::One, of: &[] }
    }

    /// A reading that is no characteristic itself.
    const fn reading(name: &'static str, kinds: &'static [Kind], of: &'static [&'static str]) -> Self {
        Self { id: None, name: Some(name), note: None, kinds, boxes: Boxes::One, of }
    }

    /// A characteristic that is also read for others.
    const fn also_for(self, of: &'static [&'static str]) -> Self {
        Self { of, ..self }
    }

    const fn noted(self, note: &'static str) -> Self {
        Self { note: Some(note), ..self }
    }

    const fn at(self, places: &'static [&'static str]) -> Self {
        Self { boxes: Boxes::Strip(places), ..self }
    }

    const fn marked(self, signs: &'static [&'static str]) -> Self {
        Self { boxes: Boxes::Marked(signs), ..self }
    }

    const fn numbered(self, word: &'static str, count: u8) -> Self {
        Self { boxes: Boxes::Numbered(word, count), ..self }
    }

    const fn nested(self) -> Self {
        Self { boxes: Boxes::Two(NESTED), ..self }
    }

    fn is_shown(&self, wanted: &Wanted<'_>, service: Option<Service>) -> bool {
        self.id.is_some_and(|id| wanted.is_limited(id, service))
            || self.of.iter().any(|id| wanted.is_wanted(id, service))
    }

    fn entry(&self, wanted: &Wanted<'_>, service: Option<Service>, units: &Units) -> Entry {
        let row = self.id.and_then(characteristic);
        let own = [row.map_or(Kind::Ratio, |row| row.kind())];
        let kinds = if self.kinds.is_empty() { &own[..] } else { self.kinds };
        let say = wanted.say();
        let mut name = match self.name {
            Some(name) => say.text(name).to_owned(),
            None => self.id.map_or_else(String::new, |id| say.title(id).into_owned()),
        };
        for sign in kinds.iter().map(|kind| sign(units.unit(*kind))).filter(|sign| !sign.is_empty()) {
            name.push_str(&format!(", {sign}"));
        }
        let is_ticked = row.is_some_and(|row| row.measure().is_in_order());
        let field = if is_ticked { Field::InOrder } else { self.boxes.field(say) };
        let bounds = self.id.and_then(|id| wanted.bounds(id, service));
        let note = self.note.map(|note| say.text(note));
        Entry { name, note, bounds, field }
    }
}

/// What is read together.
pub(super) struct Part {
    /// The message of its title.
    pub(super) title: &'static str,
    items: &'static [Item],
}

impl Part {
    /// What of it the profile asks for.
    pub(super) fn entries(&self, wanted: &Wanted<'_>, service: Option<Service>, units: &Units) -> Vec<Entry> {
        let shown = self.items.iter().filter(|item| item.is_shown(wanted, service));
        shown.map(|item| item.entry(wanted, service, units)).collect()
    }

    /// Is anything of it asked for, of whichever port?
    pub(super) fn is_wanted(&self, wanted: &Wanted<'_>) -> bool {
        let services = [None, Some(Service::Intake), Some(Service::Exhaust)];
        self.items.iter().any(|item| services.iter().any(|service| item.is_shown(wanted, *service)))
    }
}

/// Limited characteristics of a scope that no part names: each gets a box all the same.
pub(super) fn others(
    parts: &[&Part],
    scope: Scope,
    wanted: &Wanted<'_>,
    service: Option<Service>,
    units: &Units,
) -> Vec<Entry> {
    let named = |id: &str| parts.iter().flat_map(|part| part.items).any(|item| item.id == Some(id));
    let rest = wanted.limited(scope, service).map(|row| row.id.as_str()).filter(|id| !named(id));
    rest.map(|id| Item::value(id).entry(wanted, service, units)).collect()
}

const OF_CLEARANCE: &[&str] = &["stem-to-guide-clearance", "stem-tilt"];
const OF_BORES: &[&str] =
    &["stem-to-guide-clearance", "guide-taper", "guide-ovality", "guide-bell-mouth", "stem-tilt"];
const OF_FACE_DIAL: &[&str] =
    &["face-runout", "face-eccentricity", "face-ovality", "face-roundness-minimum-zone"];
const OF_SEAT_DIAL: &[&str] = &[
    "seat-runout",
    "seat-eccentricity",
    "seat-ovality",
    "seat-chatter",
    "seat-roundness-least-squares",
    "seat-roundness-minimum-zone",
];
const OF_FACE: &[&str] = &["contact-offset", "inner-edge-clearance", "contact-edge-gap"];
const OF_MARKS: &[&str] = &["contact-offset", "inner-edge-clearance"];
const OF_INSERT: &[&str] = &["insert-interference", "insert-chill", "insert-head-warming", "insert-pressure"];
const OF_LOADS: &[&str] = &["seat-load", "open-load", "spring-rate", "spring-match", "spring-rate-to-theory"];
const OF_HEIGHT: &[&str] = &["seat-load", "open-load", "spring-match", "coil-bind-margin", "shims-needed"];
const OF_WINDING: &[&str] = &["spring-rate-to-theory", "spring-natural-frequency"];
const OF_LEAK: &[&str] = &["leak-rate", "leak-pressure-drop", "leak-drift"];
const OF_WARMTH: &[&str] = &["leak-rate", "leak-drift"];
const LENGTH: &[Kind] = &[Kind::Length];

/// Guide and stem: everything that follows stands on the guide.
pub(super) static GUIDE: Part = Part {
    title: "blank-part-guide",
    items: &[
        Item::value("guide-bore").at(&BORES).also_for(OF_BORES),
        Item::value("stem-diameter").at(&STEM).also_for(&[
            "stem-to-guide-clearance",
            "stem-wear",
            "stem-tilt",
        ]),
        Item::reading("blank-stem-rocking", LENGTH, OF_CLEARANCE).at(&[
            "blank-rocking-travel",
            "blank-rocking-outside",
            "blank-rocking-engaged",
        ]),
        Item::value("stem-to-guide-clearance"),
        Item::value("guide-taper"),
        Item::value("guide-ovality"),
        Item::value("guide-bell-mouth"),
        Item::value("stem-wear"),
        Item::value("stem-tilt"),
        Item::value("guide-fit"),
    ],
};

/// The valve.
pub(super) static VALVE: Part = Part {
    title: "blank-part-valve",
    items: &[
        Item::reading("blank-face-dial", LENGTH, OF_FACE_DIAL).marked(&ROUND).noted(PLUNGER),
        Item::value("face-runout"),
        Item::value("face-eccentricity"),
        Item::value("face-ovality"),
        Item::value("face-roundness-minimum-zone"),
        Item::value("face-angle").also_for(&["interference-angle", "contact-edge-gap"]),
        Item::value("margin"),
        Item::value("valve-head-diameter").also_for(OF_FACE),
        Item::reading("blank-face-begins", LENGTH, OF_FACE),
        Item::value("valve-length"),
        Item::value("valve-stretch"),
        Item::value("valve-tip"),
        Item::value("keeper-groove"),
        Item::value("valve-neck"),
    ],
};

/// The seat and its insert.
pub(super) static SEAT: Part = Part {
    title: "blank-part-seat",
    items: &[
        Item::value("seat-width").marked(&ROUND).also_for(&["seat-width-uniformity"]),
        Item::reading("blank-seat-dial", LENGTH, OF_SEAT_DIAL).marked(&ROUND).noted(PLUNGER),
        Item::value("seat-width-uniformity"),
        Item::value("seat-runout"),
        Item::value("seat-eccentricity"),
        Item::value("seat-ovality"),
        Item::value("seat-chatter"),
        Item::value("seat-roundness-least-squares"),
        Item::value("seat-roundness-minimum-zone"),
        Item::value("seat-angle").also_for(&["interference-angle", "contact-edge-gap"]),
        Item::value("top-cut-angle"),
        Item::value("throat-cut-angle"),
        Item::value("seat-outer-diameter").also_for(&["contact-edge-gap"]),
        Item::value("seat-inner-diameter").also_for(&["contact-edge-gap"]),
        Item::value("throat-diameter").also_for(&["insert-pressure"]),
        Item::value("pit-depth"),
        Item::value("insert-fit"),
        Item::reading("blank-insert-diameter", LENGTH, OF_INSERT),
        Item::reading("blank-counterbore-diameter", LENGTH, OF_INSERT),
        Item::value("insert-wall").also_for(&["insert-pressure"]),
        Item::value("insert-interference"),
        Item::value("insert-chill"),
        Item::value("insert-head-warming"),
        Item::value("insert-pressure"),
    ],
};

/// Where face and seat touch.
pub(super) static CONTACT: Part = Part {
    title: "blank-part-contact",
    items: &[
        Item::value("overhang").marked(&ROUND).also_for(OF_MARKS).noted("blank-note-overhang"),
        Item::value("contact-width").marked(&ROUND).also_for(&[
            "contact-width-uniformity",
            "contact-offset",
            "inner-edge-clearance",
        ]),
        Item::value("contact-width-uniformity"),
        Item::value("contact-offset"),
        Item::value("inner-edge-clearance"),
        Item::value("contact-edge-gap"),
        Item::value("contact-gap").noted("blank-note-contact-gap"),
        Item::value("interference-angle").noted("blank-note-interference"),
    ],
};

/// How it all sits together.
pub(super) static ASSEMBLY: Part = Part {
    title: "blank-part-heights",
    items: &[
        Item::value("recession").noted("blank-note-recession"),
        Item::value("stem-protrusion").also_for(&["stem-protrusion-spread"]),
        Item::value("lash"),
        Item::value("lash-shim"),
        Item::value("tip-to-retainer"),
        Item::value("valve-to-piston"),
    ],
};

/// The springs.
pub(super) static SPRINGS: Part = Part {
    title: "blank-part-springs",
    items: &[
        Item::reading("blank-spring-loads", &[Kind::Length, Kind::Force], OF_LOADS).at(&LOADS),
        Item::reading("blank-spring-winding", LENGTH, OF_WINDING).at(&[
            "blank-winding-wire",
            "blank-winding-diameter",
            "blank-winding-coils",
        ]),
        Item::value("installed-height").also_for(OF_HEIGHT),
        Item::reading("blank-valve-lift", LENGTH, &["open-load", "coil-bind-margin", "retainer-margin"]),
        Item::reading("blank-retainer-to-seal", LENGTH, &["retainer-margin"]),
        Item::reading("blank-coil-bind-height", LENGTH, &["coil-bind-margin"]).nested(),
        Item::reading("blank-spring-step", LENGTH, &["coil-bind-margin", "seat-load", "open-load"]).nested(),
        Item::value("spring-free-length").nested(),
        Item::value("spring-squareness").nested(),
        Item::value("seat-load"),
        Item::value("open-load"),
        Item::value("spring-rate").nested(),
        Item::value("coil-bind-margin"),
        Item::value("retainer-margin"),
        Item::value("shims-needed"),
        Item::value("spring-rate-to-theory"),
        Item::value("spring-natural-frequency"),
    ],
};

/// The leak test.
pub(super) static LEAK: Part = Part {
    title: "blank-part-leak",
    items: &[
        Item::reading("blank-leak-decay", &[Kind::Pressure, Kind::Time], OF_LEAK)
            .at(&["blank-decay-start", "blank-decay-end", "blank-test-seconds"])
            .noted("blank-note-decay"),
        Item::reading("blank-leak-volume", &[Kind::Volume, Kind::Temperature, Kind::Pressure], OF_WARMTH)
            .at(&["blank-volume-closed", "blank-air-at-start", "blank-air-at-end", "blank-air-pressure"]),
        Item::value("leak-pressure-drop"),
        Item::value("leak-rate"),
        Item::value("leak-drift"),
        Item::value("leak-held"),
        Item::value("leak-seep"),
    ],
};

/// The parts of a port, in the order of the bench.
pub(super) static OF_PORT: [&Part; 7] = [&GUIDE, &VALVE, &SEAT, &CONTACT, &ASSEMBLY, &SPRINGS, &LEAK];

const OF_HEIGHTS: &[&str] = &[
    "deck-flatness",
    "deck-flatness-least-squares",
    "deck-flatness-local",
    "deck-stock-parallel",
    "deck-stock-free",
    "head-thickness-cleaned",
];

/// Does the profile ask for a grid of heights?
pub(super) fn wants_grid(wanted: &Wanted<'_>) -> bool {
    OF_HEIGHTS.iter().any(|id| wanted.is_wanted(id, None))
}

/// Tests of the whole casting.
pub(super) static TESTS: Part = Part {
    title: "blank-part-tests",
    items: &[
        Item::reading("blank-crack-method", &[], &["crack-test"]).marked(&[""]),
        Item::reading(
            "blank-pressure-test",
            &[Kind::Pressure, Kind::Temperature, Kind::Time],
            &["pressure-test"],
        )
        .at(&[
            "blank-test-medium",
            "blank-test-pressure",
            "blank-test-temperature",
            "blank-test-seconds",
        ]),
        Item::value("crack-test"),
        Item::value("pressure-test"),
    ],
};

/// The deck, beside the grid of its heights.
pub(super) static DECK: Part = Part {
    title: "blank-part-deck",
    items: &[
        Item::value("deck-feeler-lengthwise")
            .marked(&["1", "2", "3"])
            .also_for(&["deck-flatness-local"])
            .noted("blank-note-feeler"),
        Item::value("deck-feeler-crosswise").marked(&["1", "2", "3", "4", "5", "6"]),
        Item::value("deck-feeler-diagonal").marked(&["1", "2"]),
        Item::value("deck-roughness").numbered("blank-place", 4),
        Item::value("head-thickness").numbered("blank-corner", 4).also_for(&["head-thickness-cleaned"]),
        Item::value("deck-flatness"),
        Item::value("deck-flatness-least-squares"),
        Item::value("deck-flatness-local"),
        Item::value("deck-stock-parallel"),
        Item::value("deck-stock-free"),
        Item::value("head-thickness-cleaned"),
        Item::value("deck-removed"),
        Item::value("dowels"),
        Item::value("bolt-threads"),
        Item::value("plugs"),
    ],
};

/// Cam bores of a head that carries its camshaft.
pub(super) static CAM_BORES: Part = Part {
    title: "blank-part-cam-bores",
    items: &[
        Item::value("cam-bore-diameter").marked(&["1", "2", "3", "4", "5", "6", "7", "8"]),
        Item::value("cam-bore-clearance").marked(&["1", "2", "3", "4", "5", "6", "7", "8"]),
        Item::value("cam-bore-straightness"),
    ],
};

/// The parts of the head as a whole.
pub(super) static OF_HEAD: [&Part; 3] = [&TESTS, &DECK, &CAM_BORES];
