//! The contact between seat and face: overhang, band width, interference angle.

use headproof_head::{CharacteristicId, MissingCause, Place, Port};
use headproof_metrology as metrology;
use headproof_quantity::Kind;

use super::direct;
use crate::budget::Budget;
use crate::characteristic::{Candidate, Candidates, Characteristic, Derive, Derived, Measure};
use crate::context::{Context, not_computable};

pub(super) static ROWS: &[Characteristic] = &[
    Characteristic {
        id: CharacteristicId::new("overhang"),
        title: "Overhang",
        formula: "as read at each clock position, else (Dv − Do) / (2 cos θv) with contact at the seat's outer edge",
        source: "plane geometry",
        uncertainty: direct::FIRST_ORDER,
        measure: Measure::Amount(Kind::Length),
        derive: Derive::Port(overhang),
    },
    Characteristic {
        id: CharacteristicId::new("contact-width"),
        title: "Contact band width",
        formula: direct::READ_DIRECTLY,
        source: direct::DEFINITION,
        uncertainty: direct::OF_THE_READING,
        measure: Measure::Amount(Kind::Length),
        derive: Derive::Port(contact_width),
    },
    Characteristic {
        id: CharacteristicId::new("interference-angle"),
        title: "Interference angle",
        formula: "seat angle − face angle, both measured",
        source: "definition",
        uncertainty: direct::FIRST_ORDER,
        measure: Measure::Amount(Kind::Angle),
        derive: Derive::Port(interference),
    },
];

fn overhang(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let marks = &port.contact.marks;
    if !marks.is_empty() {
        let of = direct::number(marks.len());
        out.extend(
            marks.iter().enumerate().map(|(index, mark)| {
                direct::at(direct::around(direct::number(index + 1), of), &mark.from_edge)
            }),
        );
        return Ok(());
    }
    let (Some(face), Some(contact)) = (&port.valve.head_diameter, &port.seat.outer_diameter) else {
        return Err(MissingCause::Absent("contact band, or valve head and seat outer diameter"));
    };
    let angle = context.face_angle(port).ok_or(MissingCause::Absent("face angle"))?;
    let sum = metrology::overhang_from_diameters(face.value(), contact.value(), angle.angle)
        .map_err(not_computable)?;
    let mut budget = Budget::new();
    budget.reading(sum.sensitivity[0], face);
    budget.reading(sum.sensitivity[1], contact);
    budget.add(sum.sensitivity[2], angle.uncertainty);
    out.push(Candidate { place: Place::Whole, value: sum.value.get(), uncertainty: budget.total() });
    Ok(())
}

fn contact_width(_: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let of = direct::number(port.contact.marks.len());
    for (index, mark) in port.contact.marks.iter().enumerate() {
        let width =
            mark.width.as_ref().ok_or(MissingCause::Absent("contact band width at every clock position"))?;
        out.push(direct::at(direct::around(direct::number(index + 1), of), width));
    }
    if of == 0 { Err(MissingCause::Absent("contact band width")) } else { Ok(()) }
}

fn interference(_: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let (Some(seat), Some(face)) = (&port.seat.seat_angle, &port.valve.face_angle) else {
        return Err(MissingCause::Absent("measured seat and face angle"));
    };
    let sum = metrology::interference_angle(seat.value(), face.value());
    let mut budget = Budget::new();
    budget.reading(sum.sensitivity[0], seat);
    budget.reading(sum.sensitivity[1], face);
    out.push(Candidate { place: Place::Whole, value: sum.value.get(), uncertainty: budget.total() });
    Ok(())
}
