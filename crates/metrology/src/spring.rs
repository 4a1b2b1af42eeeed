//! Valve springs: rate, load at a height, coil bind, and what wire and coil promise.

mod theory;

use headproof_quantity::{Computed, Exact, Force, ForceDim, Length, LengthDim, SpringRateDim};

use crate::{MetrologyError, Sum};

pub use theory::{natural_frequency, shear_stress, solid_length, theory_rate};

/// A spring's rate with its partial derivatives.
#[derive(Debug, Clone, PartialEq)]
pub struct RateSum {
    /// Load gained per millimetre of shortening, unrounded.
    pub value: Computed<SpringRateDim>,
    /// Partials to each reading's load, in 1/mm.
    pub load_sensitivity: Vec<f64>,
    /// Partials to each reading's height, in N/mm².
    pub height_sensitivity: Vec<f64>,
}

/// A load at a height with its partial derivatives.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadSum {
    /// The unrounded load.
    pub value: Computed<ForceDim>,
    /// Index of a reading and partial to its load, in N/N.
    pub load_sensitivity: Vec<(usize, f64)>,
    /// Index of a reading and partial to its height, in N/mm.
    pub height_sensitivity: Vec<(usize, f64)>,
    /// Partial to the height asked for, in N/mm.
    pub asked_height_sensitivity: f64,
    /// The height lies outside the readings, so that the load was carried on by the rate.
    pub carried_on: bool,
}

/// Readings at one height and the mean of their loads.
#[derive(Clone, Copy)]
struct Station {
    height: Length,
    load: f64,
    count: f64,
}

impl Station {
    fn at(points: &[(Length, Force)], height: Length) -> Self {
        let loads = || points.iter().filter(|point| point.0 == height).map(|point| point.1.approx());
        let count = loads().count() as f64;
        Self { height, load: loads().sum::<f64>() / count, count }
    }

    /// The slope from this station to another, in N/mm (falling for a spring).
    fn slope_to(&self, other: &Self) -> f64 {
        (other.load - self.load) / (other.height - self.height).exact().approx()
    }
}

/// The least and the greatest height, which must differ.
fn extremes(points: &[(Length, Force)]) -> Result<(Length, Length), MetrologyError> {
    let heights = || points.iter().map(|point| point.0);
    match (heights().min(), heights().max()) {
        (Some(least), Some(greatest)) if points.len() >= 2 => {
            if least == greatest {
                Err(MetrologyError::AllSamePlace)
            } else {
                Ok((least, greatest))
            }
        }
        _ => Err(MetrologyError::NotEnough { needed: 2, given: points.len() }),
    }
}

/// The rate of a spring from loads at two or more heights, by least squares of load on height.
///
/// Units: mm and N give N/mm, positive for a spring that stiffens as it shortens.
///
/// # Errors
/// [`MetrologyError::NotEnough`] for fewer than two readings, [`MetrologyError::AllSamePlace`] when all
/// heights are equal.
///
/// Source: linear least squares.
///
/// ```
/// use headproof_quantity::{Force, Length, Unit};
/// let point = |inch, lbf| -> Result<_, headproof_quantity::UnitError> {
///     Ok((Length::from_f64(inch, Unit::Inch)?, Force::from_f64(lbf, Unit::PoundForce)?))
/// };
/// let rate = headproof_metrology::rate(&[point(1.39, 230.0)?, point(1.8, 80.0)?])?;
/// assert!((rate.value.get() - 150.0 / 0.41 * 4.4482216152605 / 25.4).abs() < 1e-11);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn rate(points: &[(Length, Force)]) -> Result<RateSum, MetrologyError> {
    let (least, _) = extremes(points)?;
    let count = points.len() as f64;
    let height = |point: &(Length, Force)| (point.0 - least).exact().approx();
    let mean_height = points.iter().map(height).sum::<f64>() / count;
    let mean_load = points.iter().map(|point| point.1.approx()).sum::<f64>() / count;
    let deviations =
        || points.iter().map(|point| (height(point) - mean_height, point.1.approx() - mean_load));
    let squares: f64 = deviations().map(|(h, _)| h * h).sum();
    let slope = deviations().map(|(h, f)| h * f).sum::<f64>() / squares;
    Ok(RateSum {
        value: Computed::new(-slope),
        load_sensitivity: deviations().map(|(h, _)| -h / squares).collect(),
        height_sensitivity: deviations().map(|(h, f)| (2.0 * slope * h - f) / squares).collect(),
    })
}

/// The load of a spring at a height: between the readings by the straight line through the two
/// neighbours, outside them by at most a tenth of their span from the outermost reading by [`rate`].
///
/// Readings may come in any order; those at one and the same height count as their mean. On a reading's
/// own height, where two lines meet, the sensitivity to height is that of the steeper one.
///
/// Units: mm and N.
///
/// # Errors
/// [`MetrologyError::NotEnough`] for fewer than two readings, [`MetrologyError::AllSamePlace`] when all
/// heights are equal, [`MetrologyError::OutOfReach`] further outside than a tenth of the span.
///
/// Source: linear interpolation; the tenth is common practice, no source.
///
/// ```
/// use headproof_quantity::{Force, Length, Unit};
/// let point = |mm, newton| -> Result<_, headproof_quantity::UnitError> {
///     Ok((Length::from_f64(mm, Unit::Millimetre)?, Force::from_f64(newton, Unit::Newton)?))
/// };
/// let points = [point(46.0, 350.0)?, point(36.0, 1000.0)?];
/// let load = headproof_metrology::load_at(&points, Length::from_f64(44.0, Unit::Millimetre)?)?;
/// assert!((load.value.get() - 480.0).abs() < 1e-12 && !load.carried_on);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn load_at(points: &[(Length, Force)], height: Length) -> Result<LoadSum, MetrologyError> {
    let (least, greatest) = extremes(points)?;
    if height < least || height > greatest {
        return carry_on(points, height, least, greatest);
    }
    let heights = || points.iter().map(|point| point.0);
    let station = |found: Option<Length>| found.map(|height| Station::at(points, height));
    let below = station(heights().filter(|h| *h < height).max());
    let here = station(heights().find(|h| *h == height));
    let above = station(heights().filter(|h| *h > height).min());
    let steeper = |a: (Station, Station), b: (Station, Station)| {
        if a.0.slope_to(&a.1).abs() >= b.0.slope_to(&b.1).abs() { a } else { b }
    };
    let (low, high) = match (below, here, above) {
        (Some(below), Some(here), Some(above)) => steeper((below, here), (here, above)),
        (Some(low), None, Some(high)) | (Some(low), Some(high), None) | (None, Some(low), Some(high)) => {
            (low, high)
        }
        _ => return Err(MetrologyError::AllSamePlace),
    };
    let slope = low.slope_to(&high);
    let share_high = (height - low.height).exact().approx() / (high.height - low.height).exact().approx();
    let shares = [(low, 1.0 - share_high), (high, share_high)];
    let load_sensitivity: Vec<_> = (points.iter().enumerate())
        .filter_map(|(index, point)| {
            let (station, share) = shares.iter().find(|(station, _)| station.height == point.0)?;
            (*share > 0.0).then_some((index, share / station.count))
        })
        .collect();
    Ok(LoadSum {
        value: Computed::new(low.load + slope * (height - low.height).exact().approx()),
        height_sensitivity: load_sensitivity.iter().map(|(index, share)| (*index, -slope * share)).collect(),
        load_sensitivity,
        asked_height_sensitivity: slope,
        carried_on: false,
    })
}

/// The load outside the readings.
fn carry_on(
    points: &[(Length, Force)],
    height: Length,
    least: Length,
    greatest: Length,
) -> Result<LoadSum, MetrologyError> {
    let outermost = Station::at(points, if height < least { least } else { greatest });
    let beyond = (height - outermost.height).exact();
    if tenfold(beyond.abs()) > (greatest - least).exact() {
        let [height, least, greatest] = [height, least, greatest].map(|h| h.exact().to_f64());
        return Err(MetrologyError::OutOfReach { height, least, greatest });
    }
    let rate = rate(points)?;
    let beyond = beyond.approx();
    let own_share = |index: usize| {
        if points[index].0 == outermost.height { 1.0 / outermost.count } else { 0.0 }
    };
    let slope = -rate.value.get();
    let load = |(index, partial): (usize, &f64)| (index, own_share(index) - beyond * partial);
    let of_height = |(index, partial): (usize, &f64)| (index, -slope * own_share(index) - beyond * partial);
    Ok(LoadSum {
        value: Computed::new(outermost.load + slope * beyond),
        load_sensitivity: rate.load_sensitivity.iter().enumerate().map(load).collect(),
        height_sensitivity: rate.height_sensitivity.iter().enumerate().map(of_height).collect(),
        asked_height_sensitivity: slope,
        carried_on: true,
    })
}

/// Ten times an amount, exactly.
fn tenfold(amount: Exact) -> Exact {
    let twice = amount + amount;
    let fourfold = twice + twice;
    fourfold + fourfold + twice
}

/// What is left between the coils at full lift: installed height less lift less solid height.
///
/// Units: mm; sensitivities in mm/mm. A negative margin means that the coils would bind.
///
/// Source: definition (common practice).
///
/// ```
/// use headproof_quantity::{Length, Unit};
/// let mm = |amount| Length::from_f64(amount, Unit::Millimetre);
/// let margin = headproof_metrology::coil_bind_margin(mm(46.0)?, mm(10.5)?, mm(33.0)?);
/// assert_eq!(margin.value.get(), 2.5);
/// # Ok::<(), headproof_quantity::UnitError>(())
/// ```
#[must_use]
pub fn coil_bind_margin(installed: Length, lift: Length, solid: Length) -> Sum<LengthDim, 3> {
    let margin = installed.exact() - lift.exact() - solid.exact();
    Sum { value: Computed::new(margin.approx()), sensitivity: [1.0, -1.0, -1.0] }
}

#[cfg(test)]
mod tests {
    use headproof_quantity::Unit;

    use super::*;

    fn mm(amount: f64) -> Length {
        Length::from_f64(amount, Unit::Millimetre).expect("a length")
    }

    fn points(pairs: &[(f64, f64)]) -> Vec<(Length, Force)> {
        pairs.iter().map(|p| (mm(p.0), Force::from_f64(p.1, Unit::Newton).expect("a force"))).collect()
    }

    #[track_caller]
    fn check(pairs: &[(f64, f64)], height: f64, load: f64, slope: f64) {
        let sum = load_at(&points(pairs), mm(height)).expect("a load");
        assert!((sum.value.get() - load).abs() < 1e-9, "{sum:?}");
        assert!((sum.asked_height_sensitivity - slope).abs() < 1e-9, "{sum:?}");
        let shares: f64 = sum.load_sensitivity.iter().map(|(_, share)| share).sum();
        assert!((shares - 1.0).abs() < 1e-12);
    }

    #[test]
    fn loads_are_read_off_the_line_between_neighbours_in_any_order() {
        let three = [(30.0, 900.0), (50.0, 300.0), (40.0, 500.0)];
        check(&three, 45.0, 400.0, -20.0);
        check(&three, 32.0, 820.0, -40.0);
        check(&three, 30.0, 900.0, -40.0);
        check(&three, 50.0, 300.0, -20.0);
        // On the middle reading the steeper neighbour gives the sensitivity.
        check(&three, 40.0, 500.0, -40.0);
    }

    #[test]
    fn repeats_at_one_height_count_as_their_mean() {
        check(&[(40.0, 500.0), (40.0, 520.0), (30.0, 910.0)], 35.0, 710.0, -40.0);
        check(&[(40.0, 500.0), (40.0, 520.0), (30.0, 910.0)], 40.0, 510.0, -40.0);
    }

    #[test]
    fn just_outside_the_rate_carries_on_and_further_out_is_refused() {
        let three = points(&[(30.0, 900.0), (50.0, 300.0), (40.0, 500.0)]);
        // Least squares of the three: −30 N/mm.
        let sum = load_at(&three, mm(52.0)).expect("exactly a tenth of the span outside");
        assert!(sum.carried_on && (sum.value.get() - 240.0).abs() < 1e-9, "{sum:?}");
        assert!((load_at(&three, mm(28.5)).expect("inside a tenth").value.get() - 945.0).abs() < 1e-9);
        let refused = MetrologyError::OutOfReach { height: 52.000001, least: 30.0, greatest: 50.0 };
        assert_eq!(load_at(&three, mm(52.000_001)), Err(refused));
        assert!(load_at(&three, mm(27.9)).is_err());
    }

    #[test]
    fn one_height_gives_no_line() {
        assert_eq!(
            load_at(&points(&[(40.0, 5.0), (40.0, 6.0)]), mm(40.0)),
            Err(MetrologyError::AllSamePlace)
        );
        assert_eq!(rate(&points(&[(40.0, 5.0)])), Err(MetrologyError::NotEnough { needed: 2, given: 1 }));
        assert_eq!(load_at(&[], mm(1.0)), Err(MetrologyError::NotEnough { needed: 2, given: 0 }));
    }
}
