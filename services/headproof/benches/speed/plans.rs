//! Rework plans of whole heads, against a general-purpose solver of the same programs in the same run.
//!
//! What is timed here is all of it: two judgements, every program, the proof, conflicts. Of the other side only
//! the time inside the solver counts, which has the whole head in one program where its ports hang together.

use std::error::Error;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use headproof_rework::{Effort, plan};
use headproof_wire::{
    At, MeasurementSet, PlanRequest, Stage, default_workshop, evaluation_document, measurement_set, read,
    target_profile, workshop,
};
use serde::Deserialize;
use serde_json::{Value, json};

const HEADS: usize = 40;
const CALLS: usize = 5;
/// Of two prices of one program.
const SAME: f64 = 1e-4;

/// What the other side took and found for one head.
#[derive(Deserialize)]
struct Reference {
    seconds: f64,
    price: Option<f64>,
}

/// One head with what both sides are given.
struct Given {
    request: PlanRequest,
    posted: Value,
}

/// Prints median and 99th percentile of a plan, and the ratio to the solver's own time.
pub(crate) fn report() -> Result<(), Box<dyn Error>> {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let python = here.join("../../tests/.venv/bin/python");
    if !python.exists() {
        println!("rework plans: tests/.venv is not there; tests/run makes it");
        return Ok(());
    }
    let script = here.join("benches/speed/plans.py");
    println!("rework plans of {HEADS} random heads, best of {CALLS} calls each:");
    for (name, cylinders) in [("16 valves", 4), ("32 valves", 8)] {
        of_size(&python, &script, name, cylinders)?;
    }
    Ok(())
}

fn of_size(python: &Path, script: &Path, name: &str, cylinders: usize) -> Result<(), Box<dyn Error>> {
    let drawn = Command::new(python)
        .arg(script)
        .args(["draw", &HEADS.to_string(), &cylinders.to_string(), "2"])
        .output()?;
    let lines = String::from_utf8(drawn.stdout)?;
    let heads = lines
        .lines()
        .map(|line| Ok(Given { request: read(line.as_bytes())?, posted: serde_json::from_str(line)? }));
    let heads: Vec<Given> = heads.collect::<Result<_, Box<dyn Error>>>()?;
    if heads.len() != HEADS {
        return Err(String::from_utf8_lossy(&drawn.stderr).into_owned().into());
    }
    let mut questions = Vec::new();
    let mut ours = Vec::new();
    for head in &heads {
        let (time, question, price) = timed(head)?;
        questions.push(question);
        ours.push((time, price));
    }
    let references = references(python, script, &questions)?;
    let same = ours.iter().zip(&references).filter(|((_, ours), theirs)| same(*ours, theirs.price)).count();
    let mut times: Vec<Duration> = ours.iter().map(|(time, _)| *time).collect();
    times.sort_unstable();
    let mut solver: Vec<f64> = references.iter().map(|reference| reference.seconds).collect();
    solver.sort_by(f64::total_cmp);
    let (middle, last) = (HEADS / 2, HEADS * 99 / 100);
    let milliseconds = |time: Duration| time.as_secs_f64() * 1e3;
    println!(
        "  {:7.1} ms  {name}, median (the solver alone: {:.0} ms, {:.0} times as long); 99th percentile {:.0} ms \
         ({:.0} ms); same price {same} of {HEADS}",
        milliseconds(times[middle]),
        solver[middle] * 1e3,
        solver[middle] * 1e3 / milliseconds(times[middle]),
        milliseconds(times[last]),
        solver[last] * 1e3,
    );
    Ok(())
}

fn same(ours: Option<f64>, theirs: Option<f64>) -> bool {
    match (ours, theirs) {
        (Some(ours), Some(theirs)) => (ours - theirs).abs() <= SAME * theirs.abs().max(1.0),
        (None, None) => true,
        _ => false,
    }
}

/// The quickest of several plans, the question for the other side, and what the plan costs where that is proved.
fn timed(head: &Given) -> Result<(Duration, Value, Option<f64>), Box<dyn Error>> {
    let root = At::Root;
    let faults = |faults| format!("{faults:?}");
    let request = &head.request;
    let set = measurement_set(&request.measurement_set, &root).map_err(faults)?;
    let profile_doc = request.profile.as_ref().ok_or("the request carries its profile")?;
    let profile = target_profile(profile_doc, &root).map_err(faults)?;
    let shop = request.workshop.as_ref().map(|shop| workshop(shop, &root)).transpose().map_err(faults)?;
    let shop = shop.unwrap_or_else(default_workshop);
    let mut quickest = Duration::MAX;
    let mut made = None;
    for _ in 0..CALLS {
        let start = Instant::now();
        made = Some(std::hint::black_box(plan(&set, &profile, &shop, Effort::default())));
        quickest = quickest.min(start.elapsed());
    }
    let made = made.ok_or("at least one call")?;
    let document = headproof_wire::plan_document(&made, &set, &profile, request.measurement_set.units);
    let waits = |status: &str| matches!(status, "measure-first" | "guide-first");
    let staged = document.ports.iter().enumerate().filter(|(_, port)| waits(&port.status));
    let staged: Vec<usize> = staged.map(|(index, _)| index).collect();
    // The other side works from the rows of the finished head, with what their uncertainties are made of.
    let mut finished: MeasurementSet = request.measurement_set.clone();
    finished.job.stage = Stage::Final;
    let finished = measurement_set(&finished, &root).map_err(faults)?;
    let judged = headproof_judge::evaluate_explained(&finished, &profile);
    let evaluation = evaluation_document(&judged, &finished, &profile);
    let question = json!({ "request": head.posted, "evaluation": evaluation, "staged": staged });
    Ok((quickest, question, document.search.objective))
}

fn references(python: &Path, script: &Path, questions: &[Value]) -> Result<Vec<Reference>, Box<dyn Error>> {
    let mut child =
        Command::new(python).arg(script).arg("solve").stdin(Stdio::piped()).stdout(Stdio::piped()).spawn()?;
    let mut input = child.stdin.take().ok_or("no way to hand over the heads")?;
    let mut text = Vec::new();
    for question in questions {
        serde_json::to_writer(&mut text, question)?;
        text.push(b'\n');
    }
    // Answers come while questions are still being written.
    let written = std::thread::spawn(move || input.write_all(&text));
    let output = child.wait_with_output()?;
    written.join().map_err(|_| "the heads were not handed over")??;
    if !output.status.success() {
        return Err("the solver failed".into());
    }
    let answers = std::str::from_utf8(&output.stdout)?;
    Ok(answers.lines().map(serde_json::from_str).collect::<Result<_, _>>()?)
}
