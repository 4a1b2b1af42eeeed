//! A seat as it was posted, before any work, and what the profile aims for.

use headproof_quantity::Kind;
use headproof_wire::{Limit, Port, PortPlan, Reading, Seat, Service};

use super::Known;
use crate::SheetInput;

/// The angles as they are, in degrees, and how they are known.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Angles {
    pub(super) top: Option<(f64, Known)>,
    pub(super) seat: Option<(f64, Known)>,
    pub(super) throat: Option<(f64, Known)>,
}

/// The sizes as they were measured, in millimetres.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Sizes {
    pub(super) outer: Option<f64>,
    pub(super) inner: Option<f64>,
    pub(super) width: Option<f64>,
}

impl Sizes {
    /// Outer and inner radius. Where there is more than enough, the inner diameter is left aside: outer
    /// diameter and width are what is judged.
    pub(super) fn radii(self, slope: f64) -> Option<(f64, f64)> {
        let run = self.width.map(|width| width / (1.0 + slope * slope).sqrt());
        let (outer, inner) = (self.outer.map(|d| d / 2.0), self.inner.map(|d| d / 2.0));
        let outer = outer.or_else(|| Some(inner? + run?))?;
        let inner = run.map(|run| outer - run).or(inner)?;
        (0.0 < inner && inner < outer).then_some((outer, inner))
    }
}

/// What set and profile say of one seat.
pub(super) struct Posted<'a> {
    input: &'a SheetInput<'a>,
    seat: Option<&'a Seat>,
    service: Service,
}

impl<'a> Posted<'a> {
    pub(super) fn of(input: &'a SheetInput<'a>, port: &PortPlan) -> Self {
        let same = |posted: &&Port| {
            (posted.cylinder, posted.service, posted.index) == (port.cylinder, port.service, port.index)
        };
        let seat = input.set.ports.iter().find(same).and_then(|posted| posted.seat.as_ref());
        Self { input, seat, service: port.service }
    }

    pub(super) fn angles(&self) -> Angles {
        let angle = |reading: fn(&Seat) -> Option<&Reading>, characteristic: &str| {
            let measured = self.seat.and_then(reading).and_then(|reading| self.read(reading, Kind::Angle));
            measured
                .map(|degrees| (degrees, Known::Measured))
                .or_else(|| self.nominal(characteristic).map(|degrees| (degrees, Known::Nominal)))
        };
        Angles {
            top: angle(|seat| seat.top_angle.as_ref(), "top-cut-angle"),
            seat: angle(|seat| seat.seat_angle.as_ref(), "seat-angle"),
            throat: angle(|seat| seat.throat_angle.as_ref(), "throat-cut-angle"),
        }
    }

    fn nominal(&self, characteristic: &str) -> Option<f64> {
        let is_it = |limit: &&Limit| {
            limit.characteristic == characteristic
                && limit.service.is_none_or(|service| service == self.service)
        };
        self.input.profile.limits.iter().filter(is_it).find_map(|limit| limit.nominal)
    }

    /// None unless enough was measured to draw a seat from it.
    pub(super) fn sizes(&self) -> Option<Sizes> {
        let seat = self.seat?;
        let length =
            |reading: &Option<Reading>| reading.as_ref().and_then(|reading| self.read(reading, Kind::Length));
        let widths: Option<Vec<f64>> =
            seat.widths.iter().map(|width| self.read(width, Kind::Length)).collect();
        let sizes = Sizes {
            outer: length(&seat.outer_diameter),
            inner: length(&seat.inner_diameter),
            width: widths.as_deref().and_then(mean),
        };
        let known = [sizes.outer, sizes.inner, sizes.width].iter().flatten().count();
        (known >= 2).then_some(sizes)
    }

    /// A reading in its base unit; of several, their mean.
    fn read(&self, reading: &Reading, kind: Kind) -> Option<f64> {
        let unit = self.input.set.units.unit(kind);
        let number = match reading {
            Reading::Plain(number) => *number,
            Reading::Detailed(detail) => match (detail.value, &detail.repeats) {
                (Some(value), _) => value,
                (None, repeats) => mean(repeats.as_deref()?)?,
            },
        };
        // A mean has more digits than a reading may have: seven decimals are more than a drawing shows.
        let number = (number * 1e7).round() / 1e7;
        unit.to_base(number).ok().map(|exact| exact.to_f64())
    }
}

fn mean(values: &[f64]) -> Option<f64> {
    let count = values.len();
    (count > 0).then(|| values.iter().sum::<f64>() / count as f64)
}
