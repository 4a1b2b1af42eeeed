//! Values that come from outside this project; the source stands beside each.

use headproof_metrology::{
    CompressionInputs, combined, compression_ratio, conformance_probability, decay_flow,
    decay_flow_at_temperatures, drift_pressure, guard_band_multiplier, interference_angle, load_at,
    normal_quantile, rate, swept_volume,
};
use headproof_quantity::{Angle, Force, Length, Pressure, Temperature, Time, Unit, Volume};

const NEWTON_PER_MM: f64 = 4.448_221_615_260_5 / 25.4;

fn length(amount: f64, unit: Unit) -> Length {
    Length::from_f64(amount, unit).expect("a length")
}

fn mm(amount: f64) -> Length {
    length(amount, Unit::Millimetre)
}

fn ml(amount: f64) -> Volume {
    Volume::from_f64(amount, Unit::Millilitre).expect("a volume")
}

fn spring(pairs: &[(f64, f64)]) -> Vec<(Length, Force)> {
    let force = |lbf| Force::from_f64(lbf, Unit::PoundForce).expect("a force");
    pairs.iter().map(|(inch, lbf)| (length(*inch, Unit::Inch), force(*lbf))).collect()
}

#[track_caller]
fn close(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value} is not {expected}");
}

/// Resistor, Zener diode: inputs of examples in JCGM 106:2012 (from memory); values computed with
/// scipy.stats.norm 1.17.1.
#[test]
fn conformance_probabilities_of_the_guide() {
    let p = conformance_probability;
    close(p(1500.0, 0.12, Some(1499.8), Some(1500.2)), 0.904_419_295_5, 1e-10);
    close(p(-5.47, 0.05, None, Some(-5.40)), 0.919_243_340_8, 1e-10);
}

/// Head-shaped cases, computed with scipy.stats.norm 1.17.1.
#[test]
fn conformance_probabilities_near_limits() {
    let p = conformance_probability;
    close(p(10.02, 0.01, Some(9.95), Some(10.05)), 0.998_650_102_0, 1e-10);
    close(p(1.52, 0.04, Some(0.89), Some(1.52)), 0.5, 1e-10);
    close(p(1.50, 0.04, Some(0.89), Some(1.52)), 0.691_462_461_3, 1e-10);
    close(p(0.045, 0.005, None, Some(0.05)), 0.841_344_746_1, 1e-10);
    close(p(0.0418, 0.005, None, Some(0.05)), 0.949_497_416_6, 1e-10);
}

/// Computed with scipy.stats.norm.ppf 1.17.1.
#[test]
fn normal_quantiles() {
    let table = [
        (0.80, 0.841_621_233_6),
        (0.90, 1.281_551_565_5),
        (0.95, 1.644_853_627_0),
        (0.99, 2.326_347_874_0),
        (0.999, 3.090_232_306_2),
    ];
    for (probability, z) in table {
        close(normal_quantile(probability).expect("a quantile"), z, 1e-10);
        close(guard_band_multiplier(probability, None).expect("a multiplier"), z, 1e-10);
    }
}

/// Speed limit 100 km/h, relative uncertainty 2 %, 99.9 %: inputs of an example in JCGM 106:2012 (from
/// memory), value computed with scipy.stats.norm 1.17.1.
#[test]
fn the_speed_that_proves_an_offence() {
    let g = guard_band_multiplier(0.999, None).expect("a multiplier");
    close(100.0 / (1.0 - g * 0.02), 106.587_609_5, 1e-7);
}

/// Roots of Φ(g) − Φ(g − T/u) = 0.95, computed with scipy.optimize.brentq 1.17.1.
#[test]
fn two_sided_guard_bands_at_95_percent() {
    let g = |width| guard_band_multiplier(0.95, Some(width));
    let table = [
        (4.0, 1.796_212_7),
        (4.25, 1.699_384_8),
        (4.5, 1.667_682_3),
        (5.0, 1.648_766_5),
        (6.0, 1.644_918_1),
        (8.0, 1.644_853_6),
    ];
    for (width, expected) in table {
        close(g(width).expect("a multiplier"), expected, 5e-8);
    }
    // Just above twice 1.959 963 985 the zone of acceptance is a point; below there is none.
    close(g(3.919_928).expect("the least tolerance"), 1.959_964, 2e-4);
    assert_eq!(g(3.919_927), None);
    for width in [3.92, 3.93, 4.0, 5.0, 8.0] {
        let g = g(width).expect("a multiplier");
        close(conformance_probability(0.0, 1.0, Some(g - width), Some(g)), 0.95, 1e-12);
    }
}

/// JCGM 100:2008, H.1 (from memory), rounded parts recombined.
#[test]
fn the_end_gauge_of_the_guide() {
    close(combined([(1.0, 25.0), (1.0, 9.7), (1.0, 2.9), (1.0, 16.6)].into_iter()), 31.671_122_5, 1e-7);
}

/// TM 9-2815-237-34, Tables 2-2 and 2-3 (US Army, public domain): face 45°, seat 46°; 80 lb at 1.8 in,
/// 230 lb at 1.39 in.
#[test]
fn an_army_manual_s_valve_and_spring() {
    let degrees = |amount| Angle::from_f64(amount, Unit::Degree).expect("an angle");
    close(interference_angle(degrees(46.0), degrees(45.0)).value.get(), 1.0, 0.0);
    let points = spring(&[(1.8, 80.0), (1.39, 230.0)]);
    let load = |inch| load_at(&points, length(inch, Unit::Inch)).expect("a load").value.get();
    // The table prints the loads as 356 N and 1023 N.
    close(load(1.8), 356.0, 0.5);
    close(load(1.39), 1023.0, 0.5);
    close(load(1.595) / 4.448_221_615_260_5, 155.0, 1e-9);
    assert!(load_at(&points, length(1.842, Unit::Inch)).is_err());
}

/// TM 10-4320-344-24, Table 4-1 (US Army, public domain): middle loads 48 lb at 1.492 in and 137 lb at
/// 1.082 in; the free length that follows lies in the printed 1.702 to 1.722 in.
#[test]
fn an_army_manual_s_spring_rate_leads_to_its_free_length() {
    let rate = rate(&spring(&[(1.492, 48.0), (1.082, 137.0)])).expect("a rate");
    let pounds_per_inch = rate.value.get() / NEWTON_PER_MM;
    close(pounds_per_inch, 217.073, 5e-4);
    let free = 1.492 + 48.0 / pounds_per_inch;
    close(free, 1.713_12, 5e-6);
    assert!((1.702..=1.722).contains(&free));
}

/// Computed with numpy 2.4.6: 4 in × 3.52 in and 4 in × 3 in, eight cylinders.
#[test]
fn displacements_in_cubic_inches() {
    for (stroke, cubic_inches) in [(3.52, 353.868_996_5), (3.0, 301.592_894_7)] {
        let swept = swept_volume(length(4.0, Unit::Inch), length(stroke, Unit::Inch)).value.get();
        close(8.0 * swept / 16.387_064, cubic_inches, 1e-7);
    }
}

/// Computed with numpy 2.4.6, uncertainty by independent first-order propagation.
#[test]
fn a_compression_ratio_and_its_uncertainty() {
    let cylinder = |chamber| CompressionInputs {
        bore: mm(100.0),
        stroke: mm(90.0),
        chamber: ml(chamber),
        gasket_bore: mm(102.0),
        gasket_thickness: mm(1.0),
        deck_clearance: mm(0.5),
        piston: ml(5.0),
        extra: Volume::ZERO,
    };
    let ratio = |chamber| compression_ratio(&cylinder(chamber)).expect("a ratio");
    let middle = ratio(64.0);
    close(middle.value.get(), 9.716_071_480, 1e-9);
    close(middle.sensitivity[2], -0.107_475_426, 1e-9);
    close(ratio(63.5).value.get(), 9.770_142_561, 1e-9);
    close(ratio(64.5).value.get(), 9.662_663_049, 1e-9);
    let u = [0.01, 0.02, 0.25, 0.0, 0.02, 0.01, 0.1, 0.0];
    close(combined(middle.sensitivity.into_iter().zip(u)), 0.034_981_47, 5e-9);
    let domed = CompressionInputs { piston: ml(-90.0), ..cylinder(64.0) };
    assert!(compression_ratio(&domed).is_err());
}

/// Vacuum decay inputs of 40 CFR 1065.644 (public domain): 0.002 m³ from 25.3 to 50.6 kPa in 70 s at
/// 293.15 K; the amount of substance per second computed with numpy 2.4.6. The rule prints
/// 0.000 30 mol/s (from memory).
#[test]
fn a_vacuum_decay_of_the_federal_rule() {
    let kilopascal = |amount| Pressure::from_f64(amount, Unit::Kilopascal).expect("a pressure");
    let seconds = |amount| Time::from_f64(amount, Unit::Second).expect("a time");
    let depth = |absolute: f64| kilopascal(101.325 - absolute);
    let leak = decay_flow(ml(2000.0), depth(25.3), depth(50.6), seconds(70.0)).expect("a flow");
    close(leak.value.get() / (8.314_472 * 293.15), 2.965_704_68e-4, 1e-12);
    // 250 mL, 350 Pa in 30 s, as cm³/min at 101 325 Pa: computed with numpy 2.4.6.
    let leak = decay_flow(ml(250.0), kilopascal(0.35), Pressure::ZERO, seconds(30.0)).expect("a flow");
    close(leak.value.get() / 101_325.0 * 60e6, 1.727_115_72, 1e-8);
}

/// The same inputs of 40 CFR 1065.644 (public domain) as absolute pressures and temperatures: 0.002 m³ from
/// 25.3 to 50.6 kPa in 70 s at 293.15 K; the amount of substance per second computed with numpy 2.4.6.
#[test]
fn a_decay_between_temperatures() {
    let kilopascal = |amount| Pressure::from_f64(amount, Unit::Kilopascal).expect("a pressure");
    let celsius = |amount| Temperature::from_f64(amount, Unit::DegreeCelsius).expect("a temperature");
    let leak = |volume, start, end, at_start, at_end, seconds: f64| {
        let seconds = Time::from_f64(seconds, Unit::Second).expect("a time");
        let (start, end) = (kilopascal(start), kilopascal(end));
        decay_flow_at_temperatures(ml(volume), start, end, celsius(at_start), celsius(at_end), seconds)
            .expect("a flow")
            .value
            .get()
    };
    let rule = leak(2000.0, 25.3, 50.6, 20.0, 20.0, 70.0);
    close(rule / (8.314_472 * 293.15), -2.965_704_68e-4, 1e-12);
    // The rule's own form (V/R)(p2/T2 − p1/T1)/(t2 − t1), with the gas 5 K warmer at the end.
    let amount = 0.002 / 8.314_472 * (50_600.0 / 298.15 - 25_300.0 / 293.15) / 70.0;
    close(leak(2000.0, 25.3, 50.6, 20.0, 25.0, 70.0) / (8.314_472 * 293.15), -amount, 1e-15);
    // Computed with numpy 2.4.6: half a kelvin at 200 kPa.
    let drift = drift_pressure(kilopascal(200.0), celsius(20.0), celsius(19.5)).expect("a drift").value.get();
    close(1000.0 * drift, -341.12, 5e-3);
    let end = (1e9 * (200.0 + drift)).round() / 1e9;
    close(leak(250.0, 200.0, end, 20.0, 19.5, 30.0), 0.0, 1e-11);
    close(leak(250.0, 200.0, end, 20.0, 20.0, 30.0), 250e-6 * 341.12 / 30.0, 1e-7);
}
