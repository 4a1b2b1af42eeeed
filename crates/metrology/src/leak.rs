//! Leak rates.

use headproof_quantity::{Computed, Exact, FlowDim, Pressure, PressureDim, Temperature, Time, Volume};

use crate::check::{not_negative, positive};
use crate::{MetrologyError, Sum};

/// 1 mL·kPa = 10⁻⁶ m³ · 10³ Pa.
const ML_KPA_PER_PA_M3: f64 = 1000.0;
/// 0 °C in kelvin, in hundredths.
const ZERO_CELSIUS: Exact = Exact::from_count(27_315, 2);

/// A temperature in kelvin, which must lie above absolute zero.
fn kelvin(what: &'static str, temperature: Temperature) -> Result<f64, MetrologyError> {
    positive(what, Temperature::from_exact(temperature.exact() + ZERO_CELSIUS))
}

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
    let (v, t) = (positive("the test volume", volume)?, positive("the duration", seconds)?);
    let fall = (start - end).exact().approx() / ML_KPA_PER_PA_M3;
    let flow = v * fall / t;
    let per_pressure = v / t / ML_KPA_PER_PA_M3;
    Ok(Sum { value: Computed::new(flow), sensitivity: [fall / t, per_pressure, -per_pressure, -flow / t] })
}

/// The leak rate from a pressure decay during which the gas changed its temperature:
/// `Q = V (p1 − p2 T1 / T2) / t`, the amount of gas that left, as pressure times volume at T1.
///
/// Cooling by half a kelvin at 200 kPa looks like a leak of 341 Pa; this takes it out. Pressures are
/// absolute. A negative rate means that gas came in: it is given as it is.
///
/// Units: mL, kPa, °C and s give Pa·m³/s at the start's temperature; sensitivities in the order of the
/// inputs (per mL, kPa, kPa, K, K and s).
///
/// # Errors
/// [`MetrologyError::NotPositive`] for the volume, the time or a temperature in kelvin,
/// [`MetrologyError::Negative`] for an absolute pressure.
///
/// Source: ideal gas in a constant volume.
///
/// ```
/// use headproof_quantity::{Pressure, Temperature, Time, Unit, Volume};
/// let kilopascal = |amount| Pressure::from_f64(amount, Unit::Kilopascal);
/// let celsius = |amount| Temperature::from_f64(amount, Unit::DegreeCelsius);
/// // Of a fall by 350 Pa, 341.12 Pa came from cooling by 0.5 K.
/// let leak = headproof_metrology::decay_flow_at_temperatures(
///     Volume::from_f64(250.0, Unit::Millilitre)?,
///     kilopascal(200.0)?,
///     kilopascal(199.65)?,
///     celsius(20.0)?,
///     celsius(19.5)?,
///     Time::from_f64(30.0, Unit::Second)?,
/// )?;
/// assert!((leak.value.get() - 250e-6 * (350.0 - 341.107) / 30.0).abs() < 1e-8);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn decay_flow_at_temperatures(
    volume: Volume,
    start_absolute: Pressure,
    end_absolute: Pressure,
    start: Temperature,
    end: Temperature,
    seconds: Time,
) -> Result<Sum<FlowDim, 6>, MetrologyError> {
    let (v, t) = (positive("the test volume", volume)?, positive("the duration", seconds)?);
    not_negative("the absolute pressure at the start", start_absolute)?;
    let p2 = not_negative("the absolute pressure at the end", end_absolute)?;
    let t1 = kelvin("the temperature at the start, in kelvin,", start)?;
    let t2 = kelvin("the temperature at the end, in kelvin,", end)?;
    // p1 − p2 T1/T2 with both differences taken exactly, since they are small beside p and T.
    let warmed = (end - start).exact().approx();
    let fall = (start_absolute - end_absolute).exact().approx() + p2 * warmed / t2;
    let per_pressure = v / t / ML_KPA_PER_PA_M3;
    let flow = fall * per_pressure;
    Ok(Sum {
        value: Computed::new(flow),
        sensitivity: [
            flow / v,
            per_pressure,
            -per_pressure * t1 / t2,
            -per_pressure * p2 / t2,
            per_pressure * p2 * t1 / (t2 * t2),
            -flow / t,
        ],
    })
}

/// The change of pressure in a closed and tight volume when its gas goes from one temperature to
/// another: `Δp = p (T2 − T1) / T1`, negative when it cools.
///
/// Units: kPa (absolute) and °C give kPa; sensitivities to the pressure at the start (kPa/kPa) and the
/// temperature at start and end (kPa/K).
///
/// # Errors
/// [`MetrologyError::Negative`] for the absolute pressure, [`MetrologyError::NotPositive`] for a
/// temperature in kelvin.
///
/// Source: ideal gas in a constant volume.
///
/// ```
/// use headproof_quantity::{Pressure, Temperature, Unit};
/// let celsius = |amount| Temperature::from_f64(amount, Unit::DegreeCelsius);
/// let absolute = Pressure::from_f64(200.0, Unit::Kilopascal)?;
/// let drift = headproof_metrology::drift_pressure(absolute, celsius(20.0)?, celsius(19.5)?)?;
/// assert!((drift.value.get() + 0.34112).abs() < 5e-6);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn drift_pressure(
    absolute: Pressure,
    start: Temperature,
    end: Temperature,
) -> Result<Sum<PressureDim, 3>, MetrologyError> {
    let p = not_negative("the absolute pressure", absolute)?;
    let t1 = kelvin("the temperature at the start, in kelvin,", start)?;
    let t2 = kelvin("the temperature at the end, in kelvin,", end)?;
    let part = (end - start).exact().approx() / t1;
    Ok(Sum { value: Computed::new(p * part), sensitivity: [part, -p * t2 / (t1 * t1), p / t1] })
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
    #[test]
    fn a_gas_below_absolute_zero_is_refused() {
        let celsius = |amount| Temperature::from_f64(amount, Unit::DegreeCelsius).expect("a temperature");
        let kilopascal = |amount| Pressure::from_f64(amount, Unit::Kilopascal).expect("a pressure");
        let error = drift_pressure(kilopascal(200.0), celsius(-273.15), celsius(20.0)).expect_err("no gas");
        assert_eq!(
            error.to_string(),
            "the temperature at the start, in kelvin, must be more than zero, is 0"
        );
        assert!(drift_pressure(kilopascal(-0.1), celsius(20.0), celsius(20.0)).is_err());
        let one = Volume::from_f64(1.0, Unit::Millilitre).expect("a volume");
        let second = Time::from_f64(1.0, Unit::Second).expect("a time");
        let flow = |end: f64, temperature: f64| {
            decay_flow_at_temperatures(
                one,
                kilopascal(1.0),
                kilopascal(end),
                celsius(20.0),
                celsius(temperature),
                second,
            )
        };
        assert!(flow(1.0, -273.15).is_err() && flow(-1.0, 20.0).is_err() && flow(0.0, -273.14).is_ok());
    }
}
