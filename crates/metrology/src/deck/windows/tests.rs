//! The work that the search takes, and what it refuses.

use headproof_quantity::Exact;

use super::*;
use crate::zone::tests::Source;

type Points = Vec<(Length, Length, Length)>;

fn length(count: i64, decimals: u32) -> Length {
    Length::from_exact(Exact::from_count(count, decimals))
}

/// Points in micrometres of place and nanometres of height.
fn deck(count: i64, point: impl FnMut(i64) -> [i64; 3]) -> Points {
    (0..count).map(point).map(|p| (length(p[0], 3), length(p[1], 3), length(p[2], 6))).collect()
}

/// A dome over 400 mm by 200 mm, under which every window of a size has nearly the same flatness: no
/// block of windows can be left aside early.
fn dome(x: i64, y: i64) -> [i64; 3] {
    let (from_x, from_y) = (x - 200_000, y - 100_000);
    [x, y, (from_x * from_x + from_y * from_y) / 4_000_000]
}

fn worst(points: &Points, length_mm: i64, width_mm: i64, most_steps: usize) -> Result<f64, MetrologyError> {
    let search = Search::new(points, length(length_mm, 0), length(width_mm, 0), most_steps);
    Ok(search.worst()?.expect("a window that says something").1.along_z)
}

/// A grid of 5000 points takes a quarter of the steps there are; one of 1250, with their square, a
/// sixteenth of that and what the least zones cost at least.
#[test]
fn the_dome_that_is_hardest_on_a_grid_is_far_from_too_many() {
    let long = std::env::var("HEADPROOF_COUNTS").is_ok_and(|counts| counts == "long");
    // Columns, rows, steps; distances in mm from the middle of a window to its innermost points and along
    // y to its corners.
    let (columns, rows, most_steps, nearest, half) = match long {
        true => (100, 50, MOST_STEPS / 4, 2.0, 50.0),
        false => (50, 25, MOST_STEPS / 50, 4.0, 48.0),
    };
    let points =
        deck(columns * rows, |k| dome(k % columns * 400_000 / columns, k / columns * 200_000 / rows));
    let zone = worst(&points, 200, 100, most_steps).expect("steps to spare");
    // The dome rises by the square of the distance over 4 m.
    let expected = (100.0 * 100.0 + half * half - nearest * nearest) / 4e6;
    assert!((zone - expected).abs() < 1e-9, "{zone} {expected}");
}

/// A boss on a deck of points strewn about: only the windows about it are looked into.
#[test]
fn a_fault_in_one_place_is_found_at_once() {
    let mut source = Source(1);
    let points = deck(2000, |_| {
        let (x, y) = (source.below(400_000), source.below(200_000));
        let boss = (x - 300_000).abs() < 12_000 && (y - 50_000).abs() < 12_000;
        [x, y, source.below(500) + if boss { 30_000 } else { 0 }]
    });
    let zone = worst(&points, 40, 40, 1_000_000).expect("steps to spare");
    assert!(zone > 0.025 && zone < 0.031, "{zone}");
}

#[test]
fn a_search_that_would_take_too_long_is_refused() {
    let mut source = Source(2);
    let points = deck(300, |_| dome(source.below(400_000), source.below(200_000)));
    let refused = MetrologyError::TooMany { points: 300, steps: 100_000 };
    assert_eq!(worst(&points, 100, 100, 100_000), Err(refused));
    assert_eq!(refused.to_string(), "the worst window among 300 points was not found in 100000 steps");
    assert!(worst(&points, 100, 100, MOST_STEPS).is_ok());
}
