//! Leak rates.

use headproof_quantity::{Computed, Exact, FlowDim, Pressure, Time, Volume};

use crate::{MetrologyError, Sum};

/// The leak rate from a pressure decay in a closed volume: `Q = V (start − end) / t`.
///
/// For a vacuum pass the two depths below the atmosphere. A negative rate means that the pressure (or
/// the depth of the vacuum) rose, as it does when the gas warms or cools: it is given as it is.
///
/// Units: mL, kPa and s give Pa·m³/s at the temperature of the test; sensitivities to volume (Pa·m³/s
/// per mL), start and end (per kPa) and time (per s). The volume is that of the port with hose and gauge.
///
/// # Errors
/// [`MetrologyError::NotPositive`] for the volume or the time.
///
/// Source: ideal gas at constant temperature.
///
/// ```
/// use headproof_quantity::{Pressure, Time, Unit, Volume};
/// let leak = headproof_metrology::decay_flow(
///     Volume::from_f64(250.0, Unit::Millilitre)?,
///     Pressure::from_f64(50.35, Unit::Kilopascal)?,
///     Pressure::from_f64(50.0, Unit::Kilopascal)?,
///     Time::from_f64(30.0, Unit::Second)?,
/// )?;
/// assert!((leak.value.get() - 2.91666667e-3).abs() < 1e-11);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn decay_flow(
    volume: Volume,
    start: Pressure,
    end: Pressure,
    seconds: Time,
) -> Result<Sum<FlowDim, 4>, MetrologyError> {
    let (v, t) = (volume.approx(), seconds.approx());
    for (what, given) in [("the test volume", volume.exact()), ("the duration", seconds.exact())] {
        if given <= Exact::ZERO {
            return Err(MetrologyError::NotPositive { what, given: given.to_f64() });
        }
    }
    // 1 mL·kPa = 10⁻⁶ m³ · 10³ Pa.
    let fall = (start - end).exact().approx() / 1000.0;
    let flow = v * fall / t;
    let per_pressure = v / t / 1000.0;
    Ok(Sum { value: Computed::new(flow), sensitivity: [fall / t, per_pressure, -per_pressure, -flow / t] })
}

#[cfg(test)]
mod tests {
    use headproof_quantity::Unit;

    use super::*;

    #[test]
    fn a_test_without_volume_or_time_is_refused() {
        let one = Volume::from_f64(1.0, Unit::Millilitre).expect("a volume");
        let second = Time::from_f64(1.0, Unit::Second).expect("a time");
        assert!(decay_flow(Volume::ZERO, Pressure::ZERO, Pressure::ZERO, second).is_err());
        assert!(decay_flow(one, Pressure::ZERO, Pressure::ZERO, Time::ZERO).is_err());
    }

    #[test]
    fn a_rising_pressure_is_no_leak_and_shows_as_negative() {
        let one = Volume::from_f64(1.0, Unit::Millilitre).expect("a volume");
        let second = Time::from_f64(1.0, Unit::Second).expect("a time");
        let high = Pressure::from_f64(2.0, Unit::Kilopascal).expect("a pressure");
        let flow = decay_flow(one, Pressure::ZERO, high, second).expect("a flow");
        assert!(flow.value.get() < 0.0);
    }
}
