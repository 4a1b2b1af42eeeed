//! The deck, the chambers, and what stands out of them.

use headproof_head as head;

use super::Writer;
use crate::{CamBores, Chamber, Deck, DeckHeight, DeckHeights, DieselParts, FeelerLine, NamedReading};

impl Writer<'_> {
    pub(super) fn deck(self, deck: &head::Deck) -> Deck {
        let head::Deck { heights, feeler, roughness, thickness, removed, dowels, bolt_threads, plugs } = deck;
        Deck {
            instrument: None,
            heights: (!heights.is_empty()).then(|| self.heights(heights)),
            feeler: feeler.iter().map(|line| self.feeler(line)).collect(),
            roughness: self.list(roughness),
            thickness: thickness.iter().map(|named| self.named(named)).collect(),
            removed: self.optional(*removed),
            dowels: dowels.map(Into::into),
            bolt_threads: bolt_threads.map(Into::into),
            plugs: plugs.map(Into::into),
        }
    }

    fn heights(self, heights: &[head::DeckHeight]) -> DeckHeights {
        let point = |head::DeckHeight { x, y, z }: &head::DeckHeight| DeckHeight {
            x: self.number(*x),
            y: self.number(*y),
            z: self.reading(*z),
        };
        DeckHeights { instrument: None, points: heights.iter().map(point).collect() }
    }

    fn feeler(self, line: &head::FeelerLine) -> FeelerLine {
        let head::FeelerLine { direction, span, gap } = line;
        FeelerLine {
            direction: (*direction).into(),
            span: span.map(|span| self.number(span)),
            gap: self.reading(*gap),
        }
    }

    fn named(self, named: &head::NamedReading) -> NamedReading {
        let head::NamedReading { place, reading } = named;
        NamedReading { place: place.clone(), reading: self.reading(*reading) }
    }

    pub(super) fn cam_bores(self, bores: &head::CamBores) -> CamBores {
        let head::CamBores { straightness, diameters, clearances } = bores;
        CamBores {
            instrument: None,
            straightness: self.optional(*straightness),
            diameters: self.list(diameters),
            clearances: self.list(clearances),
        }
    }

    pub(super) fn diesel(self, parts: &head::DieselParts) -> DieselParts {
        let head::DieselParts { cylinder, prechamber, injector, sleeve } = parts;
        DieselParts {
            cylinder: *cylinder,
            instrument: None,
            prechamber: self.optional(*prechamber),
            injector: self.optional(*injector),
            sleeve: self.optional(*sleeve),
        }
    }

    pub(super) fn chamber(self, chamber: &head::Chamber) -> Chamber {
        let head::Chamber { cylinder, volume } = chamber;
        Chamber { cylinder: *cylinder, instrument: None, volume: self.reading(*volume) }
    }
}
