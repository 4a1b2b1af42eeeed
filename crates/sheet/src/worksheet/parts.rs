//! What is read of a port and of the head, in the order of the bench, and which characteristics need it.

use headproof_judge::{Scope, characteristic};
use headproof_quantity::Kind;
use headproof_wire::{Service, Units};

use crate::format::sign;

use super::entry::{Entry, Field};
use super::wanted::{Wanted, title};

/// Positions round a seat or face, as the hands of a clock show them.
const ROUND: [&str; 8] = ["12:00", "1:30", "3:00", "4:30", "6:00", "7:30", "9:00", "10:30"];
const BORES: [&str; 6] = ["top, axis 1", "top, axis 2", "middle, 1", "middle, 2", "bottom, 1", "bottom, 2"];
const STEM: [&str; 4] = ["top", "middle", "bottom", "unworn"];
const NESTED: [&str; 2] = ["outer", "inner"];
const LOADS: [&str; 8] = [
    "outer, height",
    "outer, load",
    "outer, height",
    "outer, load",
    "inner, height",
    "inner, load",
    "inner, height",
    "inner, load",
];
const PLUNGER: &str = "ring how the plunger stood: square to the face, square to the axis, along the axis";

/// Something that is filled in.
struct Item {
    /// The characteristic it is a reading of, or that is worked out from the readings above it.
    id: Option<&'static str>,
    /// Its name, where that is not the title of the characteristic.
    name: &'static str,
    /// How it is read.
    note: &'static str,
    /// What its amounts are, where the characteristic does not say.
    kinds: &'static [Kind],
    boxes: Boxes,
    /// The characteristics it is read for, beside its own.
    of: &'static [&'static str],
}

/// How many boxes.
#[derive(Clone, Copy)]
enum Boxes {
    One,
    Two([&'static str; 2]),
    Strip(&'static [&'static str]),
}

impl Item {
    /// A characteristic with one box.
    const fn value(id: &'static str) -> Self {
        Self { id: Some(id), name: "", note: "", kinds: &[], boxes: Boxes::One, of: &[] }
    }

    /// A reading that is no characteristic itself.
    const fn reading(name: &'static str, kinds: &'static [Kind], of: &'static [&'static str]) -> Self {
        Self { id: None, name, note: "", kinds, boxes: Boxes::One, of }
    }

    /// A characteristic that is also read for others.
    const fn also_for(self, of: &'static [&'static str]) -> Self {
        Self { of, ..self }
    }

    const fn noted(self, note: &'static str) -> Self {
        Self { note, ..self }
    }

    const fn at(self, places: &'static [&'static str]) -> Self {
        Self { boxes: Boxes::Strip(places), ..self }
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
        let mut name = if self.name.is_empty() { self.id.map_or("", title) } else { self.name }.to_owned();
        for sign in kinds.iter().map(|kind| sign(units.unit(*kind))).filter(|sign| !sign.is_empty()) {
            name.push_str(&format!(", {sign}"));
        }
        let field = match self.boxes {
            Boxes::One if row.is_some_and(|row| row.measure().is_in_order()) => Field::InOrder,
            Boxes::One => Field::One,
            Boxes::Two(names) => Field::Two(names),
            Boxes::Strip(names) => {
                Field::Strip(names.iter().map(|name| ((*name).to_owned(), None)).collect())
            }
        };
        let bounds = self.id.and_then(|id| wanted.bounds(id, service));
        let note = (!self.note.is_empty()).then(|| self.note.to_owned());
        Entry { name, note, bounds, field }
    }
}

/// What is read together.
pub(super) struct Part {
    /// Its title.
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
    title: "Guide and stem",
    items: &[
        Item::value("guide-bore").at(&BORES).also_for(OF_BORES),
        Item::value("stem-diameter").at(&STEM).also_for(&[
            "stem-to-guide-clearance",
            "stem-wear",
            "stem-tilt",
        ]),
        Item::reading("Or stem rocking, without a bore gauge", LENGTH, OF_CLEARANCE).at(&[
            "travel, side to side",
            "dial outside guide",
            "engaged length",
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
    title: "Valve",
    items: &[
        Item::reading("Dial once round the face", LENGTH, OF_FACE_DIAL).at(&ROUND).noted(PLUNGER),
        Item::value("face-runout"),
        Item::value("face-eccentricity"),
        Item::value("face-ovality"),
        Item::value("face-roundness-minimum-zone"),
        Item::value("face-angle").also_for(&["interference-angle", "contact-edge-gap"]),
        Item::value("margin"),
        Item::value("valve-head-diameter").also_for(OF_FACE),
        Item::reading("Diameter at which the face begins", LENGTH, OF_FACE),
        Item::value("valve-length"),
        Item::value("valve-stretch"),
        Item::value("valve-tip"),
        Item::value("keeper-groove"),
        Item::value("valve-neck"),
    ],
};

/// The seat and its insert.
pub(super) static SEAT: Part = Part {
    title: "Seat",
    items: &[
        Item::value("seat-width").at(&ROUND).also_for(&["seat-width-uniformity"]),
        Item::reading("Dial once round the seat", LENGTH, OF_SEAT_DIAL).at(&ROUND).noted(PLUNGER),
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
        Item::reading("Insert diameter", LENGTH, OF_INSERT),
        Item::reading("Counterbore diameter", LENGTH, OF_INSERT),
        Item::value("insert-wall").also_for(&["insert-pressure"]),
        Item::value("insert-interference"),
        Item::value("insert-chill"),
        Item::value("insert-head-warming"),
        Item::value("insert-pressure"),
    ],
};

/// Where face and seat touch.
pub(super) static CONTACT: Part = Part {
    title: "Contact band on the valve face",
    items: &[
        Item::value("overhang")
            .at(&ROUND)
            .also_for(OF_MARKS)
            .noted("from the outer edge of the face to the band"),
        Item::value("contact-width").at(&ROUND).also_for(&[
            "contact-width-uniformity",
            "contact-offset",
            "inner-edge-clearance",
        ]),
        Item::value("contact-width-uniformity"),
        Item::value("contact-offset"),
        Item::value("inner-edge-clearance"),
        Item::value("contact-edge-gap"),
        Item::value("contact-gap").noted("all arcs without contact; 0: none"),
        Item::value("interference-angle").noted("seat less face"),
    ],
};

/// How it all sits together.
pub(super) static ASSEMBLY: Part = Part {
    title: "Heights",
    items: &[
        Item::value("recession").noted("+ below, − proud; ring: of the deck, of the chamber"),
        Item::value("stem-protrusion").also_for(&["stem-protrusion-spread"]),
        Item::value("lash"),
        Item::value("lash-shim"),
        Item::value("tip-to-retainer"),
        Item::value("valve-to-piston"),
    ],
};

/// The springs.
pub(super) static SPRINGS: Part = Part {
    title: "Springs",
    items: &[
        Item::reading("Loads at two heights", &[Kind::Length, Kind::Force], OF_LOADS).at(&LOADS),
        Item::reading("Winding of the outer spring", LENGTH, OF_WINDING).at(&[
            "wire",
            "outer diameter",
            "active coils",
        ]),
        Item::value("installed-height").also_for(OF_HEIGHT),
        Item::reading(
            "Greatest lift at the valve",
            LENGTH,
            &["open-load", "coil-bind-margin", "retainer-margin"],
        ),
        Item::reading("Retainer to seal, closed", LENGTH, &["retainer-margin"]),
        Item::reading("Height at coil bind", LENGTH, &["coil-bind-margin"]).nested(),
        Item::reading("Step of its own seat", LENGTH, &["coil-bind-margin", "seat-load", "open-load"])
            .nested(),
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
pub(super) static LEAK: Part =
    Part {
        title: "Leak test",
        items: &[
            Item::reading("Decay", &[Kind::Pressure, Kind::Time], OF_LEAK)
                .at(&["start", "end", "seconds"])
                .noted("ring: vacuum, pressure; in the port, in the chamber; spring fitted; guide sealed"),
            Item::reading("Volume and air", &[Kind::Volume, Kind::Temperature, Kind::Pressure], OF_WARMTH)
                .at(&["closed volume", "air at start", "air at end", "atmosphere"]),
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
    title: "Tests of the casting",
    items: &[
        Item::reading("Crack test, by what method", &[], &["crack-test"]).at(&[""]),
        Item::reading("Pressure test", &[Kind::Pressure, Kind::Temperature, Kind::Time], &["pressure-test"])
            .at(&["medium", "pressure", "temperature", "seconds"]),
        Item::value("crack-test"),
        Item::value("pressure-test"),
    ],
};

/// The deck, beside the grid of its heights.
pub(super) static DECK: Part = Part {
    title: "Deck",
    items: &[
        Item::value("deck-feeler-lengthwise")
            .at(&["1", "2", "3"])
            .also_for(&["deck-flatness-local"])
            .noted("thickest feeler; 0 where the thinnest does not go under"),
        Item::value("deck-feeler-crosswise").at(&["1", "2", "3", "4", "5", "6"]),
        Item::value("deck-feeler-diagonal").at(&["1", "2"]),
        Item::value("deck-roughness").at(&["place 1", "place 2", "place 3", "place 4"]),
        Item::value("head-thickness")
            .at(&["corner 1", "corner 2", "corner 3", "corner 4"])
            .also_for(&["head-thickness-cleaned"]),
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
    title: "Cam bores",
    items: &[
        Item::value("cam-bore-diameter").at(&["1", "2", "3", "4", "5", "6", "7", "8"]),
        Item::value("cam-bore-clearance").at(&["1", "2", "3", "4", "5", "6", "7", "8"]),
        Item::value("cam-bore-straightness"),
    ],
};

/// The parts of the head as a whole.
pub(super) static OF_HEAD: [&Part; 3] = [&TESTS, &DECK, &CAM_BORES];
