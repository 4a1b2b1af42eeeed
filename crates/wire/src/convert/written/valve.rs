//! The valve of a port, and the contact band on it.

use headproof_head as head;

use super::{Writer, unless_empty};
use crate::{Contact, ContactMark, StemDiameters, Valve};

impl Writer<'_> {
    pub(super) fn valve(self, valve: &head::Valve) -> Valve {
        let head::Valve {
            tag,
            stem,
            head_diameter,
            margin,
            face_angle,
            face_inner_diameter,
            face_runout,
            overall_length,
            stretch,
            tip,
            keeper_groove,
            neck,
            coated,
            nitrided,
            titanium,
            hollow,
            sodium_filled,
        } = valve;
        Valve {
            instrument: None,
            tag: tag.clone(),
            stem: unless_empty(stem, |stem| self.stem(stem)),
            head_diameter: self.optional(*head_diameter),
            margin: self.optional(*margin),
            face_angle: self.optional(*face_angle),
            face_inner_diameter: self.optional(*face_inner_diameter),
            face_runout: face_runout.as_ref().map(|dial| self.dial(dial)),
            overall_length: self.optional(*overall_length),
            stretch: self.optional(*stretch),
            tip: tip.map(Into::into),
            keeper_groove: keeper_groove.map(Into::into),
            neck: neck.map(Into::into),
            coated: *coated,
            nitrided: *nitrided,
            titanium: *titanium,
            hollow: *hollow,
            sodium_filled: *sodium_filled,
        }
    }

    fn stem(self, stem: &head::StemDiameters) -> StemDiameters {
        let head::StemDiameters { top, middle, bottom, unworn } = stem;
        StemDiameters {
            instrument: None,
            top: self.optional(*top),
            middle: self.optional(*middle),
            bottom: self.optional(*bottom),
            unworn: self.optional(*unworn),
        }
    }

    pub(super) fn contact(self, contact: &head::Contact) -> Contact {
        let head::Contact { marks, gaps } = contact;
        let mark = |head::ContactMark { from_edge, width }: &head::ContactMark| ContactMark {
            from_edge: self.reading(*from_edge),
            width: self.optional(*width),
        };
        Contact {
            instrument: None,
            marks: marks.iter().map(mark).collect(),
            gaps: gaps.as_ref().map(|gaps| self.list(gaps)),
        }
    }
}
