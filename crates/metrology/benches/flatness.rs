//! Time of the minimum zone for a deck of 60 points (12 × 5), random but plausible: a bow, a twist, a
//! tilt and noise, in whole micrometres.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use headproof_metrology::flatness_minimum_zone;
use headproof_quantity::{Exact, Length};

const DECKS: usize = 64;

fn decks() -> Vec<Vec<(Length, Length, Length)>> {
    let mut state = 60u64;
    let mut below = |bound: i64| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as i64 % bound
    };
    let length = |count, decimals| Length::from_exact(Exact::from_count(count, decimals));
    let mut deck = || {
        let (bow, twist, tilt) = (below(80) - 40, below(30) - 15, below(60) - 30);
        (0..60)
            .map(|k| {
                let (column, row) = (k % 12, k / 12);
                let shape = bow * column * (11 - column) / 30 + twist * (2 * column - 11) * (row - 2) / 22;
                let z = shape + tilt * row / 4 + below(9) - 4;
                (length(column * 36, 0), length(row * 38, 0), length(z, 3))
            })
            .collect()
    };
    (0..DECKS).map(|_| deck()).collect()
}

fn flatness(criterion: &mut Criterion) {
    let decks = decks();
    let mut next = 0;
    criterion.bench_function("flatness_minimum_zone of 60 points", |bencher| {
        bencher.iter(|| {
            next = (next + 1) % DECKS;
            flatness_minimum_zone(black_box(&decks[next]))
        });
    });
}

criterion_group!(benches, flatness);
criterion_main!(benches);
