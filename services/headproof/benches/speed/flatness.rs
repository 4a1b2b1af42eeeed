//! Minimum-zone flatness of random but plausible decks: a bow, a twist, a tilt and noise.

use headproof_metrology::flatness_minimum_zone;
use headproof_quantity::{Exact, Length};

use super::{median_time, microseconds};

const DECKS: usize = 64;
const CALLS: usize = 20_000;

fn decks() -> Vec<Vec<(Length, Length, Length)>> {
    let mut state = 60_u64;
    let mut below = |bound: i64| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as i64 % bound
    };
    let length = |count, decimals| Length::from_exact(Exact::from_count(count, decimals));
    let mut deck = || {
        let (bow, twist, tilt) = (below(80) - 40, below(30) - 15, below(60) - 30);
        let point = |k: i64, noise: i64| {
            let (column, row) = (k % 12, k / 12);
            let shape = bow * column * (11 - column) / 30 + twist * (2 * column - 11) * (row - 2) / 22;
            (length(column * 36, 0), length(row * 38, 0), length(shape + tilt * row / 4 + noise, 3))
        };
        (0..60).map(|k| point(k, below(9) - 4)).collect()
    };
    (0..DECKS).map(|_| deck()).collect()
}

/// Prints the median time.
pub(crate) fn report() {
    let decks = decks();
    let mut next = 0;
    let time = median_time(CALLS, || {
        next = (next + 1) % DECKS;
        flatness_minimum_zone(&decks[next])
    });
    println!("flatness of 60 points, median of {CALLS}: {:.1} µs (goal: at most 20)", microseconds(time));
}
