//! Speed, as ratios measured in one run.
//!
//! 1. Judging over HTTP against a handler that reads the same body into the same types and answers canned
//!    bytes of equal length: how much of the time is reading and how much is judging and writing.
//! 2. Where a judgement's time goes, step by step.
//! 3. The sheet of a head, against deflating its own streams.
//! 4. Flatness and roundness of 60 points, against scipy and numpy on the same points.
//! 5. Rework plans of whole heads, against scipy's mixed-integer solver on programs of the same heads.

mod forms;
mod http;
mod plans;
mod sheets;
mod steps;

use std::time::{Duration, Instant};

/// The program's own allocator, for both sides of every comparison.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let body = http::request_body()?;
    println!("body: {} bytes, 16 valves, 60 deck points", body.len());
    steps::report(&body)?;
    http::report(&body)?;
    sheets::report(&body)?;
    forms::report()?;
    plans::report()
}

/// Median time of one call, over many.
fn median_time<T>(calls: usize, mut call: impl FnMut() -> T) -> Duration {
    let mut times: Vec<Duration> = (0..calls)
        .map(|_| {
            let start = Instant::now();
            std::hint::black_box(call());
            start.elapsed()
        })
        .collect();
    median(&mut times)
}

fn median(times: &mut [Duration]) -> Duration {
    times.sort_unstable();
    times.get(times.len() / 2).copied().unwrap_or_default()
}

fn microseconds(time: Duration) -> f64 {
    time.as_secs_f64() * 1e6
}
