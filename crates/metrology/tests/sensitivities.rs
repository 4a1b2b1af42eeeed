//! Every stated partial derivative against a central difference.

use headproof_metrology::{
    CompressionInputs, DialDirection, RingMaterial, SeriesSum, Turn, band_offset, band_offset_from_diameters,
    clearance, clearance_from_rocking, coil_bind_margin, compression_ratio, contact_line, contact_pressure,
    decay_flow, decay_flow_at_temperatures, drift_pressure, edge_after_feeds, flatness_in_windows,
    flatness_least_squares, growth, inner_edge_clearance, inner_edge_clearance_from_diameters, interference,
    interference_angle, load_at, natural_frequency, overhang_from_diameters, press_force, rate,
    remaining_interference, shear_stress, slip_in_temperature, solid_length, spread, swept_volume,
    theory_rate, tilt, width_from_diameters,
};
use headproof_quantity::{Dimension, Exact, Quantity};

/// A quantity from a double to nine decimals.
fn q<D: Dimension>(amount: f64) -> Quantity<D> {
    Quantity::from_exact(Exact::from_count((amount * 1e9).round() as i64, 9))
}

fn dense(count: usize, sparse: &[(usize, f64)]) -> Vec<f64> {
    let mut all = vec![0.0; count];
    sparse.iter().for_each(|(index, partial)| all[*index] += partial);
    all
}

/// `sum` gives the value and the partials to all inputs.
#[track_caller]
fn check(inputs: &[f64], sum: impl Fn(&[f64]) -> (f64, Vec<f64>)) {
    let (_, stated) = sum(inputs);
    assert_eq!(stated.len(), inputs.len());
    for (index, stated) in stated.iter().enumerate() {
        let step = 1e-3;
        let moved = |by| {
            let mut inputs = inputs.to_vec();
            inputs[index] += by;
            sum(&inputs).0
        };
        let difference = (moved(step) - moved(-step)) / (2.0 * step);
        let tolerance = 1e-6 * stated.abs().max(1e-3);
        assert!((difference - stated).abs() <= tolerance, "input {index}: {difference}, stated {stated}");
    }
}

macro_rules! fixed {
    ($sum:expr) => {{
        let sum = $sum;
        (sum.value.get(), sum.sensitivity.to_vec())
    }};
}

#[test]
fn seat_and_face() {
    check(&[33.0, 30.5, 44.7], |i| fixed!(width_from_diameters(q(i[0]), q(i[1]), q(i[2])).expect("a width")));
    check(&[34.0, 32.8, 30.2], |i| {
        fixed!(overhang_from_diameters(q(i[0]), q(i[1]), q(i[2])).expect("an overhang"))
    });
    check(&[46.0, 45.0], |i| fixed!(interference_angle(q(i[0]), q(i[1]))));
    check(&[16.5, 45.3, 29.8, 0.12, 0.35], |i| {
        fixed!(edge_after_feeds(q(i[0]), q(i[1]), q(i[2]), q(i[3]), q(i[4])).expect("an edge"))
    });
    for direction in [DialDirection::Square, DialDirection::Radial, DialDirection::Axial] {
        check(&[44.0], |i| fixed!(direction.factor(q(i[0])).expect("a factor")));
    }
}

#[test]
fn contact() {
    // Angles, then the diameters that bound the common length: the seat's two, or one of the face's.
    let lines = |i: &[f64], whose: usize| {
        let (outer, inner) = match whose {
            0 => ((i[2], None), (i[3], None)),
            1 => ((50.0, Some(q(i[2]))), (i[3], None)),
            _ => ((i[2], None), (10.0, Some(q(i[3])))),
        };
        contact_line(q(i[0]), q(i[1]), q(outer.0), q(inner.0), outer.1, inner.1).expect("a contact")
    };
    for angles in [[46.0, 45.0], [45.0, 46.5], [60.0, 35.0]] {
        for whose in 0..3 {
            let inputs = [angles[0], angles[1], 33.0, 30.2];
            check(&inputs, |i| fixed!(lines(i, whose).gap_square_to_face));
            check(&inputs, |i| fixed!(lines(i, whose).gap_square_to_seat));
        }
    }
    check(&[34.0, 29.5, 44.5, 0.7, 1.4], |i| {
        fixed!(inner_edge_clearance(q(i[0]), q(i[1]), q(i[2]), q(i[3]), q(i[4])).expect("a clearance"))
    });
    check(&[30.9, 29.5, 44.5], |i| {
        fixed!(inner_edge_clearance_from_diameters(q(i[0]), q(i[1]), q(i[2])).expect("a clearance"))
    });
    check(&[34.0, 29.5, 44.5, 0.7, 1.4], |i| {
        fixed!(band_offset(q(i[0]), q(i[1]), q(i[2]), q(i[3]), q(i[4])).expect("an offset"))
    });
    check(&[34.0, 29.5, 33.1, 30.9, 44.5], |i| {
        fixed!(band_offset_from_diameters(q(i[0]), q(i[1]), q(i[2]), q(i[3]), q(i[4])).expect("an offset"))
    });
}

#[test]
fn insert() {
    check(&[40.0, -10.0, 75.0], |i| fixed!(growth(q(i[0]), 2e-3, q(i[1]), q(i[2]))));
    check(&[40.08, 40.0], |i| fixed!(interference(q(i[0]), q(i[1]))));
    check(&[0.08, 0.02, 40.0], |i| {
        fixed!(slip_in_temperature(q(i[0]), q(i[1]), q(i[2]), 11.7e-6).expect("a difference"))
    });
    // Expansions far beyond any metal's, so that no partial drowns in the tolerance.
    check(&[0.12, 40.0, -90.0, 60.0], |i| {
        fixed!(remaining_interference(q(i[0]), q(i[1]), 2e-3, q(i[2]), 3e-3, q(i[3])))
    });
    // Moduli in GPa, and the pressure in MPa.
    check(&[0.1, 32.0, 40.0, 70.0, 207.0, 72.4], |i| {
        let ring = |youngs_modulus_gpa, poisson| RingMaterial {
            expansion_per_kelvin: 11.7e-6,
            youngs_modulus_gpa,
            poisson,
        };
        let (insert, head) = (ring(i[4], 0.292), ring(i[5], 0.33));
        let sum = contact_pressure(q(i[0]), q(i[1]), q(i[2]), q(i[3]), &insert, &head).expect("a pressure");
        let scales = [1e-3, 1e-3, 1e-3, 1e-3, 1e3, 1e3];
        let partials = sum.sensitivity.iter().zip(scales).map(|(partial, scale)| partial * scale);
        (1e-3 * sum.value.get(), partials.collect())
    });
    check(&[50_000.0, 40.0, 6.0], |i| fixed!(press_force(q(i[0]), q(i[1]), q(i[2]), 0.1)));
}

#[test]
fn guide() {
    check(&[8.06, 7.99], |i| fixed!(clearance(q(i[0]), q(i[1]))));
    check(&[0.2, 12.0, 45.0], |i| {
        fixed!(clearance_from_rocking(q(i[0]), q(i[1]), q(i[2])).expect("a clearance"))
    });
    check(&[0.3, 38.0], |i| fixed!(tilt(q(i[0]), q(i[1])).expect("a tilt")));
}

#[test]
fn series() {
    check(&[64.0, 64.4, 63.7], |i| {
        let readings: Vec<_> = i.iter().map(|v| q(*v)).collect();
        let spread = spread::<headproof_quantity::VolumeDim>(&readings).expect("a spread");
        (spread.value.get(), dense(i.len(), &spread.sensitivity))
    });
}

/// A result of a turn of readings.
type OfTurn<D> = fn(&Turn<'_>) -> Option<SeriesSum<D>>;

#[track_caller]
fn check_turn<D: Dimension>(dial: &[f64], angles: Option<&[f64]>, result: OfTurn<D>) {
    check(dial, |i| {
        let readings: Vec<_> = i.iter().map(|v| q(*v)).collect();
        let angles = angles.map(|angles| angles.iter().map(|a| q(*a)).collect::<Vec<_>>());
        let turn = match angles {
            Some(angles) => Turn::at(&readings, &angles),
            None => Turn::equal(&readings),
        };
        let sum = result(&turn.expect("a turn")).expect("a result");
        (sum.value.get(), dense(i.len(), &sum.sensitivity))
    });
}

#[test]
fn turn_of_readings() {
    // Of the equal angles the range decides the first runout, the fitted eccentricity the second; of the
    // others the same.
    let turns: [(&[f64], Option<&[f64]>); 4] = [
        (&[10.0, 13.0, 14.0, 12.0, 8.0, 4.0, 0.0, -1.0], None),
        (&[10.0, -9.0, -10.5, 9.5, 5.0, 7.0], None),
        (&[12.0, 15.0, 9.0, 3.0, -8.0, -2.0, 1.0], Some(&[5.0, 20.0, 75.0, 110.0, 160.0, 215.0, 340.0])),
        (&[10.0, -8.0, -3.0, 9.0, 5.0], Some(&[-40.0, 200.0, 130.0, 20.0, 77.0])),
    ];
    for (dial, angles) in turns {
        check_turn(dial, angles, |turn| Some(turn.runout()));
        check_turn(dial, angles, |turn| Some(turn.harmonics().eccentricity));
        check_turn(dial, angles, |turn| turn.harmonics().direction);
        check_turn(dial, angles, |turn| turn.harmonics().ovality);
        check_turn(dial, angles, |turn| turn.harmonics().ovality_direction);
        check_turn(dial, angles, |turn| Some(turn.roundness_least_squares()));
        check_turn(dial, angles, |turn| turn.roundness_minimum_zone().ok());
        // Five readings leave nothing beyond rounding, which has no derivative.
        if dial.len() > 5 {
            check_turn(dial, angles, |turn| Some(turn.harmonics().remainder));
        }
    }
    check_turn(&[10.0, -9.0, -10.5, 9.5], None, |turn| Some(turn.harmonics().remainder));
}

/// Inputs: heights over places so far apart that the turning of the planes, which the partials leave
/// out, is nothing.
#[test]
fn deck() {
    let places = [(0, 0), (200, 10), (420, 0), (10, 150), (215, 140), (400, 155), (100, 80), (310, 70)];
    let metres = |amount: i32| q(f64::from(amount) * 1000.0);
    let points = |i: &[f64]| -> Vec<_> {
        places.iter().zip(i).map(|((x, y), z)| (metres(*x), metres(*y), q(*z))).collect()
    };
    let heights = [0.5, -1.1, 1.4, 2.2, -1.3, 0.8, 1.6, -0.2];
    check(&heights, |i| {
        let flatness = flatness_least_squares(&points(i)).expect("a plane");
        (flatness.value.get(), dense(i.len(), &flatness.sensitivity))
    });
    check(&heights, |i| {
        let flatness = flatness_in_windows(&points(i), metres(250), metres(160)).expect("a window");
        (flatness.value.get(), dense(i.len(), &flatness.sensitivity))
    });
}

/// Inputs: heights, loads, and last the height asked for.
fn load(i: &[f64]) -> (f64, Vec<f64>) {
    let count = i.len() / 2;
    let points: Vec<_> = (0..count).map(|k| (q(i[k]), q(i[count + k]))).collect();
    let sum = load_at(&points, q(i[2 * count])).expect("a load");
    let mut partials = dense(count, &sum.height_sensitivity);
    partials.extend(dense(count, &sum.load_sensitivity));
    partials.push(sum.asked_height_sensitivity);
    (sum.value.get(), partials)
}

#[test]
fn spring() {
    check(&[50.0, 30.0, 41.0, 300.0, 900.0, 520.0, 47.0], load);
    check(&[50.0, 30.0, 41.0, 300.0, 900.0, 520.0, 51.0], load);
    check(&[50.0, 30.0, 41.0, 300.0, 900.0, 520.0, 28.7], load);
    check(&[46.0, 36.0, 350.0, 1000.0, 46.5], load);
    check(&[50.0, 30.0, 41.0, 300.0, 900.0, 520.0], |i| {
        let points: Vec<_> = (0..3).map(|k| (q(i[k]), q(i[3 + k]))).collect();
        let rate = rate(&points).expect("a rate");
        (rate.value.get(), [rate.height_sensitivity, rate.load_sensitivity].concat())
    });
    check(&[46.0, 10.5, 33.0], |i| fixed!(coil_bind_margin(q(i[0]), q(i[1]), q(i[2]))));
}

/// The modulus in GPa.
#[test]
fn spring_theory() {
    let by_modulus = |(value, mut partials): (f64, Vec<f64>)| {
        partials[3] *= 1e6;
        (value, partials)
    };
    check(&[4.2, 26.0, 4.5, 81.5], |i| {
        by_modulus(fixed!(theory_rate(q(i[0]), q(i[1]), q(i[2]), q(1e6 * i[3])).expect("a rate")))
    });
    check(&[4.2, 26.0, 4.5, 81.5], |i| {
        let sum = natural_frequency(q(i[0]), q(i[1]), q(i[2]), q(1e6 * i[3]), 7.85);
        by_modulus(fixed!(sum.expect("a frequency")))
    });
    check(&[600.0, 4.2, 26.0], |i| fixed!(shear_stress(q(i[0]), q(i[1]), q(i[2])).expect("a stress")));
    check(&[4.2, 6.5], |i| fixed!(solid_length(q(i[0]), q(i[1])).expect("a length")));
}

#[test]
fn chamber_and_leak() {
    check(&[100.0, 90.0], |i| fixed!(swept_volume(q(i[0]), q(i[1]))));
    check(&[100.0, 90.0, 64.0, 102.0, 1.0, 0.5, 5.0, 0.8], |i| {
        fixed!(
            compression_ratio(&CompressionInputs {
                bore: q(i[0]),
                stroke: q(i[1]),
                chamber: q(i[2]),
                gasket_bore: q(i[3]),
                gasket_thickness: q(i[4]),
                deck_clearance: q(i[5]),
                piston: q(i[6]),
                extra: q(i[7]),
            })
            .expect("a ratio")
        )
    });
    check(&[250.0, 50.35, 48.0, 30.0], |i| {
        fixed!(decay_flow(q(i[0]), q(i[1]), q(i[2]), q(i[3])).expect("a flow"))
    });
    check(&[250.0, 150.0, 120.0, -20.0, 60.0, 3.0], |i| {
        let sum = decay_flow_at_temperatures(q(i[0]), q(i[1]), q(i[2]), q(i[3]), q(i[4]), q(i[5]));
        fixed!(sum.expect("a flow"))
    });
    check(&[200.0, 20.0, 45.0], |i| fixed!(drift_pressure(q(i[0]), q(i[1]), q(i[2])).expect("a drift")));
}
