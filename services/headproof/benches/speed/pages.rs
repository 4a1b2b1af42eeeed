//! The layout of the pages, against deflate alone and against general-purpose writers of PDF, on the same documents.
//!
//! `pages/draw.py` draws documents of no trade. Each side reads them from JSON and makes a PDF of each in a warm
//! process, in turn, all pinned to one core. The floor is deflating what is drawn on our pages at the same level.
//! Afterwards every word and figure is looked for in the very files that were timed.

mod words;
mod writers;

use std::error::Error;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use headproof_sheet::workload::{Workload, workload};
use lopdf::Document;

use self::words::Words;
use self::writers::{Done, Writer, writers};
use super::floor::{contents, deflate_all};
use super::pinned::pinned;
use super::{finished, median};

const DOCUMENTS: usize = 24;
/// So many are rendered by each of the other writers in a round; over all rounds each renders all of them.
const SHARE: usize = 3;
const ROUNDS: usize = DOCUMENTS / SHARE;

/// Prints documents a second of every side, their ratios, and what was found in the files.
pub(crate) fn report() -> Result<(), Box<dyn Error>> {
    let room = Path::new(env!("CARGO_TARGET_TMPDIR"));
    let documents = room.join("documents");
    std::fs::create_dir_all(&documents)?;
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("benches/speed/pages/draw.py");
    finished(Command::new("python3").arg(script).arg(&documents).arg(DOCUMENTS.to_string()))?;
    let text = |n: usize| std::fs::read_to_string(documents.join(format!("{n:02}.json")));
    let texts: Vec<String> = (0..DOCUMENTS).map(text).collect::<Result<_, _>>()?;
    let commands = writers(room)?;
    let (core, (ours, writers)) = pinned(|| {
        let mut ours = Ours::first(&texts)?;
        let start = |(name, command)| Writer::start(name, command, &documents, room);
        let mut writers: Vec<Writer> = commands.into_iter().map(start).collect::<Result<_, _>>()?;
        for round in 0..ROUNDS {
            ours.turn(&texts)?;
            for writer in &mut writers {
                writer.turn(round * SHARE, SHARE)?;
            }
        }
        Ok((ours, writers))
    })?;
    println!(
        "pages of {DOCUMENTS} documents, JSON to PDF on core {core}, median of {ROUNDS} rounds in turn:"
    );
    let words: Vec<Words> = texts.iter().map(|text| Words::of(text)).collect::<Result<_, _>>()?;
    ours.print(&words)?;
    for writer in writers {
        let Done { name, time, files } = writer.end(DOCUMENTS)?;
        look_for(&words, name, &files)?;
        print_line(name, time, &files)?;
        println!("              ours is {:.1} times as fast", ratio(time, ours.time()));
    }
    let count: usize = words.iter().map(Words::count).sum();
    println!("  all {count} words and figures are in the files that were timed, and on each page its number");
    Ok(())
}

/// Our own side and the floor under it.
struct Ours {
    files: Vec<Vec<u8>>,
    contents: Vec<Vec<Vec<u8>>>,
    whole: Vec<Duration>,
    floor: Vec<Duration>,
}

impl Ours {
    /// Renders each document once, unmeasured.
    fn first(texts: &[String]) -> Result<Self, Box<dyn Error>> {
        let files: Vec<Vec<u8>> = texts.iter().map(|text| render(text)).collect::<Result<_, _>>()?;
        let drawn = |file: &Vec<u8>| Ok(contents(&Document::load_mem(file)?));
        let contents = files.iter().map(drawn).collect::<lopdf::Result<_>>()?;
        Ok(Self { files, contents, whole: Vec::new(), floor: Vec::new() })
    }

    /// Renders all of them, and deflates what is drawn in each right after it.
    fn turn(&mut self, texts: &[String]) -> Result<(), Box<dyn Error>> {
        let (mut whole, mut floor) = (Duration::ZERO, Duration::ZERO);
        for ((text, known), contents) in texts.iter().zip(&self.files).zip(&self.contents) {
            let begin = Instant::now();
            let file = render(text)?;
            whole += begin.elapsed();
            if file != *known {
                return Err("the same document gave other bytes".into());
            }
            floor += deflate_all(contents)?;
        }
        self.whole.push(whole / DOCUMENTS as u32);
        self.floor.push(floor / DOCUMENTS as u32);
        Ok(())
    }

    fn time(&self) -> Duration {
        median(&mut self.whole.clone())
    }

    fn print(&self, words: &[Words]) -> Result<(), Box<dyn Error>> {
        look_for(words, "ours", &self.files)?;
        let floor = median(&mut self.floor.clone());
        print_line("ours", self.time(), &self.files)?;
        println!(
            "  {:7.2} ms  deflating the {} kB drawn on its pages; ratio {:.2} (goal: at most 1.5)",
            floor.as_secs_f64() * 1e3,
            self.contents.iter().flatten().map(Vec::len).sum::<usize>() / DOCUMENTS / 1000,
            ratio(self.time(), floor)
        );
        Ok(())
    }
}

fn render(text: &str) -> Result<Vec<u8>, Box<dyn Error>> {
    let document: Workload = serde_json::from_str(text)?;
    Ok(workload(&document)?)
}

fn look_for(words: &[Words], name: &str, files: &[Vec<u8>]) -> Result<(), Box<dyn Error>> {
    for (words, file) in words.iter().zip(files) {
        words.look_for_in(file).map_err(|error| format!("{name}: {error}"))?;
    }
    Ok(())
}

fn ratio(time: Duration, to: Duration) -> f64 {
    time.as_secs_f64() / to.as_secs_f64()
}

fn print_line(name: &str, time: Duration, files: &[Vec<u8>]) -> Result<(), Box<dyn Error>> {
    let first = files.first().ok_or("no document")?;
    println!(
        "  {:7.2} ms  {name}: {:.1} documents a second, {} pages, {} kB each",
        time.as_secs_f64() * 1e3,
        1.0 / time.as_secs_f64(),
        Document::load_mem(first)?.get_pages().len(),
        files.iter().map(Vec::len).sum::<usize>() / files.len() / 1000
    );
    Ok(())
}
