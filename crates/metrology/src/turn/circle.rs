//! Where the readings of a turn stand, and what harmonics can be told from there.

use std::borrow::Cow;
use std::f64::consts::PI;
use std::sync::OnceLock;

use headproof_quantity::Angle;

use crate::cone::RADIANS;
use crate::fit::Fit;

/// How much greater than at equal angles the variance of a harmonic may be in its worst direction.
const WORST_VARIANCE: f64 = 100.0;
/// Decimals of an exact angle, and a whole turn in its last one.
const DECIMALS: u32 = 28;
const WHOLE_TURN: i128 = 360 * 10i128.pow(DECIMALS);
/// The largest number of equal angles whose sines are kept: every half degree.
const MOST_KEPT: usize = 720;

/// A place on the unit circle as a row of the least zone: cosine, sine, 1 and the side.
type Place = [f64; 4];

/// Places at equal angles, by their number; heads repeat the same number many times.
static EQUAL: [OnceLock<Vec<Place>>; MOST_KEPT + 1] = [const { OnceLock::new() }; MOST_KEPT + 1];

/// The places of the readings and the fits that they allow.
#[derive(Debug, Clone)]
pub(super) struct Circle {
    pub(super) places: Cow<'static, [Place]>,
    /// Mean and first harmonic.
    pub(super) first: Fit<3>,
    /// Mean, first and second harmonic, where the places can tell them apart.
    pub(super) second: Option<Fit<5>>,
}

fn place(radians: f64) -> Place {
    let (sine, cosine) = libm::sincos(radians);
    [cosine, sine, 1.0, 0.0]
}

fn equal_places(count: usize) -> Vec<Place> {
    (0..count).map(|index| place(2.0 * PI * index as f64 / count as f64)).collect()
}

/// The first `K` of mean, first harmonic and second harmonic at a place.
fn row<const K: usize>(place: &Place) -> [f64; K] {
    let [cosine, sine, ..] = *place;
    let all = [1.0, cosine, sine, cosine * cosine - sine * sine, 2.0 * cosine * sine];
    std::array::from_fn(|k| all[k])
}

fn rows<const K: usize>(places: &[Place]) -> impl ExactSizeIterator<Item = [f64; K]> + Clone {
    places.iter().map(row)
}

/// The two rows and columns of the covariance of harmonic `order`: both variances and the covariance.
pub(super) fn block<const K: usize>(fit: &Fit<K>, order: usize) -> (f64, f64, f64) {
    let (cosine, sine) = (2 * order - 1, 2 * order);
    (fit.covariance[cosine][cosine], fit.covariance[sine][sine], fit.covariance[cosine][sine])
}

/// Are all harmonics of the fit told well enough?
fn told<const K: usize>(fit: &Fit<K>, count: usize) -> bool {
    let at_equal_angles = 2.0 / count as f64;
    (1..=K / 2).all(|order| {
        let (p, r, q) = block(fit, order);
        let worst = 0.5 * (p + r) + libm::hypot(0.5 * (p - r), q);
        worst <= WORST_VARIANCE * at_equal_angles
    })
}

impl Circle {
    /// Equal angles, where the harmonics are orthogonal and the fits are the closed Fourier sums. Four
    /// readings see only one direction of an ovality.
    pub(super) fn equal(count: usize) -> Self {
        let places = match EQUAL.get(count) {
            Some(kept) => Cow::Borrowed(kept.get_or_init(|| equal_places(count)).as_slice()),
            None => Cow::Owned(equal_places(count)),
        };
        let (whole, half) = (count as f64, 0.5 * count as f64);
        let second = (count > 4).then(|| Fit::orthogonal([whole, half, half, half, half]));
        Self { places, first: Fit::orthogonal([whole, half, half]), second }
    }

    /// Given angles; `None` when they cannot tell the first harmonic from the mean.
    pub(super) fn at(angles: &[Angle]) -> Option<Self> {
        let within_turn = |angle: &Angle| (angle.exact().count(DECIMALS) % WHOLE_TURN) as f64;
        let one = 10f64.powi(DECIMALS as i32);
        let places: Vec<Place> = angles.iter().map(|a| place(within_turn(a) / one * RADIANS)).collect();
        let count = places.len();
        let first = Fit::new(rows(&places)).filter(|fit| told(fit, count))?;
        let second = if count > 4 { Fit::new(rows(&places)).filter(|fit| told(fit, count)) } else { None };
        Some(Self { places: Cow::Owned(places), first, second })
    }

    /// The first `K` of mean, first harmonic and second harmonic at each place.
    pub(super) fn rows<const K: usize>(&self) -> impl ExactSizeIterator<Item = [f64; K]> + Clone {
        rows(&self.places)
    }

    /// Three places that lie far apart: the first, the furthest from it, and the furthest from the line
    /// through both.
    pub(super) fn spanning(&self) -> [usize; 3] {
        let away = |place: &Place| (place[0] - self.places[0][0], place[1] - self.places[0][1]);
        let furthest = |measure: &dyn Fn((f64, f64)) -> f64| {
            let measures = self.places.iter().map(away).map(measure).enumerate();
            measures.fold((0, 0.0), |best, (index, m)| if m > best.1 { (index, m) } else { best }).0
        };
        let second = furthest(&|(x, y)| x * x + y * y);
        let (ux, uy) = away(&self.places[second]);
        [0, second, furthest(&|(x, y)| (ux * y - uy * x).abs())]
    }
}
