//! One port as it was posted, in base units, and what the profile aims for.

use headproof_quantity::Kind;
use headproof_texts::Say;
use headproof_wire::{Limit, Port, Reading, Seat, Service, Units, Valve};

use super::Known;
use crate::SheetInput;

/// The angles of a seat as they are, in degrees, and how they are known.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Angles {
    pub(crate) top: Option<(f64, Known)>,
    pub(crate) seat: Option<(f64, Known)>,
    pub(crate) throat: Option<(f64, Known)>,
}

/// The sizes of a seat as they were measured, in millimetres.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Sizes {
    pub(crate) outer: Option<f64>,
    pub(crate) inner: Option<f64>,
    pub(crate) width: Option<f64>,
}

impl Sizes {
    /// Outer and inner radius. Where there is more than enough, the inner diameter is left aside: outer
    /// diameter and width are what is judged.
    pub(crate) fn radii(self, slope: f64) -> Option<(f64, f64)> {
        let run = self.width.map(|width| width / (1.0 + slope * slope).sqrt());
        let (outer, inner) = (self.outer.map(|d| d / 2.0), self.inner.map(|d| d / 2.0));
        let outer = outer.or_else(|| Some(inner? + run?))?;
        let inner = run.map(|run| outer - run).or(inner)?;
        (0.0 < inner && inner < outer).then_some((outer, inner))
    }

    /// The same, each diameter as it was measured; the width stands in for the one that was not.
    pub(crate) fn radii_as_measured(self, slope: f64) -> Option<(f64, f64)> {
        match (self.outer, self.inner) {
            (Some(outer), Some(inner)) => Some((outer / 2.0, inner / 2.0)).filter(|(o, i)| 0.0 < *i && i < o),
            _ => self.radii(slope),
        }
    }

    /// How many of them are known.
    pub(crate) fn known(self) -> usize {
        [self.outer, self.inner, self.width].iter().flatten().count()
    }
}

/// What set and profile say of one port.
#[derive(Clone, Copy)]
pub(crate) struct Posted<'a> {
    input: &'a SheetInput<'a>,
    /// The port, where it was posted.
    pub(crate) port: Option<&'a Port>,
    service: Service,
}

impl<'a> Posted<'a> {
    /// Of cylinder, service and index.
    pub(crate) fn of(input: &'a SheetInput<'a>, address: (u8, Service, u8)) -> Self {
        let same = |posted: &&Port| (posted.cylinder, posted.service, posted.index) == address;
        Self { input, port: input.set.ports.iter().find(same), service: address.1 }
    }

    /// Says things in the language of the sheet.
    pub(crate) fn say(&self) -> Say {
        self.input.say()
    }

    /// The units it was posted in.
    pub(crate) const fn units(&self) -> &'a Units {
        &self.input.set.units
    }

    /// Its seat.
    pub(crate) fn seat(&self) -> Option<&'a Seat> {
        self.port?.seat.as_ref()
    }

    /// Its valve.
    pub(crate) fn valve(&self) -> Option<&'a Valve> {
        self.port?.valve.as_ref()
    }

    /// The three angles of its seat.
    pub(crate) fn angles(&self) -> Angles {
        let angle = |reading: fn(&Seat) -> Option<&Reading>, characteristic: &str| {
            self.angle(self.seat().and_then(reading), characteristic)
        };
        Angles {
            top: angle(|seat| seat.top_angle.as_ref(), "top-cut-angle"),
            seat: angle(|seat| seat.seat_angle.as_ref(), "seat-angle"),
            throat: angle(|seat| seat.throat_angle.as_ref(), "throat-cut-angle"),
        }
    }

    /// The angle of the valve's face.
    pub(crate) fn face_angle(&self) -> Option<(f64, Known)> {
        self.angle(self.valve().and_then(|valve| valve.face_angle.as_ref()), "face-angle")
    }

    /// As measured, else as the profile aims for it.
    fn angle(&self, reading: Option<&Reading>, characteristic: &str) -> Option<(f64, Known)> {
        let measured = reading.and_then(|reading| self.read(reading, Kind::Angle));
        measured
            .map(|degrees| (degrees, Known::Measured))
            .or_else(|| self.nominal(characteristic).map(|degrees| (degrees, Known::Nominal)))
    }

    fn nominal(&self, characteristic: &str) -> Option<f64> {
        let is_it = |limit: &&Limit| {
            limit.characteristic == characteristic
                && limit.service.is_none_or(|service| service == self.service)
        };
        self.input.profile.limits.iter().filter(is_it).find_map(|limit| limit.nominal)
    }

    /// What was measured of its seat.
    pub(crate) fn sizes(&self) -> Sizes {
        let Some(seat) = self.seat() else { return Sizes::default() };
        let widths: Option<Vec<f64>> =
            seat.widths.iter().map(|width| self.read(width, Kind::Length)).collect();
        Sizes {
            outer: self.length(seat.outer_diameter.as_ref()),
            inner: self.length(seat.inner_diameter.as_ref()),
            width: widths.as_deref().and_then(mean),
        }
    }

    /// A length in millimetres.
    pub(crate) fn length(&self, reading: Option<&Reading>) -> Option<f64> {
        self.read(reading?, Kind::Length)
    }

    /// A reading in its base unit; of several, their mean.
    pub(crate) fn read(&self, reading: &Reading, kind: Kind) -> Option<f64> {
        amount(reading, kind, self.units())
    }
}

/// A reading in its base unit; of several, their mean.
pub(crate) fn amount(reading: &Reading, kind: Kind, units: &Units) -> Option<f64> {
    let number = match reading {
        Reading::Plain(number) => *number,
        Reading::Detailed(detail) => match (detail.value, &detail.repeats) {
            (Some(value), _) => value,
            (None, repeats) => mean(repeats.as_deref()?)?,
        },
    };
    to_base(number, kind, units)
}

/// A number of the set in its base unit.
pub(crate) fn to_base(number: f64, kind: Kind, units: &Units) -> Option<f64> {
    // A mean has more digits than a reading may have: seven decimals are more than a drawing shows.
    let number = (number * 1e7).round() / 1e7;
    units.unit(kind).to_base(number).ok().map(|exact| exact.to_f64())
}

/// Mean of some values.
pub(crate) fn mean(values: &[f64]) -> Option<f64> {
    let count = values.len();
    (count > 0).then(|| values.iter().sum::<f64>() / count as f64)
}
