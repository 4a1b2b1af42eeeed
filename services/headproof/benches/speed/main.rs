//! Speed, as ratios measured in one run.
//!
//! 1. Judging over HTTP against a handler that reads the same body into the same types and answers canned
//!    bytes of equal length: how much of the time is reading and how much is judging and writing.
//! 2. Where a judgement's time goes, step by step.
//! 3. The sheet of a head, against deflating its own streams.
//! 4. The same sheet signed, against not signed.
//! 5. The layout of pages on documents of no trade, against deflate and against general-purpose writers of PDF.
//! 6. The most memory a worker holds.
//! 7. Flatness and roundness of 60 points, against scipy and numpy on the same points.
//! 8. Rework plans of whole heads, against scipy's mixed-integer solver on programs of the same heads.
//! 9. Many heads from the post to the sheet, against rendering alone; workers on a server; a batch of 10,000 heads.
//! 10. Statistics over 10,000 heads, against numpy and scipy on the same values.
//!
//! `cargo bench --bench speed -- NAME...` prints the parts named: those of the modules.

mod floor;
mod forms;
mod http;
mod line;
mod memory;
mod pages;
mod pinned;
mod plans;
mod sheets;
mod signing;
mod statistics;
mod steps;

use std::process::Command;
use std::time::{Duration, Instant};

/// The program's own allocator, for both sides of every comparison.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// Measures one part and prints what came of it.
type Report<'a> = &'a dyn Fn() -> Result<(), Box<dyn std::error::Error>>;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let body = http::request_body()?;
    let parts: [(&str, Report<'_>); 10] = [
        ("steps", &|| steps::report(&body)),
        ("http", &|| http::report(&body)),
        ("sheets", &|| sheets::report(&body)),
        ("signing", &|| signing::report(&body)),
        ("pages", &pages::report),
        ("memory", &memory::report),
        ("forms", &forms::report),
        ("plans", &plans::report),
        ("line", &|| line::report(&body)),
        ("statistics", &statistics::report),
    ];
    // Cargo adds an option of its own.
    let asked: Vec<String> = std::env::args().skip(1).filter(|name| !name.starts_with('-')).collect();
    println!("body: {} bytes, 16 valves, 60 deck points", body.len());
    for (name, report) in parts {
        if asked.is_empty() || asked.iter().any(|asked| asked == name) {
            report()?;
        }
    }
    Ok(())
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

/// Runs a command that has to end well; what it has to say is said when it does not.
fn finished(command: &mut Command) -> Result<(), Box<dyn std::error::Error>> {
    let name = command.get_program().to_string_lossy().into_owned();
    let output = command.output().map_err(|error| format!("{name}: {error}"))?;
    if output.status.success() {
        return Ok(());
    }
    Err(format!("{name}: {}", String::from_utf8_lossy(&output.stderr).trim()).into())
}
