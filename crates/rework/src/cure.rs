//! What brings a characteristic back inside its limits.

use headproof_head::{CharacteristicId, MissingCause, PortRows, Reason, Row, Verdict};

/// The work that a characteristic answers to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Cure {
    /// Cutting the seat.
    Seat,
    /// Grinding the face, or another valve.
    Face,
    /// A new insert.
    Insert,
    /// Another valve.
    Valve,
    /// Grinding the tip, or another valve.
    Tip,
    /// Other springs.
    Springs,
    /// Work on the guide.
    Guide,
    /// Follows from sink, tip and shims.
    Assembly,
    /// Can only be found by measuring again once the seat is cut.
    Proof,
}

/// The work a characteristic of a port answers to.
pub(crate) fn cure(id: CharacteristicId) -> Option<Cure> {
    Some(match id.as_str() {
        "seat-angle"
        | "top-cut-angle"
        | "throat-cut-angle"
        | "seat-width"
        | "seat-width-uniformity"
        | "seat-inner-diameter"
        | "seat-outer-diameter"
        | "seat-runout"
        | "seat-eccentricity"
        | "seat-ovality"
        | "seat-chatter"
        | "seat-roundness-least-squares"
        | "seat-roundness-minimum-zone"
        | "pit-depth"
        | "overhang"
        | "contact-width"
        | "contact-width-uniformity"
        | "contact-offset"
        | "inner-edge-clearance"
        | "contact-edge-gap"
        | "interference-angle" => Cure::Seat,
        "contact-gap" | "leak-pressure-drop" | "leak-rate" | "leak-drift" | "leak-held" | "leak-seep" => {
            Cure::Proof
        }
        "face-angle"
        | "face-runout"
        | "face-eccentricity"
        | "face-ovality"
        | "face-roundness-minimum-zone" => Cure::Face,
        "insert-fit"
        | "insert-interference"
        | "insert-chill"
        | "insert-head-warming"
        | "insert-pressure"
        | "insert-wall" => Cure::Insert,
        "margin"
        | "valve-head-diameter"
        | "stem-diameter"
        | "stem-wear"
        | "valve-length"
        | "valve-stretch"
        | "keeper-groove"
        | "valve-neck" => Cure::Valve,
        "valve-tip" => Cure::Tip,
        "spring-rate"
        | "spring-free-length"
        | "spring-squareness"
        | "spring-natural-frequency"
        | "spring-rate-to-theory" => Cure::Springs,
        "stem-to-guide-clearance"
        | "stem-tilt"
        | "guide-bore"
        | "guide-taper"
        | "guide-ovality"
        | "guide-bell-mouth"
        | "guide-fit"
        | "guide-height" => Cure::Guide,
        "recession" | "stem-protrusion" | "lash" | "lash-shim" | "tip-to-retainer" | "valve-to-piston"
        | "installed-height" | "shims-needed" | "seat-load" | "open-load" | "coil-bind-margin"
        | "retainer-margin" => Cure::Assembly,
        _ => return None,
    })
}

/// Is a row not as the profile wants it?
pub(crate) fn is_bad(row: &Row) -> bool {
    row.limit.is_some()
        && match row.verdict {
            Verdict::DoesNotConform => true,
            Verdict::NotProven => row.required || row.deviation.is_some_and(|by| by.count() > 0),
            Verdict::NotMeasured => {
                row.required || matches!(row.reason, Reason::Missing(MissingCause::Blocked(_)))
            }
            Verdict::Conforms | Verdict::NoLimit => false,
        }
}

/// Can only a reading help here?
fn wants_reading(row: &Row) -> bool {
    let provable = cure(row.characteristic) != Some(Cure::Proof);
    let unread =
        matches!(row.reason, Reason::Missing(_) | Reason::UncertaintyUnknown | Reason::GaugeTooCoarse);
    unread && provable
}

/// What a port needs, as its rows show.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Needs {
    pub(crate) seat: bool,
    pub(crate) face: bool,
    pub(crate) tip: bool,
    pub(crate) guide: bool,
    /// Readings that have to come first.
    pub(crate) readings: Vec<CharacteristicId>,
    /// Every row that is not as it should be.
    pub(crate) bad: Vec<CharacteristicId>,
}

impl Needs {
    pub(crate) fn of(rows: &PortRows) -> Self {
        let mut needs = Self::default();
        let mut unproved = Vec::new();
        for row in rows.rows.iter().filter(|row| is_bad(row)) {
            if cure(row.characteristic) == Some(Cure::Proof) && row.verdict == Verdict::NotMeasured {
                unproved.push(row.characteristic);
                continue;
            }
            needs.bad.push(row.characteristic);
            if wants_reading(row) {
                needs.readings.push(row.characteristic);
            } else {
                needs.note(row.characteristic);
            }
        }
        if needs.bad.is_empty() {
            // A proof that nobody made yet orders no work; after work it has to be made anyway.
            needs.bad.clone_from(&unproved);
            needs.readings = unproved;
        }
        needs
    }

    fn note(&mut self, id: CharacteristicId) {
        match cure(id) {
            Some(Cure::Seat | Cure::Proof) => self.seat = true,
            Some(Cure::Face) => self.face = true,
            Some(Cure::Tip) => self.tip = true,
            Some(Cure::Guide) => self.guide = true,
            // These are only told by their rows: a course either changes them or leaves them wrong.
            Some(Cure::Insert | Cure::Valve | Cure::Springs | Cure::Assembly) | None => {}
        }
    }

    /// Nothing is wrong.
    pub(crate) const fn nothing(&self) -> bool {
        self.bad.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use headproof_judge::{Scope, table};

    use super::*;

    /// A new characteristic of a port must say here what brings it back.
    #[test]
    fn every_characteristic_of_a_port_has_a_cure() {
        let incurable = ["throat-diameter"];
        for row in table().filter(|row| row.scope() == Scope::Port) {
            assert_eq!(cure(row.id).is_none(), incurable.contains(&row.id.as_str()), "{}", row.id);
        }
    }
}
