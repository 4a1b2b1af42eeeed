//! What is known of one port before any work, in millimetres and degrees.

use headproof_head::{
    Blade, CharacteristicId, MeasurementSet, Port, PortRows, Reading, RecessionDatum, Stage, TargetProfile,
    Workshop,
};
use headproof_quantity::{Dimension, Force, Length};

use crate::cones::{cosine, tangent};
use crate::moved::{Moved, row_of};

/// A seat as it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SeatFacts {
    pub(crate) outer_radius: f64,
    pub(crate) inner_radius: f64,
    pub(crate) angle: f64,
    pub(crate) top_angle: f64,
    pub(crate) throat_angle: f64,
    /// What runout and pits need, square to the face.
    pub(crate) need: f64,
    pub(crate) from_contact: bool,
    pub(crate) nominal_angles: bool,
    /// Neither measured nor in the profile: as the shop cuts them.
    pub(crate) usual_angles: bool,
}

/// A valve as it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct FaceFacts {
    pub(crate) outer_radius: f64,
    pub(crate) inner_radius: Option<f64>,
    pub(crate) angle: f64,
    pub(crate) margin: Option<f64>,
    pub(crate) length: Option<f64>,
    pub(crate) runout: f64,
}

/// Loads of one spring over its own height, in rising order of height.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SpringFacts {
    pub(crate) step: f64,
    pub(crate) points: Vec<(Length, Force)>,
    pub(crate) solid: Option<f64>,
}

/// Everything of one port that a plan reckons with.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Facts {
    pub(crate) seat: Option<SeatFacts>,
    /// What would have to be known for the seat to be.
    pub(crate) seat_lacks: Vec<Moved>,
    pub(crate) face: Option<FaceFacts>,
    /// The face's angle, also where nothing else of it is known.
    pub(crate) face_angle: Option<f64>,
    pub(crate) throat_radius: Option<f64>,
    pub(crate) insert_radius: Option<f64>,
    pub(crate) recession: Option<f64>,
    pub(crate) recession_from_deck: bool,
    pub(crate) protrusion: Option<f64>,
    pub(crate) installed: Option<f64>,
    pub(crate) lift: Option<f64>,
    pub(crate) retainer_gap: Option<f64>,
    pub(crate) lash: Option<f64>,
    pub(crate) lash_shim: Option<f64>,
    pub(crate) tip_to_retainer: Option<f64>,
    pub(crate) valve_to_piston: Option<f64>,
    pub(crate) springs: Vec<SpringFacts>,
}

/// A reading in its base unit.
pub(crate) fn base<D: Dimension>(reading: Option<&Reading<D>>) -> Option<f64> {
    reading.map(|reading| reading.value().exact().to_f64())
}

/// The profile's nominal for this stage, else for the finished head.
pub(crate) fn nominal(profile: &TargetProfile, moved: Moved, port: &Port, stage: Stage) -> Option<f64> {
    let limits = [stage, Stage::Final].into_iter();
    let limit = |stage| profile.limit(moved.id(), Some(port.id.service), stage);
    limits.filter_map(limit).find_map(|(_, limit)| limit.nominal).map(|nominal| nominal.to_f64())
}

impl Facts {
    pub(crate) fn of(
        set: &MeasurementSet,
        profile: &TargetProfile,
        workshop: &Workshop,
        port: &Port,
        rows: &PortRows,
    ) -> Self {
        let stage = set.job.stage;
        let face = face(profile, port, rows, stage);
        let (seat, seat_lacks) = match seat(profile, workshop, port, rows, stage, face.as_ref()) {
            Ok(seat) => (Some(seat), Vec::new()),
            Err(lacks) => (None, lacks),
        };
        let assembly = &port.assembly;
        let radius = |reading: Option<&Reading<_>>| base(reading).map(|diameter| 0.5 * diameter);
        let insert = port.seat.insert.as_ref();
        Self {
            seat,
            seat_lacks,
            face,
            face_angle: face_angle(profile, port, stage),
            throat_radius: radius(port.seat.throat_diameter.as_ref()),
            insert_radius: insert.and_then(|insert| radius(insert.diameter.as_ref())),
            recession: base(assembly.recession.as_ref()),
            recession_from_deck: assembly.recession_datum != Some(RecessionDatum::Chamber),
            protrusion: base(assembly.stem_protrusion.as_ref()),
            installed: base(port.springs.installed_height.as_ref()),
            lift: base(port.springs.lift.as_ref()),
            retainer_gap: base(port.springs.retainer_travel.as_ref()),
            lash: base(assembly.lash.as_ref()),
            lash_shim: base(assembly.lash_shim.as_ref()),
            tip_to_retainer: base(assembly.tip_to_retainer.as_ref()),
            valve_to_piston: base(assembly.valve_to_piston.as_ref()),
            springs: springs(port),
        }
    }
}

fn springs(port: &Port) -> Vec<SpringFacts> {
    let facts = |spring: &headproof_head::Spring| SpringFacts {
        step: base(spring.seat_step.as_ref()).unwrap_or(0.0),
        points: spring.loads.iter().map(|point| (point.height.value(), point.load.value())).collect(),
        solid: base(spring.solid_height.as_ref()),
    };
    port.springs.springs.iter().map(facts).collect()
}

/// A judged amount of a port, in its base unit.
fn amount(rows: &PortRows, id: &'static str) -> Option<f64> {
    Some(row_of(&rows.rows, CharacteristicId::new(id))?.amount()?.to_f64())
}

fn face_angle(profile: &TargetProfile, port: &Port, stage: Stage) -> Option<f64> {
    let measured = base(port.valve.face_angle.as_ref());
    measured.or_else(|| nominal(profile, Moved::FaceAngle, port, stage))
}

fn face(profile: &TargetProfile, port: &Port, rows: &PortRows, stage: Stage) -> Option<FaceFacts> {
    let valve = &port.valve;
    Some(FaceFacts {
        outer_radius: 0.5 * base(valve.head_diameter.as_ref())?,
        inner_radius: base(valve.face_inner_diameter.as_ref()).map(|diameter| 0.5 * diameter),
        angle: face_angle(profile, port, stage)?,
        margin: base(valve.margin.as_ref()),
        length: base(valve.overall_length.as_ref()),
        runout: amount(rows, "face-runout").unwrap_or(0.0).max(0.0),
    })
}

fn mean(values: impl ExactSizeIterator<Item = f64>) -> Option<f64> {
    let count = values.len();
    #[expect(clippy::cast_precision_loss, reason = "a handful of readings")]
    (count > 0).then(|| values.sum::<f64>() / count as f64)
}

/// An angle as it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Known {
    degrees: f64,
    nominal: bool,
    usual: bool,
}

/// As measured, as the profile has it, or as the shop cuts it: its cutter nearest to fifteen degrees flatter or
/// steeper than the seat, which are the usual angles (common practice, no source).
fn other_angle(
    measured: Option<f64>,
    nominal: Option<f64>,
    seat: f64,
    steeper: bool,
    workshop: &Workshop,
) -> Known {
    const USUAL: f64 = 15.0;
    if let Some(degrees) = measured {
        return Known { degrees, nominal: false, usual: false };
    }
    if let Some(degrees) = nominal {
        return Known { degrees, nominal: true, usual: false };
    }
    let usual = if steeper { seat + USUAL } else { seat - USUAL };
    let off = |degrees: &f64| (degrees - usual).abs();
    let single = workshop.cutters.iter().filter_map(|cutter| match cutter.blade {
        Blade::Single(angle) => Some(angle.exact().to_f64()),
        Blade::Form { .. } => None,
    });
    let own = single.filter(|degrees| (*degrees > seat) == steeper && (degrees - seat).abs() > 1.0);
    let degrees = own.min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(usual);
    Known { degrees, nominal: false, usual: true }
}

/// The seat's cones, or what is lacking. Of diameters and widths the outer diameter and the widths are taken,
/// because these are what is judged; what is missing of them follows from the rest, or from the contact band.
fn seat(
    profile: &TargetProfile,
    workshop: &Workshop,
    port: &Port,
    rows: &PortRows,
    stage: Stage,
    face: Option<&FaceFacts>,
) -> Result<SeatFacts, Vec<Moved>> {
    let seat = &port.seat;
    let nominal = |moved| nominal(profile, moved, port, stage);
    let measured = base(seat.seat_angle.as_ref());
    let angle = measured.or_else(|| nominal(Moved::SeatAngle)).ok_or(vec![Moved::SeatAngle])?;
    let top = other_angle(base(seat.top_angle.as_ref()), nominal(Moved::TopAngle), angle, false, workshop);
    let throat =
        other_angle(base(seat.throat_angle.as_ref()), nominal(Moved::ThroatAngle), angle, true, workshop);
    let in_order =
        0.0 <= top.degrees && top.degrees < angle && angle < throat.degrees && throat.degrees < 90.0;
    if !in_order {
        return Err(vec![Moved::SeatAngle, Moved::TopAngle, Moved::ThroatAngle]);
    }
    let width = mean(seat.widths.iter().map(|width| width.value().approx()));
    let run = width.map(|width| width * cosine(angle));
    let outer = base(seat.outer_diameter.as_ref()).map(|diameter| 0.5 * diameter);
    let inner = base(seat.inner_diameter.as_ref()).map(|diameter| 0.5 * diameter);
    let from_edge = mean(port.contact.marks.iter().map(|mark| mark.from_edge.value().approx()));
    let of_contact = || Some(face?.outer_radius - from_edge? * cosine(face?.angle));
    let outer_radius = outer.or_else(|| Some(inner? + run?)).or_else(of_contact);
    let inner_radius = outer_radius.and_then(|outer| run.map(|run| outer - run).or(inner));
    let radii = outer_radius.zip(inner_radius).filter(|(outer, inner)| 0.0 < *inner && inner < outer);
    let (outer_radius, inner_radius) = radii.ok_or(vec![Moved::OuterDiameter, Moved::SeatWidth])?;
    let runout = amount(rows, "seat-runout").unwrap_or(0.0).max(0.0);
    let pit = seat.pit.as_ref().filter(|pit| pit.inside_band);
    Ok(SeatFacts {
        outer_radius,
        inner_radius,
        angle,
        top_angle: top.degrees,
        throat_angle: throat.degrees,
        need: runout + pit.map_or(0.0, |pit| pit.depth.value().exact().to_f64().max(0.0)),
        from_contact: outer.is_none() && (inner.is_none() || run.is_none()),
        nominal_angles: measured.is_none() || top.nominal || throat.nominal,
        usual_angles: top.usual || throat.usual,
    })
}

impl SeatFacts {
    /// Width along the face.
    pub(crate) fn width(&self) -> f64 {
        (self.outer_radius - self.inner_radius) / cosine(self.angle)
    }
}

impl FaceFacts {
    /// Height of the face over its outer edge at a radius, with the stem pointing down.
    pub(crate) fn height_at(&self, radius: f64) -> f64 {
        (radius - self.outer_radius) * tangent(self.angle)
    }
}
