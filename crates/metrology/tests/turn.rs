//! Turns of dial readings against published and constructed sets; the source stands beside each.

use headproof_metrology::{Harmonics, MetrologyError, Turn, spread};
use headproof_quantity::{Angle, Exact, Length, Unit};

fn mm(amounts: impl IntoIterator<Item = f64>) -> Vec<Length> {
    let length = |amount: f64| Length::from_f64((amount * 1e12).round() / 1e12, Unit::Millimetre);
    amounts.into_iter().map(|amount| length(amount).expect("a length")).collect()
}

fn degrees(amounts: &[f64]) -> Vec<Angle> {
    amounts.iter().map(|amount| Angle::from_f64(*amount, Unit::Degree).expect("an angle")).collect()
}

#[track_caller]
fn close(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value} is not {expected}");
}

/// What a turn should show.
struct Expected {
    runout: f64,
    eccentricity: f64,
    direction: f64,
    ovality: f64,
    ovality_direction: f64,
    remainder: f64,
    least_squares: f64,
    minimum_zone: f64,
}

#[track_caller]
fn check(turn: &Turn<'_>, expected: &Expected) {
    let Harmonics { eccentricity, direction, ovality, ovality_direction, remainder } = turn.harmonics();
    close(turn.runout().value.get(), expected.runout, 1e-8);
    close(eccentricity.value.get(), expected.eccentricity, 1e-8);
    close(direction.expect("a direction").value.get(), expected.direction, 1e-6);
    close(ovality.expect("an ovality").value.get(), expected.ovality, 1e-8);
    close(ovality_direction.expect("its direction").value.get(), expected.ovality_direction, 1e-6);
    close(remainder.value.get(), expected.remainder, 1e-8);
    close(turn.roundness_least_squares().value.get(), expected.least_squares, 1e-8);
    close(turn.roundness_minimum_zone().expect("a zone").value.get(), expected.minimum_zone, 1e-8);
}

const TWELVE: [f64; 12] = [10.0, 13.0, 14.0, 12.0, 8.0, 4.0, 0.0, -1.0, 1.0, 3.0, 5.0, 8.0];

/// Constructed set; values computed with numpy 2.4.6 and, the minimum zone, scipy.optimize.linprog
/// 1.17.1.
#[test]
fn twelve_readings() {
    let dial = mm(TWELVE);
    let turn = Turn::equal(&dial).expect("twelve readings");
    let expected = Expected {
        runout: 15.0,
        eccentricity: 6.895_314_63,
        direction: 42.323_612,
        ovality: 2.0 * 1.201_850_43,
        ovality_direction: 83.051_057,
        remainder: 0.858_439_182,
        least_squares: 2.740_810_62,
        minimum_zone: 2.555_136_27,
    };
    check(&turn, &expected);
    assert_eq!(turn.runout().sensitivity, [(2, 1.0), (7, -1.0)]);
    assert_eq!(turn.len(), 12);
}

/// Constructed from its harmonics: eccentricity 10 towards 30°, ovality 6, three lobes of 3; the rest
/// computed with numpy 2.4.6 and scipy.optimize.linprog 1.17.1.
#[test]
fn twenty_four_readings_with_lobes() {
    let dial = mm((0..24).map(|k| {
        let turn = f64::from(k) * 15f64.to_radians();
        10.0 * libm::cos(turn - 30f64.to_radians())
            + 3.0 * libm::cos(2.0 * turn + 45f64.to_radians())
            + 1.5 * libm::cos(3.0 * turn)
    }));
    let expected = Expected {
        runout: 23.058_031_52,
        eccentricity: 10.0,
        direction: 30.0,
        ovality: 6.0,
        ovality_direction: 180.0 - 22.5,
        remainder: 3.0,
        least_squares: 8.356_215_13,
        minimum_zone: 7.143_604_67,
    };
    check(&Turn::equal(&dial).expect("24 readings"), &expected);
}

/// Constructed set; values computed with numpy.linalg.lstsq 2.4.6 and scipy.optimize.linprog 1.17.1.
#[test]
fn nine_readings_at_angles_of_their_own() {
    let dial = mm([12.0, 15.0, 9.0, 3.0, -8.0, -2.0, 1.0, -4.0, 6.0]);
    let angles = degrees(&[5.0, 20.0, 75.0, 110.0, 160.0, 215.0, 230.0, 300.0, 340.0]);
    let expected = Expected {
        runout: 23.0,
        eccentricity: 8.918_350_706,
        direction: 30.361_051_65,
        ovality: 10.763_602_882,
        ovality_direction: 43.163_870_616,
        remainder: 4.845_034_504,
        least_squares: 12.619_274_412,
        minimum_zone: 11.561_304_706,
    };
    check(&Turn::at(&dial, &angles).expect("nine angles"), &expected);
}

/// Constructed set; values computed with numpy.linalg.lstsq 2.4.6 and scipy.optimize.linprog 1.17.1.
#[test]
fn four_readings_over_a_quarter_turn_show_a_whole_one() {
    let dial = mm([0.0, 4.0, 6.0, 3.0]);
    let turn = Turn::at(&dial, &degrees(&[0.0, 30.0, 60.0, 90.0])).expect("just wide enough");
    close(turn.runout().value.get(), 27.443_486_482, 1e-8);
    close(turn.roundness_least_squares().value.get(), 0.795_365_074, 1e-8);
    close(turn.roundness_minimum_zone().expect("a zone").value.get(), 0.660_254_038, 1e-8);
    let parts = turn.harmonics();
    close(parts.direction.expect("a direction").value.get(), 54.764_428_026, 1e-6);
    close(parts.remainder.value.get(), 0.795_365_074, 1e-8);
    assert_eq!((parts.ovality, parts.ovality_direction), (None, None));
}

fn pure_eccentricity(count: usize, phase_degrees: f64) -> Vec<Length> {
    let step = 360.0 / count as f64;
    mm((0..count).map(|j| libm::cos((j as f64 * step - phase_degrees).to_radians())))
}

#[test]
fn pure_eccentricity_reads_twice_its_amplitude_wherever_the_readings_fall() {
    for count in [4, 5, 8, 24, 720, 721] {
        for phase in [0.0, 22.5, 30.0, 45.0, -100.0] {
            let dial = pure_eccentricity(count, phase);
            let turn = Turn::equal(&dial).expect("enough readings");
            close(turn.runout().value.get(), 2.0, 1e-11);
            close(turn.harmonics().direction.expect("a direction").value.get(), phase, 1e-9);
            close(turn.roundness_least_squares().value.get(), 0.0, 1e-11);
            close(turn.roundness_minimum_zone().expect("a zone").value.get(), 0.0, 1e-11);
        }
    }
}

/// cos 45° and cos 22.5°: the worst the range alone can do.
#[test]
fn the_range_alone_is_as_low_as_the_doc_says() {
    for (count, phase, low) in [(4, 45.0, 0.29), (8, 22.5, 0.08)] {
        let range = spread(&pure_eccentricity(count, phase)).expect("enough readings").value.get();
        close(1.0 - range / 2.0, low, 0.005);
    }
}

/// Least squares make squares small, not the range: constructed, residuals by hand (±2/3 at the ends).
#[test]
fn the_least_squares_circle_can_leave_more_than_the_readings_range() {
    let dial = mm([0.0, 0.0, 1.0, 0.0, 1.0, 1.0]);
    let turn = Turn::equal(&dial).expect("six readings");
    close(turn.roundness_least_squares().value.get(), 4.0 / 3.0, 1e-15);
    assert!(turn.roundness_minimum_zone().expect("a zone").value.get() <= 1.0);
}

#[test]
fn a_round_and_centred_seat_has_no_direction() {
    let dial = mm([0.3; 8]);
    let turn = Turn::equal(&dial).expect("eight readings");
    let parts = turn.harmonics();
    for (size, squares) in
        [(&parts.eccentricity, 2.0 / 8.0), (&parts.ovality.expect("an ovality"), 8.0 / 8.0)]
    {
        assert_eq!(size.value.get().to_bits(), 0.0f64.to_bits());
        // There is no derivative; what stands in has the size of any other direction's.
        close(size.sensitivity.iter().map(|(_, partial)| partial * partial).sum(), squares, 1e-15);
    }
    assert_eq!((parts.direction, parts.ovality_direction), (None, None));
    for zero in
        [turn.runout(), turn.roundness_least_squares(), turn.roundness_minimum_zone().expect("a zone")]
    {
        close(zero.value.get(), 0.0, 0.0);
    }
}

#[test]
fn four_equal_readings_see_an_ovality_as_remainder_five_see_it_whole() {
    let four = mm([0.1, -0.1, 0.1, -0.1]);
    let parts = Turn::equal(&four).expect("four readings").harmonics();
    assert_eq!((parts.direction, parts.ovality), (None, None));
    close(parts.remainder.value.get(), 0.2, 1e-15);
    let five = mm((0..5).map(|k| 0.1 * libm::cos(f64::from(k) * 144f64.to_radians() - 1.0)));
    let parts = Turn::equal(&five).expect("five readings").harmonics();
    close(parts.ovality.expect("an ovality").value.get(), 0.2, 1e-12);
    close(parts.ovality_direction.expect("its direction").value.get(), 0.5f64.to_degrees(), 1e-9);
    close(parts.remainder.value.get(), 0.0, 1e-15);
    assert!(parts.remainder.sensitivity.iter().all(|(_, partial)| partial.abs() < 1e-14));
}

/// Opposite readings show a diameter: an ovality cannot be told from its places alone.
#[test]
fn an_ovality_that_its_angles_leave_open_is_not_given() {
    let dial = mm([3.0, 1.0, -2.0, 0.5, 2.5, 1.5]);
    let ovality = |angles: &[f64]| {
        let turn = Turn::at(&dial, &degrees(angles)).expect("wide enough");
        turn.harmonics().ovality
    };
    assert_eq!(ovality(&[0.0, 90.0, 180.0, 270.0, 0.0, 90.0]), None);
    assert_eq!(ovality(&[0.0, 40.0, 80.0, 100.0, 120.0, 20.0]), None);
    assert!(ovality(&[0.0, 60.0, 120.0, 180.0, 240.0, 300.0]).is_some());
}

#[test]
fn turns_that_tell_nothing_are_refused() {
    let few = MetrologyError::NotEnough { needed: 4, given: 3 };
    let three = mm([1.0, 2.0, 3.0]);
    assert_eq!(Turn::equal(&three).err(), Some(few));
    assert_eq!(Turn::at(&three, &degrees(&[0.0, 120.0, 240.0])).err(), Some(few));
    let four = mm([1.0, 2.0, 3.0, 4.0]);
    let at = |angles: &[f64]| Turn::at(&four, &degrees(angles)).err();
    assert_eq!(at(&[0.0, 120.0, 240.0]), Some(MetrologyError::CountsDiffer { readings: 4, angles: 3 }));
    assert_eq!(at(&[0.0, 120.0, 240.0, 360.0]), None);
    let close = Some(MetrologyError::AnglesTooClose);
    assert_eq!(at(&[10.0, 190.0, 370.0, -170.0]), close);
    assert_eq!(at(&[7.1, 7.1, 367.1, 7.1]), close);
    assert_eq!(at(&[0.0, 15.0, 30.0, 45.0]), close);
}

/// A turn more or less is the same place, to the last bit: 720.3° less two turns is 0.3° exactly.
#[test]
fn whole_turns_count_for_nothing() {
    let dial = mm([12.0, 15.0, 9.0, 3.0, -8.0]);
    let parts = |angles: &[f64]| {
        Turn::at(&dial, &degrees(angles)).expect("wide enough").harmonics().eccentricity.value.get().to_bits()
    };
    let once = parts(&[0.3, 80.1, 133.7, 222.9, 300.0]);
    assert_eq!(once, parts(&[720.3, 440.1, 133.7, 36_222.9, 660.0]));
}

/// Differences of readings are exact before they become doubles: a large constant costs nothing.
#[test]
fn a_dial_far_from_its_zero_loses_no_digit() {
    let readings = |zero: i64| -> Vec<Length> {
        let nanometres = TWELVE.map(|reading| reading as i64 * 100 + zero * 1_000_000);
        nanometres.iter().map(|count| Length::from_exact(Exact::from_count(*count, 6))).collect()
    };
    let (near, far) = (readings(0), readings(900_000));
    let (near, far) = (Turn::equal(&near).expect("a turn"), Turn::equal(&far).expect("a turn"));
    assert_eq!(near.harmonics(), far.harmonics());
    assert_eq!(near.roundness_minimum_zone(), far.roundness_minimum_zone());
}
