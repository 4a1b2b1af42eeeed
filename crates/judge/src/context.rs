//! What a derivation may look at besides the port it is asked about.

use headproof_head::{
    CharacteristicId, Limit, MeasurementSet, MissingCause, Port, Reading, Service, Stage, TargetProfile,
};
use headproof_metrology::MetrologyError;
use headproof_quantity::{Angle, AngleDim, Dimension, StandardUncertainty};

use crate::sums::phrase;

/// The set and the profile under judgement.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Context<'a> {
    pub(crate) set: &'a MeasurementSet,
    pub(crate) profile: &'a TargetProfile,
    /// Shall every value tell what its uncertainty is made of?
    pub(crate) explain: bool,
}

/// An angle to calculate with.
#[derive(Debug, Clone, Copy)]
pub(crate) enum KnownAngle<'a> {
    /// As it was read.
    Measured(&'a Reading<AngleDim>),
    /// As the profile has it, known as well as its tolerance says.
    Nominal { angle: Angle, uncertainty: Option<f64> },
}

impl KnownAngle<'_> {
    pub(crate) const fn angle(&self) -> Angle {
        match self {
            Self::Measured(reading) => reading.value(),
            Self::Nominal { angle, .. } => *angle,
        }
    }
}

impl<'a> Context<'a> {
    /// The seat angle as measured, or the profile's nominal with its tolerance as a uniform spread.
    pub(crate) fn seat_angle<'p>(&self, port: &'p Port) -> Result<KnownAngle<'p>, MissingCause> {
        let measured = port.seat.seat_angle.as_ref();
        self.angle(measured, CharacteristicId::new("seat-angle"), port.id.service, "absent-seat-angle")
    }

    /// The face angle, likewise.
    pub(crate) fn face_angle<'p>(&self, port: &'p Port) -> Result<KnownAngle<'p>, MissingCause> {
        let measured = port.valve.face_angle.as_ref();
        self.angle(measured, CharacteristicId::new("face-angle"), port.id.service, "absent-face-angle")
    }

    fn angle<'p>(
        &self,
        measured: Option<&'p Reading<AngleDim>>,
        id: CharacteristicId,
        service: Service,
        absent: &'static str,
    ) -> Result<KnownAngle<'p>, MissingCause> {
        if let Some(reading) = measured {
            return Ok(KnownAngle::Measured(reading));
        }
        let limit = self.limit_with_nominal(id, service).ok_or(MissingCause::Absent(absent))?;
        let nominal = limit.nominal.ok_or(MissingCause::Absent(absent))?;
        let width = limit.upper.zip(limit.lower).map(|(upper, lower)| (upper - lower).approx());
        Ok(KnownAngle::Nominal {
            angle: Angle::from_exact(nominal),
            uncertainty: width.map(|full| StandardUncertainty::<AngleDim>::from_half_width(full / 2.0).get()),
        })
    }

    /// The limit of this stage that names a nominal, else that of the finished head: a wear limit seldom
    /// repeats what a thing was built to.
    pub(crate) fn limit_with_nominal(&self, id: CharacteristicId, service: Service) -> Option<&'a Limit> {
        let stages = [self.set.job.stage, Stage::Final];
        let limits = stages.into_iter().filter_map(|stage| self.profile.limit(id, Some(service), stage));
        limits.map(|(_, limit)| limit).find(|limit| limit.nominal.is_some())
    }
}

/// A reading that is needed; `absent` names the message that says that it is missing.
pub(crate) fn need<'p, D: Dimension>(
    reading: &'p Option<Reading<D>>,
    absent: &'static str,
) -> Result<&'p Reading<D>, MissingCause> {
    reading.as_ref().ok_or(MissingCause::Absent(absent))
}

/// A sum that could not be formed, as the cause of a missing value.
pub(crate) fn not_computable(error: MetrologyError) -> MissingCause {
    MissingCause::NotComputable(Box::new(phrase(error)))
}
