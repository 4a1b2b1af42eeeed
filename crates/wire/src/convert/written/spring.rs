//! The springs of a port.

use headproof_head as head;
use headproof_quantity::Unit;

use super::Writer;
use crate::{LoadPoint, Spring, SpringPack, Winding};

impl Writer<'_> {
    pub(super) fn spring_pack(self, pack: &head::SpringPack) -> SpringPack {
        let head::SpringPack { installed_height, lift, retainer_travel, shims, springs } = pack;
        SpringPack {
            instrument: None,
            installed_height: self.optional(*installed_height),
            lift: self.optional(*lift),
            retainer_travel: self.optional(*retainer_travel),
            shims: self.optional(*shims),
            springs: springs.iter().map(|spring| self.spring(spring)).collect(),
        }
    }

    fn spring(self, spring: &head::Spring) -> Spring {
        let head::Spring { seat_step, free_length, loads, solid_height, squareness, winding } = spring;
        let load = |head::LoadPoint { height, load }: &head::LoadPoint| LoadPoint {
            height: self.reading(*height),
            load: self.reading(*load),
        };
        Spring {
            instrument: None,
            seat_step: self.optional(*seat_step),
            free_length: self.optional(*free_length),
            loads: loads.iter().map(load).collect(),
            solid_height: self.optional(*solid_height),
            squareness: self.optional(*squareness),
            winding: winding.as_ref().map(|winding| self.winding(winding)),
        }
    }

    fn winding(self, winding: &head::Winding) -> Winding {
        let head::Winding { wire_diameter, outer_diameter, active_coils, shear_modulus, density } = winding;
        // Constants of a material have a unit of their own.
        Winding {
            instrument: None,
            wire_diameter: self.reading(*wire_diameter),
            outer_diameter: self.reading(*outer_diameter),
            active_coils: self.reading(*active_coils),
            shear_modulus_gpa: Some(Unit::Gigapascal.number_of(shear_modulus.exact())),
            density: Some(Unit::One.number_near(*density)),
        }
    }
}
