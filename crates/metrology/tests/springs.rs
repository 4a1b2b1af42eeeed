//! Springs by their dimensions, against published examples; the source stands beside each.

use headproof_metrology::{natural_frequency, rate, shear_stress, solid_length, theory_rate};
use headproof_quantity::{Force, Length, Pressure, Ratio, Unit};

const NEWTON_PER_LBF: f64 = 4.448_221_615_260_5;
const KPA_PER_PSI: f64 = NEWTON_PER_LBF / (25.4 * 25.4) * 1000.0;
const NEWTON_PER_MM: f64 = NEWTON_PER_LBF / 25.4;

fn mm(amount: f64) -> Length {
    Length::from_f64(amount, Unit::Millimetre).expect("a length")
}

fn inch(amount: f64) -> Length {
    Length::from_f64(amount, Unit::Inch).expect("a length")
}

fn pounds(amount: f64) -> Force {
    Force::from_f64(amount, Unit::PoundForce).expect("a force")
}

fn coils(amount: f64) -> Ratio {
    Ratio::from_f64(amount, Unit::One).expect("a number")
}

/// A modulus in GPa to nine decimals.
fn modulus(gigapascals: f64) -> Pressure {
    Pressure::from_f64((gigapascals * 1e9).round() / 1e9, Unit::Gigapascal).expect("a modulus")
}

fn million_psi(amount: f64) -> Pressure {
    modulus(amount * KPA_PER_PSI)
}

/// The same in lbf/in.
fn rate_of(wire: f64, coil: f64, active: f64, modulus: Pressure) -> f64 {
    let rate = theory_rate(inch(wire), inch(coil), coils(active), modulus).expect("a rate");
    rate.value.get() / NEWTON_PER_MM
}

/// The same in psi.
fn stress_of(load: f64, wire: f64, coil: f64) -> f64 {
    shear_stress(pounds(load), inch(wire), inch(coil)).expect("a stress").value.get() / KPA_PER_PSI
}

#[track_caller]
fn close(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value} is not {expected}");
}

/// Shigley's Mechanical Engineering Design, 10th edition, Example 10-1 (read in a copy): music wire,
/// squared ends that are not ground, whose solid length counts one wire more.
#[test]
fn a_textbook_spring_of_music_wire() {
    let steel = million_psi(11.85);
    let rate = rate_of(0.037, 0.400, 10.5, steel);
    close(rate, 4.13, 0.005);
    let load = 6.46;
    close(stress_of(load, 0.037, 0.400), 146e3, 146e3 * 0.005 / load + 50.0);
    let straight = 8.0 * load * 0.400 / (std::f64::consts::PI * 0.037f64.powi(3));
    close(stress_of(load, 0.037, 0.400) / straight, 1.124, 5e-4);
    let solid = solid_length(inch(0.037), coils(10.5 + 2.0 + 1.0)).expect("a length").value.get() / 25.4;
    close(solid, 0.500, 5e-4);
    close(load / rate, 1.56, 5e-3);
    close(solid + load / rate, 2.06, 5e-3);
    // Computed with numpy 2.4.6 from the printed sizes.
    close(rate, 4.131_102_7, 5e-8);
    close(rate_of(0.037, 0.4005, 10.5, steel), 4.115_649_7, 5e-8);
    // 0.284 lbf/in³ at g = 386.4 in/s², as kg/dm³.
    let density = 0.284 * NEWTON_PER_LBF / (386.4 * 0.0254) / 0.016_387_064;
    let surge =
        natural_frequency(inch(0.037), inch(0.400), coils(10.5), steel, density).expect("a frequency");
    close(surge.value.get(), 314.714, 5e-4);
}

/// Worked example of a spring designer's handbook (read in a copy that does not name the edition): it
/// rounds the rate and the load, and uses Wahl's factor, printed 1.221, where we use Bergsträsser's.
#[test]
fn a_handbook_spring_of_quarter_inch_wire() {
    let rate = rate_of(0.250, 1.69, 13.0, million_psi(11.5));
    close(rate, 89.0, 0.5);
    close(4.0 * rate, 356.0, 4.0 * 0.5);
    let index: f64 = 1.69 / 0.250;
    let wahl = (4.0 * index - 1.0) / (4.0 * index - 4.0) + 0.615 / index;
    close(wahl, 1.221, 5e-4);
    let bergstraesser = (index + 0.5) / (index - 0.75);
    close(wahl / bergstraesser, 1.01, 0.002);
    // The load of 356 lb is known to half a pound.
    let stress = stress_of(356.0, 0.250, 1.69) * wahl / bergstraesser;
    close(stress, 119_695.0, 119_695.0 * 0.5 / 356.0);
    close(solid_length(inch(0.250), coils(15.0)).expect("a length").value.get() / 25.4, 3.75, 1e-15);
}

/// Computed with numpy 2.4.6; the constant 3560 of EN 13906-1 is from memory and rounded.
#[test]
fn a_valve_spring_of_four_millimetre_wire() {
    let (wire, coil, active, steel) = (mm(4.0), mm(26.0), coils(4.5), modulus(81.5));
    let rate = theory_rate(wire, coil, active, steel).expect("a rate").value.get();
    close(rate, 32.974_257_83, 5e-9);
    close(10.0 * rate, 329.742_578_3, 5e-8);
    let load = Force::from_f64((20.0 * rate * 1e9).round() / 1e9, Unit::Newton).expect("a force");
    let stress = shear_stress(load, wire, coil).expect("a stress").value.get() / 1000.0;
    close(stress, 830.555_595_9, 1e-7);
    close(stress / 682.242_096_6, 1.217_391_304, 1e-9);
    let surge = natural_frequency(wire, coil, active, steel, 7.85).expect("a frequency").value.get();
    close(surge, 476.814_980_4, 5e-8);
    let by_the_standard = 3560.0 * 4.0 / (4.5 * 26.0 * 26.0) * (81_500.0f64 / 7.85).sqrt();
    close(by_the_standard, 476.974_054_3, 5e-8);
    close(surge / by_the_standard, 1.0, 5e-4);
    close(solid_length(wire, coils(6.5)).expect("a length").value.get(), 26.0, 0.0);
}

/// TM 10-4320-344-24, Table 4-1 (US Army, public domain): wire 0.172 in, outside diameter 1.302 in (so a
/// mean one of 1.130 in), six coils, of which the two ends rest (common practice); 48 lb at 1.492 in,
/// 137 lb at 1.082 in, middle of the printed ranges. G = 11.5 · 10⁶ psi (common practice).
#[test]
fn an_army_manual_s_spring_agrees_with_its_wire_and_coil() {
    let theory = rate_of(0.172, 1.130, 4.0, million_psi(11.5));
    close(theory, 217.98, 5e-3);
    let measured = rate(&[(inch(1.492), pounds(48.0)), (inch(1.082), pounds(137.0))]).expect("a rate");
    close(measured.value.get() / NEWTON_PER_MM, 217.073, 5e-4);
    close(measured.value.get() / NEWTON_PER_MM / theory, 1.0, 5e-3);
}
