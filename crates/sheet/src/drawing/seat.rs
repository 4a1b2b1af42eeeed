//! A seat as it was measured, in section, with the valve laid on it.
//!
//! Source: plane geometry.

use super::posted::mean;
use super::{Cone, Known, Point, Posted, Profile, USUAL_STEP, tangent};

/// A seat in section and the valve on it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Seated {
    /// Its edges; the outer one at height 0.
    pub(super) profile: Profile,
    /// The seat's own cone.
    pub(super) seat: Cone,
    /// The flatter cone on the chamber side.
    pub(super) top: Cone,
    /// The steeper cone on the port side.
    pub(super) throat: Cone,
    /// Were its edges taken from the contact band, for want of a diameter of the seat?
    pub(super) by_contact: bool,
    /// The valve, where its head was measured.
    pub(super) valve: Option<Laid>,
}

/// A valve laid on a seat so that it touches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Laid {
    /// The outer edge of its face.
    pub(super) edge: Point,
    /// The inner edge of its face, where that was measured.
    pub(super) inner: Option<Point>,
    /// The cone of its face.
    pub(super) face: Cone,
    /// Height of the rim over the face.
    pub(super) margin: Option<f64>,
    /// Outer and inner end of the contact.
    pub(super) band: (Point, Point),
    /// Was that marked on the face, rather than worked out from the seat?
    pub(super) band_is_marked: bool,
}

/// The contact band on the face, each the mean all round, in millimetres along the face.
#[derive(Debug, Clone, Copy)]
struct Band {
    from_edge: f64,
    width: Option<f64>,
}

impl Band {
    fn of(posted: &Posted<'_>) -> Option<Self> {
        let marks = &posted.port?.contact.as_ref()?.marks;
        let from_edge: Option<Vec<f64>> =
            marks.iter().map(|mark| posted.length(Some(&mark.from_edge))).collect();
        let widths: Option<Vec<f64>> = marks.iter().map(|mark| posted.length(mark.width.as_ref())).collect();
        Some(Self { from_edge: mean(&from_edge?)?, width: widths.as_deref().and_then(mean) })
    }
}

impl Seated {
    /// Of one port; none unless its seat has an angle and a place.
    pub(super) fn of(posted: &Posted<'_>) -> Option<Self> {
        let angles = posted.angles();
        let (degrees, known) = angles.seat?;
        let seat = Cone { degrees, known };
        let cone = |angle: Option<(f64, Known)>, guess: f64| {
            let (degrees, known) = angle.unwrap_or((guess, Known::Guessed));
            Cone { degrees, known }
        };
        let top = cone(angles.top, (degrees - USUAL_STEP).max(0.0));
        let throat = cone(angles.throat, (degrees + USUAL_STEP).min(85.0));
        let in_order =
            0.0 <= top.degrees && top.degrees < degrees && degrees < throat.degrees && throat.degrees < 90.0;
        if !in_order {
            return None;
        }
        let band = Band::of(posted);
        let mut sizes = posted.sizes();
        let by_contact = sizes.outer.is_none() && sizes.inner.is_none();
        if by_contact {
            sizes.outer = outer_by_contact(posted, band?);
            sizes.width = sizes.width.or(band?.width);
        }
        let slope = tangent(degrees);
        let (outer, inner) = sizes.radii_as_measured(slope)?;
        let profile = Profile {
            inner: Point { radius: inner, height: (inner - outer) * slope },
            outer: Point { radius: outer, height: 0.0 },
            throat: tangent(throat.degrees),
            top: tangent(top.degrees),
        };
        let valve = Laid::on(&profile, posted, seat, band);
        Some(Self { profile, seat, top, throat, by_contact, valve })
    }
}

/// Diameter at which the contact begins on the face.
fn outer_by_contact(posted: &Posted<'_>, band: Band) -> Option<f64> {
    let head = posted.length(posted.valve()?.head_diameter.as_ref())?;
    let (face, _) = posted.face_angle()?;
    Some(head - 2.0 * band.from_edge * libm::cos(face.to_radians()))
}

impl Laid {
    /// Lays the valve on a seat; none when its head was not measured or would fall through.
    fn on(profile: &Profile, posted: &Posted<'_>, seat: Cone, band: Option<Band>) -> Option<Self> {
        let valve = posted.valve()?;
        let edge = posted.length(valve.head_diameter.as_ref())? / 2.0;
        let face = match posted.face_angle() {
            Some((degrees, known)) => Cone { degrees, known },
            None => Cone { known: Known::Guessed, ..seat },
        };
        let inner = posted.length(valve.face_inner_diameter.as_ref()).map(|diameter| diameter / 2.0);
        let least = inner.unwrap_or(0.0);
        if !(edge > profile.inner.radius && least < edge && (0.0..90.0).contains(&face.degrees)) {
            return None;
        }
        let slope = tangent(face.degrees);
        // Metal is nowhere above its own lines, so that a straight face first meets it at an edge of either.
        let lift = [profile.inner.radius, profile.outer.radius, least, edge]
            .into_iter()
            .filter(|radius| (least..=edge).contains(radius))
            .map(|radius| profile.metal(radius) - (radius - edge) * slope)
            .fold(f64::NEG_INFINITY, f64::max);
        let on_face = |radius: f64| Point { radius, height: lift + (radius - edge) * slope };
        let cosine = libm::cos(face.degrees.to_radians());
        let marked = band.and_then(|band| {
            let outer = edge - band.from_edge * cosine;
            Some((outer, outer - band.width? * cosine))
        });
        let (outer, within) =
            marked.unwrap_or((profile.outer.radius.min(edge), profile.inner.radius.max(least)));
        Some(Self {
            edge: on_face(edge),
            inner: inner.map(on_face),
            face,
            margin: posted.length(valve.margin.as_ref()).filter(|margin| *margin > 0.0),
            band: (on_face(outer), on_face(within)),
            band_is_marked: marked.is_some(),
        })
    }
}

#[cfg(test)]
mod tests {
    use headproof_wire::SheetOptions;
    use serde_json::json;

    use super::*;
    use crate::SheetInput;
    use crate::drawing::Posted;

    /// The seat and valve of a port given as JSON, in millimetres.
    fn seated(seat: serde_json::Value, valve: serde_json::Value, marks: serde_json::Value) -> Option<Seated> {
        let set = json!({
            "format": "headproof/measurement-set/1",
            "units": {"length": "mm", "force": "N", "volume": "mL", "pressure": "kPa", "roughness": "um"},
            "head": {"serial": "A", "material": "cast-iron"},
            "job": {"number": "1", "stage": "final", "measured_by": "N. N.", "measured_at": "2026-03-12T09:40:00Z"},
            "layout": {"camshaft": "overhead", "lifter": "adjustable", "cylinders": 1,
                       "intake_per_cylinder": 1, "exhaust_per_cylinder": 0},
            "ports": [{"cylinder": 1, "service": "intake", "index": 1, "seat": seat, "valve": valve,
                       "contact": {"marks": marks}}],
        });
        let profile = json!({
            "format": "headproof/target-profile/1", "id": "p", "revision": "1", "title": "p",
            "units": set["units"], "decision_rule": {"rule": "simple"},
            "limits": [{"characteristic": "face-angle", "use": "build", "nominal": 44.0,
                        "if_outside": "rework", "source": "common practice, no source"}],
        });
        let evaluation = json!({
            "format": "headproof/evaluation/1", "head_serial": "A", "job_number": "1", "stage": "final",
            "measurement_set_digest": "0", "profile": {"id": "p", "revision": "1", "title": "p"},
            "decision_rule": {"rule": "simple"}, "disposition": "accept", "headline": "", "reasons": [],
            "tally": {"conforms": 0, "does_not_conform": 0, "not_proven": 0, "not_measured": 0, "no_limit": 0},
            "coverage_factor": 2.0, "head": [], "cylinders": [], "ports": [], "findings": [],
        });
        let (set, profile) = (serde_json::from_value(set).unwrap(), serde_json::from_value(profile).unwrap());
        let evaluation = serde_json::from_value(evaluation).unwrap();
        let input = SheetInput {
            set: &set,
            profile: &profile,
            evaluation: &evaluation,
            evaluation_digest: "0",
            earlier: None,
            sign_off: None,
            record: crate::Record { measurement_set: b"", profile: b"", evaluation: b"" },
            plan: None,
            look: SheetOptions::default(),
        };
        Seated::of(&Posted::of(&input, (1, headproof_wire::Service::Intake, 1)))
    }

    fn seat() -> serde_json::Value {
        json!({"seat_angle": 45, "top_angle": 30, "throat_angle": 60, "inner_diameter": 30, "outer_diameter": 33})
    }

    /// Nowhere does the face run into the metal, and somewhere it touches it: at the seat's outer edge when it
    /// is flatter than the seat, at the inner one when it is steeper, all along when it is equal.
    #[test]
    fn the_valve_lies_on_the_seat() {
        for (angle, touches) in [(44.0, 16.5), (46.0, 15.0), (45.0, 15.7)] {
            let valve = json!({"head_diameter": 34, "face_inner_diameter": 29, "face_angle": angle});
            let seated = seated(seat(), valve, json!([])).unwrap();
            let valve = seated.valve.unwrap();
            let face = |radius: f64| valve.edge.height + (radius - valve.edge.radius) * tangent(angle);
            let gap = |radius: f64| face(radius) - seated.profile.metal(radius);
            let least = (0..=250).map(|n| gap(14.5 + f64::from(n) * 0.01)).fold(f64::INFINITY, f64::min);
            assert!(least > -1e-12 && gap(touches).abs() < 1e-12, "{angle}: {least} {}", gap(touches));
        }
    }

    /// w = (Do − Di) / (2 cos θ), overhang = (Dv − Do) / (2 cos θv): plane geometry.
    #[test]
    fn the_band_lies_where_it_was_marked_else_where_the_seat_is() {
        let valve = json!({"head_diameter": 34, "face_angle": 45, "margin": 1.2});
        let marks = json!([{"from_edge": 0.5, "width": 1.0}, {"from_edge": 0.7, "width": 1.2},
                           {"from_edge": 0.6, "width": 1.1}]);
        let marked = seated(seat(), valve.clone(), marks).unwrap().valve.unwrap();
        let cosine = 0.5_f64.sqrt();
        assert!(marked.band_is_marked);
        assert!((marked.band.0.radius - (17.0 - 0.6 * cosine)).abs() < 1e-9);
        assert!((marked.band.1.radius - (17.0 - 1.7 * cosine)).abs() < 1e-9);
        let worked_out = seated(seat(), valve, json!([])).unwrap().valve.unwrap();
        assert!(!worked_out.band_is_marked);
        assert_eq!((worked_out.band.0.radius, worked_out.band.1.radius), (16.5, 15.0));
    }

    #[test]
    fn what_was_not_measured_is_aimed_at_or_usual_and_says_so() {
        let seat = json!({"seat_angle": 45, "outer_diameter": 33, "widths": [1.4, 1.42]});
        let seated = seated(seat, json!({"head_diameter": 34}), json!([])).unwrap();
        assert_eq!((seated.top.degrees, seated.top.known), (30.0, Known::Guessed));
        assert_eq!((seated.throat.degrees, seated.throat.known), (60.0, Known::Guessed));
        let face = seated.valve.unwrap().face;
        assert_eq!((face.degrees, face.known), (44.0, Known::Nominal));
        assert!((seated.profile.inner.radius - (16.5 - 1.41 * 0.5_f64.sqrt())).abs() < 1e-9);
    }

    #[test]
    fn without_an_angle_or_a_place_there_is_no_seat() {
        let none = |seat, valve| assert_eq!(seated(seat, valve, json!([])), None);
        none(json!({"inner_diameter": 30, "outer_diameter": 33}), json!({}));
        none(json!({"seat_angle": 45, "widths": [1.4]}), json!({"head_diameter": 34}));
        none(
            json!({"seat_angle": 45, "top_angle": 50, "inner_diameter": 30, "outer_diameter": 33}),
            json!({}),
        );
        none(json!({"seat_angle": 45, "inner_diameter": 33, "outer_diameter": 30}), json!({}));
        let small = seated(seat(), json!({"head_diameter": 29}), json!([])).unwrap();
        assert!(small.valve.is_none(), "it would fall through");
    }
}
