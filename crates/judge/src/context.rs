//! What a derivation may look at besides the port it is asked about.

use headproof_head::{
    CharacteristicId, MeasurementSet, MissingCause, Port, Reading, Service, Stage, TargetProfile,
};
use headproof_metrology::MetrologyError;
use headproof_quantity::{Angle, AngleDim, StandardUncertainty};

/// The set and the profile under judgement.
#[derive(Debug)]
pub(crate) struct Context<'a> {
    pub(crate) set: &'a MeasurementSet,
    pub(crate) profile: &'a TargetProfile,
}

/// An angle to calculate with, and how well it is known.
#[derive(Debug, Clone, Copy)]
pub(crate) struct KnownAngle {
    pub(crate) angle: Angle,
    pub(crate) uncertainty: Option<f64>,
}

impl Context<'_> {
    /// The seat angle as measured, or the profile's nominal with its tolerance as a uniform spread.
    pub(crate) fn seat_angle(&self, port: &Port) -> Option<KnownAngle> {
        self.angle(port.seat.seat_angle.as_ref(), CharacteristicId::new("seat-angle"), port.id.service)
    }

    /// The face angle, likewise.
    pub(crate) fn face_angle(&self, port: &Port) -> Option<KnownAngle> {
        self.angle(port.valve.face_angle.as_ref(), CharacteristicId::new("face-angle"), port.id.service)
    }

    fn angle(
        &self,
        measured: Option<&Reading<AngleDim>>,
        id: CharacteristicId,
        service: Service,
    ) -> Option<KnownAngle> {
        if let Some(reading) = measured {
            return Some(KnownAngle {
                angle: reading.value(),
                uncertainty: reading.uncertainty().map(|u| u.get()),
            });
        }
        let of_stage = |stage| self.profile.limit(id, Some(service), stage).map(|(_, limit)| limit);
        // A wear limit seldom repeats what the seat was built to.
        let stages = [self.set.job.stage, Stage::Final];
        let limit = stages.into_iter().filter_map(of_stage).find(|limit| limit.nominal.is_some())?;
        let nominal = limit.nominal?;
        let width = limit.upper.zip(limit.lower).map(|(upper, lower)| (upper - lower).approx());
        Some(KnownAngle {
            angle: Angle::from_exact(nominal),
            uncertainty: width.map(|full| StandardUncertainty::<AngleDim>::from_half_width(full / 2.0).get()),
        })
    }
}

/// A sum that could not be formed, as the cause of a missing value.
pub(crate) fn not_computable(error: MetrologyError) -> MissingCause {
    MissingCause::NotComputable(error.to_string())
}
