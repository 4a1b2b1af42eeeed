//! Renders the benchmark's documents with printpdf as it comes: a plain use of its interface, typefaces read once.
//!
//! `printpdf-pages DOCUMENTS OUT` reads all of `DOCUMENTS/*.json`, then answers each line `FIRST COUNT` with the seconds
//! that rendering so many documents took, reading their JSON included, and leaves the files in `OUT`.

mod document;
mod pages;

use std::error::Error;
use std::io::{BufRead, Write, stdin, stdout};
use std::path::PathBuf;
use std::time::Instant;

use document::Document;
use pages::Typefaces;

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1).map(PathBuf::from);
    let (from, out) = arguments.next().zip(arguments.next()).ok_or("usage: printpdf-pages DOCUMENTS OUT")?;
    let mut paths =
        from.read_dir()?.map(|entry| Ok(entry?.path())).collect::<std::io::Result<Vec<PathBuf>>>()?;
    paths.sort();
    let texts: Vec<String> = paths.iter().map(std::fs::read_to_string).collect::<Result<_, _>>()?;
    let typefaces = Typefaces::new()?;
    for line in stdin().lock().lines() {
        let line = line?;
        let (first, count) = line.split_once(' ').ok_or("FIRST COUNT")?;
        let (first, count): (usize, usize) = (first.parse()?, count.parse()?);
        let begin = Instant::now();
        let mut files = Vec::with_capacity(count);
        for text in &texts[first..first + count] {
            let document: Document = serde_json::from_str(text)?;
            files.push(pages::render(&typefaces, &document));
        }
        let seconds = begin.elapsed().as_secs_f64();
        for (n, file) in files.iter().enumerate() {
            std::fs::write(out.join(format!("{:02}.pdf", first + n)), file)?;
        }
        println!("{seconds}");
        stdout().flush()?;
    }
    Ok(())
}
