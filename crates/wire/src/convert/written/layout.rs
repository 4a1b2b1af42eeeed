//! What kind of head it is.

use headproof_head as head;

use super::{Writer, unless_empty};
use crate::{CompressionTerms, Layout};

impl Writer<'_> {
    pub(super) fn layout(self, layout: &head::Layout) -> Layout {
        let head::Layout {
            camshaft,
            lifter,
            cylinders,
            intake_per_cylinder,
            exhaust_per_cylinder,
            compression,
        } = layout;
        Layout {
            camshaft: (*camshaft).into(),
            lifter: (*lifter).into(),
            cylinders: *cylinders,
            intake_per_cylinder: *intake_per_cylinder,
            exhaust_per_cylinder: *exhaust_per_cylinder,
            compression: unless_empty(compression, |terms| self.compression(terms)),
        }
    }

    fn compression(self, terms: &head::CompressionTerms) -> CompressionTerms {
        let head::CompressionTerms {
            bore,
            stroke,
            gasket_bore,
            gasket_thickness,
            deck_clearance,
            piston_volume,
            prechamber,
            crevice,
        } = terms;
        CompressionTerms {
            instrument: None,
            bore: self.optional(*bore),
            stroke: self.optional(*stroke),
            gasket_bore: self.optional(*gasket_bore),
            gasket_thickness: self.optional(*gasket_thickness),
            deck_clearance: self.optional(*deck_clearance),
            piston_volume: self.optional(*piston_volume),
            prechamber: self.optional(*prechamber),
            crevice: self.optional(*crevice),
        }
    }
}
