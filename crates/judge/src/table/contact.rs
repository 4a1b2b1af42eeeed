//! The contact between seat and face: overhang, band width, interference angle.

use headproof_head::{CharacteristicId, MissingCause, Place, Port};
use headproof_metrology as metrology;
use headproof_quantity::{Exact, Kind};

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
        id: CharacteristicId::new("contact-gap"),
        title: "Gaps in the contact band",
        formula: "sum of the arcs without contact",
        source: "definition",
        uncertainty: direct::FIRST_ORDER,
        measure: Measure::Amount(Kind::Angle),
        derive: Derive::Port(gaps),
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
    out.push(Candidate::computed(Place::Whole, sum.value.get(), budget.total()));
    Ok(())
}

fn contact_width(_: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let marks = &port.contact.marks;
    let of = direct::number(marks.len());
    out.extend(marks.iter().enumerate().filter_map(|(index, mark)| {
        Some(direct::at(direct::around(direct::number(index + 1), of), mark.width.as_ref()?))
    }));
    if marks.is_empty() || out.len() < marks.len() {
        return Err(MissingCause::Absent("contact band width at every clock position"));
    }
    Ok(())
}

/// All arcs without contact together.
fn gaps(_: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let gaps = port
        .contact
        .gaps
        .as_ref()
        .ok_or(MissingCause::Absent("gaps in the contact band, or that there is none"))?;
    let mut budget = Budget::new();
    let mut total = Exact::ZERO;
    for gap in gaps {
        total = total + gap.value().exact();
        budget.reading(1.0, gap);
    }
    out.push(Candidate::exact(Place::Whole, total, budget.total()));
    Ok(())
}

fn interference(_: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let (Some(seat), Some(face)) = (&port.seat.seat_angle, &port.valve.face_angle) else {
        return Err(MissingCause::Absent("measured seat and face angle"));
    };
    let sum = metrology::interference_angle(seat.value(), face.value());
    let mut budget = Budget::new();
    budget.reading(sum.sensitivity[0], seat);
    budget.reading(sum.sensitivity[1], face);
    out.push(Candidate::computed(Place::Whole, sum.value.get(), budget.total()));
    Ok(())
}
