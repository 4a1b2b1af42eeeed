//! The work that the search takes, and what it refuses.

use headproof_quantity::Exact;

use super::*;
use crate::zone::tests::Source;

type Points = Vec<(Length, Length, Length)>;

fn length(count: i64, decimals: u32) -> Length {
    Length::from_exact(Exact::from_count(count, decimals))
}

fn deck(count: i64, point: impl FnMut(i64) -> [i64; 3]) -> Points {
    (0..count).map(point).map(|p| (length(p[0], 3), length(p[1], 3), length(p[2], 6))).collect()
}
#[test]
fn probe() {
    let (nx, ny) = (100, 50);
    for kind in 0..6 {
        let mut s = Source(5);
        let points = deck(nx * ny, |k| {
            let (i, j) = (k % nx, k / nx);
            let (mut x, mut y) = (i * 4000, j * 4000);
            if kind >= 2 {
                x += s.below(50);
                y += s.below(50);
            }
            if kind >= 4 {
                x = s.below(400_000);
                y = s.below(200_000);
            }
            let z = if kind % 2 == 0 {
                (x - 200_000) * (x - 200_000) / 4_000_000 + (y - 100_000) * (y - 100_000) / 4_000_000
            } else {
                s.below(20_000)
            };
            [x, y, z]
        });
        for (l, w) in [(200, 100), (196, 96), (100, 100), (40, 40), (50, 200)] {
            let t = std::time::Instant::now();
            let mut search = Search::new(&points, length(l, 0), length(w, 0), MOST_STEPS * 5);
            let r = search.probe();
            eprintln!("{kind} {l}x{w}: {r:?} {:?}", t.elapsed());
        }
    }
}
