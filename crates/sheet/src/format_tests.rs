use headproof_wire::{ForceUnit, LengthUnit};

use headproof_texts::Language;

use super::*;

fn english() -> Say {
    Say::of(Language::English)
}

const INCH: Units = Units { length: LengthUnit::Inch, force: ForceUnit::PoundForce, ..Units::BASE };

fn row(unit: &'static str, measured: f64, lower: Option<f64>, upper: Option<f64>) -> Row {
    let beyond = [lower.map(|limit| limit - measured), upper.map(|limit| measured - limit)];
    Row {
        characteristic: "any".into(),
        unit: Some(unit.into()),
        place: None,
        measured: Some(measured),
        in_order: None,
        lower,
        upper,
        deviation: beyond.into_iter().flatten().reduce(f64::max),
        expanded_uncertainty: None,
        budget: Vec::new(),
        conformance_probability: None,
        verdict: "conforms".into(),
        reason: "inside".into(),
        detail: None,
        detail_says: None,
        limit: None,
    }
}

#[track_caller]
fn check(row: &Row, units: &Units, expected: [&str; 5]) {
    let figures = figures(row, units, english());
    let text = |figure: Option<String>| figure.unwrap_or_else(|| "none".to_owned());
    let found = [
        text(figures.measured),
        text(figures.lower),
        text(figures.upper),
        text(figures.deviation),
        figures.unit,
    ];
    assert_eq!(found, expected);
}

#[test]
fn a_row_is_shown_with_the_decimals_of_its_unit() {
    check(&row("mm", 1.25, Some(1.0), Some(1.6)), &Units::BASE, ["1.250", "1.000", "1.600", "−0.250", "mm"]);
    check(&row("deg", 45.0, Some(44.5), None), &Units::BASE, ["45.00", "44.50", "none", "−0.50", "°"]);
    check(&row("1", 9.123, None, None), &Units::BASE, ["9.12", "none", "none", "none", ""]);
}

/// 1 in = 25.4 mm and 1 lbf = 4.448 221 615 260 5 N, NIST SP 811 (2008), Appendix B.8.
#[test]
fn a_row_is_shown_in_the_units_of_the_set() {
    check(&row("mm", 0.0508, None, Some(0.0508)), &INCH, ["0.0020", "none", "0.0020", "0.0000", "in"]);
    let load = row("N", 355.857_729_220_84, None, None);
    check(&load, &INCH, ["80.0", "none", "none", "none", "lbf"]);
}

#[test]
fn a_violated_limit_never_looks_met() {
    let over = row("mm", 0.050_04, None, Some(0.05));
    check(&over, &Units::BASE, ["0.05004", "none", "0.05000", "+0.00004", "mm"]);
    let under = row("mm", 0.999_99, Some(1.0), None);
    check(&under, &Units::BASE, ["0.99999", "1.00000", "none", "+0.00001", "mm"]);
    let inch = row("mm", 0.050_9, None, Some(0.0508));
    check(&inch, &INCH, ["0.002004", "none", "0.002000", "+0.000004", "in"]);
}

#[test]
fn a_limit_that_is_finer_gets_one_more_decimal() {
    check(&row("mm", 0.06, None, Some(0.0635)), &Units::BASE, ["0.0600", "none", "0.0635", "−0.0035", "mm"]);
    check(&row("mm", 0.04, None, Some(0.05)), &INCH, ["0.00157", "none", "0.00197", "−0.00039", "in"]);
}

#[test]
fn there_is_no_minus_zero_and_the_minus_is_a_minus() {
    assert_eq!(plain(-0.0, 3), "0.000");
    assert_eq!(plain(-0.000_4, 3), "0.000");
    assert_eq!(signed(-0.000_4, 3), "0.000");
    assert_eq!(signed(0.000_4, 3), "0.000");
    assert_eq!(signed(-1.5, 1), "−1.5");
    assert_eq!(signed(1.5, 1), "+1.5");
    assert_eq!(plain(f64::NAN, 2), "–");
}

#[test]
fn an_uncertainty_keeps_two_figures() {
    let mut row = row("mm", 1.25, None, None);
    for (uncertainty, text) in [(0.0042, "0.0042"), (0.012, "0.012"), (0.000_51, "0.00051"), (0.0, "0.000")] {
        row.expanded_uncertainty = Some(uncertainty);
        assert_eq!(figures(&row, &Units::BASE, english()).uncertainty.as_deref(), Some(text));
    }
}

#[test]
fn a_probability_is_not_rounded_up_to_what_was_asked() {
    assert_eq!(percent(0.973, Some(0.95), english()), "97.3 %");
    assert_eq!(percent(0.9496, Some(0.95), english()), "94.96 %");
    assert_eq!(percent(0.95, Some(0.95), english()), "95.0 %");
    assert_eq!(percent(0.999_99, None, english()), "> 99.9 %");
    assert_eq!(percent(0.0, None, english()), "< 0.1 %");
}

#[test]
fn german_numbers_have_a_comma() {
    let say = Say::of(Language::German);
    assert_eq!(number(-1.5, 2, say), "−1,50");
    assert_eq!(degrees(44.5, say), "44,5°");
    assert_eq!(as_written(0.25, say), "0,25");
    assert_eq!(percent(0.973, Some(0.95), say), "97,3 %");
    let row = row("mm", 1.25, Some(1.0), None);
    assert_eq!(figures(&row, &Units::BASE, say).deviation.as_deref(), Some("−0,250"));
    assert_eq!(InUnit::length(&Units::BASE, say).with_unit(0.12), "0,120\u{A0}mm");
}

#[test]
fn quickly_rounded_figures_are_those_of_the_standard_library() {
    let mut state = 1_u64;
    let mut numbers = vec![0.0, 0.5, 1.5, 0.0005, 0.0015, 2.675, 999_999_999.4, 1e9, 1e15, 0.049_999_999];
    for n in 0..20_000 {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        numbers.push((state >> 11) as f64 / f64::from(1 << (n % 30)) / 1e9);
        numbers.push((state >> 40) as f64 / 2000.0);
    }
    for number in numbers {
        for places in 0..8 {
            assert_eq!(plain(number, places), format!("{number:.places$}"));
        }
    }
}
