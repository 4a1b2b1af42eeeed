//! Every stated partial derivative against a central difference.

use headproof_metrology::{
    CompressionInputs, DialDirection, clearance, clearance_from_rocking, coil_bind_margin, compression_ratio,
    decay_flow, eccentricity, interference_angle, load_at, overhang_from_diameters, rate, runout, spread,
    swept_volume, width_from_diameters,
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
    for direction in [DialDirection::Square, DialDirection::Radial, DialDirection::Axial] {
        check(&[44.0], |i| fixed!(direction.factor(q(i[0])).expect("a factor")));
    }
}

#[test]
fn guide() {
    check(&[8.06, 7.99], |i| fixed!(clearance(q(i[0]), q(i[1]))));
    check(&[0.2, 12.0, 45.0], |i| {
        fixed!(clearance_from_rocking(q(i[0]), q(i[1]), q(i[2])).expect("a clearance"))
    });
}

#[test]
fn series() {
    check(&[64.0, 64.4, 63.7], |i| {
        let readings: Vec<_> = i.iter().map(|v| q(*v)).collect();
        let spread = spread::<headproof_quantity::VolumeDim>(&readings).expect("a spread");
        (spread.value.get(), dense(i.len(), &spread.sensitivity))
    });
    // Range decides the first, the fitted eccentricity the second.
    for dial in [vec![10.0, 13.0, 14.0, 12.0, 8.0, 4.0, 0.0, -1.0], vec![10.0, -9.0, -10.5, 9.5]] {
        check(&dial, |i| {
            let readings: Vec<_> = i.iter().map(|v| q(*v)).collect();
            let runout = runout(&readings).expect("a runout");
            (runout.value.get(), dense(i.len(), &runout.sensitivity))
        });
        check(&dial, |i| {
            let readings: Vec<_> = i.iter().map(|v| q(*v)).collect();
            let off = eccentricity(&readings).expect("an eccentricity");
            (off.amplitude.value.get(), dense(i.len(), &off.amplitude.sensitivity))
        });
        check(&dial, |i| {
            let readings: Vec<_> = i.iter().map(|v| q(*v)).collect();
            let phase = eccentricity(&readings).expect("an eccentricity").phase.expect("a phase");
            (phase.value.get(), dense(i.len(), &phase.sensitivity))
        });
    }
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
        (rate.newton_per_millimetre, [rate.height_sensitivity, rate.load_sensitivity].concat())
    });
    check(&[46.0, 10.5, 33.0], |i| fixed!(coil_bind_margin(q(i[0]), q(i[1]), q(i[2]))));
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
}
