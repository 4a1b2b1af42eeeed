//! One port: its guide, how it all sits together, and its leak test.

use headproof_head as head;

use super::{Writer, unless_empty};
use crate::{Assembly, Bores, Decay, Guide, Leak, Port, Rocking};

impl Writer<'_> {
    pub(super) fn port(self, port: &head::Port) -> Port {
        // Where it stands in the list is told by the list.
        let head::Port { id, ordinal: _, guide, valve, seat, contact, springs, assembly, leak } = port;
        let head::PortId { cylinder, service, index } = *id;
        Port {
            cylinder,
            service: service.into(),
            index,
            guide: unless_empty(guide, |guide| self.guide(guide)),
            valve: unless_empty(valve, |valve| self.valve(valve)),
            seat: unless_empty(seat, |seat| self.seat(seat)),
            contact: unless_empty(contact, |contact| self.contact(contact)),
            spring_pack: unless_empty(springs, |springs| self.spring_pack(springs)),
            assembly: unless_empty(assembly, |assembly| self.assembly(assembly)),
            leak: unless_empty(leak, |leak| self.leak(leak)),
        }
    }

    fn guide(self, guide: &head::Guide) -> Guide {
        let head::Guide { bores, engaged_length, fit, height, stem_seal, rocking } = guide;
        Guide {
            instrument: None,
            bores: unless_empty(bores, |head::Bores { top, middle, bottom }| Bores {
                instrument: None,
                top: self.list(top),
                middle: self.list(middle),
                bottom: self.list(bottom),
            }),
            engaged_length: self.optional(*engaged_length),
            fit: fit.map(Into::into),
            height: self.optional(*height),
            stem_seal: stem_seal.map(Into::into),
            rocking: rocking.map(|head::Rocking { travel, distance_outside }| Rocking {
                travel: self.reading(travel),
                distance_outside: self.reading(distance_outside),
            }),
        }
    }

    fn assembly(self, assembly: &head::Assembly) -> Assembly {
        let head::Assembly {
            recession,
            recession_datum,
            stem_protrusion,
            lash,
            lash_shim,
            tip_to_retainer,
            valve_to_piston,
        } = assembly;
        Assembly {
            instrument: None,
            recession: self.optional(*recession),
            recession_datum: recession_datum.map(Into::into),
            stem_protrusion: self.optional(*stem_protrusion),
            lash: self.optional(*lash),
            lash_shim: self.optional(*lash_shim),
            tip_to_retainer: self.optional(*tip_to_retainer),
            valve_to_piston: self.optional(*valve_to_piston),
        }
    }

    fn leak(self, leak: &head::Leak) -> Leak {
        let head::Leak { decay, held, seep } = leak;
        Leak { decay: decay.as_ref().map(|decay| self.decay(decay)), held: *held, seep: *seep }
    }

    fn decay(self, decay: &head::Decay) -> Decay {
        let head::Decay {
            start,
            end,
            duration,
            volume,
            start_temperature,
            end_temperature,
            atmosphere,
            side,
            vacuum,
            spring_fitted,
            guide_sealed,
        } = decay;
        Decay {
            instrument: None,
            start: self.reading(*start),
            end: self.reading(*end),
            seconds: self.reading(*duration),
            volume: self.optional(*volume),
            start_temperature: self.optional(*start_temperature),
            end_temperature: self.optional(*end_temperature),
            atmosphere: self.optional(*atmosphere),
            side: (*side).into(),
            vacuum: *vacuum,
            spring_fitted: *spring_fitted,
            guide_sealed: *guide_sealed,
        }
    }
}
