//! At which installed heights the springs give the loads they should.

use headproof_metrology::load_at;

use crate::facts::SpringFacts;
use crate::grid::length;
use crate::moved::{HAIR, Zone};

/// Loads over the installed height: straight between its points.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LoadCurve(Vec<(f64, f64)>);

impl LoadCurve {
    /// Of all springs of a valve together, `shift` below their installed height (nothing closed, the lift
    /// open). It reaches as far as the loads may be drawn out: a tenth of their span on either side.
    pub(crate) fn new(springs: &[SpringFacts], shift: f64) -> Option<Self> {
        let mut reach = (f64::NEG_INFINITY, f64::INFINITY);
        let mut heights = Vec::new();
        for spring in springs {
            let own = || spring.points.iter().map(|(height, _)| height.approx() + spring.step + shift);
            let (least, greatest) =
                (own().fold(f64::INFINITY, f64::min), own().fold(f64::NEG_INFINITY, f64::max));
            let beyond = 0.1 * (greatest - least) - HAIR;
            reach = (reach.0.max(least - beyond), reach.1.min(greatest + beyond));
            heights.extend(own());
        }
        heights.retain(|height| reach.0 < *height && *height < reach.1);
        heights.extend([reach.0, reach.1]);
        heights.sort_by(f64::total_cmp);
        heights.dedup();
        let total = |height: f64| {
            springs.iter().try_fold(0.0, |sum, spring| {
                let at = length(height - spring.step - shift);
                load_at(&spring.points, at).ok().map(|load| sum + load.value.get())
            })
        };
        let curve: Option<Vec<_>> =
            heights.into_iter().map(|height| total(height).map(|load| (height, load))).collect();
        curve.filter(|points| !springs.is_empty() && points.len() >= 2).map(Self)
    }

    /// The least and the greatest height it reaches.
    pub(crate) fn reach(&self) -> (f64, f64) {
        (self.0[0].0, self.0[self.0.len() - 1].0)
    }

    /// Load at a height within its reach.
    pub(crate) fn at(&self, height: f64) -> Option<f64> {
        let piece = self.0.windows(2).find(|piece| piece[0].0 <= height && height <= piece[1].0)?;
        Some(crossing((piece[0].1, piece[0].0), (piece[1].1, piece[1].0), height))
    }

    /// Heights from the one below which the load is too great to the one above which it is too small; without
    /// a bound on that side nothing. A load that nowhere fits gives bounds that cross.
    pub(crate) fn heights(&self, zone: &Zone) -> (Option<f64>, Option<f64>) {
        let greatest = zone.least.map(|least| {
            let mut fits = f64::NEG_INFINITY;
            for piece in self.0.windows(2) {
                if piece[0].1 < least {
                    break;
                }
                fits = if piece[1].1 >= least { piece[1].0 } else { crossing(piece[0], piece[1], least) };
            }
            fits
        });
        let least = zone.greatest.map(|greatest| {
            let mut fits = f64::INFINITY;
            for piece in self.0.windows(2).rev() {
                if piece[1].1 > greatest {
                    break;
                }
                fits =
                    if piece[0].1 <= greatest { piece[0].0 } else { crossing(piece[0], piece[1], greatest) };
            }
            fits
        });
        (least, greatest)
    }
}

/// Where the straight line through two points (place, amount) reaches an amount.
fn crossing(a: (f64, f64), b: (f64, f64), amount: f64) -> f64 {
    let share = (amount - a.1) / (b.1 - a.1);
    share.mul_add(b.0 - a.0, a.0)
}

#[cfg(test)]
mod tests {
    use headproof_quantity::{Force, Unit};

    use super::*;

    fn spring(points: &[(f64, f64)]) -> SpringFacts {
        let force = |newton| Force::from_f64(newton, Unit::Newton).unwrap();
        SpringFacts {
            step: 0.0,
            points: points.iter().map(|(height, load)| (length(*height), force(*load))).collect(),
            solid: None,
        }
    }

    #[test]
    fn the_load_zone_becomes_a_zone_of_heights() {
        let curve = LoadCurve::new(&[spring(&[(35.0, 250.0), (30.0, 400.0)])], 0.0).unwrap();
        let zone = Zone { least: Some(235.0), greatest: Some(280.0), ..Zone::default() };
        let (least, greatest) = curve.heights(&zone);
        assert!((least.unwrap() - 34.0).abs() < 1e-9 && (greatest.unwrap() - 35.5).abs() < 1e-5);
        assert!((curve.at(34.0).unwrap() - 280.0).abs() < 1e-9);
        let (low, high) = curve.reach();
        assert!((low - 29.5).abs() < 1e-5 && (high - 35.5).abs() < 1e-5);
    }

    #[test]
    fn a_load_that_nowhere_fits_leaves_no_height() {
        let curve = LoadCurve::new(&[spring(&[(35.0, 250.0), (30.0, 400.0)])], 0.0).unwrap();
        let zone = Zone { least: Some(500.0), ..Zone::default() };
        assert_eq!(curve.heights(&zone).1, Some(f64::NEG_INFINITY));
    }

    #[test]
    fn nested_springs_add_up() {
        let curve = LoadCurve::new(
            &[spring(&[(35.0, 250.0), (30.0, 400.0)]), spring(&[(34.0, 90.0), (30.0, 130.0)])],
            0.0,
        );
        assert!((curve.unwrap().at(32.0).unwrap() - (340.0 + 110.0)).abs() < 1e-6);
    }
}
