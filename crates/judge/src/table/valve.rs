//! The valve: face, margin, stem and tip.

use headproof_head::CharacteristicId;
use headproof_quantity::Kind;

use super::direct::{self, direct, state};
use super::seat::dial_runout;
use crate::characteristic::{Characteristic, Derive, Measure};

pub(super) static ROWS: &[Characteristic] = &[
    direct!("face-angle", "Face angle", Angle, |port| port.valve.face_angle, "face angle"),
    Characteristic {
        id: CharacteristicId::new("face-runout"),
        title: "Face runout (TIR)",
        formula: "the greater of max − min and twice the fitted eccentricity, square to the face",
        source: "plane geometry; first harmonic by least squares",
        uncertainty: direct::FIRST_ORDER,
        measure: Measure::Amount(Kind::Length),
        derive: Derive::Port(|context, port, out| {
            dial_runout(
                port.valve.face_runout.as_ref(),
                context.face_angle(port),
                "face runout readings",
                out,
            )
        }),
    },
    direct!("margin", "Margin", Length, |port| port.valve.margin, "margin"),
    direct!(
        "valve-length",
        "Valve length",
        Length,
        |port| port.valve.overall_length,
        "overall length of the valve"
    ),
    direct!("valve-stretch", "Valve stretch", Length, |port| port.valve.stretch, "stretch of the valve"),
    state!("valve-tip", "Valve tip", PortState, |port| port.valve.tip.map(direct::good)),
    state!("keeper-groove", "Keeper groove", PortState, |port| port.valve.keeper_groove.map(direct::good)),
    state!("valve-neck", "Valve neck", PortState, |port| port.valve.neck.map(direct::good)),
];
