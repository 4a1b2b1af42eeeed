//! What the tests of gauge studies share.

use headproof_line::{CrossedCell, CrossedReading, CrossedShape, CrossedStudy};

/// Digits of agreement with a reference (NIST: log relative error), at most 15.
pub(crate) fn digits(got: f64, reference: f64) -> f64 {
    let off = if reference == 0.0 { got.abs() } else { ((got - reference) / reference).abs() };
    if off == 0.0 { 15.0 } else { (-libm::log10(off)).clamp(0.0, 15.0) }
}

/// Prints and asserts digits of agreement.
pub(crate) fn agree(what: &str, got: f64, reference: f64, floor: f64) {
    let digits = digits(got, reference);
    println!("{what:<32} {got:<24} {reference:<24} {digits:5.1} digits");
    assert!(digits >= floor, "{what}: {got} against {reference}, {digits:.1} digits, wanted {floor}");
}

/// A study from values by part, operator, trial.
pub(crate) fn study(shape: CrossedShape, values: &[f64]) -> CrossedStudy {
    let readings: Vec<_> = values
        .iter()
        .enumerate()
        .map(|(at, &value)| CrossedReading {
            cell: CrossedCell {
                part: at / shape.trials / shape.operators,
                operator: at / shape.trials % shape.operators,
                trial: at % shape.trials,
            },
            value,
        })
        .collect();
    CrossedStudy::new(shape, &readings).expect("a complete study")
}

/// Values by part, operator, trial from a file with a line for each operator and trial.
pub(crate) fn read(file: &str, shape: CrossedShape) -> Vec<f64> {
    let lines: Vec<Vec<f64>> = file
        .lines()
        .filter(|line| !line.starts_with('#'))
        .skip(1)
        .map(|line| line.split(',').skip(2).map(|value| value.parse().expect("a number")).collect())
        .collect();
    assert_eq!(lines.len(), shape.operators * shape.trials);
    (0..shape.parts).flat_map(|part| lines.iter().map(move |line| line[part])).collect()
}
