//! The seat of a port, and dial readings once round a seat or a face.

use headproof_head as head;

use super::Writer;
use crate::{Dial, Insert, Pit, Seat};

impl Writer<'_> {
    pub(super) fn seat(self, seat: &head::Seat) -> Seat {
        let head::Seat {
            seat_angle,
            top_angle,
            throat_angle,
            inner_diameter,
            outer_diameter,
            widths,
            runout,
            insert,
            throat_diameter,
            pit,
        } = seat;
        Seat {
            instrument: None,
            seat_angle: self.optional(*seat_angle),
            top_angle: self.optional(*top_angle),
            throat_angle: self.optional(*throat_angle),
            inner_diameter: self.optional(*inner_diameter),
            outer_diameter: self.optional(*outer_diameter),
            widths: self.list(widths),
            runout: runout.as_ref().map(|dial| self.dial(dial)),
            insert: insert.as_ref().map(|insert| self.insert(insert)),
            throat_diameter: self.optional(*throat_diameter),
            pit: pit.as_ref().map(|head::Pit { depth, inside_band }| Pit {
                depth: self.reading(*depth),
                inside_band: *inside_band,
            }),
        }
    }

    pub(super) fn dial(self, dial: &head::Dial) -> Dial {
        let head::Dial { direction, readings, angles } = dial;
        Dial {
            instrument: None,
            direction: (*direction).into(),
            readings: self.list(readings),
            angles: angles.as_ref().map(|angles| angles.iter().map(|angle| self.number(*angle)).collect()),
        }
    }

    fn insert(self, insert: &head::Insert) -> Insert {
        let head::Insert { fit, material, diameter, counterbore_diameter, depth, wall_left } = insert;
        Insert {
            instrument: None,
            fit: fit.map(Into::into),
            material: material.map(Into::into),
            diameter: self.optional(*diameter),
            counterbore_diameter: self.optional(*counterbore_diameter),
            depth: self.optional(*depth),
            wall_left: self.optional(*wall_left),
        }
    }
}
