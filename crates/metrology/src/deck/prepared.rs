//! Points of a deck prepared for the sums: centred, scaled by powers of two, one row each.

use headproof_quantity::{Difference, Length, LengthDim};

use crate::MetrologyError;
use crate::zone::{Cloud, Touching, Zone, centred, least_zone, scaled};

/// Points whose lateral spread is below this part of their length lie on a line: no two places on a
/// deck are told apart by less than half a micrometre in half a metre.
const LINE: f64 = 1e-6;

/// Points as doubles: differences from one of them, in mm.
pub(super) struct Points {
    pub(super) x: Vec<f64>,
    pub(super) y: Vec<f64>,
    pub(super) z: Vec<f64>,
}

/// Where the points are.
enum Places {
    /// They span a plane (rows x, y, 1, side), and three of them do so well.
    Plane(Vec<[f64; 4]>, [usize; 3]),
    /// They lie on a line (rows: distance along it, 1, side): its outermost two, and its direction in x
    /// and y.
    Line(Vec<[f64; 3]>, [usize; 2], [f64; 2]),
}

/// Prepared points and the factors that undo the scaling.
pub(super) struct Prepared {
    places: Places,
    pub(super) heights: Vec<f64>,
    /// Millimetres of height per scaled height.
    pub(super) height_scale: f64,
    /// Millimetres of place per scaled place.
    place_scale: f64,
}

/// Places in the direction of the greatest distance between two of them, and square to it.
pub(super) struct Columns {
    pub(super) along: Vec<f64>,
    /// All 0 for places on a line.
    pub(super) across: Vec<f64>,
    /// The direction in x and y.
    pub(super) direction: [f64; 2],
}

/// Two parallel planes that hold the points, as far apart as must be in the direction of z.
#[derive(Debug, Clone)]
pub(super) struct Least {
    /// Their distance along z, in mm.
    pub(super) along_z: f64,
    pub(super) slopes: [f64; 2],
    pub(super) touching: Vec<Touching>,
    /// How often all points were looked at to find them.
    pub(super) passes: usize,
}

impl Points {
    /// Differences from the first point, which are exact before they become doubles.
    pub(super) fn new(points: &[(Length, Length, Length)]) -> Self {
        let origin = points.first().copied().unwrap_or((Length::ZERO, Length::ZERO, Length::ZERO));
        let double = |difference: Difference<LengthDim>| difference.exact().approx();
        Self {
            x: points.iter().map(|point| double(point.0 - origin.0)).collect(),
            y: points.iter().map(|point| double(point.1 - origin.1)).collect(),
            z: points.iter().map(|point| double(point.2 - origin.2)).collect(),
        }
    }

    /// Some of these points.
    pub(super) fn pick(&self, members: &[usize]) -> Self {
        let pick = |amounts: &[f64]| members.iter().map(|member| amounts[*member]).collect();
        Self { x: pick(&self.x), y: pick(&self.y), z: pick(&self.z) }
    }
}

/// The index of the greatest measure, the first of equal ones.
fn furthest(measures: impl Iterator<Item = f64>) -> (usize, f64) {
    let first = (0, f64::NEG_INFINITY);
    measures.enumerate().fold(first, |best, (index, m)| if m > best.1 { (index, m) } else { best })
}

fn unit(x: f64, y: f64) -> [f64; 2] {
    let length = libm::hypot(x, y);
    [x / length, y / length]
}

impl Places {
    /// Whether places span a plane or a line; `None` when all are the same.
    fn new(x: &[f64], y: &[f64]) -> Option<Self> {
        let square = |a: f64| a * a;
        let places = || x.iter().zip(y);
        let (first, _) = furthest(places().map(|(x, y)| square(*x) + square(*y)));
        let away = |(a, b): (&f64, &f64)| (a - x[first], b - y[first]);
        let (second, length) = furthest(places().map(away).map(|(dx, dy)| square(dx) + square(dy)));
        if length <= 0.0 {
            return None;
        }
        let (ux, uy) = away((&x[second], &y[second]));
        let (third, cross) = furthest(places().map(away).map(|(dx, dy)| (ux * dy - uy * dx).abs()));
        if cross > LINE * length {
            let rows = places().map(|(x, y)| [*x, *y, 1.0, 0.0]).collect();
            return Some(Self::Plane(rows, [first, second, third]));
        }
        let direction = unit(ux, uy);
        let rows = places().map(|(x, y)| [x * direction[0] + y * direction[1], 1.0, 0.0]).collect();
        Some(Self::Line(rows, [first, second], direction))
    }
}

impl Prepared {
    /// Centres and scales the points, and sees whether they span a plane or a line.
    pub(super) fn new(points: Points) -> Result<Self, MetrologyError> {
        if points.x.len() < super::LEAST_POINTS {
            return Err(MetrologyError::NotEnough { needed: super::LEAST_POINTS, given: points.x.len() });
        }
        let ((x, half_x), (y, half_y)) = (centred(points.x), centred(points.y));
        let half = half_x.max(half_y);
        let ((x, place_scale), (y, _)) = (scaled(x, half), scaled(y, half));
        let (heights, half) = centred(points.z);
        let (heights, height_scale) = scaled(heights, half);
        let places = Places::new(&x, &y).ok_or(MetrologyError::AllSamePlace)?;
        Ok(Self { places, heights, height_scale, place_scale })
    }

    /// The least zone of the points.
    pub(super) fn least(&self) -> Result<Least, MetrologyError> {
        let heights = &self.heights;
        let least = match &self.places {
            Places::Plane(rows, spanning) => least_zone(&Cloud { rows, heights }, spanning)
                .map(|zone| self.unscaled(&zone, [zone.plane[0], zone.plane[1]])),
            Places::Line(rows, spanning, direction) => least_zone(&Cloud { rows, heights }, spanning)
                .map(|zone| self.unscaled(&zone, direction.map(|part| part * zone.plane[0]))),
        };
        least.ok_or(MetrologyError::AllSamePlace)
    }

    /// The scaled places in their own main directions.
    pub(super) fn columns(&self) -> Columns {
        match &self.places {
            Places::Plane(rows, [first, second, _]) => {
                let (a, b) = (rows[*first], rows[*second]);
                let [ux, uy] = unit(b[0] - a[0], b[1] - a[1]);
                let along = rows.iter().map(|row| ux * row[0] + uy * row[1]).collect();
                let across = rows.iter().map(|row| ux * row[1] - uy * row[0]).collect();
                Columns { along, across, direction: [ux, uy] }
            }
            Places::Line(rows, _, direction) => {
                let along = rows.iter().map(|row| row[0]).collect();
                Columns { along, across: vec![0.0; rows.len()], direction: *direction }
            }
        }
    }

    /// Slopes of scaled heights over scaled places, in mm/mm.
    pub(super) fn unscaled_slopes(&self, slopes: [f64; 2]) -> [f64; 2] {
        slopes.map(|slope| slope * (self.height_scale / self.place_scale))
    }

    fn unscaled<const M: usize>(&self, zone: &Zone<M>, slopes: [f64; 2]) -> Least {
        Least {
            along_z: zone.width() * self.height_scale,
            slopes: self.unscaled_slopes(slopes),
            touching: zone.touching(),
            passes: zone.passes,
        }
    }
}
