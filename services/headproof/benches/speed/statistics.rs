//! Statistics over 10,000 heads of 16 ports and 20 characteristics, against numpy and scipy on the same values, which they
//! hold in memory as a whole: moments, histogram, both tests of normality, a chart of means and ranges, an analysis of
//! variance by two codes, and the line of least squares over time, of all and of each code. Here they come head by head
//! and are not held.

use std::error::Error;
use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use headproof_head::{Disposition, PortId, Service, Stage, Subject, Verdict};
use headproof_judge::{Characteristic, Measure, Scope, table};
use headproof_line::{Asked, Line, ObservedHead, ObservedRow, RuleSet, Standing};
use headproof_quantity::Kind;
use serde::Deserialize;

use super::memory::peak;

const HEADS: i64 = 10_000;
const PORTS: usize = 16;
const COLUMNS: usize = 20;
/// Counts of the grid in a micrometre, and in the middle of the values.
const MICROMETRE: i64 = 10_000_000;
const MIDDLE: i64 = 1_000 * MICROMETRE;
/// Half of what the limits are apart, in micrometres.
const HALF: i64 = 300;

/// What the library took and found.
#[derive(Deserialize)]
struct Reference {
    seconds: f64,
    mebibytes: f64,
    /// Mean, standard deviation of all and within heads, and F between cutters of each characteristic and service.
    answers: Vec<[f64; 4]>,
}

/// Prints times, memory and ratios.
pub(crate) fn report() -> Result<(), Box<dyn Error>> {
    let file = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("values-{}.i64", std::process::id()));
    let outcome = compare(&file);
    std::fs::remove_file(file)?;
    outcome
}

fn compare(file: &Path) -> Result<(), Box<dyn Error>> {
    let before = peak(std::process::id())?;
    let (line, gathering) = gather(file)?;
    let begin = Instant::now();
    let asked = Asked { confidence: 0.95, rules: RuleSet::WesternElectric, chart: None, method: None };
    let mut answers = Vec::new();
    for (key, series) in line.series() {
        let study = series.study(key, asked);
        let moments = series.values.moments();
        let (mean, s) = moments.mean().zip(moments.s()).ok_or("no moments")?;
        let within = study.chart.map_err(|_| "no chart")?.within.sigma;
        study.capability.map_err(|_| "no capability")?;
        let f = series.cutters.anova().map_err(|_| "no variance")?.f;
        series.benches.anova().map_err(|_| "no variance")?;
        let by_code = series.cutters.iter().chain(series.benches.iter()).map(|(_, sums)| &sums.heads);
        for sums in by_code.chain([&series.trend]) {
            sums.line().map_err(|_| "no trend")?;
        }
        let step = 10f64.powi(Kind::Length.grid_decimals() as i32);
        answers.push([mean / step, s / step, within / step, f]);
    }
    let (studying, memory) = (begin.elapsed(), peak(std::process::id())? - before);
    let values = HEADS as usize * PORTS * COLUMNS;
    let ours = (gathering + studying).as_secs_f64();
    println!("statistics of {values} values of {HEADS} heads, {} series:", answers.len());
    println!(
        "  {:7.2} s    gathered, {:.1} million values a second",
        gathering.as_secs_f64(),
        values as f64 / gathering.as_secs_f64() / 1e6
    );
    println!("  {:7.2} s    studied", studying.as_secs_f64());
    println!("  {memory:7.1} MiB  the most memory beside the program itself");
    let Some(reference) = reference(file)? else {
        println!("  (no ratio: tests/.venv is not there; tests/run makes it)");
        return Ok(());
    };
    let digits = answers
        .iter()
        .flatten()
        .zip(reference.answers.iter().flatten())
        .map(|(a, b)| -libm::log10(((a - b) / b).abs().max(1e-16)))
        .fold(f64::INFINITY, f64::min);
    if answers.len() != reference.answers.len() || digits.is_nan() || digits < 8.0 {
        return Err(format!("the library finds something else: {digits:.1} digits agree").into());
    }
    println!(
        "  {:7.2} s    numpy and scipy, {:.0} MiB of values and results; ratio {:.2}; {digits:.1} digits agree",
        reference.seconds,
        reference.mebibytes,
        reference.seconds / ours
    );
    Ok(())
}

/// Gathers the heads one by one, and writes their values down for the library. The time is that of gathering only.
fn gather(file: &Path) -> Result<(Line, Duration), Box<dyn Error>> {
    let mut out = BufWriter::new(File::create(file)?);
    let (mut line, mut time, mut next) = (Line::default(), Duration::ZERO, normal());
    // In the order of their names, as series come.
    let is_length = |of: &&Characteristic| of.measure() == Measure::Amount(Kind::Length);
    let mut lengths: Vec<_> = table().filter(is_length).filter(|of| of.scope() == Scope::Port).collect();
    lengths.truncate(COLUMNS);
    lengths.sort_by_key(|of| of.id);
    for number in 0..HEADS {
        let mut rows = Vec::with_capacity(PORTS * COLUMNS);
        for (column, of) in lengths.iter().enumerate() {
            for port in 0..PORTS {
                let service = if port % 2 == 0 { Service::Intake } else { Service::Exhaust };
                let (cylinder, index) = (u8::try_from(port / 4)? + 1, u8::try_from(port / 2 % 2)? + 1);
                let shift = (column as i64 % 5) * 10 + number % 3 + number / 1000;
                let value = MIDDLE + (shift + next()) * MICROMETRE;
                out.write_all(&value.to_le_bytes())?;
                rows.push(ObservedRow {
                    characteristic: of.id,
                    kind: Kind::Length,
                    subject: Subject::Port(PortId { cylinder, service, index }),
                    value: Some(value),
                    limits: Some(0),
                    verdict: Verdict::Conforms,
                    gauge: Some(0),
                });
            }
        }
        let head = ObservedHead {
            stage: Stage::AfterRework,
            measured_at: 1_780_000_000_000 + number * 600_000,
            profile: "bench".to_owned(),
            disposition: Disposition::Accept,
            bench: Some(format!("bench-{}", number % 2)),
            cutter: Some(format!("cutter-{}", number % 3)),
            operator: Some("one".to_owned()),
            gauges: vec!["gauge".to_owned()],
            limits: vec![(Some(MIDDLE - HALF * MICROMETRE), Some(MIDDLE + HALF * MICROMETRE))],
            rows,
        };
        let begin = Instant::now();
        line.observe(u32::try_from(number)?, &head, Standing::default()).map_err(|_| "sums ran over")?;
        time += begin.elapsed();
    }
    out.flush()?;
    Ok((line, time))
}

/// Whole micrometres, about normal with a standard deviation of 50: sums of twelve even draws, the same on every run.
fn normal() -> impl FnMut() -> i64 {
    let mut state = 7_u64;
    move || {
        let mut sum = 0;
        for _ in 0..12 {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            sum += (state >> 33) as i64 % 1001;
        }
        (sum - 6000) / 20
    }
}

fn reference(file: &Path) -> Result<Option<Reference>, Box<dyn Error>> {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let python = here.join("../../tests/.venv/bin/python");
    if !python.exists() {
        return Ok(None);
    }
    let output = Command::new(python)
        .arg(here.join("benches/speed/statistics.py"))
        .arg(file)
        .args([HEADS as usize, PORTS, COLUMNS].map(|count| count.to_string()))
        .output()?;
    if !output.status.success() {
        return Err(String::from_utf8_lossy(&output.stderr).into());
    }
    Ok(Some(serde_json::from_slice(&output.stdout)?))
}
