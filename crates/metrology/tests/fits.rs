//! Inserts and stems in the holes they sit in, against published fits and tables; the source stands
//! beside each.

use headproof_metrology::{
    RingMaterial, contact_pressure, growth, interference, press_force, remaining_interference,
    slip_in_temperature, tilt,
};
use headproof_quantity::{Exact, Length, Pressure, Quantity, Temperature, TemperatureDifferenceDim, Unit};

const STEEL: f64 = RingMaterial::STEEL_1020_EXPANSION;
const ALUMINIUM: f64 = RingMaterial::ALUMINIUM_356_EXPANSION;
const GREY_IRON: f64 = RingMaterial::GREY_IRON_EXPANSION;

fn mm(amount: f64) -> Length {
    Length::from_f64(amount, Unit::Millimetre).expect("a length")
}

fn inch(amount: f64) -> Length {
    Length::from_f64(amount, Unit::Inch).expect("a length")
}

fn celsius(amount: f64) -> Temperature {
    Temperature::from_f64(amount, Unit::DegreeCelsius).expect("a temperature")
}

fn kelvin(amount: f64) -> Quantity<TemperatureDifferenceDim> {
    Quantity::from_f64(amount, Unit::Kelvin).expect("a difference")
}

#[track_caller]
fn close(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value} is not {expected}");
}

/// TM 5-6115-400-35, Table 2.1 (US Army, public domain): insert and counterbore in inches, and the
/// interference printed beside them.
#[test]
fn insert_fits_of_an_army_manual() {
    let table = [
        ((1.6445, 1.6455), (1.6415, 1.6425), (0.0020, 0.0040)),
        ((1.6105, 1.6110), (1.6075, 1.6085), (0.0020, 0.0035)),
    ];
    for (insert, bore, printed) in table {
        let least = interference(inch(insert.0), inch(bore.1)).value.get();
        let greatest = interference(inch(insert.1), inch(bore.0)).value.get();
        close(least, inch(printed.0).approx(), 0.0);
        close(greatest, inch(printed.1).approx(), 0.0);
    }
}

/// ISO 286-2, H7 holes with p6 and s6 shafts in micrometres (deviations read in the tables of the package
/// pressfit 0.1.0): nominal size, hole, shaft and the least and greatest interference.
#[test]
fn press_fits_of_the_limit_system() {
    let table = [
        (40, 25, (26, 42), (1, 42)),
        (40, 25, (43, 59), (18, 59)),
        (50, 25, (26, 42), (1, 42)),
        (60, 30, (32, 51), (2, 51)),
        (60, 30, (53, 72), (23, 72)),
        (70, 30, (32, 51), (2, 51)),
        (70, 30, (59, 78), (29, 78)),
    ];
    for (nominal, hole, shaft, (least, greatest)) in table {
        let size = |micrometres: i64| Length::from_exact(Exact::from_count(nominal * 1000 + micrometres, 3));
        let micrometres = |amount: i64| Exact::from_count(amount, 3).approx();
        close(interference(size(shaft.0), size(hole)).value.get(), micrometres(least), 0.0);
        close(interference(size(shaft.1), size(0)).value.get(), micrometres(greatest), 0.0);
    }
}

/// Expansions of Callister, Materials Science and Engineering, Table B.6; values computed with numpy 2.4.6.
#[test]
fn an_insert_slips_in_when_the_head_is_warm_or_the_insert_is_cold() {
    for (expansion, warmer) in [(STEEL, 213.675), (ALUMINIUM, 116.279), (GREY_IRON, 219.298)] {
        let difference = slip_in_temperature(mm(0.08), mm(0.02), mm(40.0), expansion).expect("a difference");
        close(difference.value.get(), warmer, 5e-4);
    }
    // Dry ice and liquid nitrogen.
    let chilled = |to| growth(mm(40.0), STEEL, celsius(20.0), celsius(to)).value.get();
    close(chilled(-79.0), -0.046_332, 1e-12);
    close(chilled(-196.0), -0.101_088, 1e-12);
    let left = remaining_interference(mm(0.12), mm(40.0), STEEL, kelvin(-216.0), ALUMINIUM, kelvin(0.0));
    close(left.value.get(), 0.018_912, 1e-12);
    let rest = slip_in_temperature(mm(0.018_912), Length::ZERO, mm(40.0), ALUMINIUM).expect("a difference");
    close(rest.value.get(), 21.990_70, 5e-6);
    let both =
        remaining_interference(mm(0.12), mm(40.0), STEEL, kelvin(-216.0), ALUMINIUM, kelvin(21.990_70));
    close(both.value.get(), 0.0, 1e-8);
}

/// Expansions of Callister, Materials Science and Engineering, Table B.6; values computed with numpy 2.4.6.
#[test]
fn a_hot_aluminium_head_lets_go_of_a_steel_insert_and_an_iron_one_does_not() {
    let after = |head| {
        let hot = kelvin(180.0);
        remaining_interference(mm(0.10), mm(40.0), STEEL, hot, head, hot).value.get() - 0.10
    };
    close(after(ALUMINIUM), -0.070_56, 1e-12);
    close(after(GREY_IRON), 0.002_16, 1e-12);
}

/// Steel in steel, grey iron and aluminium: computed with numpy 2.4.6 from Lamé's equations; the first
/// confirmed by a boundary value problem solved with scipy 1.17.1. The Poisson's ratios are inputs, not
/// table values.
#[test]
fn pressures_between_insert_and_head() {
    let material = |youngs_modulus_gpa, poisson| RingMaterial {
        expansion_per_kelvin: STEEL,
        youngs_modulus_gpa,
        poisson,
    };
    let steel = material(RingMaterial::STEEL_1020_MODULUS, 0.292);
    let iron = material(100.0, 0.211);
    let (low, high) = RingMaterial::GREY_IRON_G3000_MODULUS;
    assert!((low..=high).contains(&iron.youngs_modulus_gpa));
    let aluminium = material(RingMaterial::ALUMINIUM_356_MODULUS, 0.33);
    for (head, newton_per_mm2) in [(steel, 79.307_275_54), (iron, 58.956_901_80), (aluminium, 47.745_772_14)]
    {
        let pressure = contact_pressure(mm(0.10), mm(32.0), mm(40.0), mm(70.0), &steel, &head);
        close(pressure.expect("a pressure").value.get() / 1000.0, newton_per_mm2, 5e-9);
    }
}

/// The displacement of both rings integrated from the interface to their free edges, step by step:
/// u'' + u'/r − u/r² = 0 with no radial stress at the free edge.
#[test]
fn the_pressure_opens_the_head_and_closes_the_insert_by_the_interference() {
    let steel = RingMaterial { expansion_per_kelvin: STEEL, youngs_modulus_gpa: 207.0, poisson: 0.292 };
    let aluminium = RingMaterial { expansion_per_kelvin: ALUMINIUM, youngs_modulus_gpa: 72.4, poisson: 0.33 };
    let pressure = contact_pressure(mm(0.10), mm(32.0), mm(40.0), mm(70.0), &steel, &aluminium)
        .expect("a pressure")
        .value
        .get()
        / 1000.0;
    let opened = displacement_at_interface(35.0, &aluminium, pressure);
    let closed = displacement_at_interface(16.0, &steel, pressure);
    close(opened - closed, 0.05, 1e-9);
    assert!(opened > 0.0 && closed < 0.0);
}

/// Radial displacement in mm at a radius of 20 mm under `pressure` in N/mm², by a fourth-order
/// Runge-Kutta method from the free edge.
fn displacement_at_interface(free_edge: f64, ring: &RingMaterial, pressure: f64) -> f64 {
    let (steps, nu) = (2000, ring.poisson);
    let derivative = |r: f64, [u, slope]: [f64; 2]| [slope, u / (r * r) - slope / r];
    let step = (20.0 - free_edge) / f64::from(steps);
    // u = 1 at the free edge, and u' + ν u / r = 0 there.
    let mut state = [1.0, -nu / free_edge];
    let moved = |state: [f64; 2], by: [f64; 2], h: f64| [state[0] + h * by[0], state[1] + h * by[1]];
    for index in 0..steps {
        let r = free_edge + step * f64::from(index);
        let k1 = derivative(r, state);
        let k2 = derivative(r + 0.5 * step, moved(state, k1, 0.5 * step));
        let k3 = derivative(r + 0.5 * step, moved(state, k2, 0.5 * step));
        let k4 = derivative(r + step, moved(state, k3, step));
        let mean = [0, 1].map(|i| (k1[i] + 2.0 * k2[i] + 2.0 * k3[i] + k4[i]) / 6.0);
        state = moved(state, mean, step);
    }
    let modulus = ring.youngs_modulus_gpa * 1000.0;
    let radial_stress = modulus / (1.0 - nu * nu) * (state[1] + nu * state[0] / 20.0);
    -pressure / radial_stress * state[0]
}

/// Coulomb friction: a tenth of 10 N/mm² on π · 40 mm · 5 mm.
#[test]
fn the_press_pushes_against_friction() {
    let pressure = Pressure::from_f64(10_000.0, Unit::Kilopascal).expect("a pressure");
    close(press_force(pressure, mm(40.0), mm(5.0), 0.1).value.get(), 200.0 * std::f64::consts::PI, 1e-10);
}

/// Plane geometry: a stem of diameter d touches a bore of D at both ends when L sin φ + d cos φ = D,
/// solved by halving; the stem's thickness is left out of the formula and counts for d c / 2L².
#[test]
fn a_stem_leans_until_it_touches_at_both_ends() {
    for (d, clearance, length) in [(8.0, 0.06, 40.0), (8.0, 0.4, 40.0), (9.5, 0.15, 55.0)] {
        let reach = |radians: f64| length * libm::sin(radians) + d * libm::cos(radians);
        let (mut low, mut high) = (0.0, 0.1);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if reach(middle) < d + clearance { low = middle } else { high = middle }
        }
        let stated = tilt(mm(clearance), mm(length)).expect("a tilt").value.get();
        let part = low.to_degrees() / stated - 1.0;
        close(part, d * clearance / (2.0 * length * length), 1e-4);
    }
}
