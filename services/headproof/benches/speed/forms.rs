//! Flatness and roundness of 60 points, against a general-purpose library on the same points.
//!
//! Random but plausible: a deck with a bow, a twist, a tilt and noise; a turn with eccentricity, ovality
//! and noise.

use std::error::Error;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use headproof_metrology::{Turn, flatness_least_squares, flatness_minimum_zone};
use headproof_quantity::{Exact, Length};
use serde::Deserialize;
use serde_json::json;

use super::{median_time, microseconds};

const SETS: usize = 64;
const CALLS: usize = 20_000;
/// Answers of the library are good to its solver's tolerances, in micrometres.
const SAME: f64 = 1e-3;

type Point = (Length, Length, Length);

fn length(count: i64, decimals: u32) -> Length {
    Length::from_exact(Exact::from_count(count, decimals))
}

/// Whole numbers below a bound, the same on every run.
fn numbers() -> impl FnMut(i64) -> i64 {
    let mut state = 60_u64;
    move |bound| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as i64 % bound
    }
}

fn decks() -> Vec<Vec<Point>> {
    let mut below = numbers();
    let mut deck = || {
        let (bow, twist, tilt) = (below(80) - 40, below(30) - 15, below(60) - 30);
        let point = |k: i64, noise: i64| {
            let (column, row) = (k % 12, k / 12);
            let shape = bow * column * (11 - column) / 30 + twist * (2 * column - 11) * (row - 2) / 22;
            (length(column * 36, 0), length(row * 38, 0), length(shape + tilt * row / 4 + noise, 3))
        };
        (0..60).map(|k| point(k, below(9) - 4)).collect()
    };
    (0..SETS).map(|_| deck()).collect()
}

fn turns() -> Vec<Vec<Length>> {
    let mut below = numbers();
    let mut turn = || {
        let (off, oval, phase) = (below(40), below(12), below(60));
        let wave = |k: i64, lobes: i64, size: i64| {
            size as f64 * libm::cos((k - phase) as f64 * lobes as f64 * std::f64::consts::TAU / 60.0)
        };
        let reading = |k: i64, noise: i64| {
            #[expect(clippy::cast_possible_truncation, reason = "a few dozen micrometres")]
            let shape = (wave(k, 1, off) + wave(k, 2, oval)).round() as i64;
            length(shape + noise, 3)
        };
        (0..60).map(|k| reading(k, below(5) - 2)).collect()
    };
    (0..SETS).map(|_| turn()).collect()
}

/// What the library took and found for one sum.
#[derive(Deserialize)]
struct Reference {
    microseconds: f64,
    answers: Vec<f64>,
}

#[derive(Deserialize)]
struct References {
    deck_zone: Reference,
    deck_spread: Reference,
    turn_zone: Reference,
    turn_spread: Reference,
}

/// Prints the median times and, where the tests' Python is installed, the ratios to it in the same run.
pub(crate) fn report() -> Result<(), Box<dyn Error>> {
    let (decks, turns) = (decks(), turns());
    let references = references(&decks, &turns)?;
    let of = |pick: fn(&References) -> &Reference| references.as_ref().map(pick);
    println!("60 points, median of {CALLS} calls over {SETS} sets:");
    line("minimum-zone flatness", &decks, |deck| deck_zone(deck), of(|all| &all.deck_zone))?;
    line("least-squares flatness", &decks, |deck| deck_spread(deck), of(|all| &all.deck_spread))?;
    line("minimum-zone roundness", &turns, |turn| turn_zone(turn), of(|all| &all.turn_zone))?;
    line("least-squares roundness", &turns, |turn| turn_spread(turn), of(|all| &all.turn_spread))?;
    if references.is_none() {
        println!("  (no ratios: tests/.venv is not there; tests/run makes it)");
    }
    Ok(())
}

fn deck_zone(deck: &[Point]) -> f64 {
    flatness_minimum_zone(deck).map_or(f64::NAN, |zone| zone.value.get())
}

fn deck_spread(deck: &[Point]) -> f64 {
    flatness_least_squares(deck).map_or(f64::NAN, |plane| plane.value.get())
}

fn turn_zone(readings: &[Length]) -> f64 {
    Turn::equal(readings)
        .and_then(|turn| turn.roundness_minimum_zone())
        .map_or(f64::NAN, |zone| zone.value.get())
}

fn turn_spread(readings: &[Length]) -> f64 {
    Turn::equal(readings).map_or(f64::NAN, |turn| turn.roundness_least_squares().value.get())
}

fn line<T>(
    name: &str,
    sets: &[T],
    sum: impl Fn(&T) -> f64,
    reference: Option<&Reference>,
) -> Result<(), Box<dyn Error>> {
    let mut next = 0;
    let time = microseconds(median_time(CALLS, || {
        next = (next + 1) % sets.len();
        sum(&sets[next])
    }));
    let Some(reference) = reference else {
        println!("  {time:7.1} µs  {name}");
        return Ok(());
    };
    let ours: Vec<f64> = sets.iter().map(&sum).collect();
    let apart = ours.iter().zip(&reference.answers).map(|(a, b)| (a * 1000.0 - b).abs()).fold(0.0, f64::max);
    if ours.len() != reference.answers.len() || apart.is_nan() || apart > SAME {
        return Err(format!("{name}: the library finds something else, by {apart} µm").into());
    }
    let ratio = reference.microseconds / time;
    println!("  {time:7.1} µs  {name} (library: {:.0} µs, {ratio:.0} times as long)", reference.microseconds);
    Ok(())
}

fn references(decks: &[Vec<Point>], turns: &[Vec<Length>]) -> Result<Option<References>, Box<dyn Error>> {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let python = here.join("../../tests/.venv/bin/python");
    if !python.exists() {
        return Ok(None);
    }
    let mm = |length: Length| length.exact().to_f64();
    let decks: Vec<Vec<[f64; 3]>> =
        decks.iter().map(|deck| deck.iter().map(|(x, y, z)| [mm(*x), mm(*y), mm(*z)]).collect()).collect();
    let turns: Vec<Vec<f64>> =
        turns.iter().map(|turn| turn.iter().map(|reading| mm(*reading)).collect()).collect();
    let mut child = Command::new(python)
        .arg(here.join("benches/speed/reference.py"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()?;
    let mut input = child.stdin.take().ok_or("no way to hand over the points")?;
    input.write_all(&serde_json::to_vec(&json!({ "decks": decks, "turns": turns }))?)?;
    drop(input);
    let output = child.wait_with_output()?;
    if !output.status.success() {
        return Err("the library failed".into());
    }
    Ok(Some(serde_json::from_slice(&output.stdout)?))
}
