//! Dial readings once round, and the circle that fits them best.

use headproof_quantity::Kind;
use headproof_wire::{Dial, DialDirection, Row};

use super::Posted;

/// Readings once round, square to the cone they were taken on; amounts in millimetres.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Trace {
    /// Angle in degrees from 0 to 360, and how far the reading lies from the mean.
    pub(super) points: Vec<(f64, f64)>,
    /// The circle that fits best: how far and towards which angle its centre lies off; none when the angles
    /// do not tell.
    pub(super) fit: Option<(f64, f64)>,
}

impl Trace {
    /// Of a dial on a cone of an angle in degrees; none with fewer than four readings, or where the plunger
    /// did not stand square to the cone and its angle is not known.
    ///
    /// The fit is that of the evaluation where it has one; else the first harmonic by least squares.
    pub(super) fn of(
        posted: &Posted<'_>,
        dial: Option<&Dial>,
        cone: Option<f64>,
        row: Option<&Row>,
    ) -> Option<Self> {
        let dial = dial?;
        let factor = square_to_cone(dial.direction, cone)?;
        let readings: Vec<f64> = dial
            .readings
            .iter()
            .map(|reading| posted.read(reading, Kind::Length).map(|amount| amount * factor))
            .collect::<Option<_>>()?;
        let count = readings.len();
        let angles: Vec<f64> = match &dial.angles {
            None => (0..count).map(|n| 360.0 * n as f64 / count as f64).collect(),
            Some(angles) => angles.iter().map(|angle| angle.rem_euclid(360.0)).collect(),
        };
        if count < 4 || angles.len() != count {
            return None;
        }
        let mut points: Vec<(f64, f64)> = angles.into_iter().zip(readings).collect();
        points.sort_by(|one, other| one.0.total_cmp(&other.0));
        let fit = row.and_then(stated).or_else(|| first_harmonic(&points));
        let wave = |angle: f64| fit.map_or(0.0, |fit| fit_at(fit, angle));
        let mean = points.iter().map(|(angle, amount)| amount - wave(*angle)).sum::<f64>() / count as f64;
        points.iter_mut().for_each(|(_, amount)| *amount -= mean);
        Some(Self { points, fit })
    }

    /// Least and greatest reading, from the mean.
    pub(super) fn range(&self) -> (f64, f64) {
        let amounts = || self.points.iter().map(|(_, amount)| *amount);
        (amounts().fold(f64::INFINITY, f64::min), amounts().fold(f64::NEG_INFINITY, f64::max))
    }
}

/// A dial on a cone reads what happens square to it, or along or square to the axis: then its reading is made
/// square to the cone. Source: plane geometry.
fn square_to_cone(direction: DialDirection, cone: Option<f64>) -> Option<f64> {
    match direction {
        DialDirection::Square => Some(1.0),
        DialDirection::Radial => Some(libm::sin(cone?.to_radians())),
        DialDirection::Axial => Some(libm::cos(cone?.to_radians())),
    }
}

/// What a circle shows at an angle whose centre lies off by an amount towards a direction, on a chart of
/// deviations: the first harmonic.
pub(super) fn fit_at((amount, towards): (f64, f64), angle: f64) -> f64 {
    amount * libm::cos((angle - towards).to_radians())
}

/// Eccentricity and its direction as the evaluation has them.
fn stated(row: &Row) -> Option<(f64, f64)> {
    let place = row.place.as_deref()?.strip_prefix("towards ")?;
    Some((row.measured?, place.trim_end_matches('°').parse().ok()?))
}

/// The least-squares fit of mean, cosine and sine to readings at angles; none when the angles do not tell
/// them apart. Normal equations in three unknowns, solved by Cramer's rule.
fn first_harmonic(points: &[(f64, f64)]) -> Option<(f64, f64)> {
    let mut sums = [[0.0; 3]; 3];
    let mut right = [0.0; 3];
    for (angle, amount) in points {
        let (sine, cosine) = libm::sincos(angle.to_radians());
        let terms = [1.0, cosine, sine];
        for (row, one) in terms.iter().enumerate() {
            right[row] += one * amount;
            for (column, other) in terms.iter().enumerate() {
                sums[row][column] += one * other;
            }
        }
    }
    let whole = determinant(&sums);
    let count = points.len() as f64;
    // At equal angles it is n³/4; far below that the angles lie too close together.
    if whole < 1e-4 * count * count * count {
        return None;
    }
    let solved = |unknown: usize| {
        let mut replaced = sums;
        for (row, amount) in replaced.iter_mut().zip(right) {
            row[unknown] = amount;
        }
        determinant(&replaced) / whole
    };
    let (cosine, sine) = (solved(1), solved(2));
    let amount = (cosine * cosine + sine * sine).sqrt();
    let towards = if amount > 1e-9 { libm::atan2(sine, cosine).to_degrees().rem_euclid(360.0) } else { 0.0 };
    Some((amount, towards))
}

fn determinant(m: &[[f64; 3]; 3]) -> f64 {
    let minor = |a: usize, b: usize| m[1][a] * m[2][b] - m[1][b] * m[2][a];
    m[0][0] * minor(1, 2) - m[0][1] * minor(0, 2) + m[0][2] * minor(0, 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn turn(angles: &[f64], amount: f64, towards: f64) -> Vec<(f64, f64)> {
        angles.iter().map(|angle| (*angle, 0.7 + fit_at((amount, towards), *angle))).collect()
    }

    /// A pure eccentricity is found again, whatever its mean, at equal and at unequal angles.
    #[test]
    fn the_fit_finds_a_circle_off_its_centre() {
        for angles in [vec![0.0, 90.0, 180.0, 270.0], vec![3.0, 40.0, 95.0, 170.0, 260.0, 310.0, 355.0]] {
            let (amount, towards) = first_harmonic(&turn(&angles, 0.02, 171.0)).unwrap();
            assert!((amount - 0.02).abs() < 1e-12 && (towards - 171.0).abs() < 1e-9, "{amount} {towards}");
        }
    }

    /// An ovality alone has no first harmonic: sums of cos 2φ cos φ over a whole turn vanish.
    #[test]
    fn an_oval_is_not_taken_for_an_eccentricity() {
        let points: Vec<(f64, f64)> =
            (0..8).map(|n| 45.0 * f64::from(n)).map(|a| (a, libm::cos((2.0 * a).to_radians()))).collect();
        assert!(first_harmonic(&points).unwrap().0 < 1e-12);
    }

    #[test]
    fn angles_that_do_not_tell_give_no_fit() {
        assert_eq!(first_harmonic(&turn(&[10.0, 10.0, 190.0, 190.0], 0.02, 0.0)), None);
        assert_eq!(first_harmonic(&turn(&[10.0, 11.0, 12.0, 13.0], 0.02, 0.0)), None);
    }
}
